"""The person's own dated prices from a table: a date and a price to a line, and whose it was. All of it or nothing.

The first line may name the columns (`date`, `price`, `whose`, and perhaps `time`, `metal`, `side`); without names they
are taken in that order. Commas, semicolons or tabs part the columns.
"""

import csv
from collections.abc import Callable, Sequence
from datetime import date
from decimal import Decimal

import msgspec

from ninefine.book.entries import Priced
from ninefine.errors import Fault, Faults, InputError, UnreadableError
from ninefine.measure.days import read_day
from ninefine.measure.money import metal_code, read_money
from ninefine.measure.numbers import plain

#: More lines than any person types; a larger file is some other table.
MOST_LINES = 100_000

_COLUMNS = ("date", "price", "whose", "time", "metal", "side")
_ALIASES = {
    "day": "date",
    "on": "date",
    "spot": "price",
    "usd": "price",
    "per ozt": "price",
    "per_ozt": "price",
    "usd_per_ozt": "price",
    "source": "whose",
    "from": "whose",
    "at": "time",
    "hour": "time",
}


def read_prices(text: str, source: str = "the prices", *, today: date | None = None) -> tuple[Priced, ...]:
    """Read dated prices, in the order in which they stand.

    Args:
        text: the whole table.
        source: the file, as the person would name it.
        today: days after it are faults; not checked where none.

    Raises:
        Faults: every fault with its line; nothing is read then.
    """
    lines = text.removeprefix("\N{ZERO WIDTH NO-BREAK SPACE}").splitlines()
    faults: list[Fault] = []
    if len(lines) > MOST_LINES:
        raise Faults([Fault(where="", wrong=f"There are more than {MOST_LINES} lines.")], source=source)
    rows = _rows(lines, faults)
    columns, rows = _columns(rows, faults)
    seen: dict[tuple[object, ...], int] = {}
    prices = []
    if not faults:
        for line, cells in rows:
            price = _price(line, dict(zip(columns, cells, strict=False)), faults, today)
            if len(cells) > len(columns):
                faults.append(Fault(where=f"line {line}", wrong=f"{len(cells)} cells stand in {len(columns)} columns."))
            if price is None:
                continue
            key = (price.on, price.at, price.metal, price.side)
            if key in seen:
                faults.append(Fault(where=f"line {line}", wrong=f"Line {seen[key]} has a price of this time already."))
            seen[key] = line
            prices.append(price)
    if not prices and not faults:
        faults.append(Fault(where="", wrong="There is no price in it. A line reads: 2024-03-01, 22.90, the shop."))
    if faults:
        raise Faults(faults, source=source)
    return tuple(prices)


_Rows = list[tuple[int, list[str]]]


def _rows(lines: Sequence[str], faults: list[Fault]) -> _Rows:
    """The lines that hold anything, with their numbers; lines that begin with # are remarks."""
    first = next((line for line in lines if line.strip() and not line.startswith("#")), "")
    mark = max(",;\t", key=first.count)
    found: _Rows = []
    for number, line in enumerate(lines, start=1):
        if not line.strip() or line.startswith("#"):
            continue
        try:
            cells = next(csv.reader([line], delimiter=mark, strict=True, skipinitialspace=True))
        except csv.Error as error:
            faults.append(Fault(where=f"line {number}", wrong=f"The cells cannot be told apart: {error}."))
            continue
        found.append((number, [cell.strip() for cell in cells]))
    return found


def _columns(rows: _Rows, faults: list[Fault]) -> tuple[tuple[str, ...], _Rows]:
    """The names of the columns, and the rows below them."""
    if not rows or rows[0][1][0][:1].isdigit():
        return _COLUMNS, rows
    line, cells = rows[0]
    names = [cell.lower() for cell in cells]
    names = [_ALIASES.get(name, name) for name in names]
    for name in names:
        if name not in _COLUMNS:
            wrong = f"{name[:40]!r} is not a column; there are {', '.join(_COLUMNS)}."
            faults.append(Fault(where=f"line {line}", wrong=wrong))
    faults += [
        Fault(where=f"line {line}", wrong=f"There must be one column named {name}.")
        for name in ("date", "price")
        if names.count(name) != 1
    ]
    return tuple(names), rows[1:]


def _price(line: int, cells: dict[str, str], faults: list[Fault], today: date | None) -> Priced | None:
    """One price; none, with its faults set down, where a cell cannot be read."""
    before = len(faults)

    def read(name: str, reader: Callable[[str], object], default: object) -> object:
        text = cells.get(name, "")
        if not text and default is not None:
            return default
        try:
            return reader(text)
        except InputError as error:
            faults.append(Fault(where=f"line {line}, {name}", wrong=str(error)))
            return None

    on = read("date", read_day, None)
    if isinstance(on, date) and today is not None and on > today:
        faults.append(Fault(where=f"line {line}, date", wrong=f"{on} has not come yet."))
    values = {
        "on": on,
        "per_ozt": read("price", _above_zero, None),
        "whose": cells.get("whose", ""),
        "at": read("time", _clock, ""),
        "metal": read("metal", metal_code, "XAG"),
        "side": read("side", _side, "spot"),
    }
    return msgspec.convert(values, Priced) if len(faults) == before else None


def _above_zero(text: str) -> Decimal:
    value = read_money(text, what="price")
    if value <= 0:
        raise InputError(f"A price of {plain(value)} cannot be; it must be more than zero.")
    return value


def _clock(text: str) -> str:
    hours, colon, minutes = text.partition(":")
    sound = colon and hours.isdecimal() and minutes.isdecimal() and len(minutes) == len("00")
    if not sound or not text.isascii() or int(hours) > 23 or int(minutes) > 59:
        raise UnreadableError(f"{text[:20]!r} is not a time of day.", instead=("10:15", "16:40"))
    return f"{int(hours):02}:{minutes}"


def _side(text: str) -> str:
    if text.lower() not in {"spot", "bid", "ask"}:
        raise UnreadableError(f"{text[:20]!r} is not a side of the market.", instead=("spot", "bid", "ask"))
    return text.lower()
