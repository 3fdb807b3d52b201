"""Photos, receipts and sounds in the book's file, in parts, named by the SHA-256 of their bytes."""

from collections.abc import Iterator
from hashlib import sha256 as digest_of
from typing import BinaryIO

import apsw
import msgspec

from ninefine.book.codec import in_words
from ninefine.book.entries import Attachment
from ninefine.errors import DamagedFileError, NotFoundError, RangeError, UnreadableError

PART = 256 * 1024
#: The largest attachment taken: a long video does not belong in a book that is copied whole at each backup.
LARGEST = 64 * 1024 * 1024


def read_whole(data: BinaryIO | bytes) -> bytes:
    """The bytes of an attachment.

    Raises:
        RangeError: larger than is taken.
    """
    whole = data if isinstance(data, bytes) else data.read(LARGEST + 1)
    if len(whole) > LARGEST:
        raise RangeError(
            "The attachment is too large.", expected=f"Up to {LARGEST // (1024 * 1024)} MB are kept; make it smaller."
        )
    return whole


def described(name: str, media: str, whole: bytes) -> Attachment:
    """The record by which an entry names an attachment.

    Raises:
        UnreadableError: a name or a media type that an entry cannot hold.
    """
    fields = {"sha256": digest_of(whole).hexdigest(), "name": name, "media": media, "size": len(whole)}
    try:
        return msgspec.convert(fields, Attachment)
    except msgspec.ValidationError as error:
        raise UnreadableError(f"The attachment cannot be kept: {in_words(error)}.") from error


def keep(connection: apsw.Connection, sha256: str, whole: bytes, now: str) -> None:
    """Write an attachment, named by its digest, within the caller's transaction; one that is there already stays."""
    row = connection.execute("SELECT 1 FROM attachment WHERE sha256 = ?", (sha256,)).fetchone()
    if row is not None:
        return
    connection.execute("INSERT INTO attachment VALUES (?, ?, ?)", (sha256, len(whole), now))
    for part, start in enumerate(range(0, len(whole), PART)):
        connection.execute("INSERT INTO attachment_part VALUES (?, ?, ?)", (sha256, part, whole[start : start + PART]))


def fetch(connection: apsw.Connection, sha256: str) -> bytes:
    """An attachment's bytes, checked against its name.

    Raises:
        NotFoundError: the book holds no such attachment.
        DamagedFileError: its bytes are not those that were kept.
    """
    row = connection.execute("SELECT size FROM attachment WHERE sha256 = ?", (sha256,)).fetchone()
    if row is None:
        raise NotFoundError(f"The book holds no attachment {sha256[:12]!r}.")
    parts = connection.execute("SELECT bytes FROM attachment_part WHERE sha256 = ? ORDER BY part", (sha256,))
    whole = b"".join(part for (part,) in parts)
    if len(whole) != row[0] or digest_of(whole).hexdigest() != sha256:
        raise DamagedFileError(f"Attachment {sha256[:12]} is damaged. Use a backup; leave this file as it is.")
    return whole


def names(connection: apsw.Connection) -> Iterator[str]:
    """The digest of every attachment that is kept."""
    for (sha256,) in connection.execute("SELECT sha256 FROM attachment ORDER BY sha256").fetchall():
        yield str(sha256)
