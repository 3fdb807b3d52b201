"""A person's own list of purchases, holdings or sales, read line by line: days, numbers and words, all faults at once.

How days and decimals are written is decided over the whole table, or refused. Blank lines, headings that come again,
sums and remarks are passed over, and it is said which and why. What the words mean is for the desk.
"""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal

from ninefine.errors import Fault, InputError
from ninefine.intake.book_columns import NUMBERS, PRICE_OR_EACH, PRICES, Heading, Purpose, bare
from ninefine.intake.columns import LEFT_OUT
from ninefine.intake.day_order import DayOrder, decide_order, read_day_in, readings
from ninefine.intake.heads import Heads, cell_of, find_heads, name_heads, words_of
from ninefine.intake.number_marks import DecimalMark, Placed, decide_mark, is_blank, read_number, written
from ninefine.intake.raw_table import Cell, RawLine, RawTable

_SUM_WORDS = re.compile(r"(grand |sub-?\s?|running )?totals?( .{0,20})?|sums?|averages?|avg\.?", re.IGNORECASE)
#: Units that people write behind a number, in the columns where they say no more than the heading.
_UNITS = {
    "pieces": re.compile(r"\s*(pcs?|pieces?|coins?|ea|each|x)\.?$", re.IGNORECASE),
    "face": re.compile(r"\s*(face( value)?|fv|face dollars?)$", re.IGNORECASE),
    "grams": re.compile(r"\s*(g|gr|grams?)\.?$", re.IGNORECASE),
    "gross ozt": re.compile(r"\s*(ozt|troy oz|oz)\.?$", re.IGNORECASE),
    "per face": re.compile(r"\s*(x|times)( face)?$", re.IGNORECASE),
    "each": re.compile(r"\s*(ea|each|/\s*ea|per piece)\.?$", re.IGNORECASE),
}
#: Columns whose cells may say in words what a number cannot: `2 rolls`, `2.5 kg`, `23.4x`.
_WORDY = frozenset({"pieces", "face", "grams", "gross ozt", "price", "each", PRICE_OR_EACH})


@dataclass(frozen=True, slots=True, kw_only=True)
class HowRead:
    """What the person says of a table beforehand; empty where it is to be found out.

    Attributes:
        head: the number of the line of headings.
        columns: heading -> what the column is.
        days: in which order days stand.
        decimals: what parts decimals.
        repeat: an empty day or seller is the one above it, as merged cells leave it.
    """

    head: int | None = None
    columns: Mapping[str, str] = field(default_factory=dict)
    days: DayOrder | None = None
    decimals: DecimalMark | None = None
    repeat: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetRow:
    """A line that tells something, with what was read of it.

    Attributes:
        line: its number in the file.
        day: none where the cell is empty.
        numbers: by what their columns are; costs that stand in several columns are added up.
        words: every other cell by what its column is, and cells of number columns that are words.
        heads: what each column is headed, for words about it.
        sound: whether nothing in it was at fault.
    """

    line: int
    day: date | None
    numbers: Mapping[str, Decimal]
    words: Mapping[str, str]
    heads: Mapping[str, str]
    sound: bool = True

    def where(self, name: str) -> str:
        """Where a column's cell stands, as a fault says it."""
        return f"line {self.line}, {self.head(name)}"

    def head(self, name: str) -> str:
        """What is written over a column; of a price that may be one of several, what is written over that."""
        return self.heads.get(name) or (self.heads.get(PRICE_OR_EACH, name) if name in PRICES else name)


@dataclass(frozen=True, slots=True, kw_only=True)
class PassedOver:
    """A line that was not read, and why."""

    line: int
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class BookSheet:
    """A list as it was read.

    Attributes:
        heads: where its headings stand; none where there are none.
        headings: every column with what it was read as.
        rows: the lines that tell something.
        passed_over: the others, blank ones aside.
        days: in which order days stand.
        decimals: what parts decimals.
        faults: everything that is wrong, each with its line.
    """

    heads: Heads | None
    headings: tuple[Heading, ...]
    rows: tuple[SheetRow, ...]
    passed_over: tuple[PassedOver, ...]
    days: DayOrder
    decimals: DecimalMark
    faults: tuple[Fault, ...]


