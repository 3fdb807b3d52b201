"""A spreadsheet as it was handed in: its lines and cells, before anything is made of them.

Text may be in UTF-8, UTF-16 or Windows-1252, with or without a byte order mark, its cells parted by commas, semicolons,
tabs or bars. Of a workbook one sheet is read; what the workbook holds as a number or a day is taken as that, so that
only text is left to be guessed at.
"""

import csv
import io
import zlib
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from hashlib import sha256

from ninefine.errors import Fault, Faults, NotFoundError, RangeError, UnreadableError
from ninefine.intake.columns import MOST_LINES
from ninefine.intake.spreadsheet import LARGEST, MOST_CELLS
from ninefine.measure.numbers import plain

#: First bytes of workbooks: a ZIP archive (xlsx, ods, xlsb) and the older compound file (xls).
_WORKBOOKS = (b"PK\x03\x04", b"\xd0\xcf\x11\xe0")
_FOREIGN = {b"%PDF": "a PDF", b"\x89PNG": "a picture", b"\xff\xd8\xff": "a picture", b"{\\rt": "a letter"}
#: A list of more cells is no list that a person keeps.
MOST_IN_TEXT = 500_000
_PARTS = {"\t": "tabs", ";": "semicolons", ",": "commas", "|": "bars"}
_UNSEEN = dict.fromkeys(
    [
        *map(ord, "\N{ZERO WIDTH NO-BREAK SPACE}\N{ZERO WIDTH SPACE}\N{SOFT HYPHEN}"),
        *(code for code in (*range(0x20), *range(0x7F, 0xA0)) if not chr(code).isspace()),
    ]
)
#: Tells whether a cell is a heading of a kind that is known.
Known = Callable[[str], bool]


@dataclass(frozen=True, slots=True)
class Cell:
    """A cell's text; `typed` where a workbook held it as a number or a day, written here in the one plain way."""

    text: str
    typed: bool = False


@dataclass(frozen=True, slots=True)
class RawLine:
    """One line, with its number in the file."""

    number: int
    cells: tuple[Cell, ...]

    @property
    def blank(self) -> bool:
        """Whether nothing stands in it."""
        return not any(cell.text for cell in self.cells)


@dataclass(frozen=True, slots=True, kw_only=True)
class RawTable:
    """A spreadsheet's lines.

    Attributes:
        name: the file's name.
        lines: all of them, blank ones too.
        how: how it was read, in words: `text in UTF-8, parted by semicolons`, `sheet 'Log' of a workbook`.
        sheets: the names of a workbook's sheets that hold anything; empty for text.
        digest: SHA-256 over the cells, so that the same rows are known again in another file or format.
    """

    name: str
    lines: tuple[RawLine, ...]
    how: str
    sheets: tuple[str, ...]
    digest: str


def read_raw(name: str, data: bytes, *, sheet: str = "", known: Known = lambda _: False) -> RawTable:
    """Read a file.

    Args:
        name: its name, for words.
        data: its bytes.
        sheet: which sheet of a workbook; the first that holds anything where none is named.
        known: tells headings, which decide what parts the cells.

    Raises:
        RangeError: larger than any person's table.
        UnreadableError: neither text nor a workbook.
        NotFoundError: no such sheet.
        Faults: cells that cannot be told apart, each with its line.
    """
    if len(data) > LARGEST:
        raise RangeError(f"{name[:60]!r} has {len(data) // 1024 // 1024} MiB.", expected="A table has at most 8 MiB.")
    if data.startswith(_WORKBOOKS):
        lines, how, sheets = _workbook(name, data, sheet)
    else:
        text, coded = _decoded(name, data)
        lines, parted = _parted(name, text, known)
        how, sheets = f"text in {coded}, parted by {parted}", ()
    if len(lines) > MOST_LINES:
        raise RangeError(f"There are more than {MOST_LINES} lines.")
    return RawTable(name=name, lines=lines, how=how, sheets=sheets, digest=_digest(lines))


def _digest(lines: Sequence[RawLine]) -> str:
    """Over what is told, line by line: blank lines and blank ends of lines do not count."""
    told = ["\x1f".join(cell.text for cell in line.cells).rstrip("\x1f") for line in lines if not line.blank]
    return sha256("\x1e".join(told).encode()).hexdigest()


def _decoded(name: str, data: bytes) -> tuple[str, str]:
    """The text of a file, and what it was written in."""
    for first, what in _FOREIGN.items():
        if data.startswith(first):
            raise UnreadableError(f"{name[:60]!r} is {what}, not a table.", instead=(".csv", ".xlsx", ".ods"))
    for coding, words in _codings(data):
        try:
            text = data.decode(coding)
        except UnicodeDecodeError:
            continue
        if "\0" not in text:
            return text.removeprefix("\N{ZERO WIDTH NO-BREAK SPACE}"), words
    raise UnreadableError(
        f"{name[:60]!r} is not text that can be read.",
        expected="Save it as CSV in UTF-8, or as a workbook.",
        instead=(".csv", ".xlsx", ".ods"),
    )


