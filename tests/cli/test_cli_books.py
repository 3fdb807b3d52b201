"""The commands of the books: what came and went otherwise, gains, reminders, settings, returns."""

from decimal import Decimal

import pytest

from cli.conftest import Ninefine

D = Decimal


@pytest.fixture
def filled(with_book: Ninefine) -> Ninefine:
    """Harbor Lane's first two lots and twenty rounds; a price and a way out."""
    with_book("buy", "300 face of 90% at 11.20x", "--on", "2019-03-11")
    with_book("buy", "100 face of 90% at 14.90x", "--carriage", "18", "--on", "2020-03-23")
    with_book("buy", "20 of 1 oz round for 600", "--on", "2024-05-02", "--lot", "R")
    with_book("price", "66.00", "--on", "2026-06-01", "--whose", "the shop's screen")
    with_book("exit", "the shop", "--bid", "90=95% of melt", "--bid", "ozt=spot-1.50", "--on", "2024-01-01")
    return with_book


def test_what_came_otherwise(filled: Ninefine) -> None:
    gift = filled(
        "given", "10 of 1 oz round for 250", "5 of 1 oz round", "--giver", "Aunt Ida", "--acquired", "2011-05-06",
        "--worth", "240", "--worth", "120", "--on", "2024-06-01", "--lot", "G1",
    )  # fmt: skip
    estate = filled(
        "inherit", "40 face of 90% halves for 1500", "--died", "2025-11-20", "--whose", "Grandfather", "--own-use",
        "--valued-by", "an appraisal", "--on", "2026-01-05", "--json",
    )  # fmt: skip
    stood = filled("opening", "200 face of 90%", "--place", "C3", "--on", "2018-01-01")

    assert [said.code for said in (gift, estate, stood)] == [0, 0, 0]
    assert "(its giver paid 250.00 on 2011-05-06; worth 240.00 that day)" in gift.out
    assert "nobody knows what its giver paid on 2011-05-06" in gift.out
    assert "who died on 2025-11-20" in estate.json["sentence"]
    assert "nobody knows what it cost, nobody knows since when" in stood.out
    held = filled("holdings", "--json").json
    lots = {lot["lot"]: lot for lot in held["lots"]}
    assert (lots["G1"]["acquired"], lots["G1"]["came_on"], lots["G1"]["came_by"]) == (
        "2011-05-06",
        "2024-06-01",
        "given",
    )
    opened = next(lot for lot in held["lots"] if lot["came_by"] == "held before the book")
    assert (opened["cost_known"], opened["acquired"]) == (False, None)
    assert "nobody knows the cost" in filled("holdings").out
    assert filled("check").code == 0


def test_what_went_otherwise(filled: Ninefine) -> None:
    swap = filled(
        "swap", "L2=20 face", "--for", "45x", "--into", "15 of 1 oz round", "--paid", "15", "--whom", "the club",
        "--on", "2026-05-01", "--lot", "S",
    )  # fmt: skip
    lost = filled("lose", "R=5 pieces", "--why", "stolen", "--paid", "100", "--on", "2026-05-02")
    given = filled("lose", "R=2 pieces", "--why", "given away", "--whom", "Ned", "--on", "2026-05-02")
    statement = (
        "refine", "L1=100 face", "--refiner", "Brook", "--melted", "2450 g", "--assay", ".899", "--payable", "95",
        "--per-ozt", "66", "--treatment", "40", "--on", "2026-05-03",
    )  # fmt: skip
    shown = filled(*statement, "--proceeds", "4400", "--show")
    as_json = filled(*statement, "--show", "--json").json
    entries = len(filled("book", "--json").json["entries"])
    refined = filled(*statement)

    assert [said.code for said in (swap, lost, given, refined)] == [0, 0, 0, 0]
    assert "counted for 900.00, for 15 pieces" in swap.out
    assert "The statement says 4,400.00; its own figures come to 4,440.01." in shown.out
    assert "-0.96% off" in shown.out
    assert (as_json["reckoned_usd"], as_json["off_usd"]) == ("4440.01", "0")
    assert entries == 8
    assert "proceeds 4,440.01" in refined.out
    table = filled("gains", "2026", "--json").json
    assert [line["lot"] for line in table["lines"]] == ["L2", "L1"]
    assert [line["left"] for line in table["apart"]] == ["stolen", "given away"]
    said = filled("gains", "2026").out
    assert "Stolen on 2026-05-02: 5 pieces of" in said
    assert "100.00 paid for it." in said
    assert said.rstrip().endswith("ask a licensed preparer before you file.")
    assert filled("check").code == 0


