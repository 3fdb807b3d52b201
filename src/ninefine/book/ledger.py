"""The ledger: a book's records with a live fold over them, so that one more entry costs one more step.

Everything here is a cache over `records`: dropping it changes no figure.
"""

from collections import OrderedDict
from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import date

from ninefine.book.chain import Stored, link
from ninefine.book.entries import Fact, Mended, Withdrawn
from ninefine.book.fold import apply, apply_all
from ninefine.book.holdings import Holdings
from ninefine.book.standing import Standing, standing
from ninefine.book.working import Working
from ninefine.errors import BookError

#: Past dates whose holdings are kept ready.
KEPT_DATES = 400


class Ledger:
    """A book's records, and what they come to now or on any date. Not safe for use by two threads at once.

    Args:
        currency: decides the smallest unit of money.
        records: what the book holds already, in the order of serials.

    Raises:
        BookError: the records break the chain, or cannot be counted (at the first `holdings`).
    """

    def __init__(self, currency: str = "USD", records: Iterable[Stored] = ()) -> None:
        self.currency = currency
        self._records: list[Stored] = []
        self._working: Working | None = Working(currency)
        #: The latest date counted; an entry dated on or after it need only be counted on top.
        self._latest = date.min
        self._now: Holdings | None = None
        self._past = _Past(self)
        self.extend(records)

    @property
    def serial(self) -> int:
        """The last serial, or 0."""
        return self._records[-1].serial if self._records else 0

    @property
    def last(self) -> Stored | None:
        """The last record."""
        return self._records[-1] if self._records else None

    @property
    def records(self) -> Sequence[Stored]:
        """Every record in order. It grows with the ledger: copy it to keep it."""
        return self._records

    def extend(self, records: Iterable[Stored]) -> None:
        """Take in records that the book has already accepted, as another window wrote them.

        What cannot be counted on top of the rest is counted anew when holdings are next asked.

        Raises:
            BrokenLawError: a record does not follow the one before.
        """
        before = self.last
        for record in records:
            link(before, record)
            self._records.append(record)
            self._forget()
            before = record
            if self._working is not None and not self._counts_on_top(self._working, record):
                self._working = None

    def _counts_on_top(self, working: Working, record: Stored) -> bool:
        entry = record.entry
        if isinstance(entry, (Mended, Withdrawn)) or entry.on < self._latest:
            return False
        try:
            working.serial = record.serial
            apply(working, record.serial, entry)
        except BookError:
            return False
        self._latest = entry.on
        return True

    def add(self, record: Stored) -> None:
        """Take in one more record, if the book can hold it.

        An entry dated on or after all others is counted on top of them; an earlier one, a mend or a withdrawal counts
        the whole book anew.

        Raises:
            BookError: it cannot be counted, or an earlier entry no longer could; the ledger is as before.
        """
        link(self.last, record)
        entry = record.entry
        # a correction may be what makes a book countable again, so it does not need the book as it was
        counted = None if isinstance(entry, (Mended, Withdrawn)) else self._counted()
        self._records.append(record)
        try:
            if isinstance(entry, (Mended, Withdrawn)) or counted is None or entry.on < self._latest:
                self._working = self._recounted(record)
            else:
                counted.serial = record.serial
                apply(counted, record.serial, entry)
                self._latest = entry.on
        except BookError:
            self.drop_last()
            raise
        self._forget()

    def add_all(self, records: Sequence[Stored]) -> None:
        """Take in several records at once, if the book can hold all of them; they are counted together, once.

        Raises:
            BookError: one of them cannot be counted, or an earlier entry no longer could; the ledger is as before.
        """
        taken = 0
        try:
            for record in records:
                link(self.last, record)
                self._records.append(record)
                taken += 1
            self._working = None
            self._counted()
        except BookError:
            self.drop_last(taken)
            raise
        self._forget()

    def drop_last(self, count: int = 1) -> None:
        """Take the last record back, or as many: they were not written after all."""
        del self._records[len(self._records) - count :]
        self._working = None
        self._forget()

    def holdings(self, on: date | None = None) -> Holdings:
        """What the book holds now, or held at the end of a date. Asking dates in rising order costs one fold in all."""
        if self._now is None:
            self._now = self._counted().freeze(None)
        if on is None:
            return self._now
        if on >= self._latest:
            return replace(self._now, on=on)
        return self._past.at(on)

    def _counted(self) -> Working:
        if self._working is None:
            facts = standing(self._records)
            self._working = self._count(facts)
        return self._working

    def _recounted(self, record: Stored) -> Working:
        """Count the whole book with a record that reaches back; an error names only entries other than this one."""
        facts = standing(self._records)
        try:
            return self._count(facts)
        except BookError as error:
            own = f"Entry {record.serial} ("
            said = str(error)
            if said.startswith(own):
                error.args = (said.partition("): ")[2],)
            raise

    def _count(self, facts: list[Standing]) -> Working:
        working = Working(self.currency)
        working.serial = self.serial
        apply_all(working, facts)
        self._latest = facts[-1][0] if facts else date.min
        return working

    def _forget(self) -> None:
        self._now = None
        self._past.forget()


class _Past:
    """Holdings on past dates: a second fold that walks forward through the standing facts, from date to date."""

    def __init__(self, ledger: Ledger) -> None:
        self._ledger = ledger
        self._held: OrderedDict[date, Holdings] = OrderedDict()
        self._facts: list[tuple[date, int, Fact]] | None = None
        self._next = 0
        self._working: Working | None = None

    def forget(self) -> None:
        """The book has changed."""
        self._held.clear()
        self._facts = None
        self._working = None

    def at(self, on: date) -> Holdings:
        """The holdings at the end of a date."""
        held = self._held.get(on)
        if held is None:
            held = self._held[on] = self._walk(on)
            if len(self._held) > KEPT_DATES:
                self._held.popitem(last=False)
        return held

    def _walk(self, on: date) -> Holdings:
        if self._facts is None:
            self._facts = standing(self._ledger.records)
        facts = self._facts
        if self._working is None or (self._next and facts[self._next - 1][0] > on):
            self._working = Working(self._ledger.currency)
            self._working.serial = self._ledger.serial
            self._next = 0
        end = self._next
        while end < len(facts) and facts[end][0] <= on:
            end += 1
        working, self._working = self._working, None  # of no use if a fact cannot be counted
        apply_all(working, facts[self._next : end])
        self._working, self._next = working, end
        return working.freeze(on)
