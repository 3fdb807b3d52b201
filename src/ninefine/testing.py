"""A book kept in memory: the same promises as the file, for tests and for trying things out in a notebook."""

import hashlib
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, timedelta

from ninefine.book.chain import Stored, store
from ninefine.book.entries import Attachment, Entry
from ninefine.book.holdings import Holdings
from ninefine.book.laws import broken_laws
from ninefine.book.ledger import Ledger
from ninefine.catalog.catalog import Catalog
from ninefine.catalog.shelf import load_catalog
from ninefine.desk.kit import Kit

EPOCH = datetime(2026, 1, 1, 12, 0, tzinfo=UTC)
DAY = EPOCH.date()


@dataclass(frozen=True, slots=True, kw_only=True)
class ListMark:
    """A mark of a tally."""

    seq: int
    kind: str
    issue: str
    delta: int
    note: str = ""
    cancels: int | None = None


@dataclass(slots=True, kw_only=True)
class ListTally:
    """A tally and its marks."""

    number: int
    heap: str
    title: str
    marks: list[ListMark] = field(default_factory=list)
    open: bool = True


class ListJournal:
    """A journal and its tallies in lists. Implements `desk.kit.Journal` and `desk.kit.TallyBook`."""

    def __init__(self, *, name: str = "A book in memory", currency: str = "USD") -> None:
        self.name = name
        self.currency = currency
        self.is_plain = True
        self._ledger = Ledger(currency)
        self._files: dict[str, bytes] = {}
        self._tallies: list[ListTally] = []
        self._moments = self._clock()

    def holdings(self, on: date | None = None) -> Holdings:
        """What the book holds now, or held on a date."""
        return self._ledger.holdings(on)

    def records(self) -> Sequence[Stored]:
        """Every entry in order."""
        return tuple(self._ledger.records)

    def append(
        self, entry: Entry, *, check: Callable[[Holdings], None] | None = None, ends_tally: int | None = None
    ) -> Stored:
        """Keep one entry, or raise and keep nothing."""
        if check is not None:
            check(self.holdings())
        stored = store(entry, said_at=next(self._moments), after=self._ledger.last)
        self._ledger.add(stored)
        if ends_tally is not None:
            self.close_tally(ends_tally, stored.serial)
        return stored

    def attach(self, name: str, media: str, data: bytes) -> Attachment:
        """Keep a file's bytes."""
        digest = hashlib.sha256(data).hexdigest()
        self._files[digest] = data
        return Attachment(sha256=digest, name=name, media=media, size=len(data))

    def attachment(self, sha256: str) -> bytes:
        """The bytes of a kept file."""
        return self._files[sha256]

    def faults(self) -> tuple[str, ...]:
        """Hold everything against the laws."""
        altered = [name for name, data in self._files.items() if hashlib.sha256(data).hexdigest() != name]
        return (*broken_laws(self.records(), currency=self.currency), *(f"{name} was altered." for name in altered))

    def start_tally(self, heap: str, title: str) -> int:
        """Begin a tally."""
        self._tallies.append(ListTally(number=len(self._tallies) + 1, heap=heap, title=title))
        return len(self._tallies)

    def tally(self, tally: int) -> ListTally:
        """What a tally is of."""
        return self._tallies[tally - 1]

    def open_tallies(self) -> Sequence[ListTally]:
        """Tallies not yet ended."""
        return [tally for tally in self._tallies if tally.open]

    def mark(self, tally: int, kind: str, issue: str, delta: int, note: str = "") -> int:
        """Keep one mark."""
        marks = self.tally(tally).marks
        marks.append(ListMark(seq=len(marks) + 1, kind=kind, issue=issue, delta=delta, note=note))
        return len(marks)

    def undo(self, tally: int) -> int | None:
        """Cancel the last mark still standing."""
        marks = self.tally(tally).marks
        cancelled = {mark.cancels for mark in marks}
        for mark in reversed(marks):
            if mark.cancels is None and mark.seq not in cancelled:
                marks.append(ListMark(seq=len(marks) + 1, kind=mark.kind, issue=mark.issue, delta=0, cancels=mark.seq))
                return mark.seq
        return None

    def marks(self, tally: int) -> Sequence[ListMark]:
        """Every mark of a tally."""
        return tuple(self.tally(tally).marks)

    def close_tally(self, tally: int, serial: int | None) -> None:
        """End a tally."""
        del serial
        self.tally(tally).open = False

    @staticmethod
    def _clock() -> Iterator[datetime]:
        moment = EPOCH
        while True:
            yield moment
            moment += timedelta(seconds=1)


def kit_in_memory(*, today: date = DAY, currency: str = "USD", catalog: Catalog | None = None) -> Kit:
    """A kit over an empty book in memory, on a day that stands still."""
    journal = ListJournal(currency=currency)
    return Kit(reference=catalog or load_catalog(), journal=journal, tallies=journal, today=lambda: today)
