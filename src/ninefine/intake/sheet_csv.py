"""The person's collector prices from a table: one price to a line, or one issue to a line and a column for each grade.

::

    kind,           year, mint, grade, low, high, source, date
    Mercury dime,   1921, D,    VF20,  160, 180,  a show,  2025-06-01

    kind,           issue,  G4,    F12,  VF20
    Mercury dime,   1921-D, 60-75, 105,  160-180

Lines without an issue or a year stand for any issue of their kind. Headings may be anything if they are mapped. All of
the table is read, or, where anything in it is at fault, nothing.
"""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from ninefine.catalog.catalog import Catalog
from ninefine.errors import Fault, Faults, InputError, UnreadableError
from ninefine.intake.columns import Fields, Kinds, Line, lines_of, name_columns, row_of
from ninefine.market.table import Table
from ninefine.measure.numbers import plain, read_positive
from ninefine.worth.grades import read_grade
from ninefine.worth.read_sheet import RowReader
from ninefine.worth.sheet import Sheet, SheetRow

#: Before the grade in the name of a column that holds one grade's prices.
GRADE = "grade "
_DASH = re.compile(r"\s*(?:-|\N{EN DASH}|\bto\b)\s*", re.IGNORECASE)
_NO_PRICE = frozenset({"", "-", "\N{EN DASH}", "\N{EM DASH}", "n/a"})


def _grade_column(heading: str) -> str | None:
    """A heading that is a grade with its letters: a bare number is more likely something else."""
    try:
        return f"{GRADE}{read_grade(heading)}" if heading[:1].isalpha() else None
    except InputError:
        return None


