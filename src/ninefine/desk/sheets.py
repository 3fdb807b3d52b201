"""Guide sheets: the person's own dated tables of collector prices, read from a table with a look before, and asked."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from functools import partial

from ninefine.book.chain import Stored
from ninefine.desk.fields import Fields
from ninefine.desk.goods import Named, read_named
from ninefine.desk.judging import judging
from ninefine.desk.kit import Kit
from ninefine.desk.paste import at_once
from ninefine.desk.records import set_down
from ninefine.desk.tables import rows_said_by
from ninefine.errors import Fault, Faults, NotFoundError
from ninefine.intake.columns import kind_in, lines_of, tidied
from ninefine.intake.sheet_csv import FIELDS, GRADE, SheetHead, read_sheet_csv
from ninefine.measure.numbers import plain
from ninefine.worth.band import read_band
from ninefine.worth.guide import Guide, GuidePrice, guide_of
from ninefine.worth.read_sheet import sheet_from
from ninefine.worth.sheet import Sheet

TABLE = "sheet"
#: No table has more columns than this whose names are asked for on a page.
MOST_COLUMNS = 60


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetLine:
    """A sheet as the list of sheets shows it.

    Attributes:
        sheet: the sheet.
        serial: the entry that set it down.
        issues: how many issues it lists, and of how many of them its price is the newest.
        age: days since the oldest of its prices.
        stale: older than the person's limit.
    """

    sheet: Sheet
    serial: int
    issues: int
    newest: int
    age: int
    stale: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class ColumnRead:
    """A heading of a table, and what its column was read as; empty where it could not be told."""

    heading: str
    name: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """What the sheets say of a piece."""

    named: Named
    price: GuidePrice


def sheets(kit: Kit) -> tuple[Sheet, ...]:
    """Every sheet, in the order in which they were first set down."""
    rows = kit.holdings().tables.get(TABLE, {})
    return kit.keep("sheets", lambda: tuple(sheet_from(row) for row in rows.values()))


def sheet_named(kit: Kit, name: str) -> Sheet:
    """A sheet by its name.

    Raises:
        NotFoundError: no such sheet.
    """
    found = next((sheet for sheet in sheets(kit) if sheet.name == name), None)
    if found is None:
        raise NotFoundError(f"There is no sheet {name[:40]!r}.", instead=[sheet.name for sheet in sheets(kit)][:6])
    return found


def guide(kit: Kit) -> Guide:
    """All sheets joined: of each issue the newest prices count."""
    limit, currency = judging(kit).stale_after, kit.journal.currency
    return kit.keep("guide", lambda: guide_of(sheets(kit), today=kit.today(), stale_after=limit, currency=currency))


def sheet_lines(kit: Kit) -> tuple[SheetLine, ...]:
    """The sheets with their age, newest first."""
    joined, said_by = guide(kit), rows_said_by(kit, TABLE)
    lines = []
    for sheet in sheets(kit):
        listed = {(row.kind, row.issue, row.grade.proof) for row in sheet.rows}
        oldest = min(row.on for row in sheet.rows)
        age = (kit.today() - oldest).days
        lines.append(
            SheetLine(
                sheet=sheet,
                serial=said_by[sheet.name],
                issues=len(listed),
                newest=sum(joined.curves[key][0].sheet == sheet.name for key in listed),
                age=age,
                stale=age > joined.stale_after,
            )
        )
    return tuple(sorted(lines, key=lambda line: -line.sheet.on.toordinal()))


def read_sheet_form(kit: Kit, form: Mapping[str, str]) -> Sheet:
    """Read a sheet without setting it down.

    Fields: `name`, `on`, `source`, `note`, `kind` (of lines that name none), `table` (the text), and for each column n
    that is named otherwise than it is headed: `head-n` and `col-n`.

    Raises:
        Faults: every fault of the table with its line, or of the other fields.
    """
    fields = Fields(form, source="the sheet")
    on = fields.past_day("on", kit.today())
    name = " ".join(fields.raw("name").split())
    if not name:
        fields.fault("name", "A sheet has a name: this is needed.")
    if len(name) > 80:
        fields.fault("name", "A name has at most 80 characters.")
    text = fields.read("table", str, "", needed=True)
    catalog = kit.catalog()
    kind = fields.read("kind", lambda said: kind_in(catalog, said).slug, "")
    fields.done()
    head = SheetHead(name=name, on=on, source=fields.raw("source"), note=fields.raw("note"), kind=kind)
    return read_sheet_csv(text, head, catalog, columns=_mapping(form) or None, today=kit.today())


def at_table(error: Faults) -> Faults:
    """The same faults for a page: those of single lines together at the field `table`, each on a line of its own."""
    lines = [fault for fault in error.faults if not fault.where or fault.where.startswith("line ")]
    others = [fault for fault in error.faults if fault not in lines]
    if lines:
        others.append(Fault(where="table", wrong=at_once(Faults(lines))))
    return Faults(others, source=error.source)


def columns_read(form: Mapping[str, str]) -> tuple[ColumnRead, ...]:
    """The headings of a table as typed, and what each column is read as; none where there is no line of headings."""
    lines = lines_of(form.get("table", ""), "the sheet", [])
    if not lines:
        return ()
    asked = {tidied(heading): name for heading, name in _mapping(form).items()}
    headings = [heading for heading in lines[0].cells if heading][:MOST_COLUMNS]
    return tuple(
        ColumnRead(heading=heading, name=asked.get(tidied(heading)) or _as_said(FIELDS.known(heading)))
        for heading in headings
    )


def put_sheet(kit: Kit, form: Mapping[str, str], *, on: date | None = None) -> Stored:
    """Set a sheet down, on a day or today; one of the same name is replaced by it.

    Raises:
        Faults: as for `read_sheet_form`.
    """
    found = read_sheet_form(kit, form)
    return set_down(kit, TABLE, found.name, found.as_dict(), on=on)


def sheet_fields(sheet: Sheet) -> dict[str, str]:
    """A sheet's form, filled in: its rows as a table that reads back as they are."""
    lines = ["kind, issue, grade, low, high, source, date"]
    for row in sheet.rows:
        source = row.source if row.source != sheet.source else ""
        on = row.on.isoformat() if row.on != sheet.on else ""
        cells = (row.kind, row.issue, str(row.grade), plain(row.low), plain(row.high), source, on)
        lines.append(", ".join(_cell(cell) for cell in cells))
    return {
        "name": sheet.name,
        "on": sheet.on.isoformat(),
        "source": sheet.source,
        "note": sheet.note,
        "table": "\n".join(lines),
    }


