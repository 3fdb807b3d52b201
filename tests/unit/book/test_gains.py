"""A year's gains: what stands in the table, what stands apart, and what nobody knows."""

from datetime import date
from decimal import Decimal

from ninefine.book.entries import Entry
from ninefine.book.gains import GainRow, acquired_words, gain_row, totals, year_gains, years
from ninefine.book.term import Term
from short_entries import (
    DAY,
    bought,
    given,
    held,
    inherited,
    lost,
    opened,
    ref,
    refined,
    sold,
    swapped,
    used,
)

D = Decimal
NEXT_YEAR = date(2027, 5, 1)


def row_of(*entries: Entry) -> GainRow:
    (disposal,) = held(*entries).disposals
    return gain_row(disposal)


def test_what_was_exchanged_for_money_or_goods_is_in_the_table_and_the_rest_stands_apart() -> None:
    holdings = held(
        bought("L1", "100", count=10),
        sold(ref("L1"), "30", count=1),
        swapped(ref("L1"), "200", "R1"),
        refined((ref("R1", "round-1oz"), "1"), proceeds="190", fees="5"),
        bought("L2", "100", count=10),
        lost(ref("L2"), "stolen", count=2),
        lost(ref("L2"), "given away", count=3),
    )

    found = year_gains(holdings.disposals, 2026)

    assert [row.gain for row in found.sold] == [D(20), D(110), D(-15)]
    assert [(row.disposal.left.value, row.basis, row.gain) for row in found.apart] == [
        ("stolen", D(20), D(-20)),
        ("given away", D(30), D(-30)),
    ]
    assert totals(found.sold).gain == 115


def test_a_year_holds_its_own_disposals_and_years_are_listed_latest_first() -> None:
    holdings = held(
        bought("L1", count=10), sold(ref("L1"), "30", count=1), sold(ref("L1"), "40", count=2, on=NEXT_YEAR)
    )

    assert [row.disposal.amount.count for row in year_gains(holdings.disposals, 2027).sold] == [2]
    assert year_gains(holdings.disposals, 2028).sold == ()
    assert years(holdings.disposals) == (2027, 2026)


def test_short_and_long_are_told_apart_and_so_is_what_nobody_knows() -> None:
    holdings = held(
        bought("L1", "10", count=1),
        opened("L2", "10", count=1),
        bought("L3", "10", count=1, on=date(2020, 1, 1)),
        *[sold(ref(lot), "12", on=date(2026, 9, 1)) for lot in ("L1", "L2", "L3")],
    )
    found = year_gains(holdings.disposals, 2026)

    assert [row.disposal.lot for row in found.of_term(Term.SHORT)] == ["L1"]
    assert [row.disposal.lot for row in found.of_term(Term.UNKNOWN)] == ["L2"]
    assert [row.disposal.lot for row in found.of_term(Term.LONG)] == ["L3"]


def test_what_nobody_knows_the_cost_of_is_counted_and_in_no_sum() -> None:
    holdings = held(opened("L1", None), bought("L2", "10", count=1), sold(ref("L1"), "90"), sold(ref("L2"), "12"))

    found = year_gains(holdings.disposals, 2026)
    whole = totals(found.sold)

    assert (found.sold[0].basis, found.sold[0].gain, found.sold[0].note) == (None, None, "nobody knows what it cost")
    assert (whole.net, whole.basis, whole.gain, whole.rows, whole.untold) == (D(12), D(10), D(2), 1, 1)


def test_a_loss_on_what_served_the_household_is_added_back_and_a_gain_is_not() -> None:
    """Losses on personal-use property are not deductible (IRS Publication 544, from memory)."""
    spoons = (bought("L1", "100", count=10), used("L1"))
    loss, gain = row_of(*spoons, sold(ref("L1"), "60")), row_of(*spoons, sold(ref("L1"), "160"))

    assert (loss.net, loss.basis, loss.adjustment, loss.gain) == (D(60), D(100), D(40), D(0))
    assert "is not counted" in loss.note
    assert (gain.adjustment, gain.gain, gain.note) == (D(0), D(60), "")
    assert year_gains([loss.disposal], 2026).own_use == (loss,)


def test_an_average_takes_the_place_of_the_lots_own_cost() -> None:
    holdings = held(bought("L1", "10", count=1), opened("L2", None), sold(ref("L1"), "30"), sold(ref("L2"), "30"))

    found = year_gains(holdings.disposals, 2026, averaged={0: D(18)})

    assert [(row.basis, row.gain, row.note) for row in found.sold] == [
        (D(18), D(12), "average cost"),
        (None, None, "nobody knows what it cost"),
    ]


def test_a_date_of_acquisition_as_a_form_takes_it() -> None:
    lots = held(bought("L1"), opened("L2", "1"), inherited("L3", "1", died=DAY), given("L4", "1")).lots

    words = [acquired_words(lot.origin) for lot in lots.values()]

    assert words == ["2026-03-02", "not known", "INHERITED", "not known"]


def test_the_columns_add_up_in_every_row() -> None:
    """Proceeds less basis plus adjustment is the gain: U.S. Form 8949, column (h) = (d) - (e) + (g), from memory."""
    entries = (bought("L1", "100", count=10), used("L1"), given("L2", "100", "70"), bought("L3", "50"))
    sales = (sold(ref("L1"), "60", fees="3"), sold(ref("L2"), "80", fees="1"), sold(ref("L3"), "90", fees="2"))
    found = year_gains(held(*entries, *sales).disposals, 2026)

    for row in found.sold:
        assert row.gain == row.net - (row.basis or 0) + row.adjustment
    assert [row.gain for row in found.sold] == [D(0), D(0), D(38)]
