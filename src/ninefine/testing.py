"""A book kept in memory: the same promises as the file, for tests and for trying things out in a notebook."""

import hashlib
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from datetime import UTC, date, datetime, timedelta

from ninefine.book.chain import Stored, store, store_all
from ninefine.book.entries import Attachment, Entry
from ninefine.book.holdings import Holdings
from ninefine.book.laws import broken_laws
from ninefine.book.ledger import Ledger
from ninefine.catalog.catalog import Catalog
from ninefine.catalog.shelf import load_catalog
from ninefine.desk.kit import Kit
from ninefine.errors import BookError, NotFoundError

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
    said_at: datetime | None = None


@dataclass(slots=True, kw_only=True)
class ListTally:
    """A tally and its marks."""

    number: int
    heap: str
    title: str
    started_at: datetime = EPOCH
    marks: list[ListMark] = field(default_factory=list)
    open: bool = True
    serial: int | None = None


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

    def append_all(
        self, entries: Sequence[Entry], *, check: Callable[[Holdings], None] | None = None
    ) -> tuple[Stored, ...]:
        """Keep several entries, or raise and keep nothing."""
        if check is not None:
            check(self.holdings())
        stored = store_all(entries, said_at=next(self._moments), after=self._ledger.last)
        self._ledger.add_all(stored)
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
        number = len(self._tallies) + 1
        self._tallies.append(ListTally(number=number, heap=heap, title=title, started_at=next(self._moments)))
        return number

    def tally(self, tally: int) -> ListTally:
        """What a tally is of."""
        if not 1 <= tally <= len(self._tallies):
            raise NotFoundError(f"There is no tally {tally}.")
        return self._tallies[tally - 1]

    def open_tallies(self) -> Sequence[ListTally]:
        """Tallies not yet ended."""
        return [tally for tally in self._tallies if tally.open]

    def mark(self, tally: int, kind: str, issue: str, delta: int, note: str = "") -> int:
        """Keep one mark."""
        return self._keep(tally, ListMark(seq=0, kind=kind, issue=issue, delta=delta, note=note))

    def mark_all(self, tally: int, rows: Iterable[tuple[str, str, int]], note: str = "") -> None:
        """Keep several marks."""
        moment = next(self._moments)
        for kind, issue, delta in rows:
            self._keep(tally, ListMark(seq=0, kind=kind, issue=issue, delta=delta, note=note, said_at=moment))

    def undo(self, tally: int, seq: int | None = None, note: str = "") -> int | None:
        """Cancel a mark, or the last still standing."""
        marks = self._open(tally).marks
        cancelled = {mark.cancels for mark in marks}
        for mark in reversed(marks):
            if mark.cancels is None and mark.seq not in cancelled and seq in {None, mark.seq}:
                self._keep(
                    tally, ListMark(seq=0, kind=mark.kind, issue=mark.issue, delta=0, note=note, cancels=mark.seq)
                )
                return mark.seq
        return None

    def marks(self, tally: int, after: int = 0) -> Sequence[ListMark]:
        """The marks of a tally that follow the mark `after`."""
        return tuple(self.tally(tally).marks[after:])

    def close_tally(self, tally: int, serial: int | None) -> None:
        """End a tally."""
        ended = self._open(tally)
        ended.open, ended.serial = False, serial

    def _open(self, tally: int) -> ListTally:
        found = self.tally(tally)
        if not found.open:
            how = f"booked by entry {found.serial}" if found.serial else "put aside"
            raise BookError(f"Tally {tally} ({found.title}) was already {how}. Begin another.")
        return found

    def _keep(self, tally: int, mark: ListMark) -> int:
        marks = self._open(tally).marks
        moment = mark.said_at or next(self._moments)
        marks.append(replace(mark, seq=len(marks) + 1, said_at=moment))
        return len(marks)

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
