"""Pieces on a tray, as a picture shows them: how many, how wide, of what size, and what is odd about each.

Records alone; `tray_reading` fills them. A diameter tells a size and never a metal, and nothing here reads a date.
"""

from collections.abc import Iterable
from dataclasses import dataclass, field
from enum import StrEnum

#: Two-sided 95% of a normal distribution.
COVER = 1.96


class ScaledBy(StrEnum):
    """What a picture's scale rests on."""

    SHEET = "sheet"
    """The printed tray sheet's marks, in a photo."""
    SCAN = "scan"
    """The resolution that a scan's file states, or that the person typed."""
    KNOWN = "known"
    """A piece of known diameter among the others."""
    NOTHING = "nothing"
    """Nothing: pieces are counted and not measured."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Scale:
    """What a picture's millimetres rest on.

    Attributes:
        by: what gave it.
        dots_per_mm: of the picture that was measured; zero where there is no scale.
        spread: relative standard uncertainty that all diameters share.
        says: a sentence.
        marks_mm: for the sheet: what is left over at its marks, root mean square; none where it cannot be told.
        height_mm: for the sheet: how high the camera stood.
    """

    by: ScaledBy
    dots_per_mm: float = 0.0
    spread: float = 0.0
    says: str
    marks_mm: float | None = None
    height_mm: float | None = None


class Flag(StrEnum):
    """What is odd about a piece. None of them is a verdict."""

    UNSURE = "unsure"
    """It is no clear disc, or too little of its edge is seen: it is counted apart and not measured."""
    ODD_SIZE = "odd size"
    """Its diameter fits none of the sizes expected."""
    BETWEEN = "between sizes"
    """Its diameter fits several of them."""
    ODD_COLOUR = "odd colour"
    """Its colour differs from the other pieces'."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """One piece, numbered in reading order: rows from the top, each from the left.

    Attributes:
        number: from 1.
        x, y, radius: where it lies in the straightened picture, in dots.
        diameter, uncertainty: millimetres, with its standard uncertainty; none where it is not measured.
        own: the part of the uncertainty that is its own, without the scale that all share.
        size: the name of the size it fits; empty where it fits none or several.
        off: how much wider than that size it is, millimetres.
        flags, words: what is odd, and a sentence for each.
    """

    number: int
    x: float
    y: float
    radius: float
    diameter: float | None = None
    uncertainty: float | None = None
    own: float | None = None
    size: str = ""
    off: float = 0.0
    flags: frozenset[Flag] = field(default_factory=frozenset)
    words: tuple[str, ...] = ()

    @property
    def low(self) -> float | None:
        """The lower end of the stated 95% interval, millimetres."""
        return None if self.diameter is None or self.uncertainty is None else self.diameter - COVER * self.uncertainty

    @property
    def high(self) -> float | None:
        """Its upper end."""
        return None if self.diameter is None or self.uncertainty is None else self.diameter + COVER * self.uncertainty


@dataclass(frozen=True, slots=True, kw_only=True)
class Tray:
    """All pieces of a picture.

    Attributes:
        pieces: in reading order.
        scale: what their millimetres rest on.
        notes: what to look at in the picture as a whole, in sentences.
        light_ground: whether they lay on something light, where edges are less sure.
    """

    pieces: tuple[Piece, ...]
    scale: Scale
    notes: tuple[str, ...] = ()
    light_ground: bool = False

    @property
    def clear(self) -> tuple[Piece, ...]:
        """Those that are clear discs."""
        return tuple(piece for piece in self.pieces if Flag.UNSURE not in piece.flags)

    @property
    def unsure(self) -> tuple[Piece, ...]:
        """Those that are not."""
        return tuple(piece for piece in self.pieces if Flag.UNSURE in piece.flags)

    def counts(self) -> dict[str, int]:
        """How many of each size, in the order met; those of no one size under the empty name."""
        found: dict[str, int] = {}
        for piece in self.clear:
            found[piece.size] = found.get(piece.size, 0) + 1
        return found


def numbers(pieces: Iterable[Piece]) -> str:
    """Numbers of pieces in words, runs drawn together: `1-4, 7`."""
    runs: list[list[int]] = []
    for piece in pieces:
        if runs and piece.number == runs[-1][-1] + 1:
            runs[-1].append(piece.number)
        else:
            runs.append([piece.number])
    return ", ".join(f"{run[0]}-{run[-1]}" if len(run) > 2 else ", ".join(map(str, run)) for run in runs)
