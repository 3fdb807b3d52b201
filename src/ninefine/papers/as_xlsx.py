"""A paper as a workbook: a sheet for each ledger, numbers as numbers and text as text, never a formula.

A cell of a workbook is a double of 15 to 17 digits, so a figure is rounded to its column's places before it is put in;
read back and rounded to the same places it is the same figure.
"""

import io
import re
from collections.abc import Iterator, Mapping, Sequence
from datetime import UTC, date, datetime, time
from decimal import Decimal
from typing import TYPE_CHECKING, Any

from ninefine.measure.numbers import to_places
from ninefine.papers.as_csv import head_of
from ninefine.papers.as_text import left_out_words
from ninefine.papers.document import (
    Beside,
    Block,
    Code,
    Column,
    Document,
    Heading,
    Ledger,
    Notes,
    Of,
    Pair,
    Pairs,
    Picture,
    Prose,
    Slips,
    Value,
)
from ninefine.papers.written import day_words

if TYPE_CHECKING:
    from xlsxwriter.workbook import Workbook
    from xlsxwriter.worksheet import Worksheet

#: A sheet's name has at most 31 characters, and none of these.
_LONGEST_NAME = 31
_FORBIDDEN = re.compile(r"[\[\]:*?/\\]")
_WIDEST = 60
_A4 = 9
_LETTER = 1
Formats = Mapping[str, Any]


def as_xlsx(document: Document, *, a4: bool = False) -> bytes:
    """The paper's words on a first sheet, then a sheet for each ledger, its sums in bold under it."""
    import xlsxwriter  # noqa: PLC0415 - only workbooks need it

    held = io.BytesIO()
    options = {
        "in_memory": True,
        "strings_to_formulas": False,
        "strings_to_urls": False,
        "strings_to_numbers": False,
        "default_date_format": "yyyy-mm-dd",
    }
    with xlsxwriter.Workbook(held, options) as book:
        made = datetime.combine(document.on, time(0), UTC).replace(tzinfo=None)
        book.set_properties({"title": document.title, "created": made})
        formats = _Formats(book)
        _words_sheet(book.add_worksheet("Paper"), document, formats)
        names = {"paper"}
        for ledger in document.ledgers:
            sheet = book.add_worksheet(_sheet_name(ledger.caption, names))
            sheet.set_paper(_A4 if a4 else _LETTER)
            _ledger_sheet(sheet, ledger, formats)
    return held.getvalue()


class _Formats:
    """Cell formats by what they hold; each is made once."""

    def __init__(self, book: "Workbook") -> None:
        self._book = book
        self._made: dict[tuple[Of, int, bool], Any] = {}
        self.bold = book.add_format({"bold": True, "text_wrap": True, "valign": "bottom"})
        self.head = book.add_format({"bold": True, "text_wrap": True, "bottom": 1, "valign": "bottom"})
        self.title = book.add_format({"bold": True, "font_size": 16})
        self.wrapped = book.add_format({"text_wrap": True, "valign": "top"})

    def of(self, column: Column, *, bold: bool = False) -> Any:
        key = column.of, column.digits, bold
        if key not in self._made:
            look: dict[str, Any] = {"num_format": _number_format(column), "valign": "top"}
            if bold:
                look |= {"bold": True, "top": 1}
            self._made[key] = self._book.add_format(look)
        return self._made[key]


def _number_format(column: Column) -> str:
    if column.of is Of.DATE:
        return "yyyy-mm-dd"
    if column.of is Of.TEXT:
        return "@"
    places = "." + "0" * column.digits if column.digits else ""
    return f"#,##0{places}" + ('"%"' if column.of is Of.PERCENT else "")


def _put(sheet: "Worksheet", where: tuple[int, int], column: Column, value: Value, look: Any) -> None:
    """One cell by what it is: text can never become a formula, a link or a number here."""
    row, place = where
    if value is None:
        sheet.write_blank(row, place, None, look)
    elif isinstance(value, str):
        sheet.write_string(row, place, value, look)
    elif isinstance(value, date):
        sheet.write_datetime(row, place, datetime.combine(value, time(0)), look)
    else:
        sheet.write_number(row, place, float(to_places(Decimal(value), column.digits)), look)