def ask(kit: Kit, form: Mapping[str, str]) -> Asked:
    """What the sheets say a sound piece is worth. Fields: `what` (a kind with its date), `grade`.

    Raises:
        Faults: every fault, each at its field; also that no sheet lists the piece, or that the grade is outside.
    """
    fields = Fields(form, source="what was asked")
    named = fields.read("what", partial(read_named, kit.catalog()), None, needed=True)
    band = fields.read("grade", read_band, None, needed=True)
    price = None
    if named is not None and band is not None:
        price = fields.read("grade", lambda _: guide(kit).price(named.kind.slug, named.issue, band), None)
    fields.done()
    if named is None or price is None:
        raise NotFoundError("No piece was named.")
    return Asked(named=named, price=price)


def _as_said(name: str | None) -> str:
    """A column's name as a mapping says it: a grade by itself."""
    return (name or "").removeprefix(GRADE)


def _mapping(form: Mapping[str, str]) -> dict[str, str]:
    """Heading -> name, for the columns that the form names; an empty name leaves the reading to the program."""
    said = {}
    for field, heading in form.items():
        stem, _, number = field.rpartition("-")
        if stem == "head" and heading.strip():
            name = form.get(f"col-{number}", "").strip()
            if name:
                said[heading.strip()] = name
    return said


def _cell(text: str) -> str:
    if any(mark in text for mark in ',"\n;\t'):
        return '"' + text.replace('"', '""').replace("\n", " ") + '"'
    return text
