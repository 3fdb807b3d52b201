"""A workbook's first sheet as the text of a table, so that the readers of tables read it too; lines keep their numbers.

Whole numbers are written without a point, days as 2024-03-01; a sheet of a workbook holds no more than a table may.
"""

import csv
import io
from datetime import date, datetime, time, timedelta

from ninefine.errors import RangeError, UnreadableError
from ninefine.measure.text import unfit

#: A larger file is no table that a person keeps.
LARGEST = 8 * 1024 * 1024
#: Endings of the workbooks that are read.
WORKBOOKS = (".xlsx", ".xlsm", ".xlsb", ".xls", ".ods")
MOST_CELLS = 2_000_000


def text_of(name: str, data: bytes) -> str:
    """The text of a table in a file: a workbook's first sheet, tabs between its cells; any other file as it is.

    Args:
        name: the file's name; its ending tells a workbook.
        data: its content.

    Raises:
        UnreadableError: no workbook that can be read, a text that is not UTF-8, or control characters in it.
        RangeError: larger than any person's table.
    """
    if len(data) > LARGEST:
        raise RangeError(f"{name[:60]!r} has {len(data) // 1024 // 1024} MiB.", expected="A table has at most 8 MiB.")
    if name.lower().endswith(WORKBOOKS):
        return _workbook(name, data)
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise _not_text(name) from error
    if "\0" in text:  # UTF-16 without a mark, or no text at all
        raise _not_text(name)
    for number, line in enumerate(text.split("\n"), 1):
        if unfit(line):
            raise UnreadableError(
                f"Line {number} of {name[:60]!r} has a control character in it.",
                expected="Take it out, then try again.",
            )
    return text


def _not_text(name: str) -> UnreadableError:
    return UnreadableError(
        f"{name[:60]!r} is not text in UTF-8.",
        expected="Save it as CSV in UTF-8, or as a workbook.",
        instead=(".csv", ".xlsx"),
    )


def _workbook(name: str, data: bytes) -> str:
    import python_calamine  # noqa: PLC0415 - heavy: a reader of workbooks, loaded when one is handed in

    try:
        book = python_calamine.load_workbook(io.BytesIO(data))
        sheet = book.get_sheet_by_index(0)
        if sheet.height * sheet.width > MOST_CELLS:
            raise RangeError(f"The first sheet of {name[:60]!r} is {sheet.height} by {sheet.width} cells.")
        rows = sheet.to_python(skip_empty_area=False)
    except python_calamine.CalamineError as error:
        raise UnreadableError(f"{name[:60]!r} cannot be read as a workbook: {error}.") from error
    out = io.StringIO()
    writer = csv.writer(out, delimiter="\t", lineterminator="\n")
    for row in rows:
        writer.writerow([_written(cell) for cell in row])
    return out.getvalue()


def _written(cell: object) -> str:
    """A cell as a person would type it."""
    if isinstance(cell, bool):
        return "yes" if cell else "no"
    if isinstance(cell, float):
        return str(int(cell)) if cell.is_integer() else repr(cell)
    if isinstance(cell, datetime):
        return cell.date().isoformat() if cell.time() == time() else cell.isoformat(sep=" ")
    if isinstance(cell, date | time | timedelta):
        return str(cell)
    return " ".join(str(cell).split())
