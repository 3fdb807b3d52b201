"""Files that are no book, or no longer one: each is refused with one clear line, and none is touched."""

import gzip
import os
import shutil
import sqlite3
import tempfile
from collections.abc import Callable, Iterator
from datetime import UTC, date, datetime
from pathlib import Path

import apsw
import pytest

from ninefine.book.chain import GENESIS, seal
from ninefine.book.codec import FORMAT
from ninefine.book.entries import Noted
from ninefine.errors import DamagedFileError, ForeignFileError, NewerFileError, PassphraseError, StoreError
from ninefine.store.file import create_book, needs_passphrase, open_book
from ninefine.store.schema import APPLICATION_ID, STEPS

NOW = datetime(2026, 6, 12, 14, 3, 11, tzinfo=UTC)
WORDS = "harbor and lane"
ENTRIES = 40


def filled(path: Path, *, plain: bool) -> Path:
    """A closed book of some pages."""
    with create_book(
        path, None if plain else WORDS, name="Quarry Street", currency="USD", now=NOW, plain=plain
    ) as book:
        for number in range(ENTRIES):
            book.append(Noted(on=date(2026, 1, 1), text=f"{number} " + "x" * 900))
    return path


@pytest.fixture(scope="session")
def plain_bytes(tmp_path_factory: pytest.TempPathFactory) -> bytes:
    return filled(tmp_path_factory.mktemp("plain") / "book", plain=True).read_bytes()


@pytest.fixture(scope="session")
def secret_bytes(tmp_path_factory: pytest.TempPathFactory) -> bytes:
    return filled(tmp_path_factory.mktemp("secret") / "book", plain=False).read_bytes()


def refused(path: Path, passphrase: str | None, kind: type[StoreError]) -> str:
    """The one line with which opening is refused; the file and its folder stay as they were."""
    before = {each.name: each.read_bytes() for each in path.parent.iterdir() if each.is_file()}

    with pytest.raises(StoreError) as caught:
        open_book(path, passphrase)

    assert type(caught.value) is kind
    line = str(caught.value)
    assert line.startswith(str(path))
    assert "\n" not in line
    after = {each.name: each.read_bytes() for each in path.parent.iterdir() if each.is_file()}
    assert after == before
    return line.removeprefix(f"{path}: ")


# files that never were a book

FOREIGN: dict[str, bytes] = {
    "a single byte": b"\x00",
    "a short text": b"lot,face,price\nL1,10,224\n",
    "a long text": b"lot,face,price\n" * 1000,
    "a document": b"%PDF-1.7\n" + bytes(range(256)) * 40,
    "a picture": b"\x89PNG\r\n\x1a\n" + bytes(range(256)) * 40,
    "zeros": bytes(8192),
    "noise": b"".join(seal(GENESIS, number, "", b"") for number in range(300)),
    "a database's first bytes alone": b"SQLite format 3\x00",
    "a write-ahead log": b"\x37\x7f\x06\x82" + bytes(8188),
}


@pytest.mark.parametrize("name", FOREIGN)
def test_what_never_was_a_book_is_said_before_a_passphrase_is_asked(tmp_path: Path, name: str) -> None:
    path = tmp_path / "book.ninefine"
    path.write_bytes(FOREIGN[name])

    with pytest.raises(ForeignFileError):
        needs_passphrase(path)
    assert "not a book" in refused(path, WORDS, ForeignFileError)


def test_an_empty_file_is_no_book(tmp_path: Path) -> None:
    path = tmp_path / "book.ninefine"
    path.touch()

    assert refused(path, None, ForeignFileError) == "the file is empty, so it is no book."


def test_a_folder_is_no_book(tmp_path: Path) -> None:
    (tmp_path / "book.ninefine").mkdir()

    assert refused(tmp_path / "book.ninefine", None, ForeignFileError) == "this is a folder, not a book."


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="this system has no named pipes")
def test_a_pipe_is_no_book_and_is_not_waited_for(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "book.ninefine")

    assert "no ordinary file" in refused(tmp_path / "book.ninefine", None, ForeignFileError)


