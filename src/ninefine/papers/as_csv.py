"""The ledgers of a paper as one CSV table (RFC 4180), safe to open in a spreadsheet."""

import csv
import io
from datetime import date
from decimal import Decimal

from ninefine.errors import RangeError
from ninefine.measure.numbers import to_places
from ninefine.papers.document import Column, Document, Ledger, Value

#: A spreadsheet takes text that begins so for a formula, and would run it.
FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r", "\n")


def as_csv(document: Document) -> str:
    """The main ledgers as one table: a head, then every row; no sums, which a reader of tables makes itself.

    Rows of named groups say their group in a first column. Figures are plain decimals rounded as on paper.

    Raises:
        RangeError: the paper holds no ledger.
    """
    ledgers = document.main
    if not ledgers:
        raise RangeError(f"{document.title} holds no table.", expected="Ask for it as text, a page or a PDF.")
    grouped = any(group.name for ledger in ledgers for group in ledger.groups)
    held = io.StringIO()
    writer = csv.writer(held)  # lines end in CR LF, as RFC 4180 has it
    writer.writerow(
        ([ledgers[0].groups_are] if grouped else []) + [safe(head_of(column)) for column in ledgers[0].columns]
    )
    for ledger in ledgers:
        for group, row in _rows(ledger):
            cells = [_cell(column, value) for column, value in zip(ledger.columns, row, strict=True)]
            writer.writerow(([safe(group)] if grouped else []) + cells)
    return held.getvalue()


def head_of(column: Column) -> str:
    """A column's head with its unit or ounce basis."""
    return f"{column.head}, {column.small}" if column.small else column.head


def safe(text: str) -> str:
    """Text that no spreadsheet takes for a formula: an apostrophe before what would start one."""
    return f"'{text}" if text.startswith(FORMULA_STARTS) else text


def _rows(ledger: Ledger) -> list[tuple[str, tuple[Value, ...]]]:
    return [(group.name, row.cells) for group in ledger.groups for row in group.rows]


def _cell(column: Column, value: Value) -> str:
    if value is None:
        return ""
    if isinstance(value, str):
        return safe(value)
    if isinstance(value, date):
        return value.isoformat()
    return f"{to_places(Decimal(value), column.digits):f}"
