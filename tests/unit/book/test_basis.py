"""Choosing what to sell."""

from datetime import date
from decimal import Decimal

import pytest

from ninefine.book.basis import SoldPart, basis_per_face, chosen, first_in_first_out, highest_basis_first
from ninefine.book.entries import Bought, Entry
from ninefine.book.holdings import Heap, Holdings, Lot
from ninefine.errors import BookError, NotEnoughError
from short_entries import DIME, amount, bought, bought_line, held, ref, row, sold, sorted_out


def anything(_: Lot, __: Heap) -> bool:
    return True


def shown(parts: list[SoldPart]) -> list[tuple[str, int | None, Decimal | None, Decimal]]:
    return [(part.heap.lot, part.amount.count, part.amount.face, part.basis) for part in parts]


def shares(*purchases: tuple[str, date, int, str]) -> list[Entry]:
    """Purchases of a number of pieces at a price for each."""
    return [
        bought(lot, str(Decimal(price) * count), on=on, count=count, kind="round-1oz")
        for lot, on, count, price in purchases
    ]


class TestAgainstPrintedExamples:
    """The arithmetic of identified and earliest-first sales is that of shares; the figures are printed ones."""

    def test_130_of_three_lots_after_a_gift_of_50(self) -> None:
        """IRS Publication 550/551, identifying stock sold (from memory; arithmetic checked): 50 x 10 + 80 x 11."""
        lots = shares(
            ("lot 1", date(2020, 1, 1), 100, "10"),
            ("lot 2", date(2021, 1, 1), 200, "11"),
            ("lot 3", date(2022, 1, 1), 100, "9"),
        )
        holdings = held(*lots, sold(ref("lot 1", "round-1oz"), on=date(2021, 6, 1), count=50))

        parts = first_in_first_out(holdings, anything, amount(130))

        assert holdings.disposals[0].basis == 500
        assert shown(parts) == [("lot 1", 50, None, Decimal(500)), ("lot 2", 80, None, Decimal(880))]

    def test_a_named_lot_loses_where_the_earliest_would_gain(self) -> None:
        """J. K. Lasser's Your Income Tax 2013, section 30.2: sold at 90, the third lot named: -1,500 (printed)."""
        holdings = held(
            *shares(
                ("first", date(2008, 1, 1), 100, "77"),
                ("second", date(2009, 1, 1), 200, "84"),
                ("third", date(2010, 1, 1), 100, "105"),
            )
        )
        named = chosen(holdings, [(ref("third", "round-1oz"), None)])
        unnamed = first_in_first_out(holdings, anything, amount(100))

        assert [9000 - sum(part.basis for part in parts) for parts in (named, unnamed)] == [-1500, 1300]

    def test_either_lot_of_a_thousand(self) -> None:
        """An investor education column of 18 August 2000: sold at 32, the first lot +17,000, the second -3,000."""
        holdings = held(*shares(("first", date(1998, 1, 1), 1000, "15"), ("second", date(1999, 1, 1), 1000, "35")))
        picks = [chosen(holdings, [(ref(lot, "round-1oz"), None)]) for lot in ("first", "second")]

        assert [32000 - parts[0].basis for parts in picks] == [17000, -3000]

    def test_commissions_on_both_sides(self) -> None:
        """An investor education article of 22 April 2014: basis 15,025, proceeds 20,975, gain 5,950."""
        purchase = bought("L1", "15000", count=1000, other_costs={"commission": "25"})
        (disposal,) = held(purchase, sold(ref("L1"), "21000", fees="25")).disposals

        assert (disposal.basis, disposal.gain) == (Decimal(15025), Decimal(5950))

    def test_part_of_a_larger_purchase_apportioned_by_value(self) -> None:
        """26 CFR 1.61-6(a), examples 2 and 1.

        25,000 for two parts worth 15,000 and 10,000 apportions as those; 10,000 for 20 equal lots leaves 500 with each.
        """
        two = sorted_out(ref("L1"), row("1964", "15000", count=1), row("1921-D", "10000", count=1))
        tract = sorted_out(ref("L2"), *(row(str(1900 + year), count=1) for year in range(20)))
        holdings = held(bought("L1", "25000", count=2), bought("L2", "10000", count=20), two, tract)

        assert [heap.basis for heap in holdings.lots["L1"].heaps] == [15000, 10000]
        assert {heap.basis for heap in holdings.lots["L2"].heaps} == {Decimal(500)}


