"""Silver coming in: purchases, countings, credits."""

from datetime import date
from decimal import Decimal

import pytest

from ninefine.book.entries import Bought, Credited, Entry, Moved, Received, ReceivedLine, Sold, Sorted, Weighed
from ninefine.errors import BookError
from short_entries import (
    DAY,
    DIME,
    amount,
    bought,
    bought_line,
    credited,
    held,
    lot_of,
    moved,
    only_heap,
    received,
    ref,
    row,
    sold,
    sorted_out,
    weighed,
)


def three_lines(**costs: str) -> Bought:
    lines = (
        bought_line("L1", "100.00", count=1),
        bought_line("L2", "100.00", count=1),
        bought_line("L3", "100.00", count=1),
    )
    return Bought(on=DAY, lines=lines, other_costs={name: Decimal(value) for name, value in costs.items()})


class TestBought:
    def test_a_purchase_makes_a_lot_of_one_heap_at_its_place(self) -> None:
        holdings = held(bought("L1", "224.00", count=100, face="10", place="A1", issue="1964-D"))

        lot, heap = lot_of(holdings), only_heap(holdings)
        assert (lot.cost, lot.acquired, lot.kind, lot.serial) == (Decimal(224), DAY, DIME, 1)
        assert (heap.count, heap.face, heap.basis) == (100, Decimal(10), Decimal(224))
        assert heap.ref == ref("L1", DIME, "1964-D", "A1")

    def test_other_costs_are_spread_by_price_with_the_odd_cent_on_the_largest_line(self) -> None:
        """10.00 over three equal lines: 3.34, 3.33, 3.33, the first of equals taking the cent."""
        holdings = held(three_lines(carriage="8.00", tax="2.00"))

        assert [lot.cost for lot in holdings.lots.values()] == [Decimal(x) for x in ("103.34", "103.33", "103.33")]

    def test_a_rebate_among_the_other_costs_lowers_every_line(self) -> None:
        holdings = held(three_lines(rebate="-9.00"))

        assert {lot.cost for lot in holdings.lots.values()} == {Decimal("97.00")}

    def test_costs_of_a_gift_are_spread_evenly_where_no_line_has_a_price(self) -> None:
        lines = (bought_line("L1", "0", count=1), bought_line("L2", "0", count=1))
        holdings = held(Bought(on=DAY, lines=lines, other_costs={"carriage": Decimal("5.01")}))

        assert [lot.cost for lot in holdings.lots.values()] == [Decimal("2.50"), Decimal("2.51")]

    def test_a_price_with_more_digits_is_rounded_half_up_as_an_invoice_line(self) -> None:
        assert lot_of(held(bought("L1", "10.005"))).cost == Decimal("10.01")
        assert lot_of(held(bought("L1", "1000.5"), currency="JPY")).cost == Decimal(1001)

    def test_a_name_that_is_taken_is_refused_with_a_free_one(self) -> None:
        with pytest.raises(BookError, match=r"already a lot 'L1'. Try: L1-3"):
            held(bought("L1"), bought("L1-2"), bought("L1"))

    def test_the_name_of_a_lot_that_was_sold_stays_taken(self) -> None:
        with pytest.raises(BookError, match="already a lot 'L1'"):
            held(bought("L1"), sold(ref("L1")), bought("L1"))

    def test_two_lines_of_one_purchase_are_two_lots(self) -> None:
        with pytest.raises(BookError, match="already a lot 'L1'"):
            held(Bought(on=DAY, lines=(bought_line("L1", "1", count=1), bought_line("L1", "1", count=1))))


