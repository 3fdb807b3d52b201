"""A tally from elsewhere: pasted from a spreadsheet, exported from a program, or typed as at the table.

With a line of headings::

    denomination, year, mint, count          or      type,          date, P,  D, S
    dime,         1944, D,    12                     Mercury dime,  1944, 20, 9, 3

Without one, lines are read as they are typed: `1944-D`, `64d x20`, `1944-D 12`, `dime 1944-D 12`, or the same in
cells. `n` is a piece without silver and `-` one whose date is worn away. All of it is read, or, where anything in it is
at fault, nothing.
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass

from ninefine.catalog.catalog import Catalog
from ninefine.errors import Fault, Faults, InputError, UnreadableError
from ninefine.intake.coin_cells import LETTERS, MINT, CoinCells
from ninefine.intake.columns import Fields, Line, lines_of, name_columns, row_of
from ninefine.sorting.coin import Coin
from ninefine.sorting.tally import Row

_TYPED = re.compile(
    r"(?:(?P<what>(?!n\s)[a-z$][a-z0-9 .%-]*?)\s+)?(?P<coin>\d.*?|n|-)(?:\s+[x*]?\s*(?P<count>\d{1,7}))?",
    re.IGNORECASE | re.ASCII,
)


def _mint_column(heading: str) -> str | None:
    """A heading that is a mint: its letter, or its name."""
    letter = LETTERS.get(heading.strip().lower())
    return f"{MINT}{letter}" if letter else None


FIELDS = Fields(
    names=("kind", "denomination", "coin", "year", "mint", "variety", "count"),
    aliases={
        "type": "kind",
        "series": "kind",
        "denom": "denomination",
        "issue": "coin",
        "date": "year",
        "mint mark": "mint",
        "mintmark": "mint",
        "mm": "mint",
        "qty": "count",
        "quantity": "count",
        "number": "count",
        "pieces": "count",
        "coins": "count",
        "tally": "count",
        "note": "-",
        "notes": "-",
        "remark": "-",
        "remarks": "-",
    },
    other=_mint_column,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class TallyLine:
    """So many of one coin, and the line of the file that says so; `coin.times` is the count."""

    line: int
    coin: Coin

    @property
    def row(self) -> Row:
        """The line as a row of a tally."""
        return Row(kind=self.coin.kind.slug, issue=self.coin.issue, count=self.coin.times)


@dataclass(frozen=True, slots=True, kw_only=True)
class TallyRead:
    """A tally as read.

    Attributes:
        lines: in the order in which they stand; a line of several mints gives several.
        rows: the same added up by kind and issue.
        blank: lines whose count was empty or zero, and so say nothing.
    """

    lines: tuple[TallyLine, ...]
    rows: tuple[Row, ...]
    blank: int

    @property
    def pieces(self) -> int:
        """All pieces told."""
        return sum(row.count for row in self.rows)


def read_tally_csv(
    text: str,
    catalog: Catalog,
    *,
    columns: Mapping[str, str] | None = None,
    what: str = "",
    source: str = "the tally",
) -> TallyRead:
    """Read a tally.

    Args:
        text: the whole table, or what was pasted.
        catalog: what was struck when and where.
        columns: heading -> one of `FIELDS`, a mint, or `-` for a column that is not to be read.
        what: the denomination or kind of lines that name none.
        source: the file, as the person would name it.

    Raises:
        Faults: every fault with its line; nothing is read then.
    """
    faults: list[Fault] = []
    lines = lines_of(text, source, faults)
    reader = CoinCells(catalog, what)
    headed = bool(lines) and (columns is not None or _has_headings(lines[0]))
    names = name_columns(lines[0], FIELDS, columns, faults) if headed else ()
    if headed:
        _check_columns(lines[0], names, faults)
    if faults:
        raise Faults(faults, source=source)
    found: list[TallyLine] = []
    blank = 0
    for line in lines[1:] if headed else lines:
        told = 0
        try:
            for coin in reader.coins(row_of(line, names, faults) if headed else _as_typed(line), names):
                found.append(TallyLine(line=line.number, coin=coin))
                told += 1
        except InputError as error:
            faults.append(Fault(where=f"line {line.number}", wrong=str(error)))
        else:
            blank += not told
    if not found and not faults:
        faults.append(Fault(where="", wrong="There is no coin in it. A line reads: dime, 1944-D, 12."))
    if faults:
        raise Faults(faults, source=source)
    return TallyRead(lines=tuple(found), rows=_summed(found), blank=blank)


def _summed(lines: list[TallyLine]) -> tuple[Row, ...]:
    counts: dict[tuple[str, str], int] = {}
    for line in lines:
        key = (line.coin.kind.slug, line.coin.issue)
        counts[key] = counts.get(key, 0) + line.coin.times
    return tuple(Row(kind=kind, issue=issue, count=count) for (kind, issue), count in sorted(counts.items()))


def _has_headings(line: Line) -> bool:
    """Whether a first line is of headings: some cell names a column by its word."""
    words = {*FIELDS.names, *FIELDS.aliases}
    return any(cell.lower().strip() in words for cell in line.cells)


def _check_columns(head: Line, names: tuple[str, ...], faults: list[Fault]) -> None:
    where = f"line {head.number}"
    by_mint = any(name.startswith(MINT) for name in names)
    if "coin" not in names and "year" not in names:
        faults.append(Fault(where=where, wrong="No column says the date (year, or coin for dates such as 1944-D)."))
    if by_mint and {"coin", "mint", "count"} & {*names}:
        wrong = "There are columns of single mints beside one for coin, mint or count; map the one or the other to '-'."
        faults.append(Fault(where=where, wrong=wrong))
    if "coin" in names and {"year", "mint"} & {*names}:
        faults.append(Fault(where=where, wrong="There is a column for coin beside year or mint; leave one out."))


def _as_typed(line: Line) -> dict[str, str]:
    """A line without headings, by the names of columns: cells, or one text as typed at the table.

    Raises:
        UnreadableError: it is neither.
    """
    cells = [cell for cell in line.cells if cell]
    if len(cells) == 3:
        return dict(zip(("kind", "coin", "count"), cells, strict=True))
    if len(cells) == 2:
        two = ("coin", "count") if cells[1].isdigit() and cells[0][:1] in "0123456789n-" else ("kind", "coin")
        return dict(zip(two, cells, strict=True))
    read = _TYPED.fullmatch(cells[0]) if len(cells) == 1 else None
    if read is None:
        raise UnreadableError(
            f"{' '.join(cells)[:40]!r} is not a line of a tally.",
            expected="Write a coin and how many, with the denomination before them where it is not said above.",
            instead=("1944-D", "64d x20", "dime 1944-D 12"),
        )
    return {
        name: said
        for name, said in zip(("kind", "coin", "count"), read.group("what", "coin", "count"), strict=True)
        if said
    }
