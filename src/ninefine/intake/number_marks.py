"""Numbers as spreadsheets write them: which mark parts the decimals is decided over all of them, or refused.

`1,234.50`, `1.234,50`, `1 234,50`, `$1,234.50`, `(12.50)`, `12.50-`, `EUR 12,50`. `1,234` by itself may be either; so
one number that can be read one way only decides for the whole table.
"""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from ninefine.errors import Fault, RangeError, UnreadableError
from ninefine.measure.money import CURRENCIES
from ninefine.measure.numbers import LONGEST, MOST_WHOLE, plain


class DecimalMark(StrEnum):
    """What parts the decimals."""

    POINT = "point"
    COMMA = "comma"


@dataclass(frozen=True, slots=True)
class Written:
    """A number as it stands in a cell: below zero or not, its figures and marks, and the currency named with it."""

    negative: bool
    figures: str
    currency: str


#: Signs of currencies; a plain dollar sign is a dollar of any country, and says no more.
_SIGNS = {
    "US$": "USD",
    "CA$": "CAD",
    "C$": "CAD",
    "A$": "AUD",
    "NZ$": "NZD",
    "$": "$",
    "€": "EUR",
    "£": "GBP",
    "¥": "JPY",
}
_NAMES = {**_SIGNS, **{code: code for code in CURRENCIES}}
_DOLLARS = frozenset({"USD", "CAD", "AUD", "NZD", "HKD", "SGD", "TWD", "MXN", "ARS", "CLP"})
_SPACES = str.maketrans(dict.fromkeys("\N{NO-BREAK SPACE}\N{NARROW NO-BREAK SPACE}\N{THIN SPACE}", " "))
_APOSTROPHE = {ord("\N{RIGHT SINGLE QUOTATION MARK}"): "'"}
_MINUS = str.maketrans(dict.fromkeys("\N{MINUS SIGN}\N{EN DASH}\N{EM DASH}", "-"))
_THOUSANDS = {DecimalMark.POINT: r"[, '_]", DecimalMark.COMMA: r"[. '_]"}
_POINTS = {DecimalMark.POINT: r"\.", DecimalMark.COMMA: ","}
_READ = {
    mark: re.compile(
        rf"(?:[1-9]\d{{0,2}}(?:(?P<t>{_THOUSANDS[mark]})\d{{3}})(?:(?P=t)\d{{3}})*|\d+)(?:{point}\d*)?|{point}\d+",
        re.ASCII,
    )
    for mark, point in _POINTS.items()
}
#: A dash in the place of cents: `12.-`.
_NO_CENTS = re.compile(r"(?<=\d)[.,]-{1,2}(?=\D*$)", re.ASCII)
#: What stands for nothing at all.
BLANKS = frozenset({"", "-", "--", "n/a", "na", "none", "nil", "?", "#n/a", "tbd"})


def is_blank(text: str) -> bool:
    """Whether a cell says nothing: empty, a dash, n/a."""
    return text.strip().translate(_MINUS).lower() in BLANKS


def written(text: str) -> Written | None:
    """Part a number from its sign, brackets and currency, in whatever order; none where the text is no number."""
    said = text.strip().translate(_SPACES | _MINUS | _APOSTROPHE)
    said = _NO_CENTS.sub("", said)
    negative, currency = False, ""
    for _ in range(3):
        if said.startswith("(") and said.endswith(")"):
            negative, said = True, said[1:-1].strip()
        if said.startswith("-") or said.endswith("-"):
            negative, said = True, said.strip("-").strip()
        if not currency:
            currency, said = _without_currency(said.removeprefix("+").strip())
    if len(said) > LONGEST or not any(pattern.fullmatch(said) for pattern in _READ.values()):
        return None
    return Written(negative, said, currency)


def _without_currency(said: str) -> tuple[str, str]:
    """The currency named before or behind a number, and what is left."""
    if said[:1].isdigit() and said[-1:].isdigit():
        return "", said
    for sign, code in _NAMES.items():
        if said.upper().startswith(sign):
            return code, said[len(sign) :].strip()
        if said.upper().endswith(sign):
            return code, said[: -len(sign)].strip()
    return "", said


def readings(figures: str) -> dict[DecimalMark, Decimal]:
    """What the figures come to by either mark; only those that can be."""
    found = {}
    for mark, pattern in _READ.items():
        if pattern.fullmatch(figures):
            bare = re.sub(_THOUSANDS[mark], "", figures)
            found[mark] = Decimal(bare.replace(",", "."))
    return found


@dataclass(frozen=True, slots=True)
class Placed:
    """A number's cell with where it stands; `whole` where it counts pieces."""

    where: str
    text: str
    whole: bool = False


def decide_mark(cells: Iterable[Placed], faults: list[Fault]) -> DecimalMark:
    """Which mark parts the decimals of a table; a fault where two cells contradict each other, or none can tell.

    Args:
        cells: every number that is text; those that are no numbers are passed over.
        faults: where a fault is set down.
    """
    only: dict[DecimalMark, Placed] = {}
    either: tuple[Placed, dict[DecimalMark, Decimal]] | None = None
    for cell in cells:
        number = written(cell.text)
        if number is None:
            continue
        found = readings(number.figures)
        if cell.whole:
            found = {mark: value for mark, value in found.items() if value == value.to_integral_value()} or found
        if len(found) == 1:
            only.setdefault(next(iter(found)), cell)
        elif either is None and len(set(found.values())) > 1:
            either = cell, found
    if len(only) > 1:
        one, other = only[DecimalMark.POINT], only[DecimalMark.COMMA]
        wrong = f"{one.text!r} has a decimal point, but {other.text!r} ({other.where}) a decimal comma."
        faults.append(Fault(where=one.where, wrong=f"{wrong} Write all numbers one way, or say which it is."))
    elif not only and either is not None:
        cell, found = either
        ways = " or ".join(plain(value) for value in found.values())
        wrong = f"{cell.text!r} may be {ways}, and no other number tells. Say whether decimals stand after a point"
        faults.append(Fault(where=cell.where, wrong=f"{wrong} or after a comma."))
    return next(iter(only), DecimalMark.POINT)


def read_number(text: str, mark: DecimalMark, currency: str) -> Decimal:
    """A number by the mark that was decided on.

    Raises:
        UnreadableError: not a number, or not by this mark.
        RangeError: in another currency than the book's, or with more digits than any in a household.
    """
    number = written(text)
    value = None if number is None else readings(number.figures).get(mark)
    if number is None or value is None:
        instead = ("1,234.50", "1234.50") if mark is DecimalMark.POINT else ("1.234,50", "1234,50")
        raise UnreadableError(f"{text[:LONGEST]!r} is not a number.", instead=instead)
    if abs(value) >= 10**MOST_WHOLE:
        raise RangeError(
            f"{text[:LONGEST]!r} has more digits than a number can have.",
            expected=f"At most {MOST_WHOLE} may stand before the decimals.",
        )
    if number.currency and number.currency != currency and not (number.currency == "$" and currency in _DOLLARS):
        raise RangeError(
            f"{text[:LONGEST]!r} is not in {currency}, the currency of this book.",
            expected=f"Turn it into {currency} at the rate of its day, in a column of its own.",
        )
    return -value if number.negative else value
