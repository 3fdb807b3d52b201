"""Triage: each verdict at its edge, the reason for it, and what is said where no figure can be. Prices are invented."""

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from ninefine.catalog.kinds import Basis
from ninefine.catalog.shelf import load_catalog
from ninefine.errors import Faults, NotFoundError, RangeError
from ninefine.market.exits import exit_from
from ninefine.measure.money import cents
from ninefine.worth.band import read_band
from ninefine.worth.collectors import (
    CollectorExit,
    FlawShares,
    collector_exit_from,
    flaw_shares_from,
    sell,
)
from ninefine.worth.guide import guide_of
from ninefine.worth.piece import Piece, as_metal
from ninefine.worth.read_sheet import sheet_from
from ninefine.worth.span import Grading, Span
from ninefine.worth.triage import TriageRules, triage, triage_total
from ninefine.worth.verdict import Against, Verdict

CATALOG = load_catalog()
DIME = CATALOG.kind("us-dime-mercury")
SPOT = {"XAG": Decimal("32.00")}
SHOP = exit_from({"name": "the shop", "bids": [{"what": "90", "quote": "95% of melt"}]})
CLUB = CollectorExit(name="the club", pct_of_sheet=Decimal(80), minutes=Decimal(5))


def rules(**how: object) -> TriageRules:
    listed = [
        {"kind": DIME.slug, "issue": "1921-D", "grade": "F12", "low": "80", "high": "100"},
        {"kind": DIME.slug, "issue": "1921-D", "grade": "VF20", "low": "160", "high": "180"},
        {"kind": DIME.slug, "grade": "VF20", "low": "8", "high": "10"},
        {"kind": DIME.slug, "grade": "MS60", "low": "16", "high": "18"},
    ]
    sheet = sheet_from({"name": "spring", "on": "2026-06-01", "rows": listed})
    usual = TriageRules(
        guide=guide_of([sheet], today=date(2026, 11, 25)),
        spots=SPOT,
        exits=(SHOP,),
        collectors=(CLUB,),
        threshold=Decimal(4),
        hourly=Decimal(12),
    )
    return replace(usual, **how)  # type: ignore[arg-type]


def piece(band: str, issue: str = "1944-P", **how: object) -> Piece:
    usual = Piece(name="one", kind=DIME, issue=issue, band=read_band(band) if band else None)
    return replace(usual, **how)  # type: ignore[arg-type]


class TestQuarryStreetsFinds:
    """PRACTICE.md, scenario 2 (an invented household): a dime of 2.457 g at 31.50, melt 2.24, nets 47.00 or 38.00."""

    def found(self, collector: CollectorExit, threshold: str) -> Verdict:
        listed = [{"kind": DIME.slug, "issue": "1921-D", "grade": "F12", "low": "60"}]
        sheet = sheet_from({"name": "x", "on": "2026-11-01", "rows": listed})
        scarce = piece("F12", "1921-D", gross_g=Decimal("2.457"))
        asked = rules(
            guide=guide_of([sheet], today=date(2026, 11, 25)),
            spots={"XAG": Decimal("31.50")},
            collectors=(collector,),
            threshold=Decimal(threshold),
        )
        answer = triage(scarce, asked)

        assert (answer.metal.melt, answer.metal.fine.basis) == (Decimal("2.24"), Basis.SCALE)
        assert answer.extra is not None
        self.extra = answer.extra.mid
        return answer.verdict

    def test_a_collector_sale_that_nets_47_brings_44_76_more(self) -> None:
        """60.00 less 10% fee less 7.00 postage is 47.00; 47.00 - 2.24 = 44.76, and 9 x 1.50 makes it 58.26."""
        sale = CollectorExit(name="a sale", fee_pct=Decimal(10), postage=Decimal(7))

        assert self.found(sale, "44.75") is Verdict.PULL
        assert self.extra == Decimal("44.76")
        assert self.extra + 9 * Decimal("1.50") == Decimal("58.26")
        assert self.found(sale, "44.76") is Verdict.HEAP

    def test_the_shop_that_pays_38_brings_35_76_more(self) -> None:
        """(38.00 - 2.24) / 6.5 hours is 5.50 an hour."""
        self.found(CollectorExit(name="the shop", pct_of_sheet=Decimal("63.333333333")), "0")

        assert self.extra == Decimal("35.76")
        assert cents(self.extra / Decimal("6.5")) == Decimal("5.50")


