"""Books for the tests of the file: plain ones, because deriving a key takes a fifth of a second."""

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from ninefine.store.file import create_book
from ninefine.store.journal import BookFile

NOW = datetime(2026, 6, 12, 14, 3, 11, tzinfo=UTC)


class Clock:
    """A clock that moves a second each time it is read."""

    def __init__(self) -> None:
        self.moment = NOW

    def __call__(self) -> datetime:
        self.moment += timedelta(seconds=1)
        return self.moment


@pytest.fixture
def now() -> datetime:
    return NOW


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "book.ninefine"


@pytest.fixture
def book(path: Path) -> Iterator[BookFile]:
    with create_book(path, None, plain=True, name="Harbor Lane", currency="USD", now=NOW, clock=Clock()) as opened:
        yield opened
