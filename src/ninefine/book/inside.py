"""What entries do to silver that stays: weighed, sorted, moved, tested."""

from decimal import Decimal

from msgspec.structs import replace

from ninefine.book.entries import Amount, Moved, Sorted, SortedLine, Tested, Weighed
from ninefine.book.heaps import drawn, in_its_stead, laid
from ninefine.book.holdings import Heap
from ninefine.book.share import ZERO, share
from ninefine.book.take import basis_of, heap_words, take
from ninefine.book.working import Working
from ninefine.errors import BookError, NotEnoughError
from ninefine.measure.numbers import plain


def weighed(working: Working, serial: int, entry: Weighed) -> None:  # noqa: ARG001 - effects share one shape
    """The scale's word for each heap replaces its earlier one."""
    seen: set[tuple[str, str, str, str]] = set()
    for line in entry.lines:
        ref = line.heap
        lot, heap = working.heap(ref)
        key = (ref.lot, ref.kind, ref.issue, ref.place)
        if key in seen:
            raise BookError(f"{heap_words(heap)} is weighed twice in one entry. Say one weight for it.")
        seen.add(key)
        weighed = replace(heap.amount, gross_g=line.gross_g)
        working.set(replace(lot, heaps=in_its_stead(lot.heaps, heap, weighed, heap.basis)))


def sorted_out(working: Working, serial: int, entry: Sorted) -> None:  # noqa: ARG001 - effects share one shape
    """The lines take the heap's pieces and share its basis by weight; they keep the lot, its date and its cost."""
    lot, heap = working.heap(entry.heap)
    taken, left = take(heap, entry.taken)
    _conserved(heap, taken, entry.lines)
    weights = [line.weight for line in entry.lines]
    if not any(weights):
        raise BookError("Every weight is zero, so the basis cannot be shared. Give at least one line a weight.")
    basis = basis_of(heap.basis, heap.amount, taken, left, working.unit)
    told = [
        ((line.kind, line.issue, heap.place if line.place is None else line.place), line.amount, part)
        for line, part in zip(entry.lines, share(basis, weights, working.unit), strict=True)
    ]
    working.set(replace(lot, heaps=laid(lot, drawn(lot.heaps, heap, left, basis), told), whole=False))


def moved(working: Working, serial: int, entry: Moved) -> None:  # noqa: ARG001 - effects share one shape
    """The heap, or part of it, lies at another place; its basis goes with it."""
    lot, heap = working.heap(entry.heap)
    if entry.to == heap.place:
        raise BookError(f"{heap_words(heap)} is already there. Say another place, or leave it.")
    taken, left = take(heap, entry.amount)
    basis = basis_of(heap.basis, heap.amount, taken, left, working.unit)
    there = ((heap.kind, heap.issue, entry.to), taken, basis)
    heaps = laid(lot, drawn(lot.heaps, heap, left, basis), (there,))
    working.set(replace(lot, heaps=heaps, whole=lot.whole and left is None))


def tested(working: Working, serial: int, entry: Tested) -> None:  # noqa: ARG001 - effects share one shape
    """A test changes nothing that is held; what it names must be in the book on that day, here or on its way."""
    for name in entry.lots:
        working.lot(name)
    if entry.heap is None:
        return
    _, heap = working.heap(entry.heap, on_its_way=True)
    held = heap.amount.count
    if entry.count is not None and held is not None and entry.count > held:
        raise NotEnoughError(heap_words(heap), held=f"{held} pieces", asked=f"a test of {entry.count} pieces")


def _conserved(heap: Heap, taken: Amount, lines: tuple[SortedLine, ...]) -> None:
    """Pieces and face that go into a sorting come out of it, where both sides say them."""
    count, face = 0, ZERO
    counted = faced = True
    for line in lines:
        amount = line.amount
        if amount.count is None:
            counted = False
        else:
            count += amount.count
        if amount.face is None:
            faced = False
        else:
            face += amount.face
    if taken.count is not None and taken.count != count and (counted or count > taken.count):
        raise _off(heap, Decimal(taken.count), Decimal(count), "pieces")
    if taken.face is not None and taken.face != face and (faced or face > taken.face):
        raise _off(heap, taken.face, face, "face")


def _off(heap: Heap, before: Decimal, after: Decimal, unit: str) -> BookError:
    off = "too much" if after > before else "too little"
    return BookError(
        f"{heap_words(heap)}: {plain(before)} {unit} went into the sorting and {plain(after)} {unit} came out, "
        f"{plain(abs(after - before))} {off}. Count again, or say first what was received or taken."
    )