@pytest.mark.parametrize(
    ("threshold", "verdict"),
    [
        # VF20: 8 to 10 by the sheet; the club nets 5.40, 6.20, 7.00; melt is 2.29, so 3.11, 3.91, 4.71 over it
        ("3.10", Verdict.PULL),
        ("3.11", Verdict.KEEP),
        ("4.70", Verdict.KEEP),
        ("4.71", Verdict.HEAP),
    ],
)
def test_pulled_only_past_the_threshold_at_the_low_end_back_only_short_of_it_at_the_high(
    threshold: str, verdict: Verdict
) -> None:
    answer = triage(piece("VF20"), rules(threshold=Decimal(threshold)))

    assert answer.extra == Span(low=Decimal("3.11"), mid=Decimal("3.91"), high=Decimal("4.71"))
    assert answer.verdict is verdict


def test_a_band_on_both_sides_says_from_which_grade_it_pays() -> None:
    """EF40 is sqrt(8 x 16) = 11.31 to sqrt(10 x 18) = 13.42, in the middle 12.37; 9.90 - 1.00 - 2.29 = 6.61."""
    answer = triage(piece("VF20-MS60"), rules(threshold=Decimal(6)))
    single = triage(piece("EF40"), rules(threshold=Decimal(6)))

    assert single.extra is not None
    assert single.extra.mid == Decimal("6.61")
    assert answer.verdict is Verdict.KEEP
    assert str(answer.pays_from) == "EF40"
    assert "That turns on the grade: in the middle it pays from EF40 up." in answer.reason


def test_a_single_grade_on_both_sides_turns_on_the_price() -> None:
    pays = triage(piece("VF20"), rules(threshold=Decimal("3.50")))
    not_yet = triage(piece("VF20"), rules(threshold=Decimal("4.00")))

    assert pays.verdict is not_yet.verdict is Verdict.KEEP
    assert pays.reason.endswith("That turns on the price: the low one does not pay, the middle one does.")
    assert not_yet.reason.endswith("That is not settled: in the middle it does not pay at any grade of its band.")


def test_what_is_wanted_is_kept_whatever_it_brings() -> None:
    answer = triage(piece("F12-VF20", "1921-D", wanted="the set lacks it"), rules())

    assert answer.verdict is Verdict.KEEP
    assert answer.reason.startswith("Wanted: the set lacks it. It would net 103.00 (63.00 to 143.00) by the club")


@pytest.mark.parametrize("band", ["VF20", "MS60"])
def test_a_key_date_is_never_sold_or_put_back_at_a_common_price(band: str) -> None:
    """A sheet that prices only any issue of the kind says nothing of a key date."""
    answer = triage(piece(band, "1916-D", rank="key", look_for="added mint marks"), rules(threshold=Decimal("4.71")))

    assert answer.verdict is Verdict.KEEP
    assert "A key date without a price of its own: look it up before it goes anywhere." in answer.reason
    assert "A key date (added mint marks): check it before believing it." in answer.cautions
    assert triage(piece(band), rules(threshold=Decimal("4.71"))).verdict is not answer.verdict


@pytest.mark.parametrize(
    ("band", "why"),
    [
        ("", "No grade was said"),
        ("cleaned", "No grade was said"),
        ("G4", "spring lists VF20 to MS60 here, and G4 is outside"),
        ("VF20 scratched", "You have set no share for a piece that is scratched"),
        ("VF20 holed", "by your shares such a piece is sold as metal"),
        ("PF65", "as a proof"),
    ],
)
def test_without_a_collectors_price_it_goes_back_and_says_why(band: str, why: str) -> None:
    shares = FlawShares(percent={"holed": Decimal(0), "cleaned": Decimal(50)})
    answer = triage(piece(band), rules(shares=shares))

    assert (answer.verdict, answer.collected, answer.extra) == (Verdict.HEAP, None, None)
    assert why in answer.unpriced
    assert answer.reason == f"It stands at its melt of 2.29. {answer.unpriced}"


