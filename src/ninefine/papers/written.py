"""How values are written on paper: exact decimals with a fixed number of places, dates as ISO 8601 or in words."""

from datetime import date
from decimal import Decimal

from ninefine.measure.numbers import to_places
from ninefine.papers.document import Column, Of, Pair, Value

MINUS = "\N{MINUS SIGN}"
UNKNOWN = "\N{EN DASH}"
_MONTHS = (
    "January", "February", "March", "April", "May", "June",
    "July", "August", "September", "October", "November", "December",
)  # fmt: skip


def figure(value: Decimal | int, places: int = 0) -> str:
    """A number with thousands commas, a true minus and a fixed number of places, rounded half up."""
    rounded = to_places(Decimal(value), places)
    digits = format(abs(rounded), f",.{places}f")
    return MINUS + digits if rounded < 0 else digits


def day_words(value: date) -> str:
    """A date in words, the same everywhere: `3 March 2026`."""
    return f"{value.day} {_MONTHS[value.month - 1]} {value.year}"


def write(column: Column, value: Value) -> str:
    """Write a value as its column says; an en dash for what is not known.

    Raises:
        TypeError: a value that is not what the column holds.
    """
    if value is None:
        return UNKNOWN
    if isinstance(value, str):
        if column.of not in {Of.TEXT, Of.DATE}:  # words may stand for a date: "inherited"
            raise TypeError(f"Column {column.head!r} holds {column.of}; {value!r} is text.")
        return value
    if isinstance(value, date):
        if column.of is not Of.DATE:
            raise TypeError(f"Column {column.head!r} holds {column.of}; {value} is a date.")
        return value.isoformat()
    if not column.is_figure:
        raise TypeError(f"Column {column.head!r} holds {column.of}; {value!r} is a number.")
    return figure(value, column.digits) + ("%" if column.of is Of.PERCENT else "")


def write_pair(pair: Pair) -> tuple[str, str]:
    """A named value as written, and its unit in small letters."""
    column = pair.column
    if isinstance(pair.value, date):
        return day_words(pair.value), ""
    return write(column, pair.value), "" if pair.value is None else column.small
