"""Where a book's file lies: looking at it before it is opened, claiming a place for a new one."""

import os
from pathlib import Path

from ninefine.errors import ForeignFileError, StoreError
from ninefine.store.guard import guarded
from ninefine.store.schema import APPLICATION_ID

#: The first bytes of every plain SQLite file (its file format, section 1.3).
_PLAIN = b"SQLite format 3\x00"
#: Where the file format keeps the application's number, in a plain file.
_APPLICATION = slice(68, 72)
#: What an encrypted book shows of its header: a page size, then format 1 or 2 twice, then 64 reserved bytes on each
#: page, then three figures that the file format fixes (64, 32, 32). All else is the salt and encrypted.
_PAGE_SIZES = frozenset(1 << power for power in range(9, 17))
_RESERVED_AND_FIXED = bytes((64, 64, 32, 32))
#: The least that a database can be: one page of the smallest size.
_LEAST = 512


def is_plain(path: Path) -> bool:
    """Whether a book's file is kept without a passphrase, from its first bytes.

    Raises:
        StoreError: there is no such file, or it cannot be read.
        ForeignFileError: it is something else than a book.
    """
    with guarded(path):
        if path.is_dir():
            raise ForeignFileError(f"{path}: this is a folder, not a book.")
        if path.exists() and not path.is_file():
            raise ForeignFileError(f"{path}: this is no ordinary file, so it is no book.")
        try:
            with path.open("rb") as file:
                head = file.read(_LEAST)
        except FileNotFoundError:
            raise StoreError(f"{path}: there is no such file.") from None
    if not head:
        raise ForeignFileError(f"{path}: the file is empty, so it is no book.")
    if head.startswith(_PLAIN):
        if int.from_bytes(head[_APPLICATION], "big") != APPLICATION_ID:
            raise ForeignFileError(f"{path}: this is a database of another program, not a book.")
        return True
    if len(head) < _LEAST or not _looks_encrypted(head):
        raise ForeignFileError(f"{path}: this is not a book, or its beginning is damaged.")
    return False


def _looks_encrypted(head: bytes) -> bool:
    return (
        int.from_bytes(head[16:18], "big") in _PAGE_SIZES
        and head[18] in {1, 2}
        and head[19] in {1, 2}
        and head[20:24] == _RESERVED_AND_FIXED
    )


def claim(path: Path) -> None:
    """Make an empty file that only its owner may read, where there is none.

    Raises:
        StoreError: there is one already, or the folder cannot be written.
    """
    with guarded(path):
        try:
            os.close(os.open(path, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600))
        except FileExistsError:
            raise StoreError(f"{path}: there is a file already. Name another place; nothing was written.") from None
        except FileNotFoundError:
            raise StoreError(f"{path}: its folder does not exist. Make the folder first.") from None


def make_folder(path: Path) -> None:
    """Make the folder that a book's file is to lie in, where it is not there.

    Raises:
        StoreError: it cannot be made.
    """
    with guarded(path.parent):
        try:
            path.parent.mkdir(parents=True, exist_ok=True)
        except (FileExistsError, NotADirectoryError):
            raise StoreError(f"{path.parent}: this is no folder. Name another place; nothing was written.") from None


def discard(path: Path) -> None:
    """Remove a file that never became a book, with what the database laid beside it.

    Raises:
        StoreError: the folder cannot be written.
    """
    with guarded(path):
        for name in (path.name, f"{path.name}-wal", f"{path.name}-shm", f"{path.name}-journal"):
            path.with_name(name).unlink(missing_ok=True)
