"""Where the parts are joined: the one place that knows the desk, the book's file and where files live."""

import os
import tempfile
from datetime import UTC, date, datetime
from pathlib import Path

import platformdirs

from ninefine.book.lines import read_lines
from ninefine.book.proved import Proved
from ninefine.catalog.shelf import load_catalog
from ninefine.desk.kit import Kit
from ninefine.errors import NotFoundError
from ninefine.store import file as book_file
from ninefine.store.journal import BookFile
from ninefine.store.place import discard, make_folder
from ninefine.store.restore import rebuild, restore

SUFFIX = ".ninefine"
DEMO_NAME = "The demo household (invented)"


def home() -> Path:
    """The folder in which books are kept unless named otherwise: `NINEFINE_HOME`, else the system's place for data."""
    named = os.environ.get("NINEFINE_HOME")
    return Path(named) if named else platformdirs.user_data_path("ninefine", appauthor=False)


def own_book() -> Path:
    """The person's own book."""
    return home() / f"book{SUFFIX}"


def demo_book() -> Path:
    """The invented demo book."""
    return home() / f"demo{SUFFIX}"


def needs_passphrase(path: Path) -> bool:
    """Whether a book's file must be opened with a passphrase.

    Raises:
        NotFoundError: no such book; says how to make one.
        StoreError: it is no book at all.
    """
    _must_be_there(path)
    return book_file.needs_passphrase(path)


def new_book(path: Path, passphrase: str | None, *, name: str, currency: str = "USD", plain: bool = False) -> BookFile:
    """Make a new book; with no passphrase only if `plain` was said aloud.

    Raises:
        StoreError: a file is there already, or the place cannot be written.
    """
    make_folder(path)
    return book_file.create_book(path, passphrase, name=name, currency=currency, now=now(), plain=plain)


def open_kit(path: Path, passphrase: str | None) -> Kit:
    """Open a book with all that the desk needs.

    Raises:
        NotFoundError: no such book; says how to make one.
        StoreError: the passphrase or the file is wrong.
    """
    _must_be_there(path)
    return kit_of(book_file.open_book(path, passphrase))


def _must_be_there(path: Path) -> None:
    if not path.exists():
        raise NotFoundError(
            f"There is no book at {path}.",
            expected="Make one, or try the invented demo.",
            instead=("ninefine new", "ninefine demo"),
        )


def kit_of(book: BookFile) -> Kit:
    """The kit of an open book."""
    return Kit(reference=load_catalog(), journal=book, tallies=book, today=today, copies=_Copies(book))


class _Copies:
    """Copies of an open book, made in a folder beside it that is gone again afterwards."""

    def __init__(self, book: BookFile) -> None:
        self._book = book

    def make(self, passphrase: str | None) -> tuple[bytes, Proved]:
        """A whole copy, proved, and what was proved of it.

        Raises:
            StoreError: it cannot be written, or does not hold.
        """
        with tempfile.TemporaryDirectory(dir=self._book.path.parent, prefix="copy-") as folder:
            path = Path(folder) / "copy.ninefine"
            proved = self._book.copy_to(path, passphrase, plain=self._book.is_plain)
            return path.read_bytes(), proved


def build_demo(path: Path, *, anew: bool = False) -> None:
    """Make the invented demo book, kept without a passphrase: there is nothing in it to hide.

    Raises:
        StoreError: a file is there already and `anew` was not said.
    """
    if anew:
        discard(path)
    make_folder(path)
    part = path.with_name(path.name + ".building")
    discard(part)
    with new_book(part, None, name=DEMO_NAME, plain=True) as book:
        # the demo is a whole story, needed only when it is told
        from ninefine.desk.demo import build_demo as tell  # noqa: PLC0415

        tell(kit_of(book))
    part.rename(path)


def change_passphrase(path: Path, present: str | None, fresh: str) -> None:
    """Write a book anew under another passphrase; a plain one gets its first.

    Raises:
        StoreError: the present passphrase is wrong, the new one is empty, or another window holds the book.
    """
    with book_file.open_book(path, present) as book:
        book.change_passphrase(fresh)


def copy_book(path: Path, passphrase: str | None, to: Path) -> Proved:
    """Copy a book under its own passphrase; the copy is opened and proved whole before it takes its name.

    Raises:
        StoreError: a file is there already, either place cannot be used, or the copy does not hold.
    """
    with book_file.open_book(path, passphrase) as book:
        return book.copy_to(to, passphrase, plain=book.is_plain)


def restore_book(copy: Path, passphrase: str | None, to: Path) -> Proved:
    """Make a book of a copy of it, proved before it takes its name; the copy is only read, nothing is written over.

    Raises:
        NotFoundError: no such copy.
        StoreError: a file is there already, the copy is damaged, or the passphrase is wrong.
    """
    if not copy.exists():
        raise NotFoundError(f"There is no copy at {copy}.")
    make_folder(to)
    return restore(copy, passphrase, to)


def rebuild_book(lines: bytes, passphrase: str | None, to: Path, *, plain: bool = False) -> Proved:
    """Make a book of a journal that was written out, each line proved; with no passphrase only if `plain` was said.

    Raises:
        UnreadableError: these are no lines of a journal.
        BrokenLawError: a line is not what was written.
        StoreError: a file is there already, or the place cannot be written.
    """
    journal = read_lines(lines)
    make_folder(to)
    return rebuild(journal, passphrase, to, now=now(), plain=plain)


def today() -> date:
    """The day, by this computer's clock and zone."""
    return datetime.now().astimezone().date()


def now() -> datetime:
    """The moment, in Coordinated Universal Time."""
    return datetime.now(UTC)
