"""Several entries at once, what a proof finds, and books made anew of a copy or of lines."""

import shutil
from collections.abc import Iterator
from datetime import UTC, date, datetime
from pathlib import Path

import pytest

from ninefine.book.entries import Attachment, Noted, Opened
from ninefine.book.lines import Journal, read_lines
from ninefine.catalog.shelf import load_catalog
from ninefine.desk.kit import Kit
from ninefine.desk.writing_out import JOURNAL, write_out
from ninefine.errors import BookError, PassphraseError, StoreError
from ninefine.store.file import create_book, open_book
from ninefine.store.journal import BookFile
from ninefine.store.restore import rebuild, restore
from short_entries import opened

WORDS = "elm and hollow"
LATER = datetime(2027, 1, 1, tzinfo=UTC)


@pytest.fixture
def secret(path: Path, now: datetime) -> Iterator[BookFile]:
    with create_book(path, WORDS, name="Elm Hollow", currency="USD", now=now) as book:
        book.append_all([opened("L1", "100"), opened("L2", None)])
        yield book


def test_several_entries_are_kept_in_one_breath(secret: BookFile, path: Path) -> None:
    assert [type(one.entry) for one in secret.records()] == [Opened, Opened]
    assert secret.records()[0].said_at == secret.records()[1].said_at
    with open_book(path, WORDS) as again:
        assert list(again.records()) == list(secret.records())
        assert set(again.holdings().lots) == {"L1", "L2"}


def test_of_several_entries_all_or_none_are_kept(secret: BookFile, path: Path) -> None:
    before = list(secret.records()), secret.holdings()

    with pytest.raises(BookError, match="already a lot 'L3'"):
        secret.append_all([opened("L3", "5"), opened("L4", "5"), opened("L3", "5")])

    assert (list(secret.records()), secret.holdings()) == before
    secret.append(opened("L3", "5"))
    with open_book(path, WORDS) as again:
        assert len(again.records()) == 3
        assert again.faults() == ()


def test_a_file_that_an_entry_names_and_the_book_lacks_is_a_fault(secret: BookFile) -> None:
    lacking = Attachment(sha256="0" * 64, name="receipt.jpg", media="image/jpeg", size=1)
    secret.append(Noted(on=date(2026, 1, 1), attachments=(lacking,)))

    assert secret.faults() == ("Entry 3 names the file 'receipt.jpg', and the book does not hold it.",)


def test_a_copy_that_does_not_hold_is_not_kept(secret: BookFile, tmp_path: Path) -> None:
    lacking = Attachment(sha256="0" * 64, name="receipt.jpg", media="image/jpeg", size=1)
    secret.append(Noted(on=date(2026, 1, 1), attachments=(lacking,)))

    with pytest.raises(StoreError, match="does not hold, so it was not kept"):
        secret.copy_to(tmp_path / "copy", WORDS)
    assert not list(tmp_path.glob("copy*"))


def test_a_restored_book_is_the_same_and_its_copy_untouched(secret: BookFile, tmp_path: Path) -> None:
    copy, again = tmp_path / "copy", tmp_path / "again"
    secret.copy_to(copy, "another")
    before = copy.read_bytes()

    with pytest.raises(PassphraseError, match=f"^{copy}: the passphrase does not open"):
        restore(copy, WORDS, again)
    found = restore(copy, "another", again)

    assert (found.entries, found.digest) == (2, secret.records()[-1].digest.hex())
    assert copy.read_bytes() == before
    with open_book(again, "another") as book:
        assert list(book.records()) == list(secret.records())
    with pytest.raises(StoreError, match="there is a file already"):
        restore(copy, "another", again)
    assert sorted(each.name for each in tmp_path.iterdir() if each.name.startswith("again")) == ["again"]


@pytest.mark.usefixtures("secret")
def test_what_a_crash_left_beside_a_copy_is_restored_too(path: Path, tmp_path: Path) -> None:
    """A book copied by hand while it is open: its last entries lie in the log beside it."""
    (tmp_path / "hand").mkdir()
    for name in (path.name, f"{path.name}-wal"):
        shutil.copyfile(path.with_name(name), tmp_path / "hand" / name)

    found = restore(tmp_path / "hand" / path.name, WORDS, tmp_path / "again")

    assert found.entries == 2


def test_a_book_is_built_of_a_journal_with_its_files(secret: BookFile, tmp_path: Path) -> None:
    kept = secret.attach("receipt.txt", "text/plain", b"paid")
    secret.append(Noted(on=date(2026, 1, 1), attachments=(kept,)))
    whole = Journal(
        name=secret.name, currency="USD", records=secret.records(), files={kept.sha256: secret.attachment(kept.sha256)}
    )

    found = rebuild(whole, None, tmp_path / "again", now=LATER, plain=True)

    assert (found.entries, found.files) == (3, 1)
    with open_book(tmp_path / "again", None) as book:
        assert list(book.records()) == list(secret.records())
        assert book.attachment(kept.sha256) == b"paid"
        assert (book.name, book.faults()) == ("Elm Hollow", ())


def test_a_journal_without_its_files_makes_no_book(secret: BookFile, tmp_path: Path) -> None:
    kept = secret.attach("receipt.txt", "text/plain", b"paid")
    secret.append(Noted(on=date(2026, 1, 1), attachments=(kept,)))
    lacking = Journal(name="x", currency="USD", records=secret.records(), files={})

    with pytest.raises(StoreError, match=r"names the file 'receipt\.txt'"):
        rebuild(lacking, None, tmp_path / "again", now=LATER, plain=True)
    assert not list(tmp_path.glob("again*"))


def test_a_count_under_way_goes_on_in_the_book_that_was_built(secret: BookFile, tmp_path: Path) -> None:
    """Everything written out, with an undo among the marks; the next mark follows the last."""
    number = secret.start_tally("L1", "dimes")
    secret.mark(number, "us-dime-90", "1944-D", 3)
    secret.mark(number, "us-dime-90", "", 2, "slip")
    secret.undo(number)
    put_aside = secret.start_tally("L2", "other dimes")
    secret.close_tally(put_aside, None)
    kit = Kit(reference=load_catalog(), journal=secret, tallies=secret)

    whole = read_lines(write_out(kit).files[JOURNAL])
    rebuild(whole, None, tmp_path / "again", now=LATER, plain=True)

    with open_book(tmp_path / "again", None) as book:
        assert book.open_tallies() == secret.open_tallies()
        assert book.marks(number) == secret.marks(number)
        assert book.mark(number, "us-dime-90", "", 1) == 4
        assert book.faults() == ()
