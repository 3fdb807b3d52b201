"""A ledger as data: what a page shows as a table, before any markup.

A page builds these from the desk's answers and hands them to the `ledger` macro. Columns know how their figures are
written; cells hold plain values. There is no adding up here: a total is a row that the desk worked out.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from enum import StrEnum

from markupsafe import Markup

from ninefine.catalog.kinds import Basis
from ninefine.papers.document import PLACES, Of
from ninefine.web import format as written

__all__ = ["Cell", "Column", "Ledger", "Of", "Row", "Step", "Value", "Weight", "Worked", "Written", "write"]


class Weight(StrEnum):
    """How a row stands among the others."""

    PLAIN = "plain"
    QUIET = "quiet"
    """Set back in pencil: something that does not count."""
    LOOK = "look"
    """The second ink: look here. Say in words why, in the row's note."""
    SUBTOTAL = "subtotal"
    TOTAL = "total"


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """One column.

    Attributes:
        key: the name that rows use.
        head: the words above it.
        of: what it holds.
        places: digits after the point; the kind's own number when none (money 2, ounces 4, per cent 2, figures 2).
        unit: stands in small letters after every figure (`g`, `a face dollar`); for money, once in the head (`USD`).
        basis: the ounce basis of the column, where its cells do not name their own.
        signed: writes a plus before what is above zero.
    """

    key: str
    head: str
    of: Of = Of.TEXT
    places: int | None = None
    unit: str = ""
    basis: Basis | None = None
    signed: bool = False

    def __post_init__(self) -> None:
        if self.of is Of.OUNCE and self.unit:
            raise ValueError(f"Column {self.key!r}: an ounce has a basis, not a unit.")

    @property
    def css(self) -> str:
        """The classes of its cells: figures stand at the right, on the decimal point."""
        return self.of.value if self.of in {Of.TEXT, Of.DATE} else f"num {self.of.value}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Cell:
    """A value that needs more than its column says: its own ounce basis, a way to go, or a word beside it."""

    value: Decimal | int | str | date | None
    basis: Basis | None = None
    href: str = ""
    note: str = ""


Value = Cell | Decimal | int | str | date | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One step of how a figure was worked out.

    Attributes:
        what: the quantity, in words.
        how: the sum as a person would write it (`1,000 x 0.715`).
        result: the outcome, written.
        whence: where its inputs came from: a source, an entry of the book, a price stamp.
    """

    what: str
    result: str | Markup
    how: str = ""
    whence: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Worked:
    """How a figure was worked out, step by step; opened on demand."""

    steps: Sequence[Step]
    title: str = "How worked out"


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One line. The first text cell names it and is read as its heading.

    Attributes:
        cells: values by column key; a column left out is empty.
        weight: how it stands.
        note: words in pencil under the row's name.
        worked: how its figures were worked out.
    """

    cells: Mapping[str, Value]
    weight: Weight = Weight.PLAIN
    note: str = ""
    worked: Worked | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Ledger:
    """A table of the page.

    Attributes:
        caption: what it shows, as a sentence or a phrase; always read out, and shown above it.
        columns: at least one.
        rows: in the order shown, totals last.
        empty: what to say when there are no rows.
        wide: keeps its columns on a narrow screen and scrolls inside itself; for tables read across and down. Others
            turn each row into a small block there.
    """

    caption: str
    columns: Sequence[Column]
    rows: Sequence[Row] = field(default=())
    empty: str = "Nothing here yet."
    wide: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Written:
    """A cell as written: the figure, its unit in small letters, its way and its note."""

    text: str
    unit: str
    href: str
    note: str
    known: bool


def write(column: Column, value: Value) -> Written:
    """Write a value as its column says.

    Raises:
        ValueError: an ounce without a basis.
        TypeError: a value that is not what the column holds.
    """
    cell = value if isinstance(value, Cell) else Cell(value=value)
    if cell.value is None:
        return Written(text=written.UNKNOWN, unit="", href="", note=cell.note, known=False)
    return Written(text=_text(column, cell.value), unit=_unit(column, cell), href=cell.href, note=cell.note, known=True)


def _text(column: Column, value: Decimal | int | str | date) -> str:
    if isinstance(value, str):
        if column.of not in {Of.TEXT, Of.DATE}:  # a word may stand for a date that nobody knows
            raise TypeError(f"Column {column.key!r} holds {column.of}; {value!r} is text.")
        return value
    if isinstance(value, date):
        return written.short_day(value)
    if column.of in {Of.TEXT, Of.DATE}:
        raise TypeError(f"Column {column.key!r} holds {column.of}; {value!r} is a number.")
    places = PLACES[column.of] if column.places is None else column.places
    return written.figure(value, places, signed=column.signed)


def _unit(column: Column, cell: Cell) -> str:
    if column.of is Of.OUNCE:
        basis = cell.basis or column.basis
        if basis is None:
            raise ValueError(f"Column {column.key!r}: every ounce names its basis.")
        return written.basis_words(basis)
    if column.of is Of.PERCENT:
        return "%"
    return "" if column.of is Of.MONEY else column.unit