def test_flaws_take_their_shares_one_upon_another() -> None:
    """160 to 180 at 50% and at 40%: 32.00 to 36.00."""
    shares = FlawShares(percent={"cleaned": Decimal(50), "scratched": Decimal(40)})
    answer = triage(piece("VF20 cleaned scratched", "1921-D"), rules(shares=shares))

    assert answer.collected is not None
    assert answer.collected.worth == Span(low=Decimal(32), mid=Decimal(34), high=Decimal(36))
    assert answer.collected.share == "cleaned at 50%, scratched at 40%"


def test_a_mounted_piece_is_not_counted_by_its_scale() -> None:
    """The mount weighs too: 0.0715 ozt by the trade at 32.00 is 2.29, whatever the scale says."""
    mounted = triage(piece("VF20 mounted", gross_g=Decimal("5.00")), rules())
    sound = triage(piece("VF20", gross_g=Decimal("5.00")), rules())

    assert (mounted.metal.melt, mounted.metal.fine.basis) == (Decimal("2.29"), Basis.TRADE)
    assert sound.metal.fine.basis is Basis.SCALE
    assert any("mount" in caution for caution in mounted.cautions)


def test_the_best_way_out_is_the_one_that_nets_most_of_those_that_take_it() -> None:
    auction = CollectorExit(name="the auction", pct_of_sheet=Decimal(120), least=Decimal(20))
    cheap = triage(piece("VF20"), rules(collectors=(auction, CLUB)))
    dear = triage(piece("VF20", "1921-D"), rules(collectors=(CLUB, auction)))

    assert cheap.best is not None
    assert dear.best is not None
    assert (cheap.best.exit.name, dear.best.exit.name) == ("the club", "the auction")
    assert "the auction takes no piece that brings less than 20." in cheap.cautions
    assert triage(piece("VF20"), rules(collectors=(auction,))).unpriced == "No way out to collectors takes it."
    assert triage(piece("VF20"), rules(collectors=())).unpriced == "No way out to collectors is set down."


def test_a_way_out_that_takes_it_only_in_the_middle_is_said() -> None:
    """VF20 brings 8 to 10 by the sheet, 9 in the middle."""
    for least, said in (("8", False), ("8.50", True), ("9", True)):
        fussy = CollectorExit(name="the auction", least=Decimal(least))
        answer = triage(piece("VF20"), rules(collectors=(fussy,)))

        assert answer.best is not None
        assert ("At its low end it brings less than the auction takes." in answer.cautions) is said


def test_against_a_bid_it_is_held_against_what_the_shop_pays() -> None:
    """95% of 0.0715 x 32.00 is 2.17; without a buyer it is held against its melt, and says so."""
    by_bid = triage(piece("VF20"), rules(against=Against.BID))
    no_bid = triage(piece("VF20"), rules(against=Against.BID, exits=()))

    assert (by_bid.in_heap.amount, by_bid.in_heap.by) == (Decimal("2.17"), Against.BID)
    assert (no_bid.in_heap.amount, no_bid.in_heap.by) == (Decimal("2.29"), Against.MELT)
    assert "No buyer of metal bids for it, so it is held against its melt." in no_bid.cautions


def test_a_bid_for_one_more_piece_leaves_out_what_the_heap_pays_anyway() -> None:
    """A refiner at 95% of assay, 0.30 a gross ozt (75.00 at least), 48.00 freight; a dime of 2.5 g, spot 32.

    The dime counts 0.0715 ozt by trade: 2.288 goods, rounded 2.29, less 5% 0.11, less 0.30 x 0.0715/0.9 = 0.02: 2.16.
    """
    refiner = exit_from(
        {
            "name": "refiner",
            "bids": [{"what": "silver", "quote": "spot"}],
            "payable_pct": "95",
            "treatment": {"per_gross_ozt": "0.30", "minimum": "75"},
            "costs": "48",
            "minimum": "100 ozt",
        }
    )
    found = as_metal(piece("VF20"), [refiner, SHOP], SPOT)

    assert [(bid.exit.name, bid.net) for bid in found.bids] == [
        ("the shop", Decimal("2.17")),
        ("refiner", Decimal("2.16")),
    ]


def test_a_piece_without_silver_stands_at_its_face() -> None:
    clad = Piece(name="one", kind=CATALOG.kind("us-quarter-clad"), issue="1965-P", band=read_band("AU"))
    answer = triage(clad, rules())

    assert (answer.in_heap.amount, answer.in_heap.by, answer.verdict) == (Decimal("0.25"), Against.FACE, Verdict.HEAP)
    assert answer.metal.bids == ()