class TestPicking:
    def test_of_one_date_the_lot_that_came_first_goes_first(self) -> None:
        lines = (bought_line("B", "10", face="1"), bought_line("A", "10", face="1"))
        holdings = held(Bought(on=date(2026, 1, 2), lines=lines))

        assert [part.heap.lot for part in first_in_first_out(holdings, anything, amount(face="2"))] == ["B", "A"]

    def test_counted_heaps_give_whole_pieces_and_others_make_up_the_rest(self) -> None:
        """1.25 of halves and dimes: one half of the first lot's two, and the rest in the next lot's quarters."""
        holdings = held(
            bought("halves", "20", kind="us-half-90", count=3, face="1.50", on=date(2026, 1, 1)),
            bought("quarters", "20", kind="us-quarter-90", count=8, face="2", on=date(2026, 1, 2)),
        )

        assert shown(first_in_first_out(holdings, anything, amount(face="1.25"))) == [
            ("halves", 2, Decimal("1.0"), Decimal("13.33")),
            ("quarters", 1, Decimal("0.25"), Decimal("2.50")),
        ]

    def test_only_wanted_heaps_with_the_measure_are_picked_and_none_on_its_way(self) -> None:
        holdings = held(
            bought("by weight", gross_g="100", on=date(2025, 1, 1)),
            bought("coming", face="5", arrived=False, on=date(2025, 1, 2)),
            bought("other", face="5", kind="us-half-90", on=date(2025, 1, 3)),
            bought("wanted", face="5", on=date(2025, 1, 4)),
        )

        parts = first_in_first_out(holdings, lambda _, heap: heap.kind == DIME, amount(face="5"))

        assert [part.heap.lot for part in parts] == ["wanted"]

    def test_the_dearest_by_the_measure_goes_first_and_of_equals_the_earliest(self) -> None:
        holdings = held(
            bought("late", "20", face="1", on=date(2026, 1, 3)),
            bought("early", "20", face="1", on=date(2026, 1, 1)),
            bought("dear", "30", face="1.4", on=date(2026, 1, 2)),
        )

        parts = highest_basis_first(holdings, anything, amount(face="3.4"))

        assert [part.heap.lot for part in parts] == ["dear", "early", "late"]

    def test_too_little_is_said_with_what_there_is(self) -> None:
        with pytest.raises(NotEnoughError, match="What may be picked holds 10 pieces; 11 pieces was asked"):
            first_in_first_out(held(bought("L1", count=10)), anything, amount(11))
        with pytest.raises(NotEnoughError, match="holds nothing in that measure"):
            first_in_first_out(held(bought("L1", count=10)), anything, amount(gross_g="1"))

    def test_one_measure_is_asked_for(self) -> None:
        with pytest.raises(BookError, match="in one measure, not 1 piece, 1 face"):
            first_in_first_out(held(bought("L1")), anything, amount(1, "1"))

    @pytest.mark.parametrize(
        ("picks", "sentence"),
        [
            ([(ref("L9"), None)], "Lot L9 holds no us-dime-90"),
            ([(ref("L1", issue="1964"), None)], "Lot L1 holds no us-dime-90 1964"),
            ([(ref("L1"), amount(1)), (ref("L1"), amount(1))], "picked twice"),
            ([(ref("L2"), None)], "still on its way"),
            ([(ref("L1"), amount(11))], "holds 10 pieces; 11 pieces"),
        ],
    )
    def test_what_cannot_be_chosen_is_refused(self, picks: list[tuple[object, object]], sentence: str) -> None:
        holdings: Holdings = held(bought("L1"), bought("L2", arrived=False))
        with pytest.raises(BookError, match=sentence):
            chosen(holdings, picks)  # type: ignore[arg-type]

    def test_a_pick_carries_the_basis_that_its_sale_will(self) -> None:
        entries = [bought("L1", "100", count=3)]
        (part,) = first_in_first_out(held(*entries), anything, amount(2))
        (disposal,) = held(*entries, sold(part.heap.ref, count=part.amount.count)).disposals

        assert part.basis == disposal.basis == Decimal("66.67")

    def test_basis_per_face_dollar_is_of_what_is_held(self) -> None:
        lots = held(bought("L1", "224", face="10"), sold(ref("L1"), face="4"), bought("L2", count=1)).lots

        assert basis_per_face(lots["L1"]) == Decimal("22.4")
        assert basis_per_face(lots["L2"]) is None
