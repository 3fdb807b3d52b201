"""The kit: all that a verb of the desk works with, handed in, so that nothing here opens a file or reads a clock."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime
from decimal import Decimal
from functools import cached_property
from typing import Protocol

from ninefine.book.chain import Stored
from ninefine.book.entries import Attachment, Entry
from ninefine.book.holdings import Holdings
from ninefine.catalog.catalog import Catalog
from ninefine.errors import NotFoundError
from ninefine.market.prices import PriceBoard, Stamp
from ninefine.sorting.tally import Mark


class Journal(Protocol):
    """The book's file as the desk sees it: append and read, nothing else."""

    @property
    def name(self) -> str:
        """What the person calls the book."""

    @property
    def currency(self) -> str:
        """The book's one currency, ISO 4217."""

    @property
    def is_plain(self) -> bool:
        """Whether the file is kept without a passphrase."""

    def holdings(self, on: date | None = None) -> Holdings:
        """What the book holds now, or held on a date."""

    def records(self) -> Sequence[Stored]:
        """Every entry as it was kept, in order."""

    def append(self, entry: Entry, *, check: Callable[[Holdings], None] | None = None) -> Stored:
        """Keep one entry, or raise and keep nothing."""

    def attach(self, name: str, media: str, data: bytes) -> Attachment:
        """Keep a file's bytes; an entry must name it."""

    def attachment(self, sha256: str) -> bytes:
        """The bytes of a kept file."""


class TallyBook(Protocol):
    """Tallies under way: each mark is kept before the next is typed."""

    def start_tally(self, heap: str, title: str) -> int:
        """Begin a tally of a heap; answers its number."""

    def mark(self, tally: int, kind: str, issue: str, delta: int, note: str = "") -> int:
        """Keep one mark; answers its sequence number."""

    def undo(self, tally: int) -> int | None:
        """Cancel the last mark still standing; answers its number, or none."""

    def marks(self, tally: int) -> Sequence[Mark]:
        """Every mark of a tally, in order."""

    def close_tally(self, tally: int, serial: int | None) -> None:
        """End a tally: booked by an entry, or put aside."""


@dataclass(kw_only=True)
class Kit:
    """What a verb is given.

    Attributes:
        reference: the packaged catalog, without the person's own kinds.
        journal: the book.
        today: the clock, as a date.
        now: the clock, as a moment with its offset.
    """

    reference: Catalog
    journal: Journal
    today: Callable[[], date] = date.today
    now: Callable[[], datetime] = field(default=lambda: datetime.now().astimezone())

    def holdings(self, on: date | None = None) -> Holdings:
        """What the book holds now, or held on a date."""
        return self.journal.holdings(on)

    @cached_property
    def holdings_now(self) -> Holdings:
        """What the book holds at the first look of this kit."""
        return self.journal.holdings()