def _ledger_sheet(sheet: "Worksheet", ledger: Ledger, formats: _Formats) -> None:
    grouped = any(group.name for group in ledger.groups)
    noted = any(row.notes for row in ledger.rows)
    left = 1 if grouped else 0
    if grouped:
        sheet.write_string(0, 0, ledger.groups_are, formats.head)
    for place, column in enumerate(ledger.columns, left):
        sheet.write_string(0, place, head_of(column), formats.head)
        sheet.set_column(place, place, _width(ledger, place - left))
    after = left + len(ledger.columns)
    if noted:
        sheet.write_string(0, after, "Remarks", formats.head)
        sheet.set_column(after, after, 40)
    line = 0
    for group in ledger.groups:
        for row in group.rows:
            line += 1
            if grouped:
                sheet.write_string(line, 0, group.name, formats.wrapped)
            for place, (column, cell) in enumerate(zip(ledger.columns, row.cells, strict=True), left):
                _put(sheet, (line, place), column, cell, formats.of(column))
            if row.notes:
                sheet.write_string(line, after, "; ".join(words for words, _ in row.notes), formats.wrapped)
    if ledger.sums and ledger.rows:
        _sums(sheet, line + 1, ledger, left, formats)
    sheet.freeze_panes(1, 0)
    sheet.repeat_rows(0)
    sheet.fit_to_pages(1, 0)
    sheet.set_footer("&L&A&RPage &P of &N")


def _sums(sheet: "Worksheet", line: int, ledger: Ledger, left: int, formats: _Formats) -> None:
    sheet.write_string(line, 0, ledger.total, formats.of(Column(head=""), bold=True))
    for place, (column, value) in enumerate(zip(ledger.columns, ledger.totals(), strict=True), left):
        if column.summed:
            _put(sheet, (line, place), column, value, formats.of(column, bold=True))


def _width(ledger: Ledger, place: int) -> int:
    column = ledger.columns[place]
    longest = max((len(str(row.cells[place] or "")) for row in ledger.rows), default=0)
    least = max(len(word) for word in (*column.head.split(), column.small or "-"))
    return min(_WIDEST, max(longest + 3 if not column.is_figure else 14, least + 2))


def _sheet_name(caption: str, taken: set[str]) -> str:
    """A name that a sheet may have, unlike those taken."""
    plain = _FORBIDDEN.sub(" ", caption).strip().strip("'")[:_LONGEST_NAME].strip() or "Ledger"
    name, number = plain, 1
    while name.lower() in taken:
        number += 1
        name = f"{plain[: _LONGEST_NAME - 4]} ({number})"
    taken.add(name.lower())
    return name


def _words_sheet(sheet: "Worksheet", document: Document, formats: _Formats) -> None:
    """What the paper says beside its ledgers, a line to a row."""
    sheet.set_column(0, 0, 60)
    sheet.set_column(1, 1, 18)
    sheet.write_string(0, 0, document.title, formats.title)
    sheet.write_string(1, 0, day_words(document.on) + (f", {document.book}" if document.book else ""), formats.wrapped)
    line = 2
    if document.left_out:
        sheet.write_string(line, 0, left_out_words(document.left_out), formats.wrapped)
        line += 1
    for block in document.blocks:
        for cells in _block_lines(block):
            line += 1
            if isinstance(cells, Pair):
                sheet.write_string(line, 0, cells.name, formats.wrapped)
                _put(sheet, (line, 1), cells.column, cells.value, formats.of(cells.column))
                sheet.write_string(line, 2, cells.column.small, formats.wrapped)
            else:
                look = formats.bold if isinstance(block, Heading) else formats.wrapped
                sheet.write_string(line, 0, cells, look)


def _block_lines(block: Block) -> Iterator[str | Pair]:
    match block:
        case Prose() | Heading():
            yield block.text
        case Pairs():
            yield from block.pairs
        case Notes():
            yield from _titled(block.title, [line for line, _ in block.lines])
        case Picture():
            yield block.alt
        case Code():
            yield f"{block.words} ({block.text})"
        case Slips():
            for slip in block.slips:
                yield ", ".join([slip.name, slip.goods, *(line for line, _ in slip.lines)])
        case Ledger():
            yield f"See the sheet: {block.caption}"
        case Beside():
            yield from (f"See the sheet: {ledger.caption}" for ledger in block.ledgers)
        case _:
            return


def _titled(title: str, lines: Sequence[str]) -> list[str]:
    return [title, *lines] if title else list(lines)
