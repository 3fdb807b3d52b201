"""Tallies under way, mark by mark: each mark is on the disk before the next is typed, and none is ever rewritten."""

from dataclasses import dataclass
from datetime import datetime
from typing import Any

import apsw
import msgspec

from ninefine.book.lines import Count
from ninefine.errors import BookError, NotFoundError, RangeError

_NO_MORE = 2**62


@dataclass(frozen=True, slots=True, kw_only=True)
class TallyRecord:
    """A tally: of which heap, and how it ended, if it did.

    Attributes:
        number: the tally's number in the book.
        heap: the heap's name, as the desk reads it back.
        title: the heap in words.
        started_at: when it was begun, in UTC.
        ended_at: when it was booked or put aside.
        serial: the entry by which it was booked; none while it is open or where it was put aside.
    """

    number: int
    heap: str
    title: str
    started_at: datetime
    ended_at: datetime | None = None
    serial: int | None = None

    @property
    def open(self) -> bool:
        """Whether marks may still be added."""
        return self.ended_at is None


class MarkRecord(msgspec.Struct, frozen=True, kw_only=True, gc=False):
    """One mark of a tally. An undo has a delta of 0 and names the mark that it cancels; `said_at` is in UTC."""

    seq: int
    kind: str
    issue: str
    delta: int
    note: str = ""
    cancels: int | None = None
    said_at: datetime | None = None


def start(connection: apsw.Connection, heap: str, title: str, now: str) -> int:
    """Begin a tally; answers its number."""
    connection.execute("INSERT INTO tally (heap, title, started_at) VALUES (?, ?, ?)", (heap, title, now))
    return connection.last_insert_rowid()


def take_in(connection: apsw.Connection, count: Count) -> None:
    """Begin a tally as another book held it, under its number, with every mark as it was kept."""
    connection.execute(
        "INSERT INTO tally VALUES (?, ?, ?, ?)", (count.count, count.heap, count.title, count.started_at)
    )
    for mark in count.marks:
        connection.execute(
            "INSERT INTO tally_mark VALUES (?, ?, ?, ?, ?, ?, ?, ?)",
            (count.count, mark.seq, mark.kind, mark.issue, mark.delta, mark.note, mark.cancels, mark.said_at),
        )


def find(connection: apsw.Connection, number: int) -> TallyRecord:
    """A tally.

    Raises:
        NotFoundError: no such tally.
    """
    row = connection.execute(
        "SELECT number, heap, title, started_at, ended_at, serial FROM tally LEFT JOIN tally_end ON tally = number "
        "WHERE number = ?",
        (number,),
    ).fetchone()
    if row is not None:
        return _record(row)
    raise NotFoundError(
        f"There is no tally {number}.", instead=[str(record.number) for record in under_way(connection)]
    )


def under_way(connection: apsw.Connection) -> tuple[TallyRecord, ...]:
    """The tallies that were begun and not ended."""
    rows = connection.execute(
        "SELECT number, heap, title, started_at, ended_at, serial FROM tally LEFT JOIN tally_end ON tally = number "
        "WHERE ended_at IS NULL ORDER BY number"
    )
    return tuple(_record(row) for row in rows)


def marks(connection: apsw.Connection, number: int, after: int = 0) -> tuple[MarkRecord, ...]:
    """The marks of a tally in order, those alone that follow the mark `after`.

    Raises:
        NotFoundError: no such tally.
    """
    find(connection, number)
    rows = connection.execute(
        "SELECT seq, kind, issue, delta, note, cancels, said_at FROM tally_mark WHERE tally = ? AND seq > ? "
        "ORDER BY seq",
        (number, after),
    )
    return tuple(
        MarkRecord(
            seq=seq,
            kind=kind,
            issue=issue,
            delta=delta,
            note=note,
            cancels=cancels,
            said_at=datetime.fromisoformat(said_at),
        )
        for seq, kind, issue, delta, note, cancels, said_at in rows
    )


def mark(connection: apsw.Connection, number: int, record: MarkRecord, now: str) -> int:
    """Add a mark to an open tally; answers its sequence number, whatever `record.seq` says.

    Raises:
        NotFoundError: no such tally.
        BookError: the tally was ended.
        RangeError: a mark of no pieces.
    """
    _still_open(connection, number)
    if record.delta == 0 and record.cancels is None:
        raise RangeError("A mark of no pieces was given.", expected="Mark one piece or more, or take one back.")
    ((seq,),) = connection.execute(
        "INSERT INTO tally_mark SELECT ?1, coalesce(max(seq), 0) + 1, ?2, ?3, ?4, ?5, ?6, ?7 FROM tally_mark "
        "WHERE tally = ?1 RETURNING seq",
        (number, record.kind, record.issue, record.delta, record.note, record.cancels, now),
    ).fetchall()
    return int(str(seq))


def undo(connection: apsw.Connection, number: int, now: str, seq: int | None = None, note: str = "") -> int | None:
    """Cancel a mark that still stands, the last of them where none is named.

    Answers its number, or none where nothing stands or the mark that was named does not stand (any more).

    Raises:
        NotFoundError: no such tally.
        BookError: the tally was ended.
    """
    _still_open(connection, number)
    first, last = (1, _NO_MORE) if seq is None else (seq, seq)
    row = connection.execute(
        "SELECT seq, kind, issue FROM tally_mark AS mark WHERE tally = ?1 AND cancels IS NULL "
        "AND seq BETWEEN ?2 AND ?3 "
        "AND NOT EXISTS (SELECT 1 FROM tally_mark WHERE tally = ?1 AND cancels = mark.seq) ORDER BY seq DESC LIMIT 1",
        (number, first, last),
    ).fetchone()
    if row is None:
        return None
    gone, kind, issue = row
    mark(connection, number, MarkRecord(seq=0, kind=kind, issue=issue, delta=0, note=note, cancels=gone), now)
    return int(gone)


def end(connection: apsw.Connection, number: int, serial: int | None, now: str) -> None:
    """End a tally: booked by an entry, or put aside; its marks are kept.

    Raises:
        NotFoundError: no such tally, or no such entry.
        BookError: the tally was ended before.
    """
    _still_open(connection, number)
    if (
        serial is not None
        and connection.execute("SELECT 1 FROM journal WHERE serial = ?", (serial,)).fetchone() is None
    ):
        raise NotFoundError(f"There is no entry {serial} to book the tally by.")
    connection.execute("INSERT INTO tally_end VALUES (?, ?, ?)", (number, serial, now))


def _still_open(connection: apsw.Connection, number: int) -> None:
    record = find(connection, number)
    if not record.open:
        how = f"booked by entry {record.serial}" if record.serial else "put aside"
        raise BookError(f"Tally {number} ({record.title}) was already {how}. Begin another.")


def _record(row: tuple[Any, ...]) -> TallyRecord:
    number, heap, title, started_at, ended_at, serial = row
    return TallyRecord(
        number=number,
        heap=heap,
        title=title,
        started_at=datetime.fromisoformat(started_at),
        ended_at=datetime.fromisoformat(ended_at) if ended_at else None,
        serial=serial,
    )
