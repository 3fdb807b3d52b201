"""Choosing which pieces to sell: earliest first, highest basis first, or by name. Plain picks; nothing is priced here.

A pick counts as identified only if it is recorded at the sale: a sold entry does that, piece by piece.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal

from ninefine.book.entries import Amount, HeapRef
from ninefine.book.holdings import Heap, Holdings, Lot
from ninefine.book.share import unit_of
from ninefine.book.take import amount_words, basis_of, take
from ninefine.book.term import no_later_than
from ninefine.errors import BookError, NotEnoughError
from ninefine.measure.numbers import EXACT

#: Says which heaps may be picked: `lambda lot, heap: heap.kind in kinds and is_long(lot.acquired, today)`.
Wanted = Callable[[Lot, Heap], bool]


@dataclass(frozen=True, slots=True, kw_only=True)
class SoldPart:
    """What is picked of one heap; `basis` is what a sale of it would carry."""

    heap: Heap
    amount: Amount
    basis: Decimal


def first_in_first_out(holdings: Holdings, wanted: Wanted, amount: Amount, *, currency: str = "USD") -> list[SoldPart]:
    """Pick the earliest acquired first; within a date, in the order in which lots came.

    A date that nobody knows counts as the day on which the silver came: it is no later than that.

    Raises:
        NotEnoughError: the wanted heaps hold less.
    """
    heaps = sorted(_open(holdings, wanted), key=lambda pair: (no_later_than(pair[0]), pair[0].serial))
    return _pick([heap for _, heap in heaps], amount, currency)


def highest_basis_first(holdings: Holdings, wanted: Wanted, amount: Amount, *, currency: str = "USD") -> list[SoldPart]:
    """Pick the dearest first, by basis for each unit of the amount's measure; of equals, the earliest acquired.

    What nobody knows the cost of counts as nothing here, and so goes last.

    Raises:
        NotEnoughError: the wanted heaps hold less.
    """
    measure = _measure_of(amount)

    def dearness(pair: tuple[Lot, Heap]) -> tuple[Decimal, int]:
        lot, heap = pair
        held = getattr(heap, measure)
        rate = EXACT.divide(heap.basis, Decimal(held)) if held is not None else Decimal(0)
        return -rate, no_later_than(lot).toordinal()

    heaps = sorted(_open(holdings, wanted), key=dearness)
    return _pick([heap for _, heap in heaps], amount, currency)


def chosen(
    holdings: Holdings, picks: Iterable[tuple[HeapRef, Amount | None]], *, currency: str = "USD"
) -> list[SoldPart]:
    """Pick by name, each heap whole where no amount is given.

    Raises:
        NotEnoughError: a heap holds less.
        BookError: no such heap, one named twice, or a lot still on its way.
    """
    parts: list[SoldPart] = []
    seen: set[HeapRef] = set()
    for ref, amount in picks:
        lot = holdings.lots.get(ref.lot)
        heap = next((heap for heap in lot.heaps if heap.ref == ref), None) if lot else None
        if lot is None or heap is None:
            raise BookError(f"Lot {ref.lot} holds no {ref.kind} {ref.issue}".rstrip() + " there.")
        if lot.awaited:
            raise BookError(f"Lot {lot.name} is still on its way. Say first that it was received.")
        if ref in seen:
            raise BookError(f"Lot {ref.lot}, {ref.kind} is picked twice. Say one amount for it.")
        seen.add(ref)
        parts.append(_part(heap, amount, currency))
    return parts


def basis_per_face(lot: Lot) -> Decimal | None:
    """Held basis for each unit of held face, to 40 digits; none where any of the lot's face is not known."""
    face = sum((heap.face or Decimal(0) for heap in lot.heaps), Decimal(0))
    if not lot.heaps or any(heap.face is None for heap in lot.heaps):
        return None
    return EXACT.divide(sum((heap.basis for heap in lot.heaps), Decimal(0)), face)


def _open(holdings: Holdings, wanted: Wanted) -> list[tuple[Lot, Heap]]:
    return [(lot, heap) for lot in holdings.lots.values() if not lot.awaited for heap in lot.heaps if wanted(lot, heap)]


def _measure_of(amount: Amount) -> str:
    said = [name for name in ("count", "face", "gross_g") if getattr(amount, name) is not None]
    if len(said) != 1:
        raise BookError(f"Say how much to pick in one measure, not {amount_words(amount)}.")
    return said[0]


def _pick(heaps: Sequence[Heap], amount: Amount, currency: str) -> list[SoldPart]:
    measure = _measure_of(amount)
    asked = left = Decimal(getattr(amount, measure))
    parts: list[SoldPart] = []
    for heap in heaps:
        held = getattr(heap, measure)
        if left == 0 or held is None:
            continue
        fits = Decimal(held) if held <= left else _largest(heap, measure, left)
        if fits > 0:
            parts.append(_part(heap, _amount(measure, fits), currency))
            left -= fits
    if left:
        raise NotEnoughError(
            "What may be picked",
            held=amount_words(_amount(measure, asked - left)) if asked > left else "nothing in that measure",
            asked=amount_words(amount),
        )
    return parts


def _largest(heap: Heap, measure: str, left: Decimal) -> Decimal:
    """How much of `left` the heap can give: whole pieces where it is counted, no part of a coin."""
    if measure == "face" and heap.count is not None and heap.face is not None:
        each = EXACT.divide(heap.face, heap.count)
        return each * (left // each)
    return left


def _amount(measure: str, value: Decimal) -> Amount:
    if measure == "count":
        return Amount(count=int(value))
    return Amount(face=value) if measure == "face" else Amount(gross_g=value)


def _part(heap: Heap, asked: Amount | None, currency: str) -> SoldPart:
    taken, left = take(heap, asked)
    return SoldPart(heap=heap, amount=taken, basis=basis_of(heap.basis, heap.amount, taken, left, unit_of(currency)))
