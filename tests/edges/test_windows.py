"""Several windows, processes and threads over one book: nothing is lost, and waiting has an end."""

import subprocess
import sys
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, date, datetime
from pathlib import Path

import apsw
import pytest

from ninefine.book.chain import verify_chain
from ninefine.book.entries import Noted
from ninefine.errors import BusyError, PassphraseError
from ninefine.sorting.tally import tally_of
from ninefine.store.file import create_book, open_book
from ninefine.store.journal import BookFile

APPENDER = Path(__file__).with_name("appender.py")
NOW = datetime(2026, 6, 12, tzinfo=UTC)
WORDS = "harbor and lane"


def note(text: str) -> Noted:
    return Noted(on=date(2026, 1, 1), text=text)


@pytest.fixture
def path(tmp_path: Path) -> Path:
    create_book(tmp_path / "book", None, plain=True, name="Harbor Lane", currency="USD", now=NOW).close()
    return tmp_path / "book"


@pytest.fixture
def book(path: Path) -> Iterator[BookFile]:
    with open_book(path, None, patience_ms=50) as opened:
        yield opened


def run_two(path: Path, passphrase: str, what: str) -> None:
    """Two processes that begin at once."""
    children = [
        subprocess.Popen(
            [sys.executable, APPENDER, path, passphrase, who, "100", what],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
        )
        for who in ("one", "two")
    ]
    for child in children:
        assert child.stdout is not None
        assert child.stdout.readline() == "ready\n"
    for child in children:
        assert child.stdin is not None
        child.stdin.write("go\n")
        child.stdin.flush()
    for child in children:
        child.communicate(timeout=120)
        assert child.returncode == 0


def test_two_processes_at_once_lose_no_entry(tmp_path: Path) -> None:
    path = tmp_path / "book"
    create_book(path, WORDS, name="Harbor Lane", currency="USD", now=NOW).close()
    with open_book(path, WORDS) as watching:
        run_two(path, WORDS, "note")

        records = watching.records()
        texts = [record.entry.text for record in records if isinstance(record.entry, Noted)]
        assert len(texts) == 200
        for who in ("one", "two"):
            assert [text for text in texts if text.startswith(who)] == [f"{who} {number}" for number in range(100)]
        verify_chain(records)


def test_two_processes_at_once_lose_no_mark_of_a_tally(path: Path, book: BookFile) -> None:
    book.start_tally("L1", "dimes of lot L1")

    run_two(path, "-", "mark")

    tally = tally_of(book.marks(1))
    assert (tally.count("us-dime-90", "one"), tally.count("us-dime-90", "two")) == (100, 100)


def test_a_window_sees_what_another_appended(path: Path, book: BookFile) -> None:
    with open_book(path, None) as other:
        other.append(note("from the other window"))
        assert book.holdings().serial == 1
        assert book.append(note("mine")).serial == 2
        assert other.refresh() == 2
        assert other.holdings() == book.holdings()


def test_a_book_held_by_another_window_is_waited_for_and_then_said_to_be_busy(path: Path, book: BookFile) -> None:
    holder = apsw.Connection(str(path))
    holder.execute("BEGIN IMMEDIATE")

    with pytest.raises(BusyError, match="another window holds the book"):
        book.append(note("too early"))
    assert book.holdings().serial == 0

    holder.execute("ROLLBACK")
    holder.close()
    assert book.append(note("in time")).serial == 1


def test_threads_of_one_window_share_the_book(book: BookFile) -> None:
    number = book.start_tally("L1", "dimes")

    def work(who: int) -> list[int]:
        serials = []
        for each in range(25):
            serials.append(book.append(note(f"{who} {each}")).serial)
            book.mark(number, "us-dime-90", "", 1)
            book.holdings(date(2026, 1, 1))
        return serials

    with ThreadPoolExecutor(4) as pool:
        serials = [serial for each in pool.map(work, range(4)) for serial in each]

    assert sorted(serials) == list(range(1, 101))
    assert tally_of(book.marks(number)).pieces == 100
    assert book.faults() == ()


def test_a_window_left_open_while_the_passphrase_changed_says_so(tmp_path: Path) -> None:
    path = tmp_path / "book"
    with create_book(path, WORDS, name="Harbor Lane", currency="USD", now=NOW) as book:
        book.append(note("before"))
    with open_book(path, WORDS) as left_open, open_book(path, WORDS) as other:
        other.change_passphrase("new words")
        other.append(note("after"))

        with pytest.raises(PassphraseError, match="changed in another window: open the book again"):
            left_open.records()
    with open_book(path, "new words") as again:
        assert len(again.records()) == 2
