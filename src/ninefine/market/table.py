"""Reading a row of plain values (from a form, a file, the book's tables) into a record: every fault at its field."""

from collections.abc import Callable, Mapping, Sequence
from datetime import date
from decimal import Decimal
from enum import StrEnum
from typing import TypeVar

from ninefine.errors import Fault, InputError
from ninefine.measure.days import read_day
from ninefine.measure.numbers import plain, read_count, read_decimal

T = TypeVar("T")
E = TypeVar("E", bound=StrEnum)

LONGEST_TEXT = 4000
Plain = Mapping[str, object]


class Table:
    """One row being read. A field at fault answers its default, so that all faults come out together.

    Args:
        row: field names and values: text, whole numbers, decimals, dates, rows and lists of rows.
        faults: where faults are set down.
        where: the row's name in faults.
    """

    def __init__(self, row: Plain, faults: list[Fault], where: str = "") -> None:
        self._row = row
        self._faults = faults
        self._where = where
        self._asked: set[str] = set()

    def __contains__(self, name: str) -> bool:
        return self._row.get(name) not in (None, "")

    def apart(self) -> "tuple[Table, list[Fault]]":
        """The same row to be read apart: its faults in a list of its own, named from the row inward."""
        own: list[Fault] = []
        return Table(self._row, own), own

    def fault(self, name: str, wrong: str) -> None:
        """Set down a fault of a field."""
        where = ": ".join(part for part in (self._where, name) if part)
        self._faults.append(Fault(where=where, wrong=wrong))

    def text(self, name: str, default: str = "", *, needed: bool = False) -> str:
        """A line of text without the spaces around it."""
        return self.read(name, _short_text, default, needed=needed)

    def amount(self, name: str, default: Decimal = Decimal(0)) -> Decimal:
        """Money, zero or more; a currency sign may stand before it."""
        return self.read(name, _not_negative, default)

    def decimal(self, name: str, *, zero: bool = False, needed: bool = False) -> Decimal | None:
        """A number above zero (or zero too); none where not given."""
        return self.read(name, _not_negative if zero else _positive, None, needed=needed)

    def percent(self, name: str) -> Decimal:
        """Per cent, from zero to a hundred; the sign may be written."""
        value = self.read(name, lambda said: _not_negative(said.removesuffix("%").strip()), Decimal(0))
        if value > 100:
            self.fault(name, f"{value} is more than a hundred per cent.")
        return value

    def count(self, name: str) -> int | None:
        """A whole number above zero; none where not given."""
        return self.read(name, read_count, None)

    def day(self, name: str) -> date | None:
        """A date as `2024-03-01`; none where not given."""
        value = self._row.get(name)
        if isinstance(value, date):
            self._asked.add(name)
            return value
        return self.read(name, read_day, None)

    def choice(self, name: str, kinds: type[E], default: E) -> E:
        """One of a few words."""

        def pick(said: str) -> E:
            words = [str(item) for item in kinds]
            if said not in words:
                raise InputError(f"{said[:40]!r} is none of {', '.join(words)}.")
            return kinds(said)

        return self.read(name, pick, default)

    def read(self, name: str, reader: Callable[[str], T], default: T, *, needed: bool = False) -> T:
        """Read a field's text with any reader that raises an InputError; an empty field answers the default."""
        self._asked.add(name)
        value = self._row.get(name)
        if value is None or value == "":
            if needed:
                self.fault(name, "This is needed.")
            return default
        if isinstance(value, bool) or not isinstance(value, str | int | Decimal):
            self.fault(name, f"{_kind_of(value)} stands where text or a number belongs.")
            return default
        try:
            return reader(f"{value:f}" if isinstance(value, Decimal) else str(value).strip())
        except InputError as error:
            self.fault(name, str(error))
            return default

    def part(self, name: str) -> "Table | None":
        """A row within the row; none where not given."""
        self._asked.add(name)
        value = self._row.get(name)
        if value is None:
            return None
        if not isinstance(value, Mapping):
            self.fault(name, f"{_kind_of(value)} stands where named fields belong.")
            return None
        return Table(value, self._faults, self._at(name))

    def parts(self, name: str, *, needed: bool = False) -> "list[Table]":
        """The rows of a list within the row."""
        self._asked.add(name)
        value = self._row.get(name)
        if value is None:
            value = []
        if not isinstance(value, Sequence) or isinstance(value, str):
            self.fault(name, f"{_kind_of(value)} stands where a list belongs.")
            return []
        if needed and not value:
            self.fault(name, "At least one is needed.")
        rows = []
        for number, item in enumerate(value, start=1):
            if isinstance(item, Mapping):
                rows.append(Table(item, self._faults, self._at(f"{name} {number}")))
            else:
                self.fault(f"{name} {number}", f"{_kind_of(item)} stands where named fields belong.")
        return rows

    def done(self) -> None:
        """Set down a fault for every field that nothing asked for."""
        for name in self._row:
            if name not in self._asked:
                self.fault(str(name)[:60], f"There is no such field; there are {', '.join(sorted(self._asked))}.")

    def _at(self, name: str) -> str:
        return ": ".join(part for part in (self._where, name) if part)


def _kind_of(value: object) -> str:
    if isinstance(value, bool):
        return "yes or no"
    if isinstance(value, float):
        return "a rounded number"
    if isinstance(value, Mapping):
        return "a row of fields"
    return "a list" if isinstance(value, Sequence) and not isinstance(value, str) else f"{str(value)[:40]!r}"


def _short_text(said: str) -> str:
    if len(said) > LONGEST_TEXT:
        raise InputError(f"This is {len(said)} characters long; at most {LONGEST_TEXT} are kept.")
    return said


def _number(said: str) -> Decimal:
    return read_decimal(said.removeprefix("$").strip())


def _not_negative(said: str) -> Decimal:
    value = _number(said)
    if value < 0:
        raise InputError(f"{plain(value)} is below zero; it must be zero or more.")
    return value


def _positive(said: str) -> Decimal:
    value = _number(said)
    if value <= 0:
        raise InputError(f"{plain(value)} is not more than zero.")
    return value


def filled(row: Mapping[str, object]) -> dict[str, object]:
    """The fields of a row that say something."""
    return {name: value for name, value in row.items() if value not in (None, "", [], {})}


def text_or_none(value: object) -> str | None:
    """A value as the text that reads back as it; none stays none."""
    if value is None:
        return None
    return plain(value) if isinstance(value, Decimal) else str(value)
