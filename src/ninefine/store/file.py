"""Making and opening a book's file: one file, encrypted unless a plain one was asked for aloud."""

import os
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

import apsw

from ninefine.book.chain import moment
from ninefine.errors import ForeignFileError, PassphraseError, UnreadableError
from ninefine.measure.money import currency_code
from ninefine.store.cipher import connect, key_of, unlock
from ninefine.store.guard import guarded
from ninefine.store.journal import BookFile, utc_now
from ninefine.store.place import claim, discard, is_plain
from ninefine.store.schema import APPLICATION_ID, bring_up_to_date

#: How long a window waits for another before it gives up, in milliseconds.
PATIENCE_MS = 5000


def needs_passphrase(path: Path) -> bool:
    """Whether a book must be opened with a passphrase, from its first bytes.

    Raises:
        StoreError: no such file, or it cannot be read.
        ForeignFileError: it is something else than a book.
    """
    return not is_plain(path)


def create_book(  # noqa: PLR0913 - each is said by name
    path: Path,
    passphrase: str | None,
    *,
    name: str,
    currency: str,
    now: datetime,
    plain: bool = False,
    clock: Callable[[], datetime] = utc_now,
) -> BookFile:
    """Make a new book and open it. Never writes over a file.

    Args:
        path: where; its folder must exist.
        passphrase: none only if `plain` is said too.
        name: what the person calls the book.
        currency: its one currency, ISO 4217; fixed from then on.
        now: when it is made.
        plain: that the file is to be kept without a passphrase, for anyone to read, was said aloud.
        clock: says when each entry is said.

    Raises:
        PassphraseError: an empty passphrase, or none and `plain` was not said, or both.
        NotFoundError: not a currency.
        UnreadableError: no name.
        StoreError: a file is there already, or the place cannot be written.
    """
    if plain != (passphrase is None):
        raise PassphraseError(
            "A plain book takes no passphrase." if plain else "A new book needs a passphrase, or plain must be said."
        )
    key = None if passphrase is None else key_of(passphrase)
    code = currency_code(currency)
    if not name.strip():
        raise UnreadableError("The book has no name.", expected="Give it one, such as the household's.")
    claim(path)
    try:
        with guarded(path):
            connection = connect(path, key)
            try:
                connection.pragma("application_id", APPLICATION_ID)
                _settle(connection)
                bring_up_to_date(connection, moment(now))
                connection.execute("BEGIN IMMEDIATE")
                for key_value in (("name", name.strip()), ("currency", code), ("created", moment(now))):
                    connection.execute("INSERT INTO meta VALUES (?, ?)", key_value)
                connection.execute("COMMIT")
                _keep_the_name(path)
            except BaseException:
                connection.close()
                raise
        return _book(connection, path, is_plain=passphrase is None, clock=clock)
    except BaseException:
        discard(path)
        raise


def open_book(
    path: Path, passphrase: str | None, *, clock: Callable[[], datetime] = utc_now, patience_ms: int = PATIENCE_MS
) -> BookFile:
    """Open a book that exists.

    Args:
        path: the file.
        passphrase: none for a plain book.
        clock: says when each entry is said.
        patience_ms: how long to wait for another window.

    Raises:
        PassphraseError: none given, the wrong one, or one for a plain book.
        ForeignFileError: the file is something else.
        DamagedFileError: it was a book and no longer reads whole.
        NewerFileError: written by a later ninefine.
        StoreError: no such file, or it cannot be read and written.
    """
    plain = is_plain(path)
    if plain and passphrase is not None:
        raise PassphraseError(f"{path}: this book is kept plain and takes no passphrase. Open it without one.")
    if not plain and passphrase is None:
        raise PassphraseError(f"{path}: this book needs its passphrase.")
    with guarded(path, is_plain=plain):
        connection = connect(path, None) if passphrase is None else unlock(path, passphrase)
        try:
            _must_be_ours(connection, path)
            connection.set_busy_timeout(patience_ms)
            _settle(connection)
            bring_up_to_date(connection, moment(clock()))
        except BaseException:
            connection.close()
            raise
    return _book(connection, path, is_plain=plain, clock=clock)


def _book(connection: apsw.Connection, path: Path, *, is_plain: bool, clock: Callable[[], datetime]) -> BookFile:
    try:
        return BookFile(connection, path, is_plain=is_plain, clock=clock)
    except BaseException:
        connection.close()
        raise


def _must_be_ours(connection: apsw.Connection, path: Path) -> None:
    if connection.pragma("application_id") != APPLICATION_ID:
        raise ForeignFileError(f"{path}: this is a database of another program, not a book.")


def _settle(connection: apsw.Connection) -> None:
    """How every window treats the file. A commit is acknowledged when the disk says that it holds it."""
    connection.pragma("journal_mode", "wal")
    connection.pragma("synchronous", "full")
    connection.pragma("foreign_keys", True)
    connection.pragma("recursive_triggers", True)  # so that replacing a row counts as deleting it
    connection.pragma("temp_store", "memory")  # nothing of the book lies about in plain text


def _keep_the_name(path: Path) -> None:
    """Make the folder remember a new file, where the system lets folders be synced."""
    if os.name == "posix":
        folder = os.open(path.parent, os.O_RDONLY)
        try:
            os.fsync(folder)
        finally:
            os.close(folder)