class TestReceived:
    def test_the_counted_amount_replaces_the_ordered_one_and_the_cost_stays(self) -> None:
        holdings = held(
            bought("L1", "560.00", face="250", arrived=False),
            received("L1", on=date(2026, 3, 9), face="248.05", place="B2", claim="4.40"),
        )

        lot, heap = lot_of(holdings), only_heap(holdings)
        assert (lot.ordered, lot.awaited, lot.received) == (amount(face="250"), False, date(2026, 3, 9))
        assert (lot.cost, lot.claim) == (Decimal(560), Decimal("4.40"))
        assert (heap.face, heap.place, heap.basis) == (Decimal("248.05"), "B2", Decimal(560))

    def test_more_may_come_than_was_ordered(self) -> None:
        assert only_heap(held(bought("L1", count=10, arrived=False), received("L1", count=11))).count == 11

    def test_what_came_without_a_place_stays_where_it_was_bought_to(self) -> None:
        assert only_heap(held(bought("L1", place="A1", arrived=False), received("L1", count=9))).place == "A1"

    def test_a_claim_on_several_lots_is_spread_by_cost(self) -> None:
        lines = tuple(ReceivedLine(lot=lot, amount=amount(1)) for lot in ("L1", "L2"))
        holdings = held(bought("L1", "300"), bought("L2", "100"), Received(on=DAY, lines=lines, claim=Decimal(8)))

        assert [lot.claim for lot in holdings.lots.values()] == [Decimal(6), Decimal(2)]

    def test_a_second_counting_replaces_the_first_with_its_claim(self) -> None:
        holdings = held(bought("L1"), received("L1", count=8, claim="20"), received("L1", count=9, claim="10"))

        assert (only_heap(holdings).count, lot_of(holdings).claim) == (9, Decimal(10))

    @pytest.mark.parametrize("lot", ["sorted", "split", "sold from"])
    def test_a_lot_that_was_changed_cannot_be_counted_as_a_whole(self, lot: str) -> None:
        changes: dict[str, Entry] = {
            "sorted": sorted_out(ref("L1"), row("1964", count=10)),
            "split": moved(ref("L1"), "B2", count=5),
            "sold from": sold(ref("L1"), count=5),
        }

        with pytest.raises(BookError, match="Lot L1 was already sorted, split or sold from"):
            held(bought("L1"), changes[lot], received("L1", count=10))

    def test_a_lot_that_was_only_weighed_or_moved_whole_can_still_be_counted(self) -> None:
        holdings = held(bought("L1"), weighed(ref("L1"), "25"), moved(ref("L1"), "B2"), received("L1", count=9))

        assert only_heap(holdings).amount == amount(9)

    def test_a_lot_is_counted_once_in_an_entry(self) -> None:
        line = ReceivedLine(lot="L1", amount=amount(1))
        with pytest.raises(BookError, match="Lot L1 is counted twice"):
            held(bought("L1"), Received(on=DAY, lines=(line, line)))

    def test_an_unknown_lot_is_refused_with_near_names(self) -> None:
        with pytest.raises(BookError, match=r"no lot 'harbour-1' on that date. Try: harbor-1"):
            held(bought("harbor-1"), received("harbour-1", count=1))

    @pytest.mark.parametrize(
        "entry",
        [
            sold(ref("L1")),
            moved(ref("L1"), "B2"),
            weighed(ref("L1"), "5"),
            sorted_out(ref("L1"), row("1964", count=10)),
        ],
    )
    def test_goods_on_their_way_are_received_first(self, entry: Sold | Moved | Weighed | Sorted) -> None:
        with pytest.raises(BookError, match=r"Lot L1 is still on its way\. Say first that it was received"):
            held(bought("L1", arrived=False), entry)


class TestCredited:
    def test_cost_basis_and_claim_fall(self) -> None:
        holdings = held(bought("L1", "100"), received("L1", count=9, claim="10"), credited("6.50", "L1"))

        lot = lot_of(holdings)
        assert (lot.cost, only_heap(holdings).basis, lot.claim) == (Decimal("93.50"), Decimal("93.50"), Decimal("3.50"))

    def test_a_credit_beyond_the_claim_leaves_no_claim(self) -> None:
        assert lot_of(held(bought("L1"), received("L1", count=9, claim="5"), credited("6", "L1"))).claim == 0

    def test_a_credit_is_spread_by_the_basis_that_is_held(self) -> None:
        holdings = held(
            bought("L1", "300"), bought("L2", "100"), sold(ref("L1"), count=5, on=DAY), credited("25", "L1", "L2")
        )

        assert [lot.cost for lot in holdings.lots.values()] == [Decimal(285), Decimal(90)]
        assert holdings.disposals[0].basis == Decimal(150)

    def test_a_credit_of_more_than_is_held_is_refused(self) -> None:
        with pytest.raises(BookError, match=r"A credit of 50.01 is more than the basis still held of L1: 50"):
            held(bought("L1", "100"), sold(ref("L1"), count=5), credited("50.01", "L1"))

    def test_a_lot_is_named_once(self) -> None:
        with pytest.raises(BookError, match="named twice"):
            held(bought("L1"), Credited(on=DAY, lots=("L1", "L1"), amount=Decimal(1)))

    def test_goods_on_their_way_may_be_credited(self) -> None:
        assert lot_of(held(bought("L1", "100", arrived=False), credited("3", "L1"))).cost == 97
