"""Appending and reading: acknowledged only when kept, refused without a trace."""

from datetime import date, datetime, timedelta
from decimal import Decimal
from pathlib import Path

import apsw
import pytest

from ninefine.book.chain import verify_chain
from ninefine.book.entries import Listed, Mended, Noted, Withdrawn
from ninefine.book.fold import fold
from ninefine.book.holdings import Holdings
from ninefine.desk.kit import Journal, TallyBook
from ninefine.errors import BookError, NotEnoughError, NotFoundError, StoreError
from ninefine.store.file import open_book
from ninefine.store.journal import BookFile
from short_entries import DAY, bought, ref, sold


def test_an_open_book_is_the_desks_journal_and_tally_book(book: BookFile) -> None:
    journal: Journal = book
    tallies: TallyBook = book

    assert [journal.name, tallies.open_tallies()] == ["Harbor Lane", ()]


def test_an_appended_entry_is_kept_with_its_moment_and_digest(book: BookFile, path: Path, now: datetime) -> None:
    first = book.append(bought("L1", "224", face="10"))
    second = book.append(sold(ref("L1"), "90", face="4"))

    assert (first.serial, second.serial, second.previous) == (1, 2, first.digest)
    assert now < first.said_at < second.said_at < now + timedelta(minutes=1)
    assert book.holdings().lots["L1"].heaps[0].face == 6
    with open_book(path, None) as again:
        assert list(again.records()) == [first, second]
        verify_chain(again.records())


def test_what_the_book_holds_is_the_fold_of_its_records(book: BookFile) -> None:
    book.append(bought("L1", "224", face="10", on=date(2026, 1, 1)))
    book.append(sold(ref("L1"), "90", face="4", on=date(2026, 2, 1)))
    book.append(Mended(on=DAY, serial=1, instead=bought("L1", "225", face="10", on=date(2026, 1, 2))))

    assert book.holdings() == fold(book.records())
    assert book.holdings(date(2026, 1, 2)) == fold(book.records(), on=date(2026, 1, 2))
    assert book.holdings(date(2026, 1, 1)).lots == {}


def test_an_entry_that_the_book_cannot_hold_is_refused_without_a_trace(book: BookFile, path: Path) -> None:
    book.append(bought("L1", count=3))

    for entry in (sold(ref("L1"), count=4), Withdrawn(on=DAY, serial=7), bought("L1", count=1)):
        with pytest.raises(BookError):
            book.append(entry)
    assert book.append(sold(ref("L1"), count=3)).serial == 2
    with open_book(path, None) as again:
        assert len(again.records()) == 2


def test_an_entry_of_the_wrong_types_is_refused(book: BookFile) -> None:
    with pytest.raises(BookError, match="The entry cannot be written: on: this is no date"):
        book.append(Noted(on="yesterday"))  # type: ignore[arg-type]
    assert book.holdings().serial == 0


def test_what_is_kept_is_what_will_be_read_back(book: BookFile) -> None:
    stored = book.append(Listed(on=DAY, table="exit", key="shop", body={"fee": Decimal("0.30")}))

    assert stored.entry == Listed(on=DAY, table="exit", key="shop", body={"fee": "0.30"})
    assert book.holdings().tables == {"exit": {"shop": {"fee": "0.30"}}}


def test_a_check_sees_the_book_before_the_entry_and_may_refuse_it(book: BookFile) -> None:
    seen: list[Holdings] = []

    def stale(holdings: Holdings) -> None:
        seen.append(holdings)
        if holdings.serial >= 1:
            raise BookError("The book has changed since the form was shown.")

    book.append(bought("L1"), check=stale)
    with pytest.raises(BookError, match="has changed"):
        book.append(bought("L2"), check=stale)

    assert [holdings.serial for holdings in seen] == [0, 1]
    assert list(book.holdings().lots) == ["L1"]


