"""The letter and the inventory: three values kept apart, lines by place, what is not to be melted, asks with their day.

Harbor Lane is an invented household whose figures were worked out apart from the program: after its sale it holds 350
face of 90% coin and 60 one-ounce rounds; spot 66.00, bids 44.83x and spot - 1.50, asks 50.60x and spot + 4.25.
"""

from datetime import date
from decimal import Decimal

import pytest

from ninefine.desk import paper_tables, purchase, records, tables
from ninefine.desk.kit import Kit
from ninefine.desk.paper_lines import held_valued
from ninefine.desk.papers import make_paper
from ninefine.errors import Faults
from ninefine.papers.as_text import as_text
from ninefine.papers.document import Document, Notes, Pairs, Picture
from ninefine.testing import kit_in_memory

D = Decimal


def pairs_of(document: Document) -> dict[str, object]:
    return {pair.name: pair.value for block in document.blocks if isinstance(block, Pairs) for pair in block.pairs}


def notes_of(document: Document) -> str:
    return "\n".join(line for block in document.blocks if isinstance(block, Notes) for line, _ in block.lines)


def test_harbor_lane_s_three_values(lane: Kit) -> None:
    """310.25 x 66 = 20,476.50; 350 x 44.83 + 60 x 64.50 = 19,560.50; 350 x 50.60 + 60 x 70.25 = 21,925.00."""
    letter = make_paper(lane, "letter", {})

    assert pairs_of(letter) == {
        "Melt": D("20476.50"),
        "Quick sale": D("19560.50"),
        "Replacement": D("21925.00"),
    }
    text = as_text(letter)
    for words in ("310.25 ozt of fine silver", "20,476.50 USD", "19,560.50 USD", "21,925.00 USD", "the shop's screen"):
        assert words in text


def test_harbor_lane_s_lines_make_its_totals(lane: Kit) -> None:
    (lines,) = make_paper(lane, "letter", {}).main

    assert [row.cells[:2] for row in lines.rows] == [
        ("90% silver coin, mixed dimes, quarters and halves", "350.00 face"),
        ("Generic silver round, 1 troy oz", "60 pieces"),
    ]
    assert lines.totals()[2:] == (D("310.2500"), D("20476.50"), D("19560.50"), None, D("21925.00"))
    assert [group.name for group in lines.groups] == ["A1"]


def test_the_letter_shows_the_shares_and_says_where_its_figures_come_from(lane: Kit) -> None:
    letter = make_paper(lane, "letter", {})

    (picture,) = [block for block in letter.blocks if isinstance(block, Picture)]
    assert "constitutional coin 80.7%, 250.25 ozt trade" in picture.alt
    assert "Price of silver: 66.00 USD an ozt, spot on 2026-06-12 10:15." in notes_of(letter)
    assert "Quick sale to the shop: 19,560.50 USD, for its silver." in notes_of(letter)


def test_the_inventory_s_value_has_its_day_its_method_and_its_asks(lane: Kit) -> None:
    inventory = make_paper(lane, "inventory", {})

    assert pairs_of(inventory)["Replacement value"] == D("21925.00")
    (main,) = inventory.main
    assert main.totals()[3] == D("10616.21")  # grams as struck: 350 x 25 and 60 x 31.1035
    assert main.totals()[7] == D("21925.00")
    asks = inventory.ledgers[-1]
    assert [row.cells for row in asks.rows] == [
        ("90", "50.60x", "the shop", date(2026, 6, 12), D("17710.00")),
        ("ozt", "spot + 4.25", "the shop", date(2026, 6, 12), D("4215.00")),
    ]
    assert asks.totals()[4] == D("21925.00")
    assert "To have it again would have cost 21,925.00 USD on 12 June 2026, at the asks listed below." in as_text(
        inventory
    ).replace("\n", " ")


def test_no_figure_of_one_sort_fills_in_for_another(lane: Kit) -> None:
    """Without the ask for rounds their line has none, and the replacement value is the coin's alone."""
    paper_tables.strike_row(lane, "ask", "rounds")
    tables.set_exit(lane, {"name": "the shop", "bids": [{"what": "90", "quote": "44.83x"}]})

    letter, inventory = make_paper(lane, "letter", {}), make_paper(lane, "inventory", {})

    assert pairs_of(letter) == {
        "Melt": D("20476.50"),
        "Quick sale": D("15690.50"),
        "Replacement": D("17710.00"),
    }
    rounds = letter.main[0].rows[1].cells
    assert (rounds[3], rounds[4], rounds[5], rounds[6]) == (D("3960.00"), None, "no bid", None)
    assert "No bid, and so in no such total: Generic silver round, 1 troy oz." in notes_of(letter)
    assert "Without an ask, and in no replacement value: Generic silver round, 1 troy oz." in notes_of(inventory)
    assert "1 line without an ask not counted" in as_text(inventory).replace("\n", " ")


def test_cover_is_held_against_the_replacement_value(lane: Kit) -> None:
    paper_tables.set_row(lane, "cover", "rider 4", {"limit": "20,000"})
    assert pairs_of(make_paper(lane, "inventory", {}))["Not covered"] == D("1925.00")

    paper_tables.set_row(lane, "cover", "rider 5", {"limit": "5000"})
    assert pairs_of(make_paper(lane, "inventory", {}))["Cover to spare"] == D("3075.00")


