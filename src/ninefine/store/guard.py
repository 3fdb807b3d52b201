"""Faults of the database and of the disk, said as faults of the book's file."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import apsw

from ninefine.errors import BusyError, DamagedFileError, NinefineError, PassphraseError, StoreError


@contextmanager
def guarded(path: Path) -> Iterator[None]:
    """Turn what the database and the disk raise into one clear line each.

    Raises:
        StoreError: one of its kinds.
    """
    try:
        yield
    except apsw.Error as error:
        raise said(error, path) from error
    except NinefineError:
        raise
    except OSError as error:
        raise StoreError(f"{path}: {error.strerror or error}.") from error


def said(error: apsw.Error, path: Path) -> StoreError:
    """The book file's error for one of the database's."""
    for kinds, kind, sentence in _SENTENCES:
        if isinstance(error, kinds):
            return kind(f"{path}: {sentence}")
    return StoreError(f"{path}: the database refused: {str(error).rstrip('.')}.")


_SENTENCES: tuple[tuple[tuple[type[apsw.Error], ...], type[StoreError], str], ...] = (
    (
        (apsw.BusyError, apsw.LockedError),
        BusyError,
        "another window holds the book. Wait until it is done, or close it, then try again; nothing was written.",
    ),
    (
        (apsw.CorruptError,),
        DamagedFileError,
        "part of the file is damaged and cannot be read. Use a backup; leave this file as it is.",
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
        "the file cannot be opened. Check its permissions.",
    ),
    ((apsw.IOError,), StoreError, "the disk could not be read or written. Check it before anything else."),
    ((apsw.NoMemError,), StoreError, "there is not enough memory."),
)
