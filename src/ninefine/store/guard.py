"""Faults of the database and of the disk, said as faults of the book's file."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import apsw

from ninefine.errors import BusyError, DamagedFileError, NinefineError, PassphraseError, StoreError


@contextmanager
def guarded(path: Path, *, is_plain: bool = False) -> Iterator[None]:
    """Turn what the database and the disk raise into one clear line each.

    Args:
        path: the file that the line names.
        is_plain: the file has no passphrase, so one that does not read is damaged.

    Raises:
        StoreError: one of its kinds.
    """
    try:
        yield
    except apsw.Error as error:
        raise said(error, path, is_plain=is_plain) from error
    except NinefineError:
        raise
    except OSError as error:
        raise StoreError(f"{path}: {(error.strerror or str(error)).lower()}.") from error


def said(error: apsw.Error, path: Path, *, is_plain: bool = False) -> StoreError:
    """The book file's error for one of the database's."""
    missing = isinstance(error, apsw.SQLError) and "no such" in str(error)
    if missing or (is_plain and isinstance(error, apsw.NotADBError)):
        return DamagedFileError(f"{path}: {_DAMAGED}")
    for kinds, kind, sentence in _SENTENCES:
        if isinstance(error, kinds):
            return kind(f"{path}: {sentence}")
    return StoreError(f"{path}: the database refused: {str(error).rstrip('.')}.")


_DAMAGED = "part of the file is damaged and cannot be read. Use a backup; leave this file as it is."
_SENTENCES: tuple[tuple[tuple[type[apsw.Error], ...], type[StoreError], str], ...] = (
    (
        (apsw.BusyError, apsw.LockedError),
        BusyError,
        "another window holds the book. Wait until it is done, or close it, then try again; nothing was written.",
    ),
    (
        (apsw.CorruptError,),
        DamagedFileError,
        _DAMAGED,
    ),
    (
        (apsw.NotADBError,),
        PassphraseError,
        "the file can no longer be read. Its passphrase may have been changed in another window: open the book again.",
    ),
    ((apsw.FullError,), StoreError, "the disk is full; nothing was written. Make room, then try again."),
    ((apsw.ReadOnlyError,), StoreError, "the file or its folder cannot be written. Check its permissions."),
    (
        (apsw.CantOpenError, apsw.PermissionsError, apsw.AuthError),
        StoreError,
        "the file cannot be opened: it and its folder must be writable. Check their permissions, or restore a copy.",
    ),
    ((apsw.IOError,), StoreError, "the disk could not be read or written. Check it before anything else."),
    ((apsw.ConnectionClosedError,), StoreError, "the book is closed. Open it again."),
    ((apsw.NoMemError,), StoreError, "there is not enough memory."),
)
