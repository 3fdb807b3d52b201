"""Making and opening a book. Files that are no book are in tests/edges."""

import stat
from datetime import date, datetime
from pathlib import Path

import pytest

from ninefine.book.entries import Noted
from ninefine.errors import NotFoundError, PassphraseError, StoreError, UnreadableError
from ninefine.store.cipher import COSTS, key_of
from ninefine.store.file import create_book, needs_passphrase, open_book

WORDS = "harbor and lane"


def names(folder: Path) -> list[str]:
    return sorted(each.name for each in folder.iterdir())


def test_a_new_book_is_one_encrypted_file_that_only_its_owner_may_read(path: Path, now: datetime) -> None:
    with create_book(path, WORDS, name=" Harbor Lane ", currency="usd", now=now) as book:
        assert (book.name, book.currency, book.is_plain, book.holdings().serial) == ("Harbor Lane", "USD", False, 0)
        book.append(Noted(on=date(2026, 1, 1), text="a remark that nobody else may read"))
        book.attach("receipt.txt", "text/plain", b"paid in full at Quay Coin")

    assert names(path.parent) == [path.name]
    assert needs_passphrase(path)
    whole = path.read_bytes()
    for text in (b"nobody else", b"Quay Coin", b"Harbor Lane", b"journal", b"SQLite", b"CREATE TABLE"):
        assert text not in whole
    assert stat.S_IMODE(path.stat().st_mode) & 0o077 == 0


def test_nothing_is_written_in_the_clear_beside_an_open_book(path: Path, now: datetime) -> None:
    with create_book(path, WORDS, name="Harbor Lane", currency="USD", now=now) as book:
        book.append(Noted(on=date(2026, 1, 1), text="a remark that nobody else may read"))
        for each in path.parent.iterdir():
            assert b"nobody else" not in each.read_bytes()


def test_a_book_is_read_back_with_its_passphrase(path: Path, now: datetime) -> None:
    with create_book(path, WORDS, name="Harbor Lane", currency="EUR", now=now) as book:
        stored = book.append(Noted(on=date(2026, 1, 1), text="kept"))
    with open_book(path, WORDS) as book:
        assert (book.name, book.currency, list(book.records())) == ("Harbor Lane", "EUR", [stored])


def test_an_accent_typed_in_two_ways_is_one_passphrase(path: Path, now: datetime) -> None:
    """U+00E9 is what most keyboards send, U+0065 U+0301 what some do; NFC makes one of them (Unicode, annex 15)."""
    create_book(path, "caf\u00e9 au lait", name="Harbor Lane", currency="USD", now=now).close()

    open_book(path, "cafe\u0301 au lait").close()


@pytest.mark.parametrize("words", ['it\'s "quoted"; --', "\N{SNOWMAN} snow", "nul\x00inside", "x" * 5000])
def test_any_text_is_a_passphrase(path: Path, now: datetime, words: str) -> None:
    create_book(path, words, name="Harbor Lane", currency="USD", now=now).close()

    open_book(path, words).close()
    with pytest.raises(PassphraseError):
        open_book(path, words[:-1])


@pytest.mark.parametrize("words", ["", "   ", "\t", "raw:" + "0" * 64])
def test_an_empty_passphrase_or_a_ready_made_key_is_refused(path: Path, now: datetime, words: str) -> None:
    with pytest.raises(PassphraseError):
        create_book(path, words, name="Harbor Lane", currency="USD", now=now)
    assert not path.exists()


def test_a_plain_book_is_made_only_when_it_is_said_aloud(path: Path, now: datetime) -> None:
    with pytest.raises(PassphraseError, match="needs a passphrase, or plain must be said"):
        create_book(path, None, name="Harbor Lane", currency="USD", now=now)
    with pytest.raises(PassphraseError, match="A plain book takes no passphrase"):
        create_book(path, WORDS, plain=True, name="Harbor Lane", currency="USD", now=now)
    assert not path.exists()

    create_book(path, None, plain=True, name="Harbor Lane", currency="USD", now=now).close()
    assert not needs_passphrase(path)
    with open_book(path, None) as book:
        assert book.is_plain


def test_a_book_is_never_written_over_a_file(path: Path, now: datetime) -> None:
    path.write_text("my letters")

    with pytest.raises(StoreError, match="there is a file already"):
        create_book(path, WORDS, name="Harbor Lane", currency="USD", now=now)
    assert path.read_text() == "my letters"


def test_a_folder_that_is_not_there_is_not_made(tmp_path: Path, now: datetime) -> None:
    with pytest.raises(StoreError, match="its folder does not exist"):
        create_book(tmp_path / "none" / "book", WORDS, name="Harbor Lane", currency="USD", now=now)


def test_a_name_and_a_currency_are_asked_for(path: Path, now: datetime) -> None:
    with pytest.raises(UnreadableError, match="no name"):
        create_book(path, WORDS, name=" ", currency="USD", now=now)
    with pytest.raises(NotFoundError, match="not a currency"):
        create_book(path, WORDS, name="Harbor Lane", currency="XYZ", now=now)
    assert not path.exists()


def test_a_making_that_fails_half_way_leaves_no_file(
    path: Path, now: datetime, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("ninefine.store.file._settle", full)

    with pytest.raises(StoreError, match="no space left on device"):
        create_book(path, WORDS, name="Harbor Lane", currency="USD", now=now)
    assert names(path.parent) == []


def test_an_older_set_of_costs_still_opens(path: Path, now: datetime, monkeypatch: pytest.MonkeyPatch) -> None:
    """As when a later ninefine has added a costlier set: the newest is tried first, the older one fits."""
    create_book(path, WORDS, name="Harbor Lane", currency="USD", now=now).close()
    newer = type(COSTS[0])(number=2, time=4, memory=65536)
    monkeypatch.setattr("ninefine.store.cipher.COSTS", (newer, *COSTS))

    open_book(path, WORDS).close()


def test_the_passphrase_can_be_changed(path: Path, now: datetime) -> None:
    with create_book(path, WORDS, name="Harbor Lane", currency="USD", now=now) as book:
        book.append(Noted(on=date(2026, 1, 1), text="before"))
        with pytest.raises(PassphraseError, match="empty"):
            book.change_passphrase("")
        book.change_passphrase("new words")
        book.append(Noted(on=date(2026, 1, 1), text="after"))

    with pytest.raises(PassphraseError):
        open_book(path, WORDS)
    with open_book(path, "new words") as book:
        assert len(book.records()) == 2
        assert book.faults() == ()


def test_a_plain_book_can_be_given_a_passphrase(path: Path, now: datetime) -> None:
    with create_book(path, None, plain=True, name="Harbor Lane", currency="USD", now=now) as book:
        book.append(Noted(on=date(2026, 1, 1), text="a remark that nobody else may read"))
        book.change_passphrase(WORDS)
        assert not book.is_plain
        book.append(Noted(on=date(2026, 1, 1), text="after"))

    assert b"nobody else" not in path.read_bytes()
    with open_book(path, WORDS) as book:
        assert len(book.records()) == 2


def test_a_key_is_the_passphrase_in_hexadecimal() -> None:
    assert key_of("az") == "617a"
