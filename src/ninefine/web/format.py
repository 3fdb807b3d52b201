"""How figures are written on a page: exact decimals to text, always with a fixed number of places.

Every function takes `None` for a figure that is not known and writes an en dash for it.
"""

import re
from datetime import date
from decimal import Decimal

from markupsafe import Markup, escape

from ninefine.catalog.kinds import Basis
from ninefine.measure.numbers import to_places

MINUS = "\N{MINUS SIGN}"
UNKNOWN = "\N{EN DASH}"
_THIN = "\N{NARROW NO-BREAK SPACE}"
_MONTHS = (
    "January", "February", "March", "April", "May", "June",
    "July", "August", "September", "October", "November", "December",
)  # fmt: skip

#: A date by ISO 8601 in running words, with its hour if it has one; not within a tag.
_DATE = re.compile(r"(?<![\w-])(\d{4}-\d{2}-\d{2}(?: \d{2}:\d{2})?)(?![\w-]|[^<>]*>)", re.ASCII)


def figure(value: Decimal | int | None, places: int = 0, *, signed: bool = False) -> str:
    """A number with thousands commas, a true minus and a fixed number of places, rounded half up."""
    if value is None:
        return UNKNOWN
    rounded = to_places(Decimal(value), places)
    digits = format(abs(rounded), f",.{places}f")
    if rounded < 0:
        return MINUS + digits
    return "+" + digits if signed and rounded > 0 else digits


def thousands(value: Decimal | int | None) -> str:
    """A whole number with thousands commas."""
    return figure(value, 0)


def money(value: Decimal | None, places: int = 2, *, signed: bool = False) -> str:
    """An amount in the book's currency, to the cent. The currency stands once, in the table's head or the sentence."""
    return figure(value, places, signed=signed)


def percent(value: Decimal | None, places: int = 2, *, signed: bool = False) -> str:
    """Per cent, given as per cent (`Decimal("4.11")` is 4.11%), not as a share."""
    return UNKNOWN if value is None else figure(value, places, signed=signed) + "%"


def basis_words(basis: Basis | str) -> str:
    """What stands beside an ounce: `ozt trade`, `ozt unworn`, `ozt scale`.

    Raises:
        ValueError: not an ounce basis.
    """
    return f"ozt {Basis(basis).value}"


def ounces(value: Decimal | None, basis: Basis | str, places: int = 4) -> Markup:
    """Fine troy ounces with their basis in small letters."""
    words = basis_words(basis)
    if value is None:
        return Markup('<span class="fig">{}</span>').format(UNKNOWN)
    return with_unit(figure(value, places), words)


def with_unit(text: str, unit: str) -> Markup:
    """A figure and its unit in small letters, never parted at a line's end."""
    return Markup('<span class="fig">{}{}<small>{}</small></span>').format(text, _THIN, unit)


def day(value: date | None) -> str:
    """A date in words, the same everywhere: `3 March 2026`."""
    return UNKNOWN if value is None else f"{value.day} {_MONTHS[value.month - 1]} {value.year}"


def short_day(value: date | None) -> str:
    """A date for a column, read the same by everyone and sorted by eye (ISO 8601): `2026-03-03`."""
    return UNKNOWN if value is None else value.isoformat()


def dates_kept(words: str) -> Markup:
    """Words with their dates (ISO 8601) never parted at a line's end, as the hyphens of one else may be."""
    safe = str(escape(words))
    return Markup(_DATE.sub(r'<span class="fig">\1</span>', safe))  # noqa: S704 - escaped above, and dates are digits


def plural(count: int, one: str, many: str = "") -> str:
    """A count and its noun: `1 parcel`, `3 parcels`."""
    return f"{thousands(count)} {one if count == 1 else many or one + 's'}"
