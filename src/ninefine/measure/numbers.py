"""Reading numbers as people type them, and rounding said out loud. Everything is an exact decimal."""

import re
import unicodedata
from decimal import ROUND_HALF_UP, Context, Decimal
from fractions import Fraction

from ninefine.errors import RangeError, UnreadableError

#: Wide enough that no sum, product or share in a household's book is ever cut; divisions carry 40 digits.
EXACT = Context(prec=40, rounding=ROUND_HALF_UP)

#: Longest run of characters taken for a number; a longer one is a mistake, and huge exponents are refused.
LONGEST = 40
#: Digits before the point, as the book keeps amounts: below a trillion; and after it, as the words of a quote that was
#: turned into another may have them.
MOST_WHOLE = 12
MOST_PLACES = 24
#: The longest reference read as a whole number: an entry, a row, a page.
LONGEST_REFERENCE = 9

_PLAIN = re.compile(r"[+-]?(\d{1,3}([,_' ]\d{3})+|\d+)(\.\d*)?|[+-]?\.\d+", re.ASCII)
_COMMA_POINT = re.compile(r"([+-]?\d{1,3}(?:[. ]\d{3})+|[+-]?\d+),(\d+)", re.ASCII)


def read_decimal(text: str, *, what: str = "number") -> Decimal:
    """Read a decimal as typed: a point as the decimal mark; thousands marks (comma, space, apostrophe) allowed.

    Args:
        text: what was typed.
        what: the name of the value, for the error.

    Raises:
        UnreadableError: not a number, or longer than 40 characters; says what would be read.
        RangeError: a number with more digits than any in a household has.
    """
    cleaned = text.strip().replace("\N{MINUS SIGN}", "-").replace("\N{NO-BREAK SPACE}", " ")
    if len(cleaned) > LONGEST or not _PLAIN.fullmatch(cleaned):
        raise UnreadableError(
            f"{_shown(text)} is not a {what}.",
            expected="A number has digits, at most one point, and may have thousands marks.",
            instead=_meant(cleaned) or ("1234.50", "1,234.50"),
        )
    for mark in ",_' ":
        cleaned = cleaned.replace(mark, "")
    whole, _, places = cleaned.lstrip("+-").partition(".")
    if len(whole.lstrip("0")) > MOST_WHOLE or len(places.rstrip("0")) > MOST_PLACES:
        raise RangeError(
            f"{_shown(text)} has more digits than a {what} can have.",
            expected=f"At most {MOST_WHOLE} digits may stand before the point and {MOST_PLACES} after it.",
        )
    return Decimal(cleaned)


def _shown(text: str) -> str:
    """What was typed, cut to what can be read at a glance."""
    said = text.strip()
    return repr(said if len(said) <= LONGEST else said[:LONGEST] + "...")


def _meant(cleaned: str) -> tuple[str, ...]:
    """The number that was likely meant: digits of another width or script, or a comma for the point."""
    if len(cleaned) > LONGEST:
        return ()
    said = "".join(one if (digit := unicodedata.decimal(one, None)) is None else str(digit) for one in cleaned)
    comma = _COMMA_POINT.fullmatch(said)
    if comma is not None:
        said = comma[1].replace(".", "").replace(" ", "") + "." + comma[2]
    return (said,) if said != cleaned and _PLAIN.fullmatch(said) else ()


def read_reference(text: str) -> int | None:
    """The number of an entry, a row or a page as an address or a reference has it: digits 0 to 9, and no more than 9.

    None for anything else: whoever asks says what there is.
    """
    plain_digits = text.isascii() and text.isdigit() and len(text) <= LONGEST_REFERENCE
    return int(text) if plain_digits else None


def read_positive(text: str, *, what: str = "number", zero: bool = False) -> Decimal:
    """Read a decimal that must be above zero (or zero too, with `zero`).

    Raises:
        UnreadableError: not a number.
        RangeError: a number, but not above zero.
    """
    value = read_decimal(text, what=what)
    if value < 0 or (value == 0 and not zero):
        least = "zero or more" if zero else "more than zero"
        raise RangeError(f"{what.capitalize()} is {plain(value)}.", expected=f"It must be {least}.")
    return value


def read_count(text: str, *, what: str = "count", zero: bool = False) -> int:
    """Read a whole number of pieces.

    Raises:
        UnreadableError: not a number.
        RangeError: not whole, or not above zero.
    """
    value = read_positive(text, what=what, zero=zero)
    if value != value.to_integral_value():
        raise RangeError(f"{what.capitalize()} is {plain(value)}.", expected="It must be a whole number.")
    return int(value)


def to_places(value: Decimal | Fraction, places: int) -> Decimal:
    """Round half up to a number of decimal places. Exact for fractions of any size; nothing is never below zero."""
    if isinstance(value, Decimal):
        if value.adjusted() + places < EXACT.prec - 1:
            found = value.quantize(Decimal(1).scaleb(-places), context=EXACT)
            return found or found.copy_abs()
        value = Fraction(value)
    scaled = value * Fraction(10) ** places
    whole, rest = divmod(abs(scaled.numerator), scaled.denominator)
    if rest * 2 >= scaled.denominator:
        whole += 1
    return Decimal(f"{whole if scaled >= 0 else -whole}E{-places}")


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
