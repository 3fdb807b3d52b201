"""Taking part of a heap: what goes, what stays, and which measure decides.

A heap's own measure is its count where that is known, else its face, else its grams. It decides what share of the
heap is taken, and so of its basis; the other measures that the heap knows go as said, or in proportion. A measure
that the heap does not know but the taker says is kept with what was taken.
"""

from decimal import Decimal
from typing import Protocol

from ninefine.book.entries import Amount
from ninefine.book.share import part_of
from ninefine.errors import BookError, NotEnoughError
from ninefine.measure.numbers import EXACT, plain

MILLIGRAM = Decimal("0.001")
#: Face is shared out to this, and no finer: no coin has a face that needs more places.
FINEST_FACE = Decimal("0.0001")


class Named(Protocol):
    """What names a heap; a reference to one fits too."""

    @property
    def lot(self) -> str:
        """The lot's name."""

    @property
    def kind(self) -> str:
        """The slug of its kind."""

    @property
    def issue(self) -> str:
        """Its issue, or empty."""

    @property
    def place(self) -> str:
        """Where it lies, or empty."""


class HeapLike(Named, Protocol):
    """What is needed of a heap to take from it; the fold's own heaps and the frozen ones both fit."""

    @property
    def amount(self) -> Amount:
        """How much it holds."""


def heap_words(heap: Named) -> str:
    """The heap as an error names it: `Lot L1, us-dime-90 1921-D at A1`."""
    issue = f" {heap.issue}" if heap.issue else ""
    place = f" at {heap.place}" if heap.place else ""
    return f"Lot {heap.lot}, {heap.kind}{issue}{place}"


def amount_words(amount: Amount) -> str:
    """An amount as an error says it: `40 pieces, 4 face, 100 g`."""
    parts = []
    if amount.count is not None:
        parts.append(_pieces(amount.count))
    if amount.face is not None:
        parts.append(_face(amount.face))
    if amount.gross_g is not None:
        parts.append(_grams(amount.gross_g))
    return ", ".join(parts)


def take(heap: HeapLike, asked: Amount | None) -> tuple[Amount, Amount | None]:
    """What is taken of a heap, and what stays (none where all of it goes).

    Raises:
        NotEnoughError: the heap holds less.
        BookError: asked in a measure that does not decide, or what would stay cannot be.
    """
    held = heap.amount
    if asked is None or asked == held:
        return held, None
    if held.count is not None:
        return _by_count(heap, held, held.count, asked)
    if held.face is not None:
        return _by_face(heap, held, held.face, asked)
    return _by_grams(heap, held, asked)


def basis_of(basis: Decimal, held: Amount, taken: Amount, left: Amount | None, unit: Decimal) -> Decimal:
    """The share of a heap's basis that goes with what is taken, half up to the unit; all of it with the last piece."""
    if left is None:
        return basis
    if held.count is not None and taken.count is not None:
        return part_of(basis, taken.count, held.count, unit)
    if held.face is not None and taken.face is not None:
        return part_of(basis, taken.face, held.face, unit)
    assert held.gross_g is not None and taken.gross_g is not None  # noqa: PT018 - an amount has one of the three
    return part_of(basis, taken.gross_g, held.gross_g, unit)


def _by_count(heap: HeapLike, held: Amount, count: int, asked: Amount) -> tuple[Amount, Amount | None]:
    pieces = asked.count if asked.count is not None else _pieces_of_face(heap, held, count, asked)
    if pieces > count:
        raise NotEnoughError(heap_words(heap), held=_pieces(count), asked=_pieces(pieces))
    if pieces == count:
        if asked.face is not None and held.face is not None and asked.face != held.face:
            raise BookError(
                f"{heap_words(heap)}: all {_pieces(count)} are {_face(held.face)}, not {_face(asked.face)}. "
                f"Say all of it, or fewer pieces."
            )
        return _all_of(held, asked), None
    face = held.face
    if face is not None:
        face = asked.face if asked.face is not None else _face_of_pieces(heap, face, count, pieces)
        if held.face is not None and face >= held.face:
            raise NotEnoughError(
                heap_words(heap),
                held=f"{_pieces(count)}, {_face(held.face)}",
                asked=f"{_pieces(pieces)}, {_face(face)}",
            )
    taken_g, left_g = _weight(heap, held, asked, pieces, count)
    if face is None:
        face = asked.face
    taken = asked
    if asked.count is None or asked.face != face or asked.gross_g != taken_g:
        taken = Amount(count=pieces, face=face, gross_g=taken_g)
    left_face = None if held.face is None or face is None else held.face - face
    return taken, Amount(count=count - pieces, face=left_face, gross_g=left_g)


