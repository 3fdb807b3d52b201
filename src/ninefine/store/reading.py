"""Reading a book's file as it stands: its records, each proven, and every fault of the file and of the book in it."""

from collections.abc import Iterator
from datetime import datetime
from pathlib import Path

import apsw

from ninefine.book import codec
from ninefine.book.chain import GENESIS, Stored, seal
from ninefine.book.entries import Attachment, Entry, files_of
from ninefine.book.laws import broken_laws
from ninefine.errors import BookError, DamagedFileError, NewerFileError, StoreError
from ninefine.store import attachments


def rows(connection: apsw.Connection, path: Path, after: Stored | None = None) -> Iterator[Stored]:
    """The records after one, each proven by its digest before it is read.

    Raises:
        DamagedFileError: an entry is missing, or is not what was said.
        NewerFileError: an entry was written by a later ninefine.
    """
    serial, previous = (after.serial, after.digest) if after else (0, GENESIS)
    found = connection.execute(
        "SELECT serial, said_at, body, digest, previous FROM journal WHERE serial > ? ORDER BY serial", (serial,)
    )
    for number, said_at, body, digest, before in found:
        if number != serial + 1 or before != previous or digest != seal(before, number, said_at, body):
            raise DamagedFileError(
                f"{path}: entry {serial + 1} is missing or is not what was said. Use a backup; leave this file as it "
                "is."
            )
        yield Stored(
            serial=number,
            said_at=datetime.fromisoformat(said_at),
            entry=_entry(path, number, body),
            digest=digest,
            previous=before,
        )
        serial, previous = number, digest


def faults(connection: apsw.Connection, path: Path, currency: str) -> tuple[str, ...]:
    """Read the whole file and check it against the laws: a sentence for each fault, none where all is well."""
    found = [f"The file: {row}." for (row,) in connection.execute("PRAGMA integrity_check") if row != "ok"]
    found += [f"The file: a row of {row[0]} names none." for row in connection.execute("PRAGMA foreign_key_check")]
    kept = set(attachments.names(connection))
    for name in sorted(kept):
        try:
            attachments.fetch(connection, name)
        except DamagedFileError as error:
            found.append(str(error))
    try:
        records = list(rows(connection, path))
    except StoreError as error:
        return (*found, str(error))
    found += [
        f"Entry {serial} names the file {file.name!r}, and the book does not hold it."
        for serial, file in named_files(records)
        if file.sha256 not in kept
    ]
    return (*found, *broken_laws(records, currency=currency))


def named_files(records: list[Stored]) -> Iterator[tuple[int, Attachment]]:
    """Every file that an entry names, with the entry's serial, mends among them."""
    for record in records:
        yield from ((record.serial, file) for file in files_of(record.entry))


def _entry(path: Path, serial: int, body: bytes) -> Entry:
    try:
        return codec.decode(body)
    except BookError as error:
        version = codec.version_of(body)
        kind = NewerFileError if version is not None and version > codec.FORMAT else DamagedFileError
        raise kind(f"{path}: entry {serial}: {error}") from error
