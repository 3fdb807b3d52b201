"""The heaps of one lot: taken from, laid down, laid onto one another. Heaps are frozen: each change makes them anew."""

from collections.abc import Sequence
from decimal import Decimal

from ninefine.book.holdings import Heap, Lot
from ninefine.book.said import Amount
from ninefine.book.share import ZERO, part_of
from ninefine.book.take import heap_words
from ninefine.errors import BookError

#: A lot's heaps, in the order in which they were laid down.
Heaps = tuple[Heap, ...]
#: What tells the heaps of one lot apart: kind, issue, place.
Key = tuple[str, str, str]


def found(heaps: Heaps, kind: str, issue: str, place: str) -> Heap | None:
    """The heap of that kind, issue and place, if there is one."""
    for heap in heaps:
        if heap.issue == issue and heap.place == place and heap.kind == kind:
            return heap
    return None


def in_its_stead(heaps: Heaps, heap: Heap, amount: Amount, basis: Decimal) -> Heaps:
    """The heaps with one of them at another amount or basis, where it lies."""
    anew = Heap(heap.lot, heap.kind, heap.issue, heap.place, amount, basis, heap.cost_known)
    if len(heaps) == 1:
        return (anew,)
    return tuple([anew if each is heap else each for each in heaps])


def drawn(heaps: Heaps, heap: Heap, left: Amount | None, basis: Decimal) -> Heaps:
    """The heaps when part of one was taken with its basis: what stays of it, or without it when nothing does."""
    if left is not None:
        return in_its_stead(heaps, heap, left, heap.basis - basis)
    if len(heaps) == 1:
        return ()
    return tuple([each for each in heaps if each is not heap])


def laid(lot: Lot, heaps: Heaps, pieces: Sequence[tuple[Key, Amount, Decimal]]) -> Heaps:
    """The heaps when pieces of the lot are laid down beside them, or onto the heap that is already there.

    Raises:
        BookError: two that would be one share no measure, so that together they could not be measured.
    """
    known = lot.origin.cost_known
    if not heaps and len(pieces) == 1:
        key, amount, basis = pieces[0]
        return (Heap(lot.name, *key, amount, basis, known),)
    by_key = {(heap.kind, heap.issue, heap.place): heap for heap in heaps}
    for key, amount, basis in pieces:
        there = by_key.get(key)
        if there is None:
            by_key[key] = Heap(lot.name, *key, amount, basis, known)
        else:
            by_key[key] = Heap(lot.name, *key, _together(there, amount), there.basis + basis, known)
    return tuple(by_key.values())


def loss_drawn(lot: Lot, heaps: Heaps, basis: Decimal, unit: Decimal) -> Decimal | None:
    """The share of the basis for losses that goes with a basis just drawn; all of it with the last piece.

    Args:
        lot: as it was before.
        heaps: what is left of it.
        basis: what was drawn.
        unit: the smallest unit of money.
    """
    held = lot.loss_basis
    if held is None or not heaps:
        return held
    whole = sum((heap.basis for heap in heaps), basis)
    return part_of(held, basis, whole, unit) if whole else ZERO


def _together(there: Heap, more: Amount) -> Amount:
    held = there.amount
    count = None if held.count is None or more.count is None else held.count + more.count
    face = None if held.face is None or more.face is None else held.face + more.face
    gross_g = None if held.gross_g is None or more.gross_g is None else held.gross_g + more.gross_g
    if count is None and face is None and gross_g is None:
        raise BookError(
            f"{heap_words(there)} is already there, kept by another measure. Say pieces, face or grams for both, "
            "or put them in two places."
        )
    return Amount(count=count, face=face, gross_g=gross_g)
