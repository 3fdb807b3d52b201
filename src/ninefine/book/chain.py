"""The chain: each stored entry carries the digest of the one before, so that nothing can be changed unseen."""

from collections.abc import Iterable
from datetime import UTC, datetime
from hashlib import sha256

import msgspec

from ninefine.book.codec import encode
from ninefine.book.entries import Entry
from ninefine.errors import BookError, BrokenLawError

#: Stands before the first entry.
GENESIS = bytes(32)


class Stored(msgspec.Struct, frozen=True, kw_only=True, gc=False):
    """An entry as the book keeps it.

    Attributes:
        serial: from 1, without gaps.
        said_at: when it was said, in UTC; `entry.on` is when it happened.
        digest: SHA-256 over `previous`, `serial`, `said_at` and the entry's canonical bytes.
        previous: the digest of the entry before, or `GENESIS`.
    """

    serial: int
    said_at: datetime
    entry: Entry
    digest: bytes
    previous: bytes


def moment(said_at: datetime) -> str:
    """A moment as the journal writes it: `2026-06-12T14:03:11.250000Z`, always to the microsecond.

    Raises:
        BookError: the moment has no time zone.
    """
    if said_at.tzinfo is None:
        raise BookError("A moment of the journal needs its time zone.")
    return said_at.astimezone(UTC).replace(tzinfo=None).isoformat(timespec="microseconds") + "Z"


def seal(previous: bytes, serial: int, said_at: str, body: bytes) -> bytes:
    """The digest of one record: previous (32 bytes), serial (8, big-endian), said_at (27, ASCII), then the body."""
    return sha256(b"".join((previous, serial.to_bytes(8, "big"), said_at.encode("ascii"), body))).digest()


def store(entry: Entry, *, said_at: datetime, after: Stored | None) -> Stored:
    """The record that follows another (or begins the book)."""
    previous, serial = (after.digest, after.serial + 1) if after else (GENESIS, 1)
    stamp = moment(said_at)
    return Stored(
        serial=serial,
        said_at=said_at.astimezone(UTC),
        entry=entry,
        digest=seal(previous, serial, stamp, encode(entry)),
        previous=previous,
    )


def store_all(entries: Iterable[Entry], *, said_at: datetime, after: Stored | None) -> tuple[Stored, ...]:
    """The records of several entries said at one moment, following another record or beginning the book."""
    records: list[Stored] = []
    for entry in entries:
        after = store(entry, said_at=said_at, after=after)
        records.append(after)
    return tuple(records)


def link(before: Stored | None, record: Stored) -> None:
    """Check that a record follows another.

    Raises:
        BrokenLawError: a gap in the serials, or a digest that is not the one before's.
    """
    serial, digest = (before.serial, before.digest) if before else (0, GENESIS)
    if record.serial != serial + 1:
        raise BrokenLawError(f"Entry {serial + 1} is missing: entry {record.serial} follows entry {serial}.")
    if record.previous != digest:
        raise BrokenLawError(f"Entry {record.serial} does not follow entry {serial}: one of them was changed.")


def verify_chain(records: Iterable[Stored]) -> None:
    """Check serials and digests from the first entry to the last, writing each entry anew.

    The book's file checks the bytes that it holds with `seal` and `link` instead, so that records of earlier formats
    verify too.

    Raises:
        BrokenLawError: names the first entry that does not hold.
    """
    before: Stored | None = None
    for record in records:
        link(before, record)
        if record.digest != seal(record.previous, record.serial, moment(record.said_at), encode(record.entry)):
            raise BrokenLawError(f"Entry {record.serial} is not what was said: its digest does not fit.")
        before = record
