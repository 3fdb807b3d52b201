"""How long something was held: short or long term, by the calendar.

Counting starts on the day after acquisition and includes the day of disposal; long is more than one year, in calendar
months (the rule of IRS Publications 544 and 550). Whether it matters is for the person's own tax rules to say.
"""

from datetime import date, timedelta
from enum import StrEnum
from typing import Protocol

from ninefine.book.how import How
from ninefine.errors import BookError


class Term(StrEnum):
    """Short or long; not known where the day of acquisition is not, and the book itself is too young to tell."""

    SHORT = "short"
    LONG = "long"
    UNKNOWN = "not known"


class Owned(Protocol):
    """What was owned from a day on: a lot, or pieces of it that left."""

    @property
    def acquired(self) -> date | None:
        """The day from which it counts as owned; the giver's for a gift. None where nobody knows."""

    @property
    def came(self) -> date:
        """The day it came into the household, or into the book."""

    @property
    def how(self) -> How:
        """How it came."""


def long_from(acquired: date) -> date:
    """The first day on which a disposal is long term: a year after the day that follows acquisition.

    The count of months begins on that following day, so a lot of 30 November counts from 1 December. A year that would
    begin on a 29 February that is not there begins on 1 March.
    """
    start = acquired + timedelta(days=1)
    try:
        return start.replace(year=start.year + 1)
    except ValueError:  # 29 February
        return date(start.year + 1, 3, 1)


def is_long(acquired: date, sold: date) -> bool:
    """Whether something sold on a date had been held for more than one year.

    Raises:
        BookError: sold before it was acquired.
    """
    if sold < acquired:
        raise BookError(f"Sold on {sold}, before it was acquired on {acquired}. Check both dates.")
    return sold >= long_from(acquired)


def term_of(owned: Owned, sold: date, *, by_value: bool = False) -> Term:
    """Short or long for what is disposed of on a day (of its own first day, if the day lies before that).

    What was inherited is always long (26 U.S.C. 1223(9)). A gift counts from the giver's date, since its basis is the
    giver's (1223(2)); where a loss is reckoned from its value at the gift instead (`by_value`), from the day of the
    gift. An unknown date lies on or before the day on which the silver came.
    """
    if owned.how is How.INHERITED:
        return Term.LONG
    acquired = owned.came if by_value or owned.acquired is None else owned.acquired
    if is_long(acquired, max(sold, acquired)):
        return Term.LONG
    return Term.UNKNOWN if owned.acquired is None and not by_value else Term.SHORT


def no_later_than(owned: Owned) -> date:
    """The day of acquisition; where nobody knows it, the day it came: it lies no later than that."""
    return owned.came if owned.acquired is None else owned.acquired


def turns_long(owned: Owned) -> date | None:
    """The first day on which a disposal is surely long term; none where it is long from the start."""
    if owned.how is How.INHERITED:
        return None
    return long_from(no_later_than(owned))
