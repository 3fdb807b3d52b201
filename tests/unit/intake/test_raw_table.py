"""Files as they are handed in: what they are written in, what parts their cells, and what is no table."""

import io

import pytest
import xlsxwriter

from ninefine.errors import Faults, InputError, NotFoundError, RangeError, UnreadableError
from ninefine.intake.raw_table import MOST_IN_TEXT, read_raw

TEXT = "Dealer;Cost\nCafé Lune;1 234,50\n"


def cells(data: bytes, **more: object) -> list[list[str]]:
    read = read_raw("a.csv", data, known=lambda text: text in {"Dealer", "Cost"}, **more)  # type: ignore[arg-type]
    return [[cell.text for cell in line.cells] for line in read.lines]


@pytest.mark.parametrize(
    "data",
    [
        TEXT.encode(),
        TEXT.encode("utf-8-sig"),
        TEXT.encode("utf-16"),
        TEXT.encode("utf-16-le"),
        TEXT.encode("utf-16-be"),
        b"\xfe\xff" + TEXT.encode("utf-16-be"),
        TEXT.encode("cp1252"),
        TEXT.replace("\n", "\r\n").encode(),
        TEXT.replace("\n", "\r").encode("cp1252"),
    ],
    ids=["utf-8", "utf-8 marked", "utf-16", "utf-16 le", "utf-16 be", "utf-16 be marked", "cp1252", "crlf", "cr"],
)
def test_text_is_read_whatever_it_is_written_in(data: bytes) -> None:
    assert cells(data) == [["Dealer", "Cost"], ["Café Lune", "1 234,50"]]


@pytest.mark.parametrize("mark", [",", ";", "\t", "|"])
def test_the_mark_that_parts_cells_is_told_by_the_headings(mark: str) -> None:
    data = f'Dealer{mark}Cost\n"Elm, Oak; Ash|"{mark}5\n'.encode()

    assert cells(data) == [["Dealer", "Cost"], ["Elm, Oak; Ash|", "5"]]


def test_lines_keep_the_numbers_that_they_have_in_the_file() -> None:
    """A cell may hold line breaks; the next line is counted from where it begins."""
    read = read_raw("a.csv", b'Dealer,Cost\n"Elm\nCoins",5\n\nOak,6\n')

    assert [(line.number, line.cells[0].text) for line in read.lines if not line.blank] == [
        (1, "Dealer"),
        (2, "Elm Coins"),
        (5, "Oak"),
    ]


def test_the_digest_is_of_what_is_told() -> None:
    """Blank lines, blank ends of lines, other marks and codings change nothing; a changed cell does."""
    one = read_raw("a.csv", b"Dealer,Cost\nElm,5\n").digest

    assert read_raw("b.txt", "\nDealer\tCost\t\nElm\t5\n\n".encode("utf-16")).digest == one
    assert read_raw("c.csv", b"Dealer,Cost\nElm,6\n").digest != one
    assert read_raw("d.csv", b"Dealer,Cost\n,Elm,5\n").digest != one


@pytest.mark.parametrize(
    ("data", "error", "words"),
    [
        (b"%PDF-1.7", UnreadableError, "a PDF"),
        (b"\x89PNG\r\n", UnreadableError, "a picture"),
        (b"PK\x03\x04not a workbook", UnreadableError, "cannot be read as a workbook"),
        (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(600), UnreadableError, "cannot be read as a workbook"),
        (b"a\0b\x81", UnreadableError, "not text that can be read"),
        (b"x" * (8 * 1024 * 1024 + 1), RangeError, "at most 8 MiB"),
        (b"," * (MOST_IN_TEXT + 1), RangeError, "more than 500,000 cells"),
        (b"\n" * 100_001, RangeError, "more than 100000 lines"),
        (b'a,b\n"c"d,e\n', Faults, "line 2: The cells cannot be told apart"),
    ],
)
def test_what_is_no_table_is_said(data: bytes, error: type[InputError], words: str) -> None:
    with pytest.raises(error) as caught:
        read_raw("a.csv", data)

    assert words in str(caught.value)


def test_a_workbook_s_sheets_are_found_by_name() -> None:
    out = io.BytesIO()
    book = xlsxwriter.Workbook(out, {"in_memory": True})
    book.add_worksheet("Empty")
    book.add_worksheet("Log").write_row(0, 0, ["Cost", 0.1 + 0.2, 5, True, 1234567.125])
    book.close()

    read = read_raw("a.bin", out.getvalue())

    assert read.sheets == ("Log",)
    assert [(cell.text, cell.typed) for cell in read.lines[0].cells] == [
        ("Cost", False),
        ("0.3", True),
        ("5", True),
        ("yes", False),
        ("1234567.125", True),
    ]
    with pytest.raises(NotFoundError, match="Try: Log"):
        read_raw("a.bin", out.getvalue(), sheet="Diary")
    with pytest.raises(UnreadableError, match="holds nothing"):
        read_raw("a.bin", _empty())


def _empty() -> bytes:
    out = io.BytesIO()
    book = xlsxwriter.Workbook(out, {"in_memory": True})
    book.add_worksheet("Empty")
    book.close()
    return out.getvalue()
