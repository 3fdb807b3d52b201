"""A paper as data: what it says and how it is ordered, without any markup. Renderers make text, pages and sheets of it.

Cells hold plain values; how they are written stands in their column. Sums are never stated: a ledger adds up its own
rows, so that no paper can show a total that its lines do not make.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from enum import Flag, StrEnum, auto

from ninefine.catalog.kinds import Basis

ZERO = Decimal(0)


class Tells(Flag):
    """What a part of a paper gives away, perhaps several things; a person may choose that a reader is not told them."""

    VALUES = auto()
    """What the silver is worth, by whatever measure."""
    COSTS = auto()
    """What was paid for it, and what a sale brought."""
    PLACES = auto()
    """Where it lies, even by code."""
    SELLERS = auto()
    """Whom it was bought of, and who buys."""
    PEOPLE = auto()
    """Names of the household and of those to ask."""
    NOTES = auto()
    """Remarks, serials among them."""


#: What gives nothing away.
NOTHING = Tells(0)
#: What is given away, in the words of a paper that leaves it out.
TELLS_WORDS = {
    Tells.VALUES: "values",
    Tells.COSTS: "costs and proceeds",
    Tells.PLACES: "places",
    Tells.SELLERS: "sellers and buyers",
    Tells.PEOPLE: "people",
    Tells.NOTES: "remarks and serials",
}


class Of(StrEnum):
    """What a cell holds, on paper and on a page; decides how it is written and where it stands."""

    TEXT = "text"
    COUNT = "count"
    FIGURE = "figure"
    MONEY = "money"
    OUNCE = "ounce"
    PERCENT = "percent"
    DATE = "date"


#: Digits after the point, of what has them, where a column does not say.
PLACES = {Of.COUNT: 0, Of.FIGURE: 2, Of.MONEY: 2, Of.OUNCE: 4, Of.PERCENT: 2}
#: A column of dates may hold words in place of one.
Value = Decimal | int | str | date | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """One column of a ledger.

    Attributes:
        head: the words above it.
        of: what it holds.
        places: digits after the point; the kind's own number when none (money 2, ounces 4, per cent 2, figures 2).
        unit: in small letters under the head: `g`, `USD`.
        basis: which ounces an ounce column counts; every one says it.
        summed: its sum stands under the ledger, and is carried from page to page.
        tells: what it gives away.
        wide: it takes the room that the others leave (the first text column does when no column says so).
    """

    head: str
    of: Of = Of.TEXT
    places: int | None = None
    unit: str = ""
    basis: Basis | None = None
    summed: bool = False
    tells: Tells = NOTHING
    wide: bool = False

    def __post_init__(self) -> None:
        if (self.of is Of.OUNCE) is not (self.basis is not None):
            raise ValueError(f"Column {self.head!r}: an ounce names its basis, and nothing else has one.")
        if self.summed and self.of in {Of.TEXT, Of.DATE}:
            raise ValueError(f"Column {self.head!r}: {self.of} does not add up.")

    @property
    def digits(self) -> int:
        """Digits after the point."""
        return PLACES.get(self.of, 0) if self.places is None else self.places

    @property
    def small(self) -> str:
        """What stands in small letters under the head: the unit, or the ounce basis."""
        if self.basis is not None:
            return f"ozt {self.basis.value}"
        return self.unit

    @property
    def is_figure(self) -> bool:
        """Whether its cells are numbers, at the right."""
        return self.of not in {Of.TEXT, Of.DATE}


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One line: a value for each column, and words in small letters under its first (each may give something away)."""

    cells: tuple[Value, ...]
    notes: tuple[tuple[str, Tells], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """Rows under one name, with sums of their own; a ledger without parts has one group without a name."""

    name: str = ""
    rows: tuple[Row, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Ledger:
    """A table.

    Attributes:
        caption: what it shows, as a phrase.
        columns: at least one.
        groups: in the order shown.
        total: the words before its sums.
        groups_are: what its groups are, before their names: `Place`.
        named_by: what the names of its groups give away.
        tells: what it gives away by being there at all.
        empty: what to say when there are no rows.
        main: a spreadsheet or a CSV file is made of these; several have the same columns.
    """

    caption: str
    columns: tuple[Column, ...]
    groups: tuple[Group, ...]
    total: str = "All"
    groups_are: str = "Part"
    named_by: Tells = NOTHING
    tells: Tells = NOTHING
    empty: str = "Nothing to list."
    main: bool = False

    def __post_init__(self) -> None:
        for row in self.rows:
            if len(row.cells) != len(self.columns):
                raise ValueError(f"{self.caption}: a row has {len(row.cells)} cells for {len(self.columns)} columns.")

    @property
    def rows(self) -> tuple[Row, ...]:
        """Every row of every group."""
        return tuple(row for group in self.groups for row in group.rows)

    def title_of(self, group: Group) -> str:
        """A group's name with what it is; empty for the one of a ledger without parts."""
        return f"{self.groups_are} {group.name}" if group.name else ""

    @property
    def sums(self) -> bool:
        """Whether any column is summed."""
        return any(column.summed for column in self.columns)

    def totals(self) -> tuple[Decimal | None, ...]:
        """The sum of each summed column, a cell that is not known adding nothing; none of the others."""
        return self.totals_of(self.rows)

    def totals_of(self, rows: tuple[Row, ...]) -> tuple[Decimal | None, ...]:
        """The same of some rows."""
        last = None
        for last in self.running(rows):  # noqa: B007 - the last of them is the whole
            pass
        return last if last is not None else (None,) * len(self.columns)

    def running(self, rows: tuple[Row, ...]) -> Iterator[tuple[Decimal | None, ...]]:
        """After each row, the sum of each summed column so far; none until a cell of it is known."""
        so_far: list[Decimal | None] = [None] * len(self.columns)
        summed = [place for place, column in enumerate(self.columns) if column.summed]
        for row in rows:
            for place in summed:
                cell = row.cells[place]
                if isinstance(cell, Decimal | int):
                    so_far[place] = (so_far[place] or ZERO) + cell
            yield tuple(so_far)


@dataclass(frozen=True, slots=True, kw_only=True)
class Prose:
    """A paragraph. `answer`: it opens the paper with what the reader wants to know."""

    text: str
    tells: Tells = NOTHING
    answer: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Heading:
    """The name of a part."""

    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Pair:
    """A named value. `of`, `places`, `unit` and `basis` are those of a column."""

    name: str
    value: Value
    of: Of = Of.TEXT
    places: int | None = None
    unit: str = ""
    basis: Basis | None = None
    tells: Tells = NOTHING
    strong: bool = False

    @property
    def column(self) -> Column:
        """The column that would write its value."""
        return Column(head=self.name, of=self.of, places=self.places, unit=self.unit, basis=self.basis)


@dataclass(frozen=True, slots=True, kw_only=True)
class Pairs:
    """Named values, one under the other."""

    pairs: tuple[Pair, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Notes:
    """Small print: methods, sources, cautions."""

    lines: tuple[tuple[str, Tells], ...]
    title: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """A drawing, and what it says in words for who cannot see it."""

    svg: str
    alt: str
    caption: str = ""
    tells: Tells = NOTHING


@dataclass(frozen=True, slots=True, kw_only=True)
class Code:
    """Text as a square code for a phone, with the words beside it."""

    text: str
    words: str
    tells: Tells = NOTHING


class Cut(StrEnum):
    """What size of slip to cut."""

    BAG = "bag"
    TUBE = "tube"


@dataclass(frozen=True, slots=True, kw_only=True)
class Slip:
    """A slip to lie in a bag or to stick on a tube: its name, a few lines, and a code that says `code`."""

    name: str
    goods: str
    lines: tuple[tuple[str, Tells], ...]
    code: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Slips:
    """Slips, as many on a sheet as fit."""

    cut: Cut
    slips: tuple[Slip, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Beside:
    """Short ledgers side by side where there is room."""

    ledgers: tuple[Ledger, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Break:
    """A new page from here."""


Block = Prose | Heading | Pairs | Ledger | Notes | Picture | Code | Slips | Beside | Break


@dataclass(frozen=True, slots=True, kw_only=True)
class Event:
    """A whole day to be reminded of. `uid` stays the same for the same thing, so that a calendar puts it in place."""

    uid: str
    on: date
    words: str
    more: str = ""
    every_months: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Document:
    """A paper.

    Attributes:
        name: a short name for its file: `inventory`.
        title: the words at its head.
        on: the day that it speaks of, which also dates the file; nothing here reads a clock.
        book: whose book it was made from.
        blocks: what it says, in order.
        events: days for a calendar, where it has any.
        small: smaller letters, so that it stays on one page.
        broad: printed on a sheet turned sideways, for many columns.
        left_out: what it was made without.
    """

    name: str
    title: str
    on: date
    book: str = ""
    blocks: tuple[Block, ...]
    events: tuple[Event, ...] = ()
    small: bool = False
    broad: bool = False
    left_out: Tells = NOTHING

    def __post_init__(self) -> None:
        heads = {tuple(column.head for column in ledger.columns) for ledger in self.ledgers if ledger.main}
        if len(heads) > 1:
            raise ValueError(f"{self.name}: main ledgers have the same columns.")

    @property
    def ledgers(self) -> tuple[Ledger, ...]:
        """Every ledger, those side by side among them."""
        found: list[Ledger] = []
        for block in self.blocks:
            if isinstance(block, Ledger):
                found.append(block)
            elif isinstance(block, Beside):
                found += block.ledgers
        return tuple(found)

    @property
    def main(self) -> tuple[Ledger, ...]:
        """The ledgers that a table file is made of: those that say so, else the first."""
        return tuple(ledger for ledger in self.ledgers if ledger.main) or self.ledgers[:1]