def test_a_missing_file_is_never_made(tmp_path: Path) -> None:
    path = tmp_path / "nothing.ninefine"

    assert refused(path, WORDS, StoreError) == "there is no such file."
    assert not path.exists()


def test_a_link_to_nothing_is_a_missing_file(tmp_path: Path) -> None:
    path = tmp_path / "book.ninefine"
    path.symlink_to(tmp_path / "gone")

    assert refused(path, WORDS, StoreError) == "there is no such file."


@pytest.mark.parametrize("application", [0, 0x12345678])
def test_a_database_of_another_program_is_said_to_be_that(tmp_path: Path, application: int) -> None:
    path = tmp_path / "book.ninefine"
    connection = sqlite3.connect(path)
    connection.execute(f"PRAGMA application_id = {application}")
    connection.execute("CREATE TABLE journal (serial INTEGER)")
    connection.close()

    assert refused(path, None, ForeignFileError) == "this is a database of another program, not a book."


@pytest.mark.parametrize("cipher", ["chacha20", "sqlcipher", "aes256cbc", "aegis"])
def test_another_programs_encrypted_database_is_not_opened(tmp_path: Path, cipher: str) -> None:
    """Other ciphers show in the header or look like a wrong passphrase; the same cipher opens, and is no book."""
    path = tmp_path / "book.ninefine"
    connection = apsw.Connection(str(path))
    connection.pragma("cipher", cipher)
    if cipher == "aegis":
        connection.pragma("tcost", 3)
        connection.pragma("mcost", 65536)
    connection.pragma("hexkey", WORDS.encode().hex())
    connection.execute("CREATE TABLE journal (serial INTEGER)")
    connection.close()

    with pytest.raises((ForeignFileError, PassphraseError)) as caught:
        open_book(path, WORDS)
    assert str(path) in str(caught.value)
    if cipher == "aegis":
        assert "another program" in str(caught.value)


# books that are damaged


def spoiled(tmp_path: Path, whole: bytes, spoil: Callable[[bytearray], bytes | bytearray]) -> Path:
    path = tmp_path / "book.ninefine"
    path.write_bytes(spoil(bytearray(whole)))
    return path


def flip(at: int) -> Callable[[bytearray], bytearray]:
    def change(whole: bytearray) -> bytearray:
        whole[at] ^= 0xFF
        return whole

    return change


def test_a_packed_book_is_unpacked_first(tmp_path: Path, plain_bytes: bytes) -> None:
    path = spoiled(tmp_path, plain_bytes, lambda whole: gzip.compress(bytes(whole)))

    assert "not a book" in refused(path, None, ForeignFileError)


@pytest.mark.parametrize("kept", [200, 4096, 20000])
def test_a_plain_book_that_was_cut_short_is_damaged(tmp_path: Path, plain_bytes: bytes, kept: int) -> None:
    path = spoiled(tmp_path, plain_bytes, lambda whole: whole[:kept])

    assert "damaged" in refused(path, None, DamagedFileError)


@pytest.mark.parametrize("kept", [4096, 20480])
def test_an_encrypted_book_that_was_cut_short_is_damaged(tmp_path: Path, secret_bytes: bytes, kept: int) -> None:
    path = spoiled(tmp_path, secret_bytes, lambda whole: whole[:kept])

    assert "damaged" in refused(path, WORDS, DamagedFileError)


def test_less_than_a_page_of_an_encrypted_book_is_not_told_from_other_files(
    tmp_path: Path, secret_bytes: bytes
) -> None:
    path = spoiled(tmp_path, secret_bytes, lambda whole: whole[:300])

    assert "not a book, or its beginning is damaged" in refused(path, WORDS, ForeignFileError)


def test_a_damaged_first_page_looks_like_a_wrong_passphrase_and_says_so(tmp_path: Path, secret_bytes: bytes) -> None:
    path = spoiled(tmp_path, secret_bytes, flip(1000))

    line = refused(path, WORDS, PassphraseError)
    assert line == ("the passphrase does not open this file, or its first page is damaged. Encryption hides which.")


