"""Lots told apart, put together, and set to the household's own use."""

from datetime import date
from decimal import Decimal

import msgspec
import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from ninefine.book.chain import Stored, store
from ninefine.book.entries import Amount, Entry, Joined, Split
from ninefine.book.fold import fold
from ninefine.book.holdings import Heap, Lot
from ninefine.book.laws import broken_laws
from ninefine.errors import BookError
from short_entries import (
    DAY,
    book,
    bought,
    held,
    inherited,
    joined,
    lot_of,
    moved,
    only_heap,
    opened,
    received,
    ref,
    row,
    sold,
    sorted_out,
    split,
    used,
)
from short_entries import given as gift
from strategies_book import SAID_AT, journals, parts

D = Decimal


def test_a_split_takes_its_share_of_cost_and_the_date_along() -> None:
    holdings = held(bought("L1", "100", count=10, place="A1"), split(ref("L1", place="A1"), "L1-kids", count=3))

    old, new = lot_of(holdings), lot_of(holdings, "L1-kids")
    assert (old.cost, new.cost) == (D(70), D(30))
    assert (new.origin, new.serial, only_heap(holdings, "L1-kids").place) == (old.origin, 2, "A1")
    assert (only_heap(holdings, "L1-kids").count, only_heap(holdings, "L1-kids").basis) == (3, D(30))


def test_a_gifts_basis_for_losses_is_split_too() -> None:
    holdings = held(gift("L1", "100", "70"), split(ref("L1"), "L2", count=4))

    assert [(lot.loss_cost, lot.loss_basis) for lot in holdings.lots.values()] == [(D(42), D(42)), (D(28), D(28))]


def test_a_part_split_off_is_counted_and_cannot_be_counted_again() -> None:
    entries = (bought("L1", count=10), split(ref("L1"), "L2", count=4))
    for lot in ("L1", "L2"):
        with pytest.raises(BookError, match="cannot replace"):
            held(*entries, received(lot, count=5))


def test_lots_of_one_day_are_joined_heap_by_heap() -> None:
    holdings = held(
        bought("L1", "100", count=10), bought("L2", "60", count=4), sold(ref("L2"), count=1), joined("L1", "L2")
    )

    first, second = lot_of(holdings), lot_of(holdings, "L2")
    assert (first.cost, only_heap(holdings).count, only_heap(holdings).basis) == (D(145), 13, D(145))
    assert (second.cost, second.heaps) == (D(15), ())
    assert holdings.disposals[0].basis == 15


@pytest.mark.parametrize(
    ("other", "why"),
    [
        (bought("L2", on=date(2026, 3, 1)), "different days"),
        (opened("L2", "100", acquired=DAY), "one was bought, the other held before the book"),
        (inherited("L2", "100", died=DAY), "one was bought, the other inherited"),
    ],
)
def test_lots_of_different_pasts_stay_apart(other: Entry, why: str) -> None:
    with pytest.raises(BookError, match=f"cannot be one: .*{why}"):
        held(other, bought("L1"), joined("L1", "L2"))


def test_known_and_unknown_costs_two_bases_and_own_use_stay_apart() -> None:
    with pytest.raises(BookError, match="nobody knows what one of them cost"):
        held(opened("L1", "5"), opened("L2", None), joined("L1", "L2"))
    with pytest.raises(BookError, match="a basis of its own for losses"):
        held(gift("L1", "5", "4"), gift("L2", "5", "6"), joined("L1", "L2"))
    with pytest.raises(BookError, match="serves the household itself"):
        held(bought("L1"), bought("L2"), used("L2"), joined("L1", "L2"))


def test_what_is_not_here_cannot_be_joined() -> None:
    with pytest.raises(BookError, match="L2 is still on its way"):
        held(bought("L1"), bought("L2", arrived=False), joined("L1", "L2"))
    with pytest.raises(BookError, match="L2 holds nothing more"):
        held(bought("L1"), bought("L2"), sold(ref("L2")), joined("L1", "L2"))
    with pytest.raises(BookError, match="must each be named once"):
        joined("L1", "L1")


def test_own_use_is_said_and_taken_back() -> None:
    spoons = bought("L1", kind="household-sterling-925", gross_g="400")
    heap = ref("L1", "household-sterling-925")

    assert lot_of(held(spoons, used("L1"))).own_use
    assert not lot_of(held(spoons, used("L1"), used("L1", own=False))).own_use
    assert held(spoons, used("L1"), sold(heap, "90")).disposals[0].own_use
    assert not held(spoons, sold(heap, "90", gross_g="100"), used("L1")).disposals[0].own_use
    with pytest.raises(BookError, match="does not serve the household itself already"):
        held(spoons, used("L1", own=False))


def test_an_inheritance_may_be_the_households_own_from_the_start() -> None:
    assert lot_of(held(inherited("L1", "90", died=DAY, own_use=True))).own_use


def test_pieces_of_a_family_of_lots_are_counted_together() -> None:
    """Split, sorted, joined elsewhere: the law of pieces looks at all lots that were once one."""
    records = book(
        bought("L1", count=10, face="1"),
        bought("L2", count=6, face="0.6"),
        split(ref("L1"), "L3", count=4),
        moved(ref("L3"), "B2"),
        joined("L2", "L3"),
        sorted_out(ref("L2"), row("1964", count=2, face="0.2"), row("", count=4, face="0.4")),
        sold(ref("L2", issue="1964"), count=1),
    )

    assert broken_laws(records) == ()


@settings(max_examples=30, deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much])
@given(journals(corrections=False), st.data())
def test_split_and_joined_again_is_as_it_was(records: list[Stored], data: st.DataObject) -> None:
    """Nothing is lost or gained by telling lots apart and putting them together again."""
    holdings = fold(records)
    heaps = [heap for heap in holdings.heaps if not holdings.lots[heap.lot].awaited]
    assume(heaps)
    heap = data.draw(st.sampled_from(heaps))
    on = max(record.entry.on for record in records)
    amount = data.draw(parts(heap))
    apart = _with(records, Split(on=on, heap=heap.ref, amount=amount, lot="apart"))
    assume(fold(apart).lots[heap.lot].heaps)  # joining needs something in both lots
    back = _with(apart, Joined(on=on, lots=(heap.lot, "apart")))
    after = fold(back)

    assert _told(after.lots[heap.lot]) == _told(holdings.lots[heap.lot])
    assert broken_laws(back) == ()


def _with(records: list[Stored], entry: Entry) -> list[Stored]:
    return [*records, store(entry, said_at=SAID_AT, after=records[-1])]


def _told(lot: Lot) -> tuple[Lot, list[Heap]]:
    """A lot and its heaps in a fixed order, without grams (a milligram may be rounded away when a heap is parted)."""
    heaps = [msgspec.structs.replace(heap, amount=_weightless(heap.amount)) for heap in lot.heaps]
    return msgspec.structs.replace(lot, heaps=(), whole=True), sorted(
        heaps, key=lambda heap: (heap.kind, heap.issue, heap.place)
    )


def _weightless(amount: Amount) -> Amount:
    return msgspec.structs.replace(amount, gross_g=D(1))