def _by_face(heap: HeapLike, held: Amount, face: Decimal, asked: Amount) -> tuple[Amount, Amount | None]:
    if asked.face is None:
        raise _wrong_measure(heap, f"is kept by face ({_face(face)})", "how much face", asked)
    if asked.face > face:
        raise NotEnoughError(heap_words(heap), held=_face(face), asked=_face(asked.face))
    if asked.face == face:
        return _all_of(held, asked), None
    taken_g, left_g = _weight(heap, held, asked, asked.face, face)
    taken = Amount(count=asked.count, face=asked.face, gross_g=taken_g)
    return taken, Amount(face=face - asked.face, gross_g=left_g)


def _by_grams(heap: HeapLike, held: Amount, asked: Amount) -> tuple[Amount, Amount | None]:
    assert held.gross_g is not None
    if asked.gross_g is None:
        raise _wrong_measure(heap, f"is kept by weight ({_grams(held.gross_g)})", "how many grams", asked)
    if asked.gross_g > held.gross_g:
        raise NotEnoughError(heap_words(heap), held=_grams(held.gross_g), asked=_grams(asked.gross_g))
    if asked.gross_g == held.gross_g:
        return asked, None
    return asked, Amount(gross_g=held.gross_g - asked.gross_g)


def _all_of(held: Amount, asked: Amount) -> Amount:
    """All of a heap: what the taker's scale says wins over what the heap's last weighing said."""
    return Amount(
        count=held.count if held.count is not None else asked.count,
        face=held.face if held.face is not None else asked.face,
        gross_g=asked.gross_g if asked.gross_g is not None else held.gross_g,
    )


def _weight(
    heap: HeapLike, held: Amount, asked: Amount, over: Decimal | int, under: Decimal | int
) -> tuple[Decimal | None, Decimal | None]:
    """The grams that go and that stay: as said, or in proportion to a milligram."""
    if held.gross_g is None:
        return asked.gross_g, None
    grams = asked.gross_g
    if grams is None:
        grams = part_of(held.gross_g, over, under, MILLIGRAM)
        if grams == 0:
            return None, held.gross_g
    if grams >= held.gross_g:
        if asked.gross_g is None:  # a heap so light that a milligram is all of it
            return grams, None
        raise NotEnoughError(heap_words(heap), held=_grams(held.gross_g), asked=_grams(grams))
    return grams, held.gross_g - grams


def _pieces_of_face(heap: HeapLike, held: Amount, count: int, asked: Amount) -> int:
    if asked.face is None or held.face is None:
        raise _wrong_measure(heap, f"is counted ({_pieces(count)})", "how many pieces", asked)
    if asked.face > held.face:
        raise NotEnoughError(heap_words(heap), held=_face(held.face), asked=_face(asked.face))
    pieces = EXACT.divide(EXACT.multiply(asked.face, count), held.face)
    if pieces != pieces.to_integral_value():
        raise BookError(
            f"{heap_words(heap)}: {_face(asked.face)} is no whole number of its {_pieces(count)} in "
            f"{_face(held.face)}. Say how many pieces."
        )
    return int(pieces)


def _face_of_pieces(heap: HeapLike, face: Decimal, count: int, pieces: int) -> Decimal:
    whole = EXACT.multiply(face, pieces)
    share = part_of(whole, 1, count, FINEST_FACE)
    if EXACT.multiply(share, count) != whole:
        raise BookError(
            f"{heap_words(heap)}: its {_pieces(count)} do not all have the same face ({_face(face)} in all). "
            f"Say the face of the {_pieces(pieces)} too."
        )
    return share


def _wrong_measure(heap: HeapLike, kept: str, say: str, asked: Amount) -> BookError:
    return BookError(f"{heap_words(heap)} {kept}; {amount_words(asked)} does not say {say}.")


def _pieces(count: int) -> str:
    return f"{count:,} {'piece' if count == 1 else 'pieces'}"


def _face(face: Decimal) -> str:
    return f"{plain(face)} face"


def _grams(grams: Decimal) -> str:
    return f"{plain(grams)} g"
