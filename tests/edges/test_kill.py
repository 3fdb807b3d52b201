"""A window that is killed at any moment loses nothing that it had acknowledged, and leaves a book that opens."""

import os
import random
import signal
import subprocess
import sys
import time
from datetime import UTC, datetime
from pathlib import Path

import pytest

from ninefine.book.entries import Noted
from ninefine.errors import PassphraseError
from ninefine.store.file import create_book, open_book
from ninefine.store.journal import BookFile

APPENDER = Path(__file__).with_name("appender.py")
NOW = datetime(2026, 6, 12, tzinfo=UTC)
WORDS = "harbor and lane"

pytestmark = pytest.mark.skipif(not hasattr(signal, "SIGKILL"), reason="this system cannot kill a process outright")


def start(path: Path, passphrase: str, how_many: int, what: str = "note") -> "subprocess.Popen[str]":
    child = subprocess.Popen(
        [sys.executable, APPENDER, path, passphrase, "child", str(how_many), what],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    )
    assert child.stdout is not None
    assert child.stdin is not None
    assert child.stdout.readline() == "ready\n"
    child.stdin.write("go\n")
    child.stdin.flush()
    return child


def killed_after(child: "subprocess.Popen[str]", acknowledged: int, moment: float) -> list[int]:
    """Kill a child a moment after so many acknowledgements; answers every serial that it acknowledged."""
    assert child.stdout is not None
    said = [int(child.stdout.readline()) for _ in range(acknowledged)]
    time.sleep(moment)
    os.kill(child.pid, signal.SIGKILL)
    rest, _ = child.communicate()
    # a line that was cut off in the pipe was not heard in full, so it is not counted as acknowledged
    said += [int(line) for line in rest.splitlines(keepends=True) if line.endswith("\n")]
    assert child.returncode == -signal.SIGKILL
    return said


@pytest.mark.parametrize("seed", range(5))
def test_every_acknowledged_entry_is_there_after_a_kill(tmp_path: Path, seed: int) -> None:
    chance = random.Random(seed)
    path = tmp_path / "book.ninefine"
    create_book(path, WORDS, name="Harbor Lane", currency="USD", now=NOW).close()
    child = start(path, WORDS, 200)

    said = killed_after(child, chance.randrange(150), chance.random() * 0.03)

    with open_book(path, WORDS) as book:
        records = book.records()
        assert said == list(range(1, len(said) + 1))
        assert len(said) <= len(records) <= len(said) + 1  # one may have been kept and not yet said aloud
        assert [record.entry for record in records[: len(said)]] == [
            Noted(on=record.entry.on, text=f"child {number}") for number, record in enumerate(records[: len(said)])
        ]
        assert book.faults() == ()
        assert book.append(Noted(on=NOW.date(), text="after")).serial == len(records) + 1


def test_every_acknowledged_mark_of_a_tally_is_there_after_a_kill(tmp_path: Path) -> None:
    path = tmp_path / "book.ninefine"
    with create_book(path, None, plain=True, name="Harbor Lane", currency="USD", now=NOW) as book:
        book.start_tally("L1", "dimes of lot L1")

    said = killed_after(start(path, "-", 200, "mark"), 60, 0.01)

    with open_book(path, None) as book:
        assert len(said) <= len(book.marks(1)) <= len(said) + 1


def killed_in_a_child(act: "list[str]", path: Path, moment: float) -> None:
    """Run some Python on a book in a process of its own and kill it a moment after it says that it begins."""
    script = "; ".join(
        [
            "from pathlib import Path",
            "from datetime import datetime, UTC",
            "from ninefine.store.file import create_book, open_book",
            f"path = Path({str(path)!r})",
            *act,
        ]
    )
    child = subprocess.Popen([sys.executable, "-c", script], stdout=subprocess.PIPE, text=True)
    assert child.stdout is not None
    assert child.stdout.readline() == "begins\n"
    time.sleep(moment)
    os.kill(child.pid, signal.SIGKILL)
    child.communicate()


def opened_by_either(path: Path, *passphrases: str) -> tuple[BookFile, str]:
    for passphrase in passphrases:
        try:
            return open_book(path, passphrase), passphrase
        except PassphraseError:
            continue
    pytest.fail("neither the old nor the new passphrase opens the book")


@pytest.mark.parametrize("moment", [0.25, 0.35, 0.45])
def test_a_kill_while_the_passphrase_changes_leaves_the_old_one_or_the_new_one(tmp_path: Path, moment: float) -> None:
    path = tmp_path / "book.ninefine"
    with create_book(path, "old words", name="Harbor Lane", currency="USD", now=NOW) as book:
        kept = book.attach("photo.jpg", "image/jpeg", random.Random(1).randbytes(3_000_000))
        for number in range(20):
            book.append(Noted(on=NOW.date(), text=str(number)))

    act = ["book = open_book(path, 'old words')", "print('begins', flush=True)", "book.change_passphrase('new words')"]
    killed_in_a_child(act, path, moment)

    book, _ = opened_by_either(path, "old words", "new words")
    with book:
        assert (len(book.records()), len(book.attachment(kept.sha256))) == (20, 3_000_000)
        assert book.faults() == ()


@pytest.mark.parametrize("moment", [0.1, 0.3])
def test_a_copy_that_was_cut_short_never_has_the_copys_name(tmp_path: Path, moment: float) -> None:
    path, copy = tmp_path / "book.ninefine", tmp_path / "copy.ninefine"
    with create_book(path, WORDS, name="Harbor Lane", currency="USD", now=NOW) as book:
        book.attach("photo.jpg", "image/jpeg", random.Random(1).randbytes(9_000_000))
        book.append(Noted(on=NOW.date(), text="kept"))

    act = [
        f"book = open_book(path, {WORDS!r})",
        "print('begins', flush=True)",
        f"book.copy_to(Path({str(copy)!r}), 'other words')",
    ]
    killed_in_a_child(act, path, moment)

    if copy.exists():
        with open_book(copy, "other words") as whole:
            assert whole.faults() == ()
    with open_book(path, WORDS) as book:
        book.copy_to(tmp_path / "second.ninefine", "other words")
        assert book.faults() == ()
