"""The open book: entries appended and read, attachments, tallies. One file, perhaps open in several windows at once.

Safe for use by several threads: one connection, guarded by a lock, so that a window's requests wait for each other.
Windows and processes see each other through the file: every reading looks first for entries that others appended.
"""

import threading
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from datetime import UTC, date, datetime
from pathlib import Path
from types import TracebackType
from typing import BinaryIO, Self

import apsw

from ninefine.book import codec
from ninefine.book.chain import Stored, moment, store, store_all
from ninefine.book.entries import Attachment, Entry
from ninefine.book.holdings import Holdings
from ninefine.book.ledger import Ledger
from ninefine.book.lines import Count
from ninefine.book.proved import Proved
from ninefine.errors import DamagedFileError
from ninefine.measure.money import CURRENCIES
from ninefine.store import attachments, backup, reading, tallies
from ninefine.store.cipher import rekey
from ninefine.store.guard import guarded
from ninefine.store.tallies import MarkRecord, TallyRecord


def utc_now() -> datetime:
    """The computer's clock, in Coordinated Universal Time."""
    return datetime.now(UTC)


class BookFile:
    """An open book; made by `store.file.open_book` and `create_book`.

    Attributes:
        path: the file.
        name: what the person calls the book.
        currency: the book's one currency, ISO 4217.
        is_plain: whether the file is kept without a passphrase; to be said aloud at every opening.
    """

    def __init__(
        self, connection: apsw.Connection, path: Path, *, is_plain: bool, clock: Callable[[], datetime] = utc_now
    ) -> None:
        self.path = path
        self.is_plain = is_plain
        self._connection = connection
        self._clock = clock
        self._lock = threading.RLock()
        with self._reading():
            said = {str(key): str(value) for key, value in connection.execute("SELECT key, value FROM meta")}
            self.name, self.currency = said.get("name", ""), said.get("currency", "")
            if not self.name or self.currency not in CURRENCIES:
                raise DamagedFileError(f"{path}: the book no longer says its name and currency. Use a backup.")
            self._ledger = Ledger(self.currency)
            self._refresh()

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()

    def close(self) -> None:
        """Close the file; what the write-ahead log holds is first brought into it."""
        with self._lock:
            self._connection.close()

    # entries

    @property
    def ledger(self) -> Ledger:
        """The records with a live fold over them, as the file holds them now. For one thread only."""
        with self._reading():
            self._refresh()
            return self._ledger

    def refresh(self) -> int:
        """Read the entries that other windows appended; answers the last serial."""
        return self.ledger.serial

    def holdings(self, on: date | None = None) -> Holdings:
        """What the book holds now, or held at the end of a date.

        Raises:
            BookError: an entry cannot be counted; it can still be mended or withdrawn.
        """
        with self._reading():
            self._refresh()
            return self._ledger.holdings(on)

    def records(self) -> Sequence[Stored]:
        """Every entry as it was kept, in order."""
        with self._reading():
            self._refresh()
            return tuple(self._ledger.records)

    def append(
        self, entry: Entry, *, check: Callable[[Holdings], None] | None = None, ends_tally: int | None = None
    ) -> Stored:
        """Keep one entry, or raise and keep nothing. It is on the disk when this returns.

        Args:
            entry: what to keep.
            check: given what the book holds just before the entry, while no other window can write; raises to refuse.
            ends_tally: a tally that is booked by this entry, ended in the same breath.

        Raises:
            BookError: the book cannot hold the entry.
            StoreError: the file could not be written.
        """
        entry = codec.settled(entry)
        added = False
        try:
            with self._writing() as (connection, now):
                self._refresh()
                if check is not None:
                    check(self._ledger.holdings())
                record = store(entry, said_at=now, after=self._ledger.last)
                self._ledger.add(record)
                added = True
                _insert(connection, record)
                if ends_tally is not None:
                    tallies.end(connection, ends_tally, record.serial, moment(now))
        except BaseException:
            if added:
                self._ledger.drop_last()
            raise
        return record

    def append_all(
        self, entries: Sequence[Entry], *, check: Callable[[Holdings], None] | None = None
    ) -> tuple[Stored, ...]:
        """Keep several entries, all of them or none; `check` as for `append`. They are on the disk when this returns.

        Raises:
            BookError: the book cannot hold one of them.
            StoreError: the file could not be written.
        """
        said = [codec.settled(entry) for entry in entries]
        added = 0
        try:
            with self._writing() as (connection, now):
                self._refresh()
                if check is not None:
                    check(self._ledger.holdings())
                records = store_all(said, said_at=now, after=self._ledger.last)
                self._ledger.add_all(records)
                added = len(records)
                for record in records:
                    _insert(connection, record)
        except BaseException:
            if added:
                self._ledger.drop_last(added)
            raise
        return records

    def take_in(self, records: Sequence[Stored], files: Mapping[str, bytes], counts: Sequence[Count] = ()) -> None:
        """Fill an empty book with another's records, files and counts, each with the moment and digest that it had.

        Raises:
            BookError: the records cannot be counted, or do not follow the book's last (so the book must be empty).
        """
        added = False
        try:
            with self._writing() as (connection, now):
                self._refresh()
                self._ledger.add_all(records)
                added = True
                for sha256, whole in files.items():
                    attachments.keep(connection, sha256, whole, moment(now))
                for record in records:
                    _insert(connection, record)
                for count in counts:
                    tallies.take_in(connection, count)
        except BaseException:
            if added:
                self._ledger.drop_last(len(records))
            raise

    # attachments

    def attach(self, name: str, media: str, data: BinaryIO | bytes) -> Attachment:
        """Keep a file's bytes, up to 64 MB; an entry must then name what this answers.

        Raises:
            InputError: too large, or without a usable name.
        """
        whole = attachments.read_whole(data)
        attachment = attachments.described(name, media, whole)
        with self._writing() as (connection, now):
            attachments.keep(connection, attachment.sha256, whole, moment(now))
        return attachment

    def attachment(self, sha256: str) -> bytes:
        """The bytes of a kept file, checked against its digest.

        Raises:
            NotFoundError: the book holds no such file.
        """
        with self._reading() as connection:
            return attachments.fetch(connection, sha256)

    def count_files(self) -> int:
        """How many files the book keeps."""
        with self._reading() as connection:
            return len(list(attachments.names(connection)))

    # tallies

    def start_tally(self, heap: str, title: str) -> int:
        """Begin a tally of a heap; answers its number."""
        with self._writing() as (connection, now):
            return tallies.start(connection, heap, title, moment(now))

    def mark(self, tally: int, kind: str, issue: str, delta: int, note: str = "") -> int:
        """Keep one mark; answers its sequence number."""
        record = MarkRecord(seq=0, kind=kind, issue=issue, delta=delta, note=note)
        with self._writing() as (connection, now):
            return tallies.mark(connection, tally, record, moment(now))

    def mark_all(self, tally: int, rows: Iterable[tuple[str, str, int]], note: str = "") -> None:
        """Keep several marks at once, all of them or none: kind, issue and how many."""
        with self._writing() as (connection, now):
            for kind, issue, delta in rows:
                record = MarkRecord(seq=0, kind=kind, issue=issue, delta=delta, note=note)
                tallies.mark(connection, tally, record, moment(now))

    def undo(self, tally: int, seq: int | None = None, note: str = "") -> int | None:
        """Cancel a mark, or the last that still stands, whichever window made it; answers its number, or none."""
        with self._writing() as (connection, now):
            return tallies.undo(connection, tally, moment(now), seq, note)

    def marks(self, tally: int, after: int = 0) -> Sequence[MarkRecord]:
        """The marks of a tally in order, from all windows; those alone that follow the mark `after`."""
        with self._reading() as connection:
            return tallies.marks(connection, tally, after)

    def tally(self, tally: int) -> TallyRecord:
        """What a tally is of, and whether it was ended."""
        with self._reading() as connection:
            return tallies.find(connection, tally)

    def open_tallies(self) -> Sequence[TallyRecord]:
        """Tallies that were begun and neither booked nor put aside."""
        with self._reading() as connection:
            return tallies.under_way(connection)

    def close_tally(self, tally: int, serial: int | None) -> None:
        """End a tally: booked by an entry, or put aside."""
        with self._writing() as (connection, now):
            tallies.end(connection, tally, serial, moment(now))

    # the file

    def copy_to(self, path: Path, passphrase: str | None, *, plain: bool = False) -> Proved:
        """Make a whole copy of the book at a new place, under a passphrase of its own, and prove it: `store.backup`."""
        with self._reading() as connection:
            return backup.copy(connection, path, passphrase, is_plain=self.is_plain, plain=plain)

    def change_passphrase(self, passphrase: str) -> None:
        """Write the whole file anew under another passphrase. Other windows must open the book again.

        Raises:
            PassphraseError: the new one is empty.
            BusyError: another window holds the book.
        """
        with self._reading() as connection:
            rekey(connection, passphrase, is_plain=self.is_plain)
            self.is_plain = False

    def faults(self) -> tuple[str, ...]:
        """Read the whole file and check it against the laws: a sentence for each fault, none where all is well."""
        with self._reading() as connection:
            return reading.faults(connection, self.path, self.currency)

    # within the lock

    @contextmanager
    def _reading(self) -> Iterator[apsw.Connection]:
        with self._lock, guarded(self.path, is_plain=self.is_plain):
            yield self._connection

    @contextmanager
    def _writing(self) -> Iterator[tuple[apsw.Connection, datetime]]:
        """One transaction: all of it is on the disk at the end, or none of it."""
        with self._lock, guarded(self.path, is_plain=self.is_plain):
            connection = self._connection
            connection.execute("BEGIN IMMEDIATE")
            try:
                yield connection, self._clock()
                connection.execute("COMMIT")
            except BaseException:
                if connection.in_transaction:
                    connection.execute("ROLLBACK")
                raise

    def _refresh(self) -> None:
        self._ledger.extend(reading.rows(self._connection, self.path, self._ledger.last))


def _insert(connection: apsw.Connection, record: Stored) -> None:
    connection.execute(
        "INSERT INTO journal VALUES (?, ?, ?, ?, ?)",
        (record.serial, moment(record.said_at), codec.encode(record.entry), record.digest, record.previous),
    )
