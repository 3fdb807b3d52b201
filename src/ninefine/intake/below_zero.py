"""Figures below zero in a list: on every line of a column they are only a way of writing, on some they are at fault."""

from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal

from ninefine.errors import Fault
from ninefine.intake.book_columns import MEASURES, PRICES
from ninefine.intake.book_sheet import SheetRow
from ninefine.measure.numbers import plain

#: Columns that a sign may stand in by habit: money that went out, pieces that left, costs that were taken off.
_BY_HABIT = (*MEASURES, *PRICES, "carriage", "surcharge", "tax", "fees", "travel")


def without_signs(rows: Sequence[SheetRow], faults: list[Fault]) -> tuple[tuple[SheetRow, ...], tuple[str, ...]]:
    """The lines with figures above zero, and the headings of columns whose every figure stood below.

    Where a column says which lines were bought and which sold, each kind of line is looked at by itself. A figure below
    zero among others above is a fault: a refund or a correction is booked by itself.
    """
    turned: dict[tuple[str, str], str] = {}
    wrong_lines: set[int] = set()
    for name in _BY_HABIT:
        for deed in dict.fromkeys(row.words.get("deed", "").lower() for row in rows):
            here = [row for row in rows if row.words.get("deed", "").lower() == deed and row.numbers.get(name)]
            below = [row for row in here if row.numbers[name] < 0]
            if below and len(below) == len(here):
                turned[name, deed] = here[0].heads.get(name, name)
                continue
            for row in below:
                wrong = f"{plain(row.numbers[name])} is below zero, and other lines are not."
                wrong_lines.add(row.line)
                faults.append(Fault(where=row.where(name), wrong=f"{wrong} Book a refund or a correction by itself."))
    found = tuple(
        replace(
            row,
            numbers={name: _turned(row, name, turned) for name in row.numbers},
            sound=row.sound and row.line not in wrong_lines,
        )
        for row in rows
    )
    return found, tuple(dict.fromkeys(turned.values()))


def _turned(row: SheetRow, name: str, turned: dict[tuple[str, str], str]) -> Decimal:
    value = row.numbers[name]
    return abs(value) if (name, row.words.get("deed", "").lower()) in turned else value
