"""A book with facts that are not said yet: walked forward by date, so that each new fact sees what was held then."""

from collections.abc import Sequence
from datetime import date

from ninefine.book.chain import Stored
from ninefine.book.entries import Fact
from ninefine.book.fold import apply, apply_all
from ninefine.book.holdings import Holdings
from ninefine.book.standing import Standing, standing
from ninefine.book.working import Working


class Draft:
    """What the book would come to with more facts, laid down in the order of their dates.

    A fact laid down on a date counts after all that the book says of that date already, as a later entry does.

    Args:
        records: what the book says.
        currency: decides the smallest unit of money.
    """

    def __init__(self, records: Sequence[Stored], currency: str) -> None:
        self._facts: list[Standing] = standing(records)
        self._next = 0
        self._serial = len(records)
        self._working = Working(currency)
        self._working.serial = self._serial

    def holdings(self, on: date) -> Holdings:
        """What would be held at the end of a date, no earlier than any asked before.

        Raises:
            BookError: something that the book says could not be counted with what was laid down.
        """
        self._walk(on)
        return self._working.freeze(on)

    def lay_down(self, fact: Fact) -> None:
        """Count a fact, dated no earlier than any before.

        Raises:
            BookError: it cannot be counted; the draft is then of no use.
        """
        self._walk(fact.on)
        self._serial += 1
        apply(self._working, self._serial, fact)

    def finish(self) -> None:
        """Count the rest of the book on top.

        Raises:
            BookError: a later entry could no longer be counted; names it.
        """
        self._walk(date.max)

    def _walk(self, on: date) -> None:
        end = self._next
        while end < len(self._facts) and self._facts[end][0] <= on:
            end += 1
        apply_all(self._working, self._facts[self._next : end])
        self._next = end
