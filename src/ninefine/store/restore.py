"""A book made anew, of a copy of it or of its journal written out line by line: proved before it takes its name."""

import shutil
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

from ninefine.book.lines import Journal
from ninefine.book.proved import Proved, proved
from ninefine.errors import NinefineError, StoreError
from ninefine.store.backup import take_name
from ninefine.store.file import create_book, needs_passphrase, open_book
from ninefine.store.guard import guarded
from ninefine.store.journal import BookFile
from ninefine.store.place import claim, discard


def restore(copy: Path, passphrase: str | None, path: Path) -> Proved:
    """Make a book of a copy of it. The copy is only read; nothing is ever written over.

    Args:
        copy: the copy's file, with what a crash may have left beside it.
        passphrase: the copy's own; none where it is plain.
        path: where the book is to be.

    Raises:
        StoreError: a file is there already; or the copy is no book, is damaged, or breaks a law: nothing is kept then.
        PassphraseError: the passphrase does not open the copy.
    """
    needs_passphrase(copy)  # refuses what is no book, by the copy's own name
    _must_be_free(path)
    part = _part(path)

    def fill() -> BookFile:
        claim(part)
        shutil.copyfile(copy, part)
        log = copy.with_name(f"{copy.name}-wal")
        if log.exists():
            shutil.copyfile(log, part.with_name(f"{part.name}-wal"))
        try:
            return open_book(part, passphrase)
        except NinefineError as error:
            error.args = tuple(str(each).replace(str(part), str(copy)) for each in error.args)
            raise

    return _made(part, path, fill)


def rebuild(journal: Journal, passphrase: str | None, path: Path, *, now: datetime, plain: bool = False) -> Proved:
    """Make a book of a journal that was written out: the same entries, said at the same moments, digest for digest.

    Args:
        journal: as `book.lines.read_lines` proved it.
        passphrase: the new book's own; none only if `plain` is said too.
        path: where the book is to be.
        now: when it is made.
        plain: that it is to be kept without a passphrase was said aloud.

    Raises:
        StoreError: a file is there already, or the place cannot be written.
        BookError: the entries cannot be counted; nothing is kept then.
    """
    _must_be_free(path)
    part = _part(path)

    def fill() -> BookFile:
        book = create_book(
            part, passphrase, name=journal.name, currency=journal.currency, now=now, plain=plain, clock=lambda: now
        )
        try:
            book.take_in(journal.records, journal.files, journal.counts)
        except BaseException:
            book.close()
            raise
        return book

    return _made(part, path, fill)


def _made(part: Path, path: Path, fill: Callable[[], BookFile]) -> Proved:
    """A book filled at a place of its own, proved, and given its name."""
    with guarded(path):
        try:
            with fill() as book:
                _must_hold(book, path)
                found = proved(list(book.records()), book.count_files())
            take_name(part, path)
        except BaseException:
            discard(part)
            raise
    return found


def _must_hold(book: BookFile, path: Path) -> None:
    faults = book.faults()
    if faults:
        raise StoreError("\n".join([f"{path}: what was to be the book does not hold.", *faults]))


def _part(path: Path) -> Path:
    part = path.with_name(f"{path.name}.part")
    discard(part)
    return part


def _must_be_free(path: Path) -> None:
    if path.exists():
        raise StoreError(f"{path}: there is a file already. Name another place; nothing was written.")
