"""Copies: whole, under their own passphrase, never over another file, never plain by accident."""

from collections.abc import Iterator
from datetime import date, datetime
from pathlib import Path

import pytest

from ninefine.book.entries import Noted
from ninefine.errors import PassphraseError, StoreError
from ninefine.store import backup
from ninefine.store.file import create_book, open_book
from ninefine.store.journal import BookFile

WORDS, OTHER = "harbor and lane", "elm and hollow"


@pytest.fixture
def secret(path: Path, now: datetime) -> Iterator[BookFile]:
    with create_book(path, WORDS, name="Harbor Lane", currency="USD", now=now) as book:
        book.append(Noted(on=date(2026, 1, 1), text="a remark that nobody else may read"))
        book.attach("photo.jpg", "image/jpeg", b"x" * 600_000)
        yield book


def test_a_copy_of_an_open_book_opens_with_its_own_passphrase(secret: BookFile, tmp_path: Path) -> None:
    copy = tmp_path / "copy.ninefine"
    secret.copy_to(copy, OTHER)
    secret.append(Noted(on=date(2026, 1, 1), text="after"))

    assert b"nobody else" not in copy.read_bytes()
    with pytest.raises(PassphraseError):
        open_book(copy, WORDS)
    with open_book(copy, OTHER) as book:
        assert list(book.records()) == list(secret.records())[:1]
        assert book.faults() == ()
        book.append(Noted(on=date(2026, 1, 1), text="the copy is a book of its own"))
    assert sorted(each.name for each in tmp_path.iterdir() if "copy" in each.name) == ["copy.ninefine"]


def test_a_copy_is_never_written_over_a_file(secret: BookFile, tmp_path: Path) -> None:
    (tmp_path / "copy").write_text("my letters")

    with pytest.raises(StoreError, match="there is a file already"):
        secret.copy_to(tmp_path / "copy", OTHER)
    assert (tmp_path / "copy").read_text() == "my letters"


def test_a_file_that_appears_meanwhile_is_not_written_over(
    secret: BookFile, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    prove = backup._prove

    def slow(*arguments: object) -> None:
        prove(*arguments)  # type: ignore[arg-type]
        (tmp_path / "copy").write_text("my letters")

    monkeypatch.setattr(backup, "_prove", slow)

    with pytest.raises(StoreError, match="there is a file already"):
        secret.copy_to(tmp_path / "copy", OTHER)
    assert (tmp_path / "copy").read_text() == "my letters"
    assert not (tmp_path / "copy.part").exists()


def test_a_disk_without_links_takes_a_copy_too(
    secret: BookFile, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def no_links(*_: object) -> None:
        raise OSError(1, "Operation not permitted")

    monkeypatch.setattr("ninefine.store.backup.os.link", no_links)
    secret.copy_to(tmp_path / "copy", OTHER)

    open_book(tmp_path / "copy", OTHER).close()


def test_a_copy_that_does_not_read_back_is_not_kept(
    secret: BookFile, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    write = backup._write

    def spoiling(*arguments: object) -> None:
        write(*arguments)  # type: ignore[arg-type]
        part = tmp_path / "copy.part"
        whole = bytearray(part.read_bytes())
        whole[len(whole) // 2] ^= 0xFF
        part.write_bytes(whole)

    monkeypatch.setattr(backup, "_write", spoiling)

    with pytest.raises(StoreError):
        secret.copy_to(tmp_path / "copy", OTHER)
    assert not [each for each in tmp_path.iterdir() if "copy" in each.name]


def test_a_copy_of_an_encrypted_book_is_never_plain(secret: BookFile, tmp_path: Path) -> None:
    for plain in (False, True):
        with pytest.raises(PassphraseError, match="needs a passphrase"):
            secret.copy_to(tmp_path / "copy", None, plain=plain)
    with pytest.raises(PassphraseError, match="empty"):
        secret.copy_to(tmp_path / "copy", "")
    assert not (tmp_path / "copy").exists()


def test_a_copy_of_a_plain_book_is_plain_and_that_is_said(book: BookFile, tmp_path: Path) -> None:
    book.append(Noted(on=date(2026, 1, 1)))
    with pytest.raises(PassphraseError, match="Say that this is meant"):
        book.copy_to(tmp_path / "copy", None)
    with pytest.raises(PassphraseError, match="kept plain, so its copies are plain"):
        book.copy_to(tmp_path / "copy", OTHER)

    book.copy_to(tmp_path / "copy", None, plain=True)

    with open_book(tmp_path / "copy", None) as copy:
        assert list(copy.records()) == list(book.records())


def test_what_was_left_of_a_copy_cut_short_is_in_nobodys_way(secret: BookFile, tmp_path: Path) -> None:
    (tmp_path / "copy.part").write_bytes(b"half")

    secret.copy_to(tmp_path / "copy", OTHER)

    assert not (tmp_path / "copy.part").exists()