def test_lots_are_split_joined_and_used(filled: Ninefine) -> None:
    assert filled("split", "R", "kids", "--amount", "5", "--on", "2024-06-01").code == 0
    assert "serves the household itself" in filled("use", "kids", "--on", "2024-06-01").out
    refused = filled("join", "R", "kids")
    assert (refused.code, "serves the household itself" in refused.err) == (3, True)
    assert filled("use", "kids", "--no-longer").code == 0
    assert "as lot R" in filled("join", "R", "kids").out


def test_a_sale_is_shown_every_way_with_its_reminders(filled: Ninefine) -> None:
    sale = ("sell", "200 face", "--of", "90%", "--at", "44.83x", "--on", "2026-06-02", "--show")
    filled("settle", "--short-rate", "32", "--long-rate", "28")
    shown = filled(*sale)
    ways = {way["way"]: way for way in filled(*sale, "--json").json["ways"]}

    assert "first in, first out" in shown.out
    assert "average cost" in shown.out
    assert "A gain is reported by the seller" in shown.out
    assert "An example, not advice." in shown.out
    assert (ways["first-in"]["gain_usd"], ways["first-in"]["tax_usd"]) == ("6726", "1883.28")  # 8,966 - 2,240
    assert ways["highest-basis"]["gain_usd"] == "6338"  # 8,966 - 1,508 - 1,120
    assert ways["average"]["gain_usd"] == "6532"  # 8,966 - 4,868 x 200 / 400
    assert ways["first-in"]["asked"]


def test_settings_and_reminders_are_listed_and_changed(filled: Ninefine) -> None:
    filled("settle", "--rule", "highest-basis", "--note", "A. Reed, 2 June")
    assert filled("settle", "--json").json == {
        "rule": "highest-basis",
        "method": "lots",
        "form": "8949",
        "note": "A. Reed, 2 June",
    }
    assert "rule: highest-basis" in filled("settle").out
    assert "An example, not advice." in filled("remind").out
    assert filled("remind", "collectibles", "--silence").code == 0
    own = filled(
        "remind", "my state", "--below", "1500", "--words", "Taxed below 1,500.", "--source", "the shop",
        "--as-of", "2026-05-01", "--about", "purchase", "--cash",
    )  # fmt: skip
    assert own.code == 0
    listed = {one["name"]: one for one in filled("remind", "--json").json["reminders"]}
    assert (listed["collectibles"]["off"], listed["my state"]["below"], listed["my state"]["cash"]) == (
        "yes", "1500 money", "yes",
    )  # fmt: skip
    assert "collectibles: silenced." in filled("remind").out
    assert filled("remind", "my state", "--least", "many").code == 2


def test_what_a_broker_reported_is_held_against_the_book(filled: Ninefine) -> None:
    filled("sell", "R=20", "--at", "64.50 each", "--fees", "10", "--on", "2026-06-03")
    assert filled("reported", "1290", "--on", "2026-06-03", "--broker", "Quay Coin").code == 0
    table = filled("gains", "--json").json

    assert table["reports"][0]["entry"] == 6
    assert (table["lines"][0]["codes"], table["lines"][0]["box"]) == ("CE", "E")
    assert "reported 1,290.00 of entry 6, as the book has it." in filled("gains").out
    filled("reported", "1280", "--on", "2026-06-03", "--name", "x", "--entry", "6", "--basis", "500", "--to-authority")
    assert "1,280.00 where the book has 1,290.00 and a basis of 500.00 where it has 600.00" in filled("gains").out
    assert filled("reported", "--strike", "x").code == 0
    assert filled("reported", "dear").code == 2


def test_returns_on_a_day_with_months_and_flows(filled: Ninefine) -> None:
    now = filled("returns", "--on", "2026-06-02", "--ask", "spot+2.50", "--months", "--flows")
    then = filled("returns", "--on", "2023-12-31", "--months", "--json").json

    assert "Put in 5,468.00, taken out 0.00" in now.out
    assert "no tax basis" in now.out
    assert "The same money in one-ounce rounds would be" in now.out
    assert "monthly average" in now.out
    assert "the shop" in now.out
    # 400 x 0.715 x 23.878 = 6,829.11
    assert (then["worth_usd"], then["put_in_usd"], then["gain_usd"]) == ("6829.11", "4868", "1961.11")
    last = then["months"][-1]
    assert (last["on"], last["melt_usd"], last["price_kind"]) == ("2023-12-31", "6829.11", {"XAG": "monthly average"})
    assert D(then["rate"]["yearly_share"]) > 0
    assert filled("returns", "--by", "nobody").code == 2


def test_an_empty_book_has_neither_gains_nor_returns(with_book: Ninefine) -> None:
    assert "Nothing left the book in" in with_book("gains").out
    assert "nothing to reckon" in with_book("returns").out
