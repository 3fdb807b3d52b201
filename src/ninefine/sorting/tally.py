"""A tally: a heap told apart coin by coin, as a list of marks that is only ever added to."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Protocol


class Mark(Protocol):
    """One thing that was marked: so many more of a kind and issue, or the cancelling of an earlier mark."""

    @property
    def seq(self) -> int:
        """The mark's number in its tally."""

    @property
    def kind(self) -> str:
        """The kind's slug."""

    @property
    def issue(self) -> str:
        """Year, mint and variety; empty where not told apart."""

    @property
    def delta(self) -> int:
        """How many pieces more."""

    @property
    def cancels(self) -> int | None:
        """The mark that this one cancels, if it is an undo."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """So many pieces of one kind and issue."""

    kind: str
    issue: str
    count: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Tally:
    """What a tally holds after its marks: rows by kind and issue, and the last marks still standing, newest first."""

    rows: tuple[Row, ...]
    pieces: int
    latest: tuple[Mark, ...]

    def count(self, kind: str, issue: str = "") -> int:
        """Pieces of a kind and issue."""
        return next((row.count for row in self.rows if (row.kind, row.issue) == (kind, issue)), 0)

    def face(self, faces: Mapping[str, Decimal]) -> Decimal:
        """The face value told so far, by each kind's face; a kind that is missing has none."""
        return sum((faces.get(row.kind, Decimal(0)) * row.count for row in self.rows), Decimal(0))


def tally_of(marks: Iterable[Mark], *, latest: int = 12) -> Tally:
    """Add marks up, leaving out those that were cancelled.

    Args:
        marks: in any order; an undo names the mark that it cancels, so windows that mark at once lose nothing.
        latest: how many of the last standing marks to answer.
    """
    every = sorted(marks, key=lambda mark: mark.seq)
    cancelled = {mark.cancels for mark in every if mark.cancels is not None}
    standing = [mark for mark in every if mark.cancels is None and mark.seq not in cancelled]
    counts: dict[tuple[str, str], int] = {}
    for mark in standing:
        counts[mark.kind, mark.issue] = counts.get((mark.kind, mark.issue), 0) + mark.delta
    rows = tuple(Row(kind=kind, issue=issue, count=count) for (kind, issue), count in sorted(counts.items()) if count)
    return Tally(
        rows=rows, pieces=sum(row.count for row in rows), latest=tuple(reversed(standing[-latest:])) if latest else ()
    )