def test_a_full_disk_keeps_nothing_and_the_book_goes_on(book: BookFile) -> None:
    book.append(bought("L1"))
    pages = book._connection.pragma("page_count")
    book._connection.pragma("max_page_count", pages)

    with pytest.raises(StoreError, match="the disk is full; nothing was written"):
        book.append(Noted(on=DAY, text="x" * 4000))
    assert book.holdings().serial == 1

    book._connection.pragma("max_page_count", pages + 100)
    assert book.append(bought("L2")).serial == 2
    assert book.faults() == ()


@pytest.mark.parametrize(
    ("statement", "words"),
    [
        ("UPDATE journal SET said_at = ''", "entries are never changed"),
        ("DELETE FROM journal", "entries are never deleted"),
        ("INSERT OR REPLACE INTO journal SELECT * FROM journal", "without gaps"),
        ("INSERT INTO journal SELECT serial + 2, said_at, body, digest, previous FROM journal", "without gaps"),
        ("UPDATE tally SET title = ''", "tallies are never changed"),
        ("DELETE FROM tally_mark", "marks are never deleted"),
        ("UPDATE attachment SET size = 0", "attachments are never changed"),
        ("DELETE FROM attachment_part", "attachments are never deleted"),
    ],
)
def test_the_file_itself_refuses_changes_of_the_past(book: BookFile, statement: str, words: str) -> None:
    book.append(Noted(on=DAY))
    book.mark(book.start_tally("L1", "dimes"), "us-dime-90", "", 1)
    book.attach("a.txt", "text/plain", b"a")

    with pytest.raises(apsw.ConstraintError, match=words):
        book._connection.execute(statement)


def test_a_commit_waits_for_the_disk(book: BookFile) -> None:
    """SQLite's pragma: 2 is FULL, which syncs the write-ahead log at each commit."""
    assert book._connection.pragma("synchronous") == 2
    assert book._connection.pragma("journal_mode") == "wal"
    assert book._connection.pragma("foreign_keys") == 1


def test_a_closed_book_says_so(book: BookFile) -> None:
    book.close()

    with pytest.raises(StoreError, match="the book is closed"):
        book.holdings()


def test_a_tally_is_ended_in_the_same_breath_as_the_entry_that_books_it(book: BookFile) -> None:
    number = book.start_tally("L1", "dimes of lot L1")

    with pytest.raises(NotFoundError, match="no tally 9"):
        book.append(bought("L1"), ends_tally=9)
    assert book.holdings().serial == 0
    stored = book.append(bought("L1"), ends_tally=number)

    assert book.tally(number).serial == stored.serial
    assert book.open_tallies() == ()


def test_faults_are_found_in_attachments_and_in_the_figures(book: BookFile) -> None:
    kept = book.attach("a.txt", "text/plain", b"whole")
    book.append(bought("L1", count=3))
    assert book.faults() == ()

    connection = book._connection
    connection.execute("DROP TRIGGER attachment_part_is_never_changed")
    connection.execute("UPDATE attachment_part SET bytes = ?", (b"other",))

    assert book.faults() == (f"Attachment {kept.sha256[:12]} is damaged. Use a backup; leave this file as it is.",)


def test_an_entry_that_can_no_longer_be_counted_is_named_and_can_be_withdrawn(
    book: BookFile, path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """As when a later ninefine has grown stricter: the book opens, says which entry, and takes the correction."""
    book.append(bought("L1", count=3))
    with monkeypatch.context() as lax:
        lax.setattr("ninefine.book.ledger.apply", lambda *_: None)
        book.append(sold(ref("L1"), count=9))

    with open_book(path, None) as again:
        with pytest.raises(NotEnoughError, match=r"Entry 2 \(sold, 2026-03-02\): Lot L1"):
            again.holdings()
        assert any("Entry 2" in fault for fault in again.faults())
        again.append(Withdrawn(on=DAY, serial=2))
        assert again.holdings().lots["L1"].heaps[0].count == 3