def test_without_a_price_of_the_metal_nothing_is_triaged() -> None:
    with pytest.raises(RangeError, match="no price of silver"):
        triage(piece("VF20"), rules(spots={}))


def test_a_stale_sheet_and_its_note_are_said_at_every_piece() -> None:
    sheet = sheet_from(
        {
            "name": "old",
            "on": "2020-01-01",
            "note": "invented",
            "rows": [{"kind": DIME.slug, "grade": "VF20", "low": "9"}],
        }
    )
    answer = triage(piece("VF20"), rules(guide=guide_of([sheet], today=date(2026, 11, 25))))

    assert any("days old; your limit is 365 days" in caution for caution in answer.cautions)
    assert "old: invented" in answer.cautions


def test_a_sale_is_its_lines() -> None:
    """100.00 at 90% is 90.00; 13% of that 11.70; 0.40, 5.00 and 15 minutes at 12.00 an hour: 69.90."""
    way = CollectorExit(
        name="online",
        pct_of_sheet=Decimal(90),
        fee_pct=Decimal(13),
        fee=Decimal("0.40"),
        postage=Decimal(5),
        minutes=Decimal(15),
    )
    sale = sell(way, Span.of(Decimal(100), Decimal(100)), hourly=Decimal(12))

    assert [(line.words, line.amount.mid) for line in sale.lines] == [
        ("90% of the sheet's price", Decimal("90.00")),
        ("13% fee", Decimal("-11.70")),
        ("fee", Decimal("-0.40")),
        ("postage", Decimal(-5)),
        ("15 minutes at 12 an hour", Decimal("-3.00")),
    ]
    assert sale.net.mid == sum(line.amount.mid for line in sale.lines) == Decimal("69.90")


def test_totals_are_of_what_is_pulled() -> None:
    answers = [
        triage(piece("VF20", "1921-D"), rules()),
        triage(piece("F12", "1921-D"), rules()),
        triage(piece("VF20"), rules()),
        triage(piece("G4"), rules()),
    ]
    together, apart = triage_total(answers), triage_total(answers, Grading.APART)

    assert dict(together.pieces) == {Verdict.KEEP: 1, Verdict.PULL: 2, Verdict.HEAP: 1}
    assert together.in_heap == Decimal("4.58")
    # the club nets 127, 135, 143 and 63, 71, 79
    assert together.net == Span(low=Decimal(190), mid=Decimal(206), high=Decimal(222))
    assert together.extra.mid == Decimal("201.42")
    # 206 less and more the square root of 8 x 8 + 8 x 8, 11.3137
    assert (apart.net.low, apart.net.high) == (Decimal("194.69"), Decimal("217.31"))
    assert together.minutes == Decimal(10)


def test_the_persons_tables_read_back_from_plain_values() -> None:
    row = {"name": "online", "pct_of_sheet": "95", "fee_pct": "13", "fee": "0.40", "postage": "5", "days": "14"}
    shares = {"cleaned": "50%", "holed": "metal", "mounted": "30"}

    way = collector_exit_from(row)
    assert collector_exit_from(way.as_dict()) == way
    assert (way.pct_of_sheet, way.days) == (Decimal(95), 14)
    read = flaw_shares_from(shares)
    assert flaw_shares_from(read.as_dict()) == read
    assert read.percent == {"cleaned": Decimal(50), "holed": Decimal(0), "mounted": Decimal(30)}
    assert collector_exit_from({"name": "club"}).pct_of_sheet == Decimal(100)


def test_the_persons_tables_give_every_fault_at_its_field() -> None:
    with pytest.raises(Faults) as way:
        collector_exit_from({"fee_pct": "120", "postage": "-1", "colour": "red"})
    with pytest.raises(Faults) as shares:
        flaw_shares_from({"cleaned": "150", "holed": "gold", "shiny": "50"})

    assert {fault.where for fault in way.value.faults} == {"name", "fee_pct", "postage", "colour"}
    assert {fault.where for fault in shares.value.faults} == {"cleaned", "holed", "shiny"}


def test_a_flaw_without_a_share_offers_what_to_set() -> None:
    with pytest.raises(NotFoundError) as caught:
        FlawShares(percent={}).share(read_band("VF bent"))

    assert caught.value.instead == ("bent = 50", "bent = metal")
