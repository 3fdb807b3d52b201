"""Attachments: kept in parts, named by their digest, checked when read."""

import hashlib
import io
import random
from pathlib import Path

import pytest

from ninefine.errors import DamagedFileError, NotFoundError, RangeError, UnreadableError
from ninefine.store import attachments
from ninefine.store.file import open_book
from ninefine.store.journal import BookFile


@pytest.mark.parametrize("size", [0, 1, attachments.PART - 1, attachments.PART, attachments.PART + 1, 1_000_000])
def test_a_file_is_read_back_to_the_byte(book: BookFile, path: Path, size: int) -> None:
    whole = random.Random(size).randbytes(size)

    kept = book.attach("photo.jpg", "image/jpeg", whole)

    assert (kept.sha256, kept.size) == (hashlib.sha256(whole).hexdigest(), size)
    with open_book(path, None) as again:
        assert again.attachment(kept.sha256) == whole


def test_an_open_file_is_read_to_its_end(book: BookFile) -> None:
    kept = book.attach("note.txt", "text/plain", io.BytesIO(b"from a file"))

    assert book.attachment(kept.sha256) == b"from a file"


def test_the_same_bytes_are_kept_once(book: BookFile) -> None:
    first = book.attach("front.jpg", "image/jpeg", b"x" * 1000)
    second = book.attach("copy of front.jpg", "image/jpeg", b"x" * 1000)

    assert first.sha256 == second.sha256
    assert book._connection.execute("SELECT count(*) FROM attachment_part").fetchall() == [(1,)]


def test_what_is_too_large_is_refused(book: BookFile, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(attachments, "LARGEST", 1024 * 1024)

    with pytest.raises(RangeError, match="Up to 1 MB are kept"):
        book.attach("film.mp4", "video/mp4", bytes(1024 * 1024 + 1))
    with pytest.raises(RangeError):
        book.attach("film.mp4", "video/mp4", io.BytesIO(bytes(1024 * 1024 + 1)))
    assert book.attach("film.mp4", "video/mp4", bytes(1024 * 1024)).size == 1024 * 1024


@pytest.mark.parametrize(("name", "media"), [("", "image/jpeg"), ("x" * 121, "image/jpeg"), ("a", "m" * 81)])
def test_a_name_that_no_entry_could_hold_is_refused(book: BookFile, name: str, media: str) -> None:
    with pytest.raises(
        UnreadableError,
        match=r"The attachment cannot be kept: (name|media): (this must not|at most 1?[28]0 characters)",
    ):
        book.attach(name, media, b"x")


def test_one_that_is_not_there_is_said(book: BookFile) -> None:
    with pytest.raises(NotFoundError, match="holds no attachment '000000000000'"):
        book.attachment("0" * 64)


def test_changed_bytes_are_never_handed_out(book: BookFile) -> None:
    kept = book.attach("a.txt", "text/plain", b"whole")
    book._connection.execute("DROP TRIGGER attachment_part_is_never_changed")
    book._connection.execute("UPDATE attachment_part SET bytes = ?", (b"other",))

    with pytest.raises(DamagedFileError, match=f"Attachment {kept.sha256[:12]} is damaged"):
        book.attachment(kept.sha256)
