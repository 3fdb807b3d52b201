"""Reading the packaged tables: comma-separated text in, records out, every fault of a table at once."""

import csv
from collections.abc import Callable, Iterable
from decimal import Decimal, InvalidOperation
from importlib import resources
from typing import TypeVar

from ninefine.catalog.kinds import Evidence
from ninefine.errors import Fault, Faults

T = TypeVar("T")

_EVIDENCE = {evidence.value: evidence for evidence in Evidence}


def packaged_lines(name: str) -> list[str]:
    """The lines of a packaged table, by its path below `data/`."""
    return resources.files("ninefine.catalog").joinpath("data", name).read_text(encoding="utf-8").splitlines()


class Row:
    """One row of a table. A cell that cannot be read is noted as a fault, and the row reads on."""

    __slots__ = ("_cells", "_columns", "_faults", "_line")

    def __init__(self, line: int, cells: list[str], columns: dict[str, int], faults: list[Fault]) -> None:
        self._line = line
        self._cells = cells
        self._columns = columns
        self._faults = faults

    def fault(self, column: str, wrong: str) -> None:
        """Note that something in a column cannot be used."""
        self._faults.append(Fault(where=f"line {self._line}, {column}", wrong=wrong))

    def text(self, column: str) -> str:
        """The cell as it stands; may be empty."""
        return self._cells[self._columns[column]]

    def needed(self, column: str) -> str:
        """The cell, which may not be empty."""
        text = self._cells[self._columns[column]]
        if not text:
            self.fault(column, "is empty; it must be filled")
        return text

    def decimal(self, column: str) -> Decimal | None:
        """A number, zero or more; none where the cell is empty."""
        text = self._cells[self._columns[column]]
        if not text:
            return None
        try:
            value = Decimal(text)
        except InvalidOperation:
            self.fault(column, f"{text!r} is not a number")
            return None
        if not value.is_finite() or value < 0:
            self.fault(column, f"{text!r} must be zero or more")
            return None
        return value

    def needed_decimal(self, column: str) -> Decimal:
        """A number, zero or more, which may not be missing; zero where it is (a fault is noted)."""
        value = self.decimal(column)
        if value is None and not self.text(column):
            self.fault(column, "is empty; a number is needed")
        return Decimal(0) if value is None else value

    def fineness(self, column: str) -> Decimal:
        """Parts in one: a number from 0 to 1."""
        value = self.needed_decimal(column)
        if value > 1:
            self.fault(column, f"{value} is more than 1; fineness is parts in one")
        return value

    def whole(self, column: str) -> int | None:
        """A whole number; none where the cell is empty."""
        text = self._cells[self._columns[column]]
        if not text:
            return None
        if not (text.isascii() and text.isdigit()):
            self.fault(column, f"{text!r} is not a whole number")
            return None
        return int(text)

    def year(self, column: str) -> int:
        """A year of the common era, needed."""
        value = self.whole(column)
        if value is None or not 1700 <= value <= 2100:
            self.fault(column, f"{self.text(column)!r} is not a year")
            return 0
        return value

    def evidence(self) -> Evidence:
        """What the row rests on."""
        text = self.text("evidence")
        found = _EVIDENCE.get(text)
        if found is None:
            self.fault("evidence", f"{text!r} is not one of {', '.join(_EVIDENCE)}")
            return Evidence.MEMORY
        return found


def read_table(
    lines: Iterable[str], *, source: str, columns: tuple[str, ...], build: Callable[[Row], T]
) -> tuple[T, ...]:
    """Read a table: its head must be `columns`, and each row becomes a record by `build`.

    Args:
        lines: the text, its head first.
        source: the table's name, for faults.
        columns: the head that is expected.
        build: makes a record of a row, noting faults on the row.

    Raises:
        Faults: every fault of the table.
    """
    faults: list[Fault] = []
    built: list[T] = []
    reader = csv.reader(lines)
    head = next(reader, [])
    if tuple(head) != columns:
        raise Faults([Fault(where="line 1", wrong=f"the head is {head}; {list(columns)} is expected")], source=source)
    positions = {column: position for position, column in enumerate(columns)}
    for cells in reader:
        if len(cells) != len(columns):
            faults.append(
                Fault(where=f"line {reader.line_num}", wrong=f"has {len(cells)} cells; {len(columns)} are expected")
            )
            continue
        built.append(build(Row(reader.line_num, cells, positions, faults)))
    if faults:
        raise Faults(faults, source=source)
    return tuple(built)
