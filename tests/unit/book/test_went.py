"""Silver that left otherwise than sold: swaps, losses, the refiner's melt."""

from datetime import date
from decimal import Decimal
from typing import Any

import pytest

from ninefine.book.entries import Lost, LostLine, Refined, RefinedLine, Swapped, SwappedIn, SwappedOut
from ninefine.book.how import How, Left
from ninefine.errors import BookError, NotEnoughError
from short_entries import (
    DAY,
    amount,
    bought,
    held,
    lost,
    lot_of,
    only_heap,
    received,
    ref,
    refined,
    sold,
    swapped,
)

D = Decimal


class TestSwaps:
    """What went leaves for its value, what came costs its own; the cash makes up the rest."""

    def test_both_sides_are_booked_at_what_they_counted_for(self) -> None:
        holdings = held(bought("L1", "100"), swapped(ref("L1"), "240", "R1", cash="15"))

        (disposal,) = holdings.disposals
        assert (disposal.left, disposal.proceeds, disposal.gain, disposal.buyer) == (
            Left.SWAPPED,
            D(240),
            D(140),
            "the club",
        )
        lot = lot_of(holdings, "R1")
        assert (lot.cost, lot.acquired, lot.how, lot.seller) == (D(225), DAY, How.SWAPPED, "the club")
        assert lot_of(holdings).heaps == ()

    def test_carriage_is_part_of_what_came(self) -> None:
        lot = lot_of(held(bought("L1"), swapped(ref("L1"), "240", "R1", cash="-10", costs="8")), "R1")

        assert lot.cost == 258

    def test_sides_that_do_not_balance_are_refused(self) -> None:
        line = SwappedIn(lot="R1", kind="round-1oz", amount=amount(1), value=D(30))
        out = SwappedOut(heap=ref("L1"), value=D(40))

        with pytest.raises(BookError, match="worth what came and the cash together"):
            Swapped(on=DAY, out=(out,), into=(line,), cash=D("9.99"))
        with pytest.raises(BookError, match="other_costs must not take the whole below zero"):
            Swapped(on=DAY, out=(out,), into=(line,), cash=D(10), other_costs={"rebate": D(-31)})

    def test_what_came_of_a_swap_can_be_sold_and_what_was_not_held_cannot_go(self) -> None:
        entries = (bought("L1"), swapped(ref("L1"), "240", "R1"))
        holdings = held(*entries, sold(ref("R1", kind="round-1oz"), "250"))

        assert [one.gain for one in holdings.disposals] == [140, 10]
        with pytest.raises(BookError, match="holds no us-dime-90"):
            held(*entries, swapped(ref("L1"), "240", "R2"))


class TestLosses:
    """Gone without a sale: the basis goes, and nothing comes for it but what was paid all the same."""

    @pytest.mark.parametrize("why", ["lost", "stolen", "destroyed", "given away"])
    def test_part_of_a_heap_goes_with_its_basis(self, why: str) -> None:
        holdings = held(bought("L1", "100", count=10), lost(ref("L1"), why, count=4))

        (disposal,) = holdings.disposals
        assert (disposal.left.value, disposal.basis, disposal.proceeds) == (why, D(40), D(0))
        assert not disposal.left.for_money
        assert disposal.gain == (None if why == "given away" else -40)
        assert (only_heap(holdings).count, only_heap(holdings).basis) == (6, D(60))

    def test_what_an_insurer_paid_is_proceeds(self) -> None:
        (disposal,) = held(bought("L1", "100"), lost(ref("L1"), "stolen", paid="130")).disposals

        assert disposal.gain == 30

    def test_a_gift_to_somebody_cannot_be_paid_for(self) -> None:
        line = LostLine(heap=ref("L1"), paid=D(1))
        with pytest.raises(BookError, match="what was paid for was sold"):
            Lost(on=DAY, why="given away", lines=(line,))

    def test_a_parcel_may_be_lost_on_its_way_and_is_awaited_no_more(self) -> None:
        on_its_way = bought("L1", "100", arrived=False)
        holdings = held(on_its_way, lost(ref("L1")))

        assert not lot_of(holdings).awaited
        with pytest.raises(BookError, match="already sorted, split or sold from"):
            held(on_its_way, lost(ref("L1")), received("L1", count=10))
        with pytest.raises(BookError, match="still on its way"):
            held(on_its_way, lost(ref("L1"), "given away"))

    def test_part_of_a_parcel_lost_leaves_the_rest_awaited(self) -> None:
        holdings = held(bought("L1", "100", arrived=False), lost(ref("L1"), count=4))

        assert (lot_of(holdings).awaited, only_heap(holdings).count) == (True, 6)

    def test_more_than_is_held_cannot_be_lost(self) -> None:
        with pytest.raises(NotEnoughError):
            held(bought("L1", count=3), lost(ref("L1"), count=4))


class TestMelts:
    """The refiner's proceeds are shared by weight, his fees by proceeds, to the cent."""

    def test_a_settlement_is_shared_over_the_heaps(self) -> None:
        holdings = held(
            bought("L1", "100"),
            bought("L2", "50"),
            refined((ref("L1"), "2"), (ref("L2"), "1"), proceeds="200", fees="10.01"),
        )

        assert [one.proceeds for one in holdings.disposals] == [D("133.33"), D("66.67")]
        assert [one.fees for one in holdings.disposals] == [D("6.67"), D("3.34")]
        assert {one.left for one in holdings.disposals} == {Left.REFINED}
        assert sum(one.net for one in holdings.disposals) == D("189.99")

    def test_fees_may_be_more_than_what_came_of_it(self) -> None:
        (disposal,) = held(bought("L1", "100"), refined((ref("L1"), "1"), proceeds="20", fees="35")).disposals

        assert (disposal.net, disposal.gain) == (D(-15), D(-115))

    @pytest.mark.parametrize(
        ("field", "value", "sentence"),
        [
            ("assay", "1.001", "assay must be parts of one"),
            ("assay", "0", "assay must be more than zero"),
            ("payable_pct", "100.5", "a hundred per cent at most"),
            ("gross_g", "-1", "gross_g must be more than zero"),
            ("proceeds", "-1", "proceeds must be zero or more"),
        ],
    )
    def test_a_statement_that_cannot_be_is_refused(self, field: str, value: str, sentence: str) -> None:
        line = RefinedLine(heap=ref("L1"), weight=D(1))
        said: dict[str, Any] = {"proceeds": D(1), field: D(value)}
        with pytest.raises(BookError, match=sentence):
            Refined(on=DAY, lines=(line,), **said)

    def test_weights_and_fees_that_cannot_be_are_refused(self) -> None:
        with pytest.raises(BookError, match="at least one line must have a weight"):
            Refined(on=DAY, lines=(RefinedLine(heap=ref("L1"), weight=D(0)),), proceeds=D(1))
        with pytest.raises(BookError, match="weight must be zero or more"):
            RefinedLine(heap=ref("L1"), weight=D(-1))
        line = RefinedLine(heap=ref("L1"), weight=D(1))
        with pytest.raises(BookError, match="fees must not take the whole below zero"):
            Refined(on=date(2026, 1, 1), lines=(line,), proceeds=D(1), fees={"rebate": D(-1)})
