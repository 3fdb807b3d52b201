"""Days as spreadsheets write them: the order of year, month and day is decided over a whole column, or refused.

`2024-03-01`, `1 Mar 2024`, `March 1, 2024` and `20240301` read one way only. `03/04/2024` may be the third of April or
the fourth of March: one day above 12 anywhere in the column decides for all of it.
"""

import re
from collections.abc import Iterable
from datetime import date
from enum import StrEnum

from ninefine.errors import Fault, InputError, RangeError, UnreadableError
from ninefine.intake.number_marks import Placed
from ninefine.measure.days import FIRST_YEAR


class DayOrder(StrEnum):
    """In which order a day's parts stand."""

    YMD = "year-month-day"
    DMY = "day-month-year"
    MDY = "month-day-year"


_MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
_WHOLE_MONTHS = (
    "january", "february", "march", "april", "may", "june", "july", "august", "september", "october", "november",
    "december",
)  # fmt: skip
_WEEKDAY = re.compile(r"^(?:mon|tue|wed|thu|fri|sat|sun)[a-z]*\.?,?\s+", re.IGNORECASE)
_TIME = re.compile(
    r"(?:t|,?\s+)\d{1,2}:\d{2}(?::\d{2}(?:\.\d+)?)?\s*(?:[ap]\.?m\.?)?(?:z|[+-]\d{2}:?\d{2})?$", re.IGNORECASE
)
_NUMBERS = re.compile(r"(\d{1,4})\s*([-/. ])\s*(\d{1,2})\s*\2\s*(\d{1,4})", re.ASCII)
_RUN = re.compile(r"(\d{4})(\d{2})(\d{2})", re.ASCII)
_NAMED = (
    re.compile(r"(?P<d>\d{1,2})(?:st|nd|rd|th)?[-./ ]*(?:of )?(?P<m>[a-z]{3,9})\.?,?[-./ ]*'?(?P<y>\d{4}|\d{2})"),
    re.compile(r"(?P<m>[a-z]{3,9})\.?[-./ ]*(?P<d>\d{1,2})(?:st|nd|rd|th)?(?:,\s*|[-./ ]+)'?(?P<y>\d{4}|\d{2})"),
    re.compile(r"(?P<y>\d{4})[-./, ]*(?P<m>[a-z]{3,9})\.?[-./ ]*(?P<d>\d{1,2})(?:st|nd|rd|th)?"),
)
#: Day numbers that makers of spreadsheets count from 30 December 1899: some days of 1954 to 2064.
_DAY_NUMBERS = range(20_000, 60_000)
_DAY_ZERO = date(1899, 12, 30).toordinal()


def readings(text: str, today: date) -> dict[DayOrder, date]:
    """What a text comes to in each order that it can be read in; in all of them, where it reads one way only.

    A year of two figures is the last one that ends so and has come.
    """
    said = _TIME.sub("", _WEEKDAY.sub("", text.strip())).removesuffix(".")
    one = _named(said, today) or _run(said)
    if one is not None:
        return dict.fromkeys(DayOrder, one)
    match = _NUMBERS.fullmatch(said)
    if match is None:
        return {}
    first, _, middle, last = match.groups()
    if len(first) == 4:
        whole = _day(first, middle, last, today)
        return {} if whole is None or len(last) > 2 else dict.fromkeys(DayOrder, whole)
    found = {
        DayOrder.DMY: _day(last, middle, first, today),
        DayOrder.MDY: _day(last, first, middle, today),
        DayOrder.YMD: _day(first, middle, last, today) if len(first) == len(last) == 2 else None,
    }
    return {order: day for order, day in found.items() if day is not None}


def _day(year: str, month: str, day: str, today: date) -> date | None:
    if len(year) not in {2, 4} or len(day) > 2 or len(month) > 2:
        return None
    try:
        return date(_year(year, today), int(month), int(day))
    except ValueError:
        return None


def _year(text: str, today: date) -> int:
    if len(text) == 4:
        return int(text)
    century = today.year - today.year % 100
    return century + int(text) - (100 if century + int(text) > today.year else 0)


def _named(said: str, today: date) -> date | None:
    """A day whose month is named, in English."""
    for pattern in _NAMED:
        match = pattern.fullmatch(said.lower())
        month = match["m"] if match else ""
        if match and (month in _WHOLE_MONTHS or month in _MONTHS or month == "sept"):
            return _day(match["y"], str(_MONTHS.index(month[:3]) + 1), match["d"], today)
    return None


def _run(said: str) -> date | None:
    match = _RUN.fullmatch(said)
    return None if match is None else _day(match[1], match[2], match[3], date.max)


def decide_order(cells: Iterable[Placed], today: date, faults: list[Fault]) -> DayOrder:
    """In which order the days of a column stand; a fault where two contradict each other, or none can tell."""
    fits = dict.fromkeys(DayOrder, True)
    first_not: dict[DayOrder, Placed] = {}
    first: Placed | None = None
    either: tuple[Placed, dict[DayOrder, date]] | None = None
    for cell in cells:
        found = readings(cell.text, today)
        if not found:
            continue
        first = first or cell
        for order in DayOrder:
            if order not in found:
                fits[order] = False
                first_not.setdefault(order, cell)
        if either is None and len(set(found.values())) > 1:
            either = cell, found
    left = [order for order, fit in fits.items() if fit]
    if not left and first is not None:
        others = ", ".join(f"{not_so.text!r} ({not_so.where}) cannot be {order}" for order, not_so in first_not.items())
        faults.append(Fault(where=first.where, wrong=f"Days stand in different orders: {others}. Write all one way."))
        return DayOrder.YMD
    if either is None:
        return left[0]
    cell, found = either
    days = {order: found[order] for order in left}
    if len(set(days.values())) > 1:
        ways = ", or ".join(
            f"{day.day} {_WHOLE_MONTHS[day.month - 1].title()} {day.year} ({order})" for order, day in days.items()
        )
        wrong = f"{cell.text!r} may be {ways}, and no other day tells. Say in which order days stand."
        faults.append(Fault(where=cell.where, wrong=wrong))
    return left[0]


def read_day_in(text: str, order: DayOrder, today: date) -> date:
    """A day in the order that was decided on.

    Raises:
        UnreadableError: not a day, or not in this order; says what would be one.
        RangeError: a day that has not come.
    """
    day = readings(text, today).get(order)
    if day is None:
        raise _unread(text, order)
    if day > today:
        raise RangeError(f"{text[:24]!r} has not come yet.", expected=f"It is {today.isoformat()} today.")
    if day.year < FIRST_YEAR:
        raise RangeError(f"{text[:24]!r} is in the year {day.year}.", expected="Write all four figures of the year.")
    return day


def _unread(text: str, order: DayOrder) -> InputError:
    said = text.strip()
    if said.isascii() and said.isdigit() and len(said) == 5 and int(said) in _DAY_NUMBERS:
        meant = date.fromordinal(_DAY_ZERO + int(said)).isoformat()
        return UnreadableError(
            f"{said!r} is a spreadsheet's own number of a day.",
            expected="Show the column as days before it is saved as text.",
            instead=(meant,),
        )
    return UnreadableError(
        f"{said[:24]!r} is not a day as {order}.", expected="A day has year, month and day.", instead=("2024-03-01",)
    )
