"""How much of something, as people say it: `250 face`, `40 pieces`, `3 rolls`, `1461 g`, `250 face, 6180 g`."""

import re
from decimal import Decimal

from ninefine.book.entries import Amount
from ninefine.catalog.kinds import Kind
from ninefine.errors import RangeError, UnreadableError
from ninefine.measure.mass import read_mass
from ninefine.measure.numbers import EXACT, plain, read_count, read_positive

_FACE = re.compile(
    r"\$?\s*(?P<number>[\d.,' ]+?)\s*(?:face|face dollars|dollars? face)|\$\s*(?P<dollars>[\d.,' ]+)", re.ASCII
)
_COUNT = re.compile(r"(?P<number>[\d,' ]+?)\s*(?:pieces?|pcs?|coins?|rounds?|bars?|each)?", re.ASCII)
_ROLLS = re.compile(r"(?P<number>[\d,' ]+?)\s*(?:rolls?|tubes?)", re.ASCII)

_INSTEAD = ("250 face", "40 pieces", "3 rolls", "1461 g", "250 face, 6180 g")


def read_amount(text: str, kind: Kind) -> Amount:
    """Read how much of a kind is meant; several measures of the same goods are parted by a comma and a space.

    A bare number means pieces, or face where the pieces of a heap differ in size. Face of a kind with a set face is
    turned into pieces too, and pieces into face, so that either can be checked against the other.

    Raises:
        UnreadableError: no reading fits.
        RangeError: measures that contradict each other, or face that is no whole number of pieces.
    """
    count: int | None = None
    face: Decimal | None = None
    gross_g: Decimal | None = None
    for part in re.split(r"[;+&]|,\s|\band\b", text.strip().lower()):
        said = part.strip().strip(",")
        if match := _FACE.fullmatch(said):
            face = read_positive(match["number"] or match["dollars"], what="face")
        elif match := _ROLLS.fullmatch(said):
            count = _rolls(read_count(match["number"]), kind)
        elif match := _COUNT.fullmatch(said):
            if kind.by_face and kind.face is None and said == match["number"].strip():
                face = read_positive(match["number"], what="face")
            else:
                count = read_count(match["number"], what="count of pieces")
        elif re.fullmatch(r"[\d.,' ]+", said) and kind.by_face and kind.face is None:
            face = read_positive(said, what="face")
        else:
            gross_g = _grams(said)
    return _agreed(count, face, gross_g, kind)


def _rolls(rolls: int, kind: Kind) -> int:
    if kind.roll is None:
        raise RangeError(f"{kind.name} has no set roll.", expected="Say how many pieces.", instead=("40 pieces",))
    return rolls * kind.roll


def _grams(said: str) -> Decimal:
    try:
        return read_mass(said).grams
    except UnreadableError as error:
        raise UnreadableError(
            f"{said[:40]!r} is not an amount.",
            expected="Say face, pieces, rolls or a weight; a comma parts two measures of the same goods.",
            instead=_INSTEAD,
        ) from error


def _agreed(count: int | None, face: Decimal | None, gross_g: Decimal | None, kind: Kind) -> Amount:
    if count is None and face is None and gross_g is None:
        raise UnreadableError("No amount was given.", instead=_INSTEAD)
    if kind.face is not None and kind.face > 0:
        if count is not None:
            whole = kind.face * count
            if face is not None and face != whole:
                raise RangeError(
                    f"{count} pieces of {kind.name} are {plain(whole)} face, not {plain(face)}.",
                    expected="Give one of the two, or make them agree.",
                )
            face = whole
        elif face is not None:
            pieces = EXACT.divide(face, kind.face)
            if pieces != pieces.to_integral_value():
                raise RangeError(
                    f"{plain(face)} face is no whole number of {kind.name}.",
                    expected=f"One piece is {plain(kind.face)} face.",
                )
            count = int(pieces)
    return Amount(count=count, face=face, gross_g=gross_g)


def say_amount(amount: Amount) -> str:
    """An amount in words: `1,180 pieces, 118 face, 2,882.1 g`."""
    parts = []
    if amount.count is not None:
        parts.append(f"{amount.count:,} {'piece' if amount.count == 1 else 'pieces'}")
    if amount.face is not None:
        parts.append(f"{_grouped(amount.face)} face")
    if amount.gross_g is not None:
        parts.append(f"{_grouped(amount.gross_g)} g")
    return ", ".join(parts)


def _grouped(value: Decimal) -> str:
    return f"{Decimal(plain(value)):,f}"