def read_book_sheet(raw: RawTable, purpose: Purpose, how: HowRead, *, today: date, currency: str) -> BookSheet:
    """Read a list. Nothing is raised: faults stand in what is answered, so that it can be shown with them."""
    faults: list[Fault] = []
    heads = find_heads(raw.lines, purpose, how.head, how.columns, faults)
    if heads is None:
        return BookSheet(
            heads=None, headings=(), rows=(), passed_over=(), days=DayOrder.YMD, decimals=DecimalMark.POINT,
            faults=tuple(faults),
        )  # fmt: skip
    body = [line for line in raw.lines if line.number > heads.line and not line.blank]
    headings = name_heads(heads, body, how.columns, faults)
    read = [each for each in headings if each.name and each.name != LEFT_OUT]
    told, passed = _told(body, headings, read, today)
    faults += _too_wide(told, len(headings))
    reader = _Reader(read, how, today, currency, faults)
    reader.decide(told)
    rows = [reader.row(line) for line in told]
    sums = _sums(rows)
    passed += [PassedOver(line=row.line, why="sums of the lines above it") for row in sums]
    kept = tuple(row for row in rows if row not in sums)
    if not kept and not faults:
        faults.append(Fault(where=f"line {heads.line}", wrong="Nothing stands under the headings."))
    return BookSheet(
        heads=heads,
        headings=headings,
        rows=kept,
        passed_over=tuple(sorted(passed, key=lambda one: one.line)),
        days=reader.days,
        decimals=reader.decimals,
        faults=tuple(faults),
    )


def _too_wide(lines: Sequence[RawLine], width: int) -> Iterator[Fault]:
    """Lines with cells that stand under no heading: often a number with thousands marks that commas have parted."""
    for line in lines:
        extra = [cell.text for cell in line.cells[width:] if cell.text]
        if extra:
            wrong = f"{len(line.cells)} cells stand under {width} headings; the last is {extra[-1][:30]!r}."
            yield Fault(where=f"line {line.number}", wrong=f"{wrong} A number with commas needs quotation marks.")


def _told(
    body: Sequence[RawLine], headings: Sequence[Heading], read: Sequence[Heading], today: date
) -> tuple[list[RawLine], list[PassedOver]]:
    """The lines that tell something, and those that plainly do not."""
    told: list[RawLine] = []
    passed: list[PassedOver] = []
    again = [bare(each.words) for each in headings if each.words]
    for line in body:
        cells = [cell for cell in line.cells if cell.text]
        first = cells[0].text
        dated = any(each.name == "date" and readings(cell_of(line, each), today) for each in read)
        if [bare(cell_of(line, each)) for each in headings if each.words] == again:
            passed.append(PassedOver(line=line.number, why="the headings again"))
        elif not dated and _SUM_WORDS.fullmatch(first.strip(" :")):
            passed.append(PassedOver(line=line.number, why=f"a line of sums: {first[:40]}"))
        elif not any(cell_of(line, each) for each in read):
            passed.append(PassedOver(line=line.number, why="nothing in the columns that are read"))
        elif len(cells) == 1 and len(read) > 2 and written(first) is None:
            passed.append(PassedOver(line=line.number, why=f"a remark by itself: {first[:40]}"))
        else:
            told.append(line)
    return told, passed


def _sums(rows: Sequence[SheetRow]) -> list[SheetRow]:
    """Lines that name neither day nor goods, and whose every number is the sum of those above it."""
    found: list[SheetRow] = []
    for place, row in enumerate(rows):
        if row.day is None and not row.words and row.numbers and row.sound:
            above = [one for one in rows[:place] if one not in found]
            sums = {name: sum((one.numbers.get(name, Decimal(0)) for one in above), Decimal(0)) for name in row.numbers}
            if above and all(value == sums[name] for name, value in row.numbers.items()):
                found.append(row)
    return found


