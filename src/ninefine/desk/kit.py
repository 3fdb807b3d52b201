"""The kit: all that a verb of the desk works with, handed in, so that nothing here opens a file or reads a clock."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime
from decimal import Decimal
from typing import Protocol, TypeVar, cast

from ninefine.book.chain import Stored
from ninefine.book.entries import Attachment, Entry
from ninefine.book.holdings import Holdings
from ninefine.book.proved import Proved
from ninefine.catalog.catalog import Catalog
from ninefine.catalog.kinds import Kind
from ninefine.errors import NotFoundError
from ninefine.market.prices import PriceBoard, Stamp
from ninefine.sorting.tally import Mark, RunningTally

T = TypeVar("T")


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

    def append(
        self, entry: Entry, *, check: Callable[[Holdings], None] | None = None, ends_tally: int | None = None
    ) -> Stored:
        """Keep one entry, or raise and keep nothing; a tally that it books is ended in the same breath."""

    def append_all(
        self, entries: Sequence[Entry], *, check: Callable[[Holdings], None] | None = None
    ) -> tuple[Stored, ...]:
        """Keep several entries, all of them, or raise and keep none; what a table of past dealings comes to."""

    def attach(self, name: str, media: str, data: bytes) -> Attachment:
        """Keep a file's bytes; an entry must name it."""

    def attachment(self, sha256: str) -> bytes:
        """The bytes of a kept file."""

    def faults(self) -> tuple[str, ...]:
        """Read everything and hold it against the laws: a sentence for each fault."""


class TallyAbout(Protocol):
    """What a tally is of."""

    @property
    def number(self) -> int:
        """The tally's number."""

    @property
    def heap(self) -> str:
        """The heap's whole name."""

    @property
    def title(self) -> str:
        """The heap in words."""

    @property
    def started_at(self) -> datetime:
        """When it was begun."""

    @property
    def open(self) -> bool:
        """Whether it was neither booked nor put aside."""

    @property
    def serial(self) -> int | None:
        """The entry by which it was booked, if it was."""


class TallyBook(Protocol):
    """Tallies under way: each mark is kept before the next is typed."""

    def start_tally(self, heap: str, title: str) -> int:
        """Begin a tally of a heap; answers its number."""

    def mark(self, tally: int, kind: str, issue: str, delta: int, note: str = "") -> int:
        """Keep one mark; answers its sequence number."""

    def mark_all(self, tally: int, rows: Iterable[tuple[str, str, int]], note: str = "") -> None:
        """Keep several marks, all of them or none: kind, issue and how many."""

    def undo(self, tally: int, seq: int | None = None, note: str = "") -> int | None:
        """Cancel a mark, or the last still standing; answers its number, or none where it does not stand."""

    def marks(self, tally: int, after: int = 0) -> Sequence[Mark]:
        """The marks of a tally in order, those alone that follow the mark `after`."""

    def tally(self, tally: int) -> TallyAbout:
        """What a tally is of."""

    def open_tallies(self) -> Sequence[TallyAbout]:
        """Tallies that were begun and neither booked nor put aside."""

    def close_tally(self, tally: int, serial: int | None) -> None:
        """End a tally: booked by an entry, or put aside."""


class Copies(Protocol):
    """Makes copies of the book's file; a book in memory has none."""

    def make(self, passphrase: str | None) -> tuple[bytes, Proved]:
        """A whole copy, proved, under a passphrase of its own (none where the book is kept without), and what was."""


@dataclass(kw_only=True)
class Kit:
    """What a verb is given.

    Attributes:
        reference: the packaged catalog, without the person's own kinds.
        journal: the book.
        tallies: the tallies under way.
        today: the clock, as a date.
        copies: makes copies of the book's file; none for a book in memory.
    """

    reference: Catalog
    journal: Journal
    tallies: TallyBook
    today: Callable[[], date] = date.today
    copies: Copies | None = None
    _kept: dict[object, object] = field(default_factory=dict, repr=False)
    _kept_for: tuple[int, date] | None = field(default=None, repr=False)
    _with_own: tuple[Mapping[str, object], Catalog] | None = field(default=None, repr=False)
    _running: dict[int, RunningTally] = field(default_factory=dict, repr=False)

    def keep(self, key: object, make: Callable[[], T]) -> T:
        """Work something out once for each state of the book and day; it must rest on nothing else."""
        state = (self.holdings().serial, self.today())
        if self._kept_for != state:
            self._kept, self._kept_for = {}, state
        kept = self._kept
        if key not in kept:
            kept[key] = make()
        return cast("T", kept[key])

    def running(self, tally: int) -> RunningTally:
        """A tally added up; of its marks only those are read that came since it was last asked for.

        Raises:
            NotFoundError: no such tally.
        """
        running = self._running.get(tally) or RunningTally()
        running.add(self.tallies.marks(tally, running.last))
        self._running[tally] = running
        return running

    def holdings(self, on: date | None = None) -> Holdings:
        """What the book holds now, or held on a date."""
        return self.journal.holdings(on)

    def catalog(self) -> Catalog:
        """The packaged catalog with the person's own kinds."""
        own = self.holdings().tables.get("kind", {})
        if not own:
            return self.reference
        # outlives the state of the book: own kinds change seldom, and the catalog's index is dear to make
        kept = self._with_own
        if kept is None or kept[0] != own:
            kept = self._with_own = own, self.reference.with_own(own)
        return kept[1]

    def kind_or_none(self, slug: str) -> Kind | None:
        """A kind by its slug, or none where the catalog does not hold it (the book keeps any)."""
        try:
            return self.catalog().kind(slug)
        except NotFoundError:
            return None

    def board(self) -> PriceBoard:
        """Prices: the person's own marks over the packaged averages, which are in U.S. dollars."""
        marks, in_dollars = self.holdings().prices, self.journal.currency == "USD"
        return self.keep("board", lambda: PriceBoard(marks=marks, averages=in_dollars))

    def stamp(self, on: date | None = None, metal: str = "XAG") -> Stamp:
        """The price of a metal on a day, with whose it is and how old.

        Raises:
            NotFoundError: no price on or before that day.
        """
        return self.board().at(on or self.today(), metal)

    def spot_or_none(self, on: date | None = None, metal: str = "XAG") -> Decimal | None:
        """Spot on a day, or none where no price is known."""
        try:
            return self.stamp(on, metal).per_ozt
        except NotFoundError:
            return None
