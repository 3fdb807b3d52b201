"""Silver that leaves: sales, with their basis and fees."""

from datetime import date
from decimal import Decimal

import pytest

from ninefine.book.entries import Sold, SoldLine
from ninefine.errors import BookError, NotEnoughError
from short_entries import DAY, amount, bought, held, lot_of, only_heap, ref, row, sold, sorted_out


def test_what_is_sold_leaves_with_its_share_of_basis() -> None:
    holdings = held(bought("L1", "100", count=3), sold(ref("L1"), "50", count=1, fees="2"))

    (disposal,) = holdings.disposals
    assert (disposal.amount, disposal.basis, disposal.gain) == (amount(1), Decimal("33.33"), Decimal("14.67"))
    assert (only_heap(holdings).count, only_heap(holdings).basis) == (2, Decimal("66.67"))


def test_the_last_piece_takes_the_exact_rest() -> None:
    holdings = held(bought("L1", "100", count=3), *[sold(ref("L1"), count=1)] * 3)

    assert [disposal.basis for disposal in holdings.disposals] == [Decimal("33.33"), Decimal("33.34"), Decimal("33.33")]
    assert sum(disposal.basis for disposal in holdings.disposals) == 100
    assert lot_of(holdings).heaps == ()


def test_a_lot_that_was_sold_out_is_still_in_the_book_with_its_cost() -> None:
    lot = lot_of(held(bought("L1", "100"), sold(ref("L1"))))

    assert (lot.heaps, lot.cost) == ((), Decimal(100))


def test_fees_are_spread_by_proceeds() -> None:
    lines = (
        SoldLine(heap=ref("L1"), proceeds=Decimal(30)),
        SoldLine(heap=ref("L2"), proceeds=Decimal(10)),
    )
    entry = Sold(on=DAY, lines=lines, fees=Decimal("1.01"), buyer="Quay Coin", exit="shop", rule="earliest first")
    holdings = held(bought("L1"), bought("L2"), entry)

    assert [disposal.fees for disposal in holdings.disposals] == [Decimal("0.76"), Decimal("0.25")]
    first = holdings.disposals[0]
    assert (first.buyer, first.exit, first.rule, first.acquired) == ("Quay Coin", "shop", "earliest first", DAY)


def test_fees_of_what_brought_nothing_are_spread_evenly() -> None:
    lines = (SoldLine(heap=ref("L1"), proceeds=Decimal(0)), SoldLine(heap=ref("L2"), proceeds=Decimal(0)))
    holdings = held(bought("L1"), bought("L2"), Sold(on=DAY, lines=lines, fees=Decimal(3)))

    assert [disposal.gain for disposal in holdings.disposals] == [Decimal("-101.50"), Decimal("-101.50")]


def test_a_loss_is_a_loss() -> None:
    (disposal,) = held(bought("L1", "100"), sold(ref("L1"), "60", fees="5")).disposals

    assert disposal.gain == -45


def test_one_heap_may_be_sold_in_two_lines() -> None:
    lines = tuple(SoldLine(heap=ref("L1"), amount=amount(count), proceeds=Decimal(9)) for count in (4, 6))
    holdings = held(bought("L1", "100", count=10), Sold(on=DAY, lines=lines))

    assert [disposal.basis for disposal in holdings.disposals] == [Decimal(40), Decimal(60)]


def test_two_lines_that_ask_too_much_together_are_refused() -> None:
    lines = tuple(SoldLine(heap=ref("L1"), amount=amount(6), proceeds=Decimal(9)) for _ in range(2))
    with pytest.raises(NotEnoughError, match="holds 4 pieces; 6 pieces was asked"):
        held(bought("L1", count=10), Sold(on=DAY, lines=lines))


def test_nothing_is_sold_before_it_was_bought() -> None:
    with pytest.raises(BookError, match=r"Entry 2 \(sold, 2026-03-01\): There is no lot 'L1' on that date"):
        held(bought("L1", on=DAY), sold(ref("L1"), on=date(2026, 3, 1)))


def test_a_sale_said_before_its_purchase_stands_once_the_purchase_is_there() -> None:
    """The dates decide, not the order of saying: serial 1 is bought later than serial 2."""
    holdings = held(bought("L2", on=date(2026, 3, 9)), bought("L1", on=DAY), sold(ref("L1"), on=date(2026, 3, 5)))

    assert [disposal.lot for disposal in holdings.disposals] == ["L1"]


def test_an_issue_is_sold_by_its_own_heap() -> None:
    holdings = held(
        bought("L1", "90", count=9),
        sorted_out(ref("L1"), row("1964", "1", count=6), row("1921-D", "8", count=3)),
        sold(ref("L1", issue="1921-D"), "300"),
    )

    (disposal,) = holdings.disposals
    assert (disposal.issue, disposal.amount, disposal.basis) == ("1921-D", amount(3), Decimal(80))