def test_any_flipped_byte_of_an_encrypted_page_is_found(tmp_path: Path, secret_bytes: bytes) -> None:
    """Each page carries a tag of what it holds; one byte of each page of entries is flipped in turn."""
    pages = len(secret_bytes) // 4096
    found = 0
    for page in range(pages // 2, pages):
        path = spoiled(tmp_path, secret_bytes, flip(page * 4096 + 100 + page))
        with pytest.raises(DamagedFileError):
            open_book(path, WORDS)
        found += 1
    assert found > 5


def test_a_changed_letter_in_a_plain_book_is_found(tmp_path: Path, plain_bytes: bytes) -> None:
    path = spoiled(tmp_path, plain_bytes, lambda whole: whole.replace(b'"text":"7 x', b'"text":"8 x'))

    assert "entry 8 is missing or is not what was said" in refused(path, None, DamagedFileError)


def test_a_garbled_page_of_a_plain_book_is_found(tmp_path: Path, plain_bytes: bytes) -> None:
    path = spoiled(tmp_path, plain_bytes, lambda whole: whole[:8192] + bytes(4096) + whole[12288:])

    refused(path, None, DamagedFileError)


# books that were changed by hand, in a plain file, past the triggers


def changed(tmp_path: Path, plain_bytes: bytes, *statements: str) -> Path:
    path = tmp_path / "book.ninefine"
    path.write_bytes(plain_bytes)
    connection = sqlite3.connect(path)
    for (name,) in connection.execute("SELECT name FROM sqlite_schema WHERE type = 'trigger'").fetchall():
        connection.execute(f"DROP TRIGGER {name}")
    for statement in statements:
        connection.execute(statement)
    connection.commit()
    connection.close()
    return path


@pytest.mark.parametrize(
    ("statement", "entry"),
    [
        ("DELETE FROM journal WHERE serial = 7", 7),
        ("DELETE FROM journal WHERE serial = 1", 1),
        ("UPDATE journal SET said_at = '2026-06-12T14:03:11.000001Z' WHERE serial = 3", 3),
        ("UPDATE journal SET digest = zeroblob(32) WHERE serial = 5", 5),
        ("UPDATE journal SET previous = zeroblob(32) WHERE serial = 5", 5),
        ("UPDATE journal SET body = (SELECT body FROM journal WHERE serial = 2) WHERE serial = 6", 6),
        ("UPDATE journal SET serial = 99 WHERE serial = 40", 40),
    ],
)
def test_a_journal_changed_by_hand_is_found(tmp_path: Path, plain_bytes: bytes, statement: str, entry: int) -> None:
    line = refused(changed(tmp_path, plain_bytes, statement), None, DamagedFileError)

    assert f"entry {entry} is missing or is not what was said" in line


@pytest.mark.parametrize(
    ("statement", "words"),
    [
        ("DROP TABLE journal", "part of the file is damaged"),
        ("DROP TABLE meta", "part of the file is damaged"),
        ("DELETE FROM meta WHERE key = 'currency'", "no longer says its name and currency"),
        ("UPDATE meta SET value = 'XYZ' WHERE key = 'currency'", "no longer says its name and currency"),
    ],
)
def test_a_book_that_lacks_what_it_needs_is_damaged(
    tmp_path: Path, plain_bytes: bytes, statement: str, words: str
) -> None:
    assert words in refused(changed(tmp_path, plain_bytes, statement), None, DamagedFileError)


def with_last_entry(tmp_path: Path, plain_bytes: bytes, body: str) -> Path:
    """A book whose last entry is a chained one with another body."""
    path = changed(tmp_path, plain_bytes)
    connection = sqlite3.connect(path)
    (previous,) = connection.execute("SELECT digest FROM journal WHERE serial = ?", (ENTRIES,)).fetchone()
    said_at = "2026-06-12T14:03:11.000000Z"
    digest = seal(previous, ENTRIES + 1, said_at, body.encode())
    values = (ENTRIES + 1, said_at, body.encode(), digest, previous)
    connection.execute("INSERT INTO journal VALUES (?, ?, ?, ?, ?)", values)
    connection.commit()
    connection.close()
    return path


def test_an_entry_of_a_later_format_asks_for_a_later_ninefine(tmp_path: Path, plain_bytes: bytes) -> None:
    later = FORMAT + 1
    path = with_last_entry(tmp_path, plain_bytes, f'{{"v":{later},"said":{{"entry":"dreamt","on":"2026-01-01"}}}}')

    assert f"entry 41: The entry is written in format {later}" in refused(path, None, NewerFileError)


def test_a_chained_entry_that_cannot_be_read_is_named(tmp_path: Path, plain_bytes: bytes) -> None:
    path = with_last_entry(tmp_path, plain_bytes, '{"v":1,"said":{"entry":"noted"}}')

    assert "entry 41: The entry cannot be read: Object missing required field on" in refused(
        path, None, DamagedFileError
    )


def test_a_book_of_a_later_ninefine_is_left_alone(tmp_path: Path, plain_bytes: bytes) -> None:
    path = changed(tmp_path, plain_bytes, f"PRAGMA user_version = {len(STEPS) + 1}")

    assert "written by a later ninefine" in refused(path, None, NewerFileError)


# passphrases


@pytest.mark.parametrize("passphrase", ["Harbor and lane", WORDS + " ", "x"])
def test_a_wrong_passphrase_does_not_open(tmp_path: Path, secret_bytes: bytes, passphrase: str) -> None:
    path = spoiled(tmp_path, secret_bytes, lambda whole: whole)

    assert "does not open this file" in refused(path, passphrase, PassphraseError)


def test_none_for_an_encrypted_book_and_one_for_a_plain_book_are_refused(
    tmp_path: Path, secret_bytes: bytes, plain_bytes: bytes
) -> None:
    path = spoiled(tmp_path, secret_bytes, lambda whole: whole)
    assert needs_passphrase(path)
    assert refused(path, None, PassphraseError) == "this book needs its passphrase."

    path = spoiled(tmp_path, plain_bytes, lambda whole: whole)
    assert not needs_passphrase(path)
    assert "kept plain" in refused(path, WORDS, PassphraseError)


# permissions


@pytest.fixture
def ordinary_user() -> Iterator[Path]:
    """A folder of this user's, seen as an ordinary user: the system's owner steps down for the test."""
    if not hasattr(os, "geteuid"):
        pytest.skip("this system has no such permissions")
    folder = Path(tempfile.mkdtemp(prefix="ninefine-"))
    folder.chmod(0o755)
    owner = os.geteuid()
    try:
        yield folder
    finally:
        os.seteuid(owner)
        shutil.rmtree(folder)


@pytest.mark.parametrize(
    ("mode", "words"), [(0o000, "permission denied"), (0o444, "cannot be written. Check its permissions")]
)
def test_a_file_that_may_not_be_read_or_written_is_said_to_be_that(
    ordinary_user: Path, secret_bytes: bytes, mode: int, words: str
) -> None:
    path = spoiled(ordinary_user, secret_bytes, lambda whole: whole)
    path.chmod(mode)
    if os.geteuid() == 0:
        os.seteuid(65534)

    with pytest.raises(StoreError) as caught:
        open_book(path, WORDS)

    assert words in str(caught.value)


def test_a_folder_that_may_not_be_written_takes_no_new_book(ordinary_user: Path) -> None:
    ordinary_user.chmod(0o555)
    if os.geteuid() == 0:
        os.seteuid(65534)

    with pytest.raises(StoreError, match="permission denied"):
        create_book(ordinary_user / "book", WORDS, name="Elm Hollow", currency="USD", now=NOW)


def test_the_application_number_spells_its_name() -> None:
    assert APPLICATION_ID.to_bytes(4, "big") == b"9fin"
