"""What entries do to silver that stays: weighed, sorted, moved."""

from decimal import Decimal

import msgspec

from ninefine.book.entries import Amount, Moved, Sorted, Weighed
from ninefine.book.share import ZERO, share
from ninefine.book.take import basis_of, heap_words, take
from ninefine.book.working import WorkHeap, Working, draw, put
from ninefine.errors import BookError
from ninefine.measure.numbers import plain


def weighed(working: Working, serial: int, entry: Weighed) -> None:  # noqa: ARG001 - effects share one shape
    """The scale's word for each heap replaces its earlier one."""
    seen: set[tuple[str, str, str, str]] = set()
    for line in entry.lines:
        ref = line.heap
        _, heap = working.heap(ref)
        key = (ref.lot, ref.kind, ref.issue, ref.place)
        if key in seen:
            raise BookError(f"{heap_words(heap)} is weighed twice in one entry. Say one weight for it.")
        seen.add(key)
        heap.amount = msgspec.structs.replace(heap.amount, gross_g=line.gross_g)


def sorted_out(working: Working, serial: int, entry: Sorted) -> None:  # noqa: ARG001 - effects share one shape
    """The lines take the heap's pieces and share its basis by weight; they keep the lot, its date and its cost."""
    lot, heap = working.heap(entry.heap)
    taken, left = take(heap, entry.taken)
    _conserved(heap, taken, [line.amount for line in entry.lines])
    weights = [line.weight for line in entry.lines]
    if not any(weights):
        raise BookError("Every weight is zero, so the basis cannot be shared. Give at least one line a weight.")
    basis = basis_of(heap.basis, heap.amount, taken, left, working.unit)
    draw(lot, heap, left, basis)
    for line, part in zip(entry.lines, share(basis, weights, working.unit), strict=True):
        place = heap.place if line.place is None else line.place
        put(lot, (line.kind, line.issue, place), line.amount, part)
    lot.changed = True


def moved(working: Working, serial: int, entry: Moved) -> None:  # noqa: ARG001 - effects share one shape
    """The heap, or part of it, lies at another place; its basis goes with it."""
    lot, heap = working.heap(entry.heap)
    if entry.to == heap.place:
        raise BookError(f"{heap_words(heap)} is already there. Say another place, or leave it.")
    taken, left = take(heap, entry.amount)
    basis = basis_of(heap.basis, heap.amount, taken, left, working.unit)
    draw(lot, heap, left, basis)
    put(lot, (heap.kind, heap.issue, entry.to), taken, basis)
    if left is not None:
        lot.changed = True


def _conserved(heap: WorkHeap, taken: Amount, lines: list[Amount]) -> None:
    """Pieces and face that go into a sorting come out of it, where both sides say them."""
    counts = [line.count for line in lines]
    if taken.count is not None and None not in counts:
        _same(heap, Decimal(taken.count), Decimal(sum(count or 0 for count in counts)), "pieces")
    faces = [line.face for line in lines]
    known = sum((face for face in faces if face is not None), ZERO)
    if taken.face is not None and (None not in faces or known > taken.face):
        _same(heap, taken.face, known, "face")


def _same(heap: WorkHeap, before: Decimal, after: Decimal, unit: str) -> None:
    if before != after:
        off = "too much" if after > before else "too little"
        raise BookError(
            f"{heap_words(heap)}: {plain(before)} {unit} went into the sorting and {plain(after)} {unit} came out, "
            f"{plain(abs(after - before))} {off}. Count again, or say first what was received or taken."
        )