FIELDS = Fields(
    names=("kind", "issue", "year", "mint", "variety", "grade", "low", "high", "price", "source", "date"),
    aliases={
        "type": "kind",
        "coin": "kind",
        "series": "kind",
        "mint mark": "mint",
        "mintmark": "mint",
        "mm": "mint",
        "condition": "grade",
        "from": "low",
        "to": "high",
        "value": "price",
        "usd": "price",
        "whose": "source",
        "on": "date",
        "day": "date",
        "note": "-",
        "notes": "-",
        "remark": "-",
        "remarks": "-",
    },
    other=_grade_column,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetHead:
    """What stands over a sheet: its name, its date, whose it is, a note; and the kind of lines that name none."""

    name: str
    on: date
    source: str = ""
    note: str = ""
    kind: str = ""


def read_sheet_csv(
    text: str,
    head: SheetHead,
    catalog: Catalog,
    *,
    columns: Mapping[str, str] | None = None,
    today: date | None = None,
) -> Sheet:
    """Read a sheet from a table with a line of headings.

    Args:
        text: the whole table.
        head: what is said once for all of it.
        catalog: what kinds and issues there are.
        columns: heading -> one of `FIELDS`, a grade, or `-` for a column that is not to be read.
        today: later days are faults; not checked where none.

    Raises:
        Faults: every fault with its line and column; nothing is read then.
    """
    source = f"the sheet {head.name}" if head.name else "the sheet"
    faults: list[Fault] = []
    if not head.name:
        faults.append(Fault(where="name", wrong="A sheet has a name: this is needed."))
    if today is not None and head.on > today:
        faults.append(Fault(where="on", wrong=f"{head.on} has not come yet."))
    lines = lines_of(text, source, faults)
    before = len(faults)
    names = name_columns(lines[0], FIELDS, columns, faults) if lines else ()
    _check_columns(lines, names, head, faults)
    if len(faults) > before:  # no line can be read below columns that cannot
        raise Faults(faults, source=source)
    kinds = Kinds(catalog)
    reader = RowReader(
        on=head.on, source=head.source, catalog=catalog, today=today, named=lambda said: kinds.named(said).slug
    )
    rows = [row for line in lines[1:] for row in _rows(line, names, head, reader, faults)]
    if not rows and not faults:
        faults.append(Fault(where="", wrong="There is no price in it below the headings."))
    if faults:
        raise Faults(dict.fromkeys(faults), source=source)
    return Sheet(name=head.name, on=head.on, rows=tuple(rows), source=head.source, note=head.note)


def _check_columns(lines: list[Line], names: tuple[str, ...], head: SheetHead, faults: list[Fault]) -> None:
    """Make sure that the columns together say what a price needs."""
    where = f"line {lines[0].number}" if lines else ""
    if "kind" not in names and not head.kind:
        faults.append(Fault(where=where, wrong="No column says what kind of piece a line is of (kind)."))
    wide = any(name.startswith(GRADE) for name in names)
    if wide and {"grade", "low", "high", "price"} & {*names}:
        wrong = "There are columns of single grades and columns for any grade; map the one or the other to '-'."
        faults.append(Fault(where=where, wrong=wrong))
    if not wide and ("grade" not in names or not {"low", "price"} & {*names}):
        wrong = "A price needs columns of its grade and of the price (low and high, or price), or one for each grade."
        faults.append(Fault(where=where, wrong=wrong))
    if "price" in names and {"low", "high"} & {*names}:
        faults.append(Fault(where=where, wrong="There are columns for low and high, and one for price; leave one out."))
    if "issue" in names and {"year", "mint", "variety"} & {*names}:
        wrong = "There is a column for the issue, and others for its year, mint or variety; leave one out."
        faults.append(Fault(where=where, wrong=wrong))


def _rows(
    line: Line, names: tuple[str, ...], head: SheetHead, reader: RowReader, faults: list[Fault]
) -> Iterator[SheetRow]:
    """The prices of one line; its faults are set down with the line and the column."""
    cells = row_of(line, names, faults)
    common = {
        "kind": cells.get("kind", head.kind),
        "issue": cells.get("issue", "") or _issue(cells),
        "source": cells.get("source", ""),
        "on": cells.get("date", ""),
    }
    wide = {name: name.removeprefix(GRADE) for name in names if name.startswith(GRADE)}
    for name, grade in (wide or {"price": cells.get("grade", "")}).items():
        said = cells.get(name, "")
        if wide and said.lower() in _NO_PRICE:
            continue
        where = f"line {line.number}"
        try:
            prices = _prices(said) if wide or "price" in names else {n: cells.get(n, "") for n in ("low", "high")}
        except InputError as error:
            faults.append(Fault(where=f"{where}, {grade if wide else name}", wrong=str(error)))
            continue
        own: list[Fault] = []
        row = reader.read(Table({**common, "grade": grade, **prices}, own))
        faults += [_placed(fault, where, names, grade if wide else "") for fault in own]
        if row is not None:
            yield row


def _placed(fault: Fault, where: str, names: tuple[str, ...], grade: str) -> Fault:
    """A row's fault with its line and the column that it came from."""
    column = {"on": "date", "issue": "issue" if "issue" in names else "year"}.get(fault.where, fault.where)
    if grade and fault.where in {"grade", "low", "high"}:
        column = grade
    elif fault.where in {"low", "high"} and "price" in names:
        column = "price"
    return Fault(where=f"{where}, {column}", wrong=fault.wrong)


def _issue(cells: Mapping[str, str]) -> str:
    """An issue out of its year, mint and variety; what is missing is for the reader of issues to say."""
    year, mint, variety = (cells.get(name, "") for name in ("year", "mint", "variety"))
    if not (year or mint or variety):
        return ""
    return year + (f"-{mint}" if mint else "") + (f":{variety}" if variety else "")


def _prices(said: str) -> dict[str, str]:
    """Read a cell of one price or two: `12`, `$12.50`, `12-15`, `12 to 15`.

    Raises:
        UnreadableError: neither.
        RangeError: not above zero.
    """
    parts = _DASH.split(said)
    if len(parts) > 2:
        raise UnreadableError(f"{said[:30]!r} is not a price.", instead=("12.50", "12-15"))
    low, high = (_price(part) for part in (parts[0], parts[-1]))
    return {"low": plain(low), "high": plain(high)}


def _price(said: str) -> Decimal:
    return read_positive(said.strip().removeprefix("$").strip(), what="price")
