"""Copies of the book: whole, under a passphrase of their own, and proven before they take their name.

Proven means: the copy is opened with its own passphrase, every entry is held against its digest, every attachment
against its name, the laws of the book are counted anew, and its last entry is the book's own.
"""

import os
from pathlib import Path

import apsw

from ninefine.book.proved import Proved, proved
from ninefine.errors import PassphraseError, StoreError
from ninefine.store import attachments, reading
from ninefine.store.cipher import connect, key_of, unlock
from ninefine.store.guard import guarded
from ninefine.store.place import claim, discard


def copy(source: apsw.Connection, path: Path, passphrase: str | None, *, is_plain: bool, plain: bool = False) -> Proved:
    """Copy an open book to a file that does not exist yet.

    The copy is written beside its place as `NAME.part`, read back, and only then given its name; one that was cut
    short never looks like a copy.

    Args:
        source: the open book.
        path: where the copy is to be.
        passphrase: the copy's own; may be the book's. None with `plain` only.
        is_plain: whether the book itself is plain: then the copy is too.
        plain: that the copy is to be plain was said aloud.

    Raises:
        StoreError: a file is there already, or the place cannot be written.
        PassphraseError: no passphrase for a book that has one, or one for a book that has none.
    """
    if is_plain != (passphrase is None):
        raise PassphraseError(
            "This book is kept plain, so its copies are plain. Give the book a passphrase first."
            if is_plain
            else "A copy of this book needs a passphrase; it may be the same."
        )
    if is_plain and not plain:
        raise PassphraseError("The copy would be plain, for anyone to read. Say that this is meant.")
    key = None if passphrase is None else key_of(passphrase)
    if path.exists():
        raise StoreError(f"{path}: there is a file already. Name another place; nothing was written.")
    part = path.with_name(path.name + ".part")
    with guarded(path):
        discard(part)
        claim(part)
        try:
            _write(source, connect(part, key))
            proved = _prove(source, part, passphrase)
            take_name(part, path)
        except BaseException:
            discard(part)
            raise
    return proved


def _write(source: apsw.Connection, copy_: apsw.Connection) -> None:
    try:
        with copy_.backup("main", source, "main") as pages:
            while not pages.done:
                pages.step(4096)
    finally:
        copy_.close()


def _prove(source: apsw.Connection, part: Path, passphrase: str | None) -> Proved:
    """Read the copy back with its own passphrase, compare the end of its journal, and hold it against the laws."""
    last = "SELECT serial, digest FROM journal ORDER BY serial DESC LIMIT 1"
    copy_ = connect(part, None) if passphrase is None else unlock(part, passphrase)
    try:
        whole = copy_.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
        if not whole or copy_.execute(last).fetchone() != source.execute(last).fetchone():
            raise StoreError(f"{part}: the copy does not read back as the book. Check the disk; no copy was kept.")
        return prove(copy_, part)
    finally:
        copy_.close()


def prove(connection: apsw.Connection, path: Path) -> Proved:
    """Prove an open book's file whole.

    Raises:
        StoreError: says every fault.
    """
    currency = str(connection.execute("SELECT value FROM meta WHERE key = 'currency'").fetchall()[0][0])
    faults = reading.faults(connection, path, currency)
    if faults:
        raise StoreError("\n".join([f"{path}: this copy does not hold, so it was not kept.", *faults]))
    records = list(reading.rows(connection, path))
    return proved(records, len(list(attachments.names(connection))))


def take_name(part: Path, path: Path) -> None:
    """Give the copy its name without ever writing over another file."""
    with part.open("rb+") as file:
        os.fsync(file.fileno())
    try:
        os.link(part, path)
    except FileExistsError:
        raise StoreError(f"{path}: there is a file already. Name another place; nothing was written.") from None
    except OSError:  # a disk without hard links, such as most memory sticks
        if path.exists():
            raise StoreError(f"{path}: there is a file already. Name another place; nothing was written.") from None
        part.rename(path)
    else:
        part.unlink()