def _codings(data: bytes) -> Iterator[tuple[str, str]]:
    """What a text may be written in, the likeliest first: the mark at its beginning decides where there is one."""
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        yield "utf-16", "UTF-16"
        return
    yield "utf-8", "UTF-8"
    half = max(1, len(data) // 2)
    if data[1::2].count(0) * 2 > half:
        yield "utf-16-le", "UTF-16"
    if data[0::2].count(0) * 2 > half:
        yield "utf-16-be", "UTF-16"
    yield "cp1252", "Windows-1252"


def _parted(name: str, text: str, known: Known) -> tuple[tuple[RawLine, ...], str]:
    """The lines told apart by the mark under which most headings are known, then the most columns agree."""
    first, _, rest = text.partition("\n")
    if first.lower().startswith("sep=") and len(first.strip()) == 5:
        mark = first[4]
        return _lines(name, rest, mark, skipped=1), _PARTS.get(mark, repr(mark))
    no_lines: tuple[RawLine, ...] = ()
    best, found, faults = (-1, -1), (no_lines, ""), None
    for mark, words in _PARTS.items():
        try:
            lines = _lines(name, text, mark)
        except Faults as error:
            faults = faults or (error if mark in text else None)
            continue
        score = _score(lines, known)
        if score > best:
            best, found = score, (lines, words)
    if faults is not None and best[0] < 1:  # parted by the mark that is at fault, as no other knows a heading
        raise faults
    if not found[1]:
        raise faults or Faults([Fault(where="", wrong="The cells cannot be told apart.")], source=name)
    return found


def _score(lines: Sequence[RawLine], known: Known) -> tuple[int, int]:
    heads = max((sum(known(cell.text) for cell in line.cells) for line in lines[:40]), default=0)
    widths = [len(line.cells) for line in lines if not line.blank]
    usual = max(set(widths), key=widths.count, default=1)
    return heads, 0 if usual == 1 else widths.count(usual)


def _lines(name: str, text: str, mark: str, *, skipped: int = 0) -> tuple[RawLine, ...]:
    if text.count(mark) > MOST_IN_TEXT:
        raise RangeError(f"{name[:60]!r} has more than {MOST_IN_TEXT:,} cells.", expected="No list is that large.")
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=mark, strict=True, skipinitialspace=mark != "\t")
    lines: list[RawLine] = []
    number = skipped + 1
    try:
        for cells in reader:
            lines.append(RawLine(number, tuple(Cell(_tidy(cell)) for cell in cells)))
            number = reader.line_num + skipped + 1
    except csv.Error as error:
        wrong = f"The cells cannot be told apart: {error}. Mind quotation marks that are not closed."
        raise Faults([Fault(where=f"line {number}", wrong=wrong)], source=name) from error
    return tuple(lines)


def _workbook(name: str, data: bytes, wanted: str) -> tuple[tuple[RawLine, ...], str, tuple[str, ...]]:
    import python_calamine  # noqa: PLC0415 - heavy: a reader of workbooks, loaded when one is handed in

    try:
        book = python_calamine.load_workbook(io.BytesIO(data))
        sheets = {each: book.get_sheet_by_name(each) for each in book.sheet_names}
        filled = tuple(each for each, sheet in sheets.items() if sheet.height and sheet.width)
        chosen = wanted or (filled[0] if filled else "")
        if wanted and wanted not in sheets:
            raise NotFoundError(f"{name[:60]!r} has no sheet {wanted[:40]!r}.", instead=filled)
        if not chosen:
            raise UnreadableError(f"{name[:60]!r} holds nothing.")
        sheet = sheets[chosen]
        if sheet.height * sheet.width > MOST_CELLS:
            raise RangeError(f"The sheet {chosen!r} is {sheet.height} by {sheet.width} cells.")
        rows = sheet.to_python(skip_empty_area=False)
    except (python_calamine.CalamineError, zlib.error) as error:
        raise UnreadableError(f"{name[:60]!r} cannot be read as a workbook: {error}.") from error
    lines = tuple(RawLine(number, tuple(_typed(cell) for cell in row)) for number, row in enumerate(rows, 1))
    return lines, f"sheet {chosen!r} of a workbook", filled


def _tidy(text: str) -> str:
    """Single spaces, and none of the marks that nobody sees."""
    return " ".join(text.translate(_UNSEEN).split())


def _typed(cell: object) -> Cell:
    """A workbook's cell: its own numbers and days in the one plain way, to the fifteen figures that its makers show."""
    if isinstance(cell, bool):
        return Cell("yes" if cell else "no")
    if isinstance(cell, int | float):
        return Cell(plain(Decimal(f"{cell:.15g}")), typed=True)
    if isinstance(cell, date):
        return Cell((cell.date() if isinstance(cell, datetime) else cell).isoformat(), typed=True)
    return Cell(_tidy(str(cell)))
