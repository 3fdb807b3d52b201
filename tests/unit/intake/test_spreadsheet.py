"""A workbook's first sheet becomes the text of a table, cell by cell as a person would type it."""

import io
from datetime import date, datetime, time

import pytest
import xlsxwriter

from ninefine.catalog.shelf import load_catalog
from ninefine.errors import RangeError, UnreadableError
from ninefine.intake import spreadsheet
from ninefine.intake.sheet_csv import SheetHead, read_sheet_csv
from ninefine.intake.spreadsheet import text_of


def workbook(*rows: list[object]) -> bytes:
    """A workbook with one sheet, written by another library than the one that reads it."""
    out = io.BytesIO()
    book = xlsxwriter.Workbook(out, {"in_memory": True, "default_date_format": "yyyy-mm-dd"})
    sheet = book.add_worksheet()
    for number, row in enumerate(rows):
        for place, cell in enumerate(row):
            if cell is not None:
                sheet.write(number, place, cell)
    book.close()
    return out.getvalue()


def test_cells_are_written_as_they_would_be_typed() -> None:
    day = datetime.fromisoformat("2026-06-01")
    text = text_of(
        "a.xlsx", workbook(["Yr", "low", "on", "sold"], [1921, 45.5, day, True], [1921.0, 180.1, "a\tb", 0.1])
    )

    assert text.splitlines() == [
        "Yr\tlow\ton\tsold",
        "1921\t45.5\t2026-06-01\tyes",
        "1921\t180.1\ta b\t0.1",
    ]


def test_empty_lines_keep_their_numbers_so_that_faults_are_found() -> None:
    table = workbook(["kind", "issue", "grade", "price"], [], ["us-dime-mercury", "1921-D", "VG9", 60])

    with pytest.raises(Exception, match="line 3, grade"):
        read_sheet_csv(text_of("a.xlsx", table), SheetHead(name="x", on=date(2026, 6, 1)), load_catalog())


def test_a_workbook_reads_as_its_csv_does() -> None:
    rows: list[list[object]] = [
        ["kind", "issue", "grade", "low", "high"],
        ["us-dime-mercury", "1921-D", "G4", 45, 50.25],
    ]
    head, catalog = SheetHead(name="x", on=date(2026, 6, 1)), load_catalog()
    as_csv = "\n".join(",".join(str(cell) for cell in row) for row in rows)

    assert read_sheet_csv(text_of("a.xlsx", workbook(*rows)), head, catalog) == read_sheet_csv(as_csv, head, catalog)


@pytest.mark.parametrize(
    ("name", "data", "words"),
    [
        ("a.xlsx", b"not a workbook", "cannot be read as a workbook"),
        ("a.csv", b"\xff\xfe\x00", "not text in UTF-8"),
    ],
)
def test_what_cannot_be_read_says_so(name: str, data: bytes, words: str) -> None:
    with pytest.raises(UnreadableError, match=words):
        text_of(name, data)


def test_a_text_is_taken_as_it_is_without_its_byte_order_mark() -> None:
    assert text_of("a.csv", b"\xef\xbb\xbfkind, low\n") == "kind, low\n"


def test_too_large_a_file_is_no_table(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(spreadsheet, "LARGEST", 10)
    with pytest.raises(RangeError, match="8 MiB"):
        text_of("a.csv", b"x" * 11)
    monkeypatch.setattr(spreadsheet, "LARGEST", 10**6)
    monkeypatch.setattr(spreadsheet, "MOST_CELLS", 3)
    with pytest.raises(RangeError, match="2 by 2 cells"):
        text_of("a.xlsx", workbook(["a", "b"], ["c", "d"]))


@pytest.mark.parametrize(
    ("cell", "text"),
    [
        ("", ""),
        (True, "yes"),
        (1.5, "1.5"),
        (time(10, 15), "10:15:00"),
        (datetime.fromisoformat("2026-06-01 09:30"), "2026-06-01 09:30:00"),
    ],
)
def test_other_cells(cell: object, text: str) -> None:
    assert spreadsheet._written(cell) == text