class _Reader:
    """Reads lines once it is decided how days and numbers are written."""

    def __init__(self, read: Sequence[Heading], how: HowRead, today: date, currency: str, faults: list[Fault]) -> None:
        self._read = read
        self._how = how
        self._today = today
        self._currency = currency
        self._faults = faults
        self._heads = {each.name: words_of(each) for each in reversed(read)}
        self._above: dict[str, str] = {}
        self.days = how.days or DayOrder.YMD
        self.decimals = how.decimals or DecimalMark.POINT
        self._days_told = self._decimals_told = True

    def decide(self, lines: Sequence[RawLine]) -> None:
        """Decide over all lines how days and decimals are written, where the person has not said."""
        before = len(self._faults)
        if self._how.decimals is None:
            self.decimals = decide_mark(self._placed(lines, NUMBERS), self._faults)
            self._decimals_told = len(self._faults) == before
        before = len(self._faults)
        if self._how.days is None:
            self.days = decide_order(self._placed(lines, frozenset({"date"})), self._today, self._faults)
            self._days_told = len(self._faults) == before

    def _placed(self, lines: Sequence[RawLine], names: frozenset[str]) -> Iterator[Placed]:
        for line in lines:
            for heading in self._read:
                cell = _cell(line, heading)
                if heading.name in names and not cell.typed and not is_blank(cell.text):
                    text = self._bare(heading.name, cell.text)
                    yield Placed(f"line {line.number}, {words_of(heading)}", text, heading.name == "pieces")

    @staticmethod
    def _bare(name: str, text: str) -> str:
        return _UNITS[name].sub("", text) if name in _UNITS else text

    def row(self, line: RawLine) -> SheetRow:
        """One line; what is at fault in it is set down and left out."""
        before = len(self._faults)
        day: date | None = None
        numbers: dict[str, Decimal] = {}
        words: dict[str, str] = {}
        for heading in self._read:
            cell = self._filled(heading, _cell(line, heading))
            where = f"line {line.number}, {words_of(heading)}"
            if is_blank(cell.text):
                continue
            try:
                if heading.name == "date":
                    day = self._day(cell)
                elif heading.name in NUMBERS:
                    self._number(heading, cell, numbers, words)
                else:
                    self._word(heading, cell, words)
            except InputError as error:
                self._faults.append(Fault(where=where, wrong=str(error)))
        sound = len(self._faults) == before and self._days_told and self._decimals_told
        return SheetRow(line=line.number, day=day, numbers=numbers, words=words, heads=self._heads, sound=sound)

    def _filled(self, heading: Heading, cell: Cell) -> Cell:
        """A cell, or the one above it where merged cells may stand."""
        if not self._how.repeat or heading.name not in {"date", "whom", "paper"}:
            return cell
        if cell.text:
            self._above[heading.name] = cell.text
            return cell
        return Cell(self._above.get(heading.name, ""))

    def _day(self, cell: Cell) -> date | None:
        if not self._days_told and readings(cell.text, self._today):
            return None
        return read_day_in(cell.text, self.days, self._today)

    def _number(self, heading: Heading, cell: Cell, numbers: dict[str, Decimal], words: dict[str, str]) -> None:
        name = heading.name
        text = self._bare(name, cell.text)
        if name in _WORDY and written(text) is None and any(one.isdigit() for one in text):
            words[name] = self._with_points(cell.text)
            return
        if not self._decimals_told and written(text) is not None:
            return
        mark = DecimalMark.POINT if cell.typed else self.decimals
        value = read_number(text, mark, self._currency)
        numbers[name] = numbers.get(name, Decimal(0)) + value

    def _with_points(self, text: str) -> str:
        """Words with their numbers written with a point, as all further reading has it."""
        if self.decimals is DecimalMark.POINT:
            return text
        return re.sub(r"(?<=\d)\.(?=\d{3})", "", text).replace(",", ".")

    def _word(self, heading: Heading, cell: Cell, words: dict[str, str]) -> None:
        name = heading.name
        if name == "note" and bare(heading.words) not in {"note", "notes", "remark", "remarks", "comment", "comments"}:
            words[name] = "; ".join(part for part in (words.get(name, ""), f"{heading.words}: {cell.text}") if part)
        elif name == "note":
            words[name] = "; ".join(part for part in (words.get(name, ""), cell.text) if part)
        else:
            words[name] = self._with_points(cell.text) if name in {"amount", "quote"} else cell.text


def _cell(line: RawLine, heading: Heading) -> Cell:
    return line.cells[heading.place - 1] if heading.place <= len(line.cells) else Cell("")
