"""Reading numbers as people type them, and rounding said out loud. Everything is an exact decimal."""

import re
from decimal import ROUND_HALF_UP, Context, Decimal, InvalidOperation
from fractions import Fraction

from ninefine.errors import RangeError, UnreadableError

#: Wide enough that no sum, product or share in a household's book is ever cut; divisions carry 40 digits.
EXACT = Context(prec=40, rounding=ROUND_HALF_UP)

#: Longest run of characters taken for a number; a longer one is a mistake, and huge exponents are refused.
LONGEST = 40

_PLAIN = re.compile(r"[+-]?(\d{1,3}([,_' ]\d{3})+|\d+)(\.\d*)?|[+-]?\.\d+", re.ASCII)


def read_decimal(text: str, *, what: str = "number") -> Decimal:
    """Read a decimal as typed: a point as the decimal mark; thousands marks (comma, space, apostrophe) allowed.

    Args:
        text: what was typed.
        what: the name of the value, for the error.

    Raises:
        UnreadableError: not a number, or longer than 40 characters; says what would be read.
    """
    cleaned = text.strip().replace("\N{MINUS SIGN}", "-").replace("\N{NO-BREAK SPACE}", " ")
    if len(cleaned) > LONGEST or not _PLAIN.fullmatch(cleaned):
        shown = text.strip()[:LONGEST]
        raise UnreadableError(
            f"{shown!r} is not a {what}.",
            expected="A number has digits, at most one point, and may have thousands marks.",
            instead=("1234.50", "1,234.50"),
        )
    for mark in ",_' ":
        cleaned = cleaned.replace(mark, "")
    try:
        return Decimal(cleaned)
    except InvalidOperation as error:  # pragma: no cover - the pattern above admits only what Decimal reads
        raise UnreadableError(f"{text.strip()!r} is not a {what}.", instead=("1234.50",)) from error


def read_positive(text: str, *, what: str = "number", zero: bool = False) -> Decimal:
    """Read a decimal that must be above zero (or zero too, with `zero`).

    Raises:
        UnreadableError: not a number.
        RangeError: a number, but not above zero.
    """
    value = read_decimal(text, what=what)
    if value < 0 or (value == 0 and not zero):
        least = "zero or more" if zero else "more than zero"
        raise RangeError(f"{what.capitalize()} is {value}.", expected=f"It must be {least}.")
    return value


def read_count(text: str, *, what: str = "count", zero: bool = False) -> int:
    """Read a whole number of pieces.

    Raises:
        UnreadableError: not a number.
        RangeError: not whole, or not above zero.
    """
    value = read_positive(text, what=what, zero=zero)
    if value != value.to_integral_value():
        raise RangeError(f"{what.capitalize()} is {value}.", expected="Pieces are counted in whole numbers.")
    return int(value)


def to_places(value: Decimal | Fraction, places: int) -> Decimal:
    """Round half up to a number of decimal places. Exact for fractions of any size; nothing is never below zero."""
    if isinstance(value, Decimal):
        found = value.quantize(Decimal(1).scaleb(-places), context=EXACT)
        return found or found.copy_abs()
    scaled = value * 10**places
    whole, rest = divmod(abs(scaled.numerator), scaled.denominator)
    if rest * 2 >= scaled.denominator:
        whole += 1
    return Decimal(whole if scaled >= 0 else -whole).scaleb(-places, context=EXACT)


def divide(over: Decimal, under: Decimal) -> Decimal:
    """Divide with 40 digits, rounding half up.

    Raises:
        ZeroDivisionError: `under` is zero.
    """
    return EXACT.divide(over, under)


def as_price(value: Decimal) -> str:
    """Write a price an ounce as it was read, with two places at the least: `66` -> `66.00`, `23.878`."""
    whole, _, places = plain(value).partition(".")
    return f"{whole}.{places:0<2}"


def plain(value: Decimal) -> str:
    """Write a decimal without exponent and without trailing zeros: `1.50` -> `1.5`, `1E+3` -> `1000`."""
    text = format(value, "f")
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return "0" if text in {"-0", ""} else text