def test_a_quick_sale_goes_to_the_exit_asked_for_and_what_it_will_not_take_to_the_best_other(lane: Kit) -> None:
    tables.set_exit(lane, {"name": "low", "bids": [{"what": "bullion", "quote": "spot - 9"}]})
    tables.set_exit(
        lane, {"name": "club", "bids": [{"what": "90", "quote": "46x"}], "costs": "10", "capacity": "100 face"}
    )

    usual, club = held_valued(lane), held_valued(lane, exit_name="club")

    assert usual.quick == D("19560.50")
    assert {line.name: line.quick and line.quick.exit for line in club.lines} == {
        "90% silver coin, mixed dimes, quarters and halves": "club",
        "Generic silver round, 1 troy oz": "the shop",
    }
    assert club.quick == 350 * 46 - 10 + 60 * D("64.50")
    letter = make_paper(lane, "letter", {"exit": "club"})
    assert "Quick sale to club: 16,090.00 USD, 10.00 USD of fees and costs taken off, for its silver." in notes_of(
        letter
    )
    assert "club takes at once no more than 100 face; this is 350." in notes_of(letter)


def test_lines_share_what_an_exit_takes_off_to_the_cent(lane: Kit) -> None:
    tables.set_exit(lane, {"name": "post", "bids": [{"what": "silver", "quote": "95% of melt"}], "fee_pct": "12.9"})
    valued = held_valued(lane, exit_name="post")

    assert sum(paid.net for paid in valued.settled) == valued.quick
    assert valued.quick == sum((line.quick.net for line in valued.lines if line.quick), D(0))


@pytest.fixture
def mixed() -> Kit:
    """A key date among common ones, silver dollars, gold, a kind of one's own, and something with no silver."""
    kit = kit_in_memory(today=date(2026, 6, 12))
    for goods, amount in (
        ("us-dime-mercury#1916-D", "1"),
        ("us-dime-mercury#1941-P", "20"),
        ("us-dime-mercury#1944-D", "30"),
        ("us-dollar-morgan#1881-S", "2"),
        ("us-dollar-morgan#1904-O", "3"),
        ("half sovereign", "1"),
        ("not-silver", "4"),
        ("us-quarter-90", "40"),
    ):
        purchase.buy(kit, {"on": "2024-01-05", "amount-1": amount, "kind-1": goods, "price-1": "10", "place": "A1"})
    records.price(kit, {"per_ozt": "66.00"})
    return kit


def test_what_is_not_to_be_melted_stands_by_itself(mixed: Kit) -> None:
    """Common dates of a kind are one line; a key date has its own; dollars and gold are said to be priced apart."""
    paper_tables.set_row(mixed, "apart", "L8", {"why": "grandfather's"})

    letter = make_paper(mixed, "letter", {})

    apart = next(ledger for ledger in letter.ledgers if "piece by piece" in ledger.caption)
    said = {row.cells[0]: (row.cells[1], str(row.cells[3])) for row in apart.rows}
    assert said["Mercury (Winged Liberty) dime 1916-D"][0] == "1 piece, 0.10 face"
    assert said["Mercury (Winged Liberty) dime 1916-D"][1].startswith("Key: lowest mintage of the series")
    assert said["Morgan dollar"][0] == "5 pieces, 5.00 face"
    assert said["Half sovereign"][1] == "Gold, not silver: it is priced apart"
    assert said["90% silver quarters, mixed"][1] == "Grandfather's"
    assert set(said) == {
        "Mercury (Winged Liberty) dime 1916-D",
        "Morgan dollar",
        "Half sovereign",
        "90% silver quarters, mixed",
    }
    silver, gold = letter.main
    assert ("Mercury (Winged Liberty) dime", "50 pieces, 5.00 face") in [row.cells[:2] for row in silver.rows]
    assert [row.cells[0] for row in gold.rows] == ["Half sovereign"]


def test_ounces_of_different_metals_are_never_added(mixed: Kit) -> None:
    for name in ("letter", "inventory"):
        document = make_paper(mixed, name, {})
        assert [ledger.caption.rpartition(" ")[2].lower() for ledger in document.main] == ["silver", "gold"]
    assert "ozt of fine silver and 0.1177 ozt of fine gold" in as_text(make_paper(mixed, "letter", {})).replace(
        "\n", " "
    )


def test_papers_speak_of_a_past_day_as_asked(lane: Kit) -> None:
    """On the last day of 2023: 600 face at December's average 23.878 is 10,243.66, said to be an average."""
    letter = make_paper(lane, "letter", {"on": "2023-12-31"})

    assert letter.on == date(2023, 12, 31)
    assert pairs_of(letter)["Melt"] == D("10243.66")
    assert "monthly average of December 2023, not the day's price" in notes_of(letter)
    with pytest.raises(Faults, match="This day has not come yet"):
        make_paper(lane, "letter", {"on": "2027-01-01"})


def test_the_inventory_tells_photos_receipts_and_serials_of_its_lots(demo_papers: dict[str, Document]) -> None:
    rows = {str(row.cells[0]): row for row in demo_papers["inventory"].main[0].rows}
    rounds = [words for words, _ in rows["Generic silver round, 1 troy oz"].notes]
    dollars = [words for words, _ in rows["Peace dollar"].notes]

    assert "receipt SB-31440" in rounds
    assert "Serial 0471 stamped on the rim of the first round." in rounds
    assert dollars == []
    assert "1 photo of its lot" in [words for words, _ in rows["Morgan dollar"].notes]


def test_the_key_is_a_paper_of_its_own(demo_papers: dict[str, Document]) -> None:
    where = "grey box behind the preserves"

    assert where in as_text(demo_papers["key"])
    for name, document in demo_papers.items():
        assert name == "key" or where not in as_text(document), name


def test_an_empty_book_makes_every_paper_that_it_can() -> None:
    kit = kit_in_memory(today=date(2026, 6, 12))
    for name in ("inventory", "letter", "key", "gains", "storage", "calendar", "bag-slips"):
        assert as_text(make_paper(kit, name, {}))
    with pytest.raises(Faults, match="There is no purchase in the book yet"):
        make_paper(kit, "purchase", {})
