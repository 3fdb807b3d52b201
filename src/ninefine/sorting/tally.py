"""A tally: a heap told apart coin by coin, as a list of marks that is only ever added to."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from itertools import islice, takewhile
from typing import Protocol

from ninefine.sorting.pace import Pace, Work

#: The note of marks that were read from a table begins so: no hand told those pieces, so no pace is reckoned of them.
FROM_TABLE = "table "


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
    def note(self) -> str:
        """A word kept with the mark, such as the slip that it was sent on; may be empty."""

    @property
    def cancels(self) -> int | None:
        """The mark that this one cancels, if it is an undo."""

    @property
    def said_at(self) -> datetime | None:
        """When it was kept, where that is known."""


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
    running = RunningTally()
    running.add(marks)
    return running.now(latest=latest)


class RunningTally:
    """A tally that is kept up as marks come in: none is ever added up twice, however long the tally grows.

    Each mark is given once, in any order; what it holds is always what `tally_of` all its marks would answer.
    """

    def __init__(self) -> None:
        self._every: dict[int, Mark] = {}
        self._standing: dict[int, Mark] = {}
        self._cancelled: set[int] = set()
        self._counts: dict[tuple[str, str], int] = {}
        self._noted: dict[str, Mark] = {}
        self._work = Work()
        self._last = 0

    @property
    def last(self) -> int:
        """The highest number of a mark that it holds; 0 before the first."""
        return self._last

    @property
    def pace(self) -> Pace:
        """How fast hands have gone."""
        return self._work.pace

    def add(self, marks: Iterable[Mark]) -> None:
        """Take further marks in."""
        in_order = True
        for mark in marks:
            in_order = in_order and mark.seq > self._last
            self._last = max(self._last, mark.seq)
            self._every[mark.seq] = mark
            if mark.note:
                self._noted[mark.note] = mark
            if mark.cancels is not None:
                self._cancel(mark.cancels)
            elif mark.seq not in self._cancelled:
                self._standing[mark.seq] = mark
                self._count(mark, mark.delta)
            if mark.said_at is not None and not mark.note.startswith(FROM_TABLE):
                self._work.add(mark.said_at, self._told(mark))
        if not in_order:
            self._every = dict(sorted(self._every.items()))
            self._standing = dict(sorted(self._standing.items()))

    def now(self, *, latest: int = 12) -> Tally:
        """What it holds."""
        counts = sorted(self._counts.items())
        return Tally(
            rows=tuple(Row(kind=kind, issue=issue, count=count) for (kind, issue), count in counts),
            pieces=sum(self._counts.values()),
            latest=tuple(islice(reversed(self._standing.values()), latest)),
        )

    def changed(self, after: int) -> frozenset[tuple[str, str]]:
        """The kinds and issues that were marked or taken back after a mark's number."""
        newer = takewhile(lambda mark: mark.seq > after, reversed(self._every.values()))
        return frozenset((mark.kind, mark.issue) for mark in newer)

    def noted(self, note: str) -> Mark | None:
        """The mark that was kept with a note; none where there is none."""
        return self._noted.get(note)

    def stands(self, seq: int) -> bool:
        """Whether a mark was made and not taken back."""
        return seq in self._standing

    def last_of(self, whose: Callable[[Mark], bool]) -> Mark | None:
        """The last mark still standing that fits; none where none does."""
        return next((mark for mark in reversed(self._standing.values()) if whose(mark)), None)

    def _cancel(self, seq: int) -> None:
        self._cancelled.add(seq)
        gone = self._standing.pop(seq, None)
        if gone is not None:
            self._count(gone, -gone.delta)

    def _count(self, mark: Mark, delta: int) -> None:
        key = (mark.kind, mark.issue)
        count = self._counts.get(key, 0) + delta
        if count:
            self._counts[key] = count
        else:
            self._counts.pop(key, None)

    def _told(self, mark: Mark) -> int:
        """How many pieces a mark told; less than none where it takes some back."""
        if mark.cancels is None:
            return mark.delta
        gone = self._every.get(mark.cancels)
        return 0 if gone is None else -gone.delta
