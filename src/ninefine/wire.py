"""Where the parts are joined: the one place that knows the desk, the book's file and where files live."""

import os
from datetime import UTC, date, datetime
from pathlib import Path

import platformdirs

from ninefine.catalog.shelf import load_catalog
from ninefine.desk.kit import Kit
from ninefine.errors import NotFoundError
from ninefine.store import file as book_file
from ninefine.store.journal import BookFile

SUFFIX = ".ninefine"


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
        StoreError: no such file, or it is no book at all.
    """
    return book_file.needs_passphrase(path)


def new_book(path: Path, passphrase: str | None, *, name: str, currency: str = "USD", plain: bool = False) -> BookFile:
    """Make a new book; with no passphrase only if `plain` was said aloud.

    Raises:
        StoreError: a file is there already, or the place cannot be written.
    """
    path.parent.mkdir(parents=True, exist_ok=True)
    return book_file.create_book(path, passphrase, name=name, currency=currency, now=now(), plain=plain)


def open_kit(path: Path, passphrase: str | None) -> Kit:
    """Open a book with all that the desk needs.

    Raises:
        NotFoundError: no such book; says how to make one.
        StoreError: the passphrase or the file is wrong.
    """
    if not path.exists():
        raise NotFoundError(
            f"There is no book at {path}.",
            expected="Make one, or try the invented demo.",
            instead=("ninefine new", "ninefine demo"),
        )
    return kit_of(book_file.open_book(path, passphrase))


def kit_of(book: BookFile) -> Kit:
    """The kit of an open book."""
    return Kit(reference=load_catalog(), journal=book, tallies=book, today=today)


def today() -> date:
    """The day, by this computer's clock and zone."""
    return datetime.now().astimezone().date()


def now() -> datetime:
    """The moment, in Coordinated Universal Time."""
    return datetime.now(UTC)
