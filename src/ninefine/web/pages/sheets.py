"""Guide sheets: the person's own tables of collector prices, set down with a look before, and asked."""

from collections.abc import Sequence
from functools import partial

from starlette.responses import Response

from ninefine.desk.heaps import say_goods
from ninefine.desk.judging import judging
from ninefine.desk.records import set_down
from ninefine.desk.sheets import (
    TABLE,
    Asked,
    ask,
    at_table,
    columns_read,
    put_sheet,
    read_sheet_form,
    sheet_fields,
    sheet_lines,
    sheet_named,
    sheets,
)
from ninefine.desk.tables import rows_said_by
from ninefine.errors import Faults, InputError
from ninefine.intake.columns import LEFT_OUT
from ninefine.intake.sheet_csv import FIELDS
from ninefine.intake.spreadsheet import text_of
from ninefine.papers.charts_finds import ListedAt, price_curve
from ninefine.web.charts import Picture
from ninefine.web.format import money, plural
from ninefine.web.forms import Form
from ninefine.web.ledger import Cell, Column, Ledger, Of, Row, Step, Weight, Worked
from ninefine.web.pages.asked import A_PAGE, first_of
from ninefine.web.pages.booked import BOOKED, lead_on, said
from ninefine.web.pages.sorting_links import sorting_links
from ninefine.web.visit import Visit, done, shown
from ninefine.worth.sheet import Sheet, SheetRow, curves_of

#: Rows of a table that is looked at before it is set down.
MOST_LOOKED_AT = 50


def page(visit: Visit) -> Response:
    """The sheets, and what they say of a piece."""
    visit.form = Form(starting={"what": visit.asked("what"), "grade": visit.asked("grade")})
    asked = visit.form.attempt(ask, visit.kit, visit.form.fields) if visit.asked("what") else None
    lines = sheet_lines(visit.kit)
    return visit.page(
        "sheets.html",
        stage="sorting",
        ways=sorting_links(visit, "sheets"),
        said=said(visit),
        lines=lines,
        prices=sum(len(line.sheet.rows) for line in lines),
        stale=[line.sheet.name for line in lines if line.stale],
        limit=judging(visit.kit).stale_after,
        table=_table(visit),
        asked=asked,
        goods=_goods(visit, asked) if asked is not None else "",
        worked=_worked(visit, asked) if asked is not None else None,
        picture=_picture(visit, asked) if asked is not None else None,
    )


def _table(visit: Visit) -> Ledger:
    return Ledger(
        caption="Your sheets, newest first",
        columns=(
            Column(key="name", head="Sheet"),
            Column(key="on", head="Of", of=Of.DATE),
            Column(key="age", head="Age of its oldest price", of=Of.COUNT, unit="days"),
            Column(key="rows", head="Prices", of=Of.COUNT),
            Column(key="issues", head="Issues", of=Of.COUNT),
            Column(key="newest", head="Of them the newest", of=Of.COUNT),
            Column(key="entry", head="Booked by"),
        ),
        rows=[
            Row(
                cells={
                    "name": Cell(value=line.sheet.name, href=visit.path_to("sheet", asking={"name": line.sheet.name})),
                    "on": line.sheet.on,
                    "age": Cell(value=line.age, note="stale" if line.stale else ""),
                    "rows": len(line.sheet.rows),
                    "issues": line.issues,
                    "newest": line.newest,
                    "entry": Cell(value=f"entry {line.serial}", href=visit.path_to("entry", serial=line.serial)),
                },
                note=". ".join(part for part in (line.sheet.source, line.sheet.note) if part),
                weight=Weight.LOOK if line.stale else Weight.PLAIN,
            )
            for line in sheet_lines(visit.kit)
        ],
        empty="No sheet has been set down yet.",
    )


def _goods(visit: Visit, asked: Asked) -> str:
    return say_goods(asked.named.kind.slug, asked.named.issue.replace(":", ", "), visit.kit.catalog())


def _worked(visit: Visit, asked: Asked) -> Worked:
    price = asked.price
    serial = rows_said_by(visit.kit, TABLE)[price.curve.sheet]
    whence = f"{price.curve.sheet}, {price.curve.on}, {plural(price.age, 'day')} old; entry {serial} of the book"
    if price.curve.sources:
        whence += f". {'; '.join(price.curve.sources)}"
    steps = [Step(what=f"an end of {price.band}", result="", how=words) for words in price.worked]
    worth = f"{money(price.worth.low)}, {money(price.worth.mid)}, {money(price.worth.high)}"
    return Worked(steps=(*steps, Step(what="low, middle and high", result=worth, whence=whence)))


def _picture(visit: Visit, asked: Asked) -> Picture | None:
    curve = asked.price.curve
    if len(curve.rows) < 2:
        return None
    rows = [ListedAt(number=row.grade.number, grade=str(row.grade), low=row.low, high=row.high) for row in curve.rows]
    words = "; ".join(f"{row.grade} {money(row.low)} to {money(row.high)}" for row in rows)
    return visit.picture(
        partial(price_curve, rows, unit=visit.kit.journal.currency),
        alt=f"What {curve.sheet} lists: {words}.",
        caption="Low and high by grade, on a logarithmic scale: between two listed grades the line is straight.",
        size=(640, 260),
    )


def one(visit: Visit) -> Response:
    """One sheet, price by price."""
    sheet = sheet_named(visit.kit, visit.asked("name"))
    line = next(each for each in sheet_lines(visit.kit) if each.sheet == sheet)
    first = first_of(visit)
    return visit.page(
        "sheet.html",
        stage="sorting",
        ways=sorting_links(visit, "sheets"),
        said=said(visit),
        sheet=sheet,
        line=line,
        rows=_rows(visit, sheet, sheet.rows[first : first + A_PAGE]),
        newer=_more(visit, sheet, first - A_PAGE) if first else "",
        older=_more(visit, sheet, first + A_PAGE) if len(sheet.rows) > first + A_PAGE else "",
    )


def _more(visit: Visit, sheet: Sheet, first: int) -> str:
    return visit.path_to("sheet", asking={"name": sheet.name, "first": str(max(0, first))})


def _rows(visit: Visit, sheet: Sheet, rows: Sequence[SheetRow]) -> Ledger:
    catalog = visit.kit.catalog()
    return Ledger(
        caption=f"{plural(len(sheet.rows), 'price')}, for one piece",
        columns=(
            Column(key="what", head="Piece"),
            Column(key="grade", head="Grade"),
            Column(key="low", head="Low", of=Of.MONEY, unit=visit.kit.journal.currency),
            Column(key="high", head="High", of=Of.MONEY, unit=visit.kit.journal.currency),
            Column(key="on", head="Of", of=Of.DATE),
        ),
        rows=[
            Row(
                cells={
                    "what": say_goods(row.kind, row.issue.replace(":", ", ") or "of any date", catalog),
                    "grade": str(row.grade),
                    "low": row.low,
                    "high": row.high,
                    "on": row.on,
                },
                note=row.source if row.source != sheet.source else "",
            )
            for row in rows
        ],
    )


def new(visit: Visit) -> Response:
    """An empty form for a sheet."""
    visit.form = Form(starting={"on": visit.kit.today().isoformat()})
    return _sheet(visit)


def change(visit: Visit) -> Response:
    """A sheet's form, filled in."""
    visit.form = Form(starting=sheet_fields(sheet_named(visit.kit, visit.asked("name"))))
    return _sheet(visit)


def put(visit: Visit) -> Response:
    """Look at a table as it would be read, or set it down."""
    form = visit.form
    if "file" in form.files:
        try:
            form.values["table"] = [text_of(*form.files["file"])]
        except InputError as error:
            form.blame(error, field="file")
            form.values.setdefault("file", [""])
            return _sheet(visit, status=400)
    try:
        looked_at = read_sheet_form(visit.kit, form.fields)
    except Faults as error:
        form.blame(at_table(error))
        return _sheet(visit, status=400)
    if form.text("do") != "put" or "file" in form.files:
        return _sheet(visit, looked_at)
    stored = put_sheet(visit.kit, form.fields)
    return visit.goto("sheet", asking={"name": looked_at.name, BOOKED: str(stored.serial)})


def _sheet(visit: Visit, looked_at: Sheet | None = None, *, status: int = 200) -> Response:
    form = visit.form
    names = [(name, name) for name in FIELDS.names]
    columns = []
    for number, column in enumerate(columns_read(form.fields), 1):
        form.values[f"col-{number}"] = [column.name]
        own = [] if column.name in {"", LEFT_OUT, *FIELDS.names} else [(column.name, column.name)]
        columns.append((number, column.heading, [("", "not known"), *own, *names, (LEFT_OUT, "leave it out")]))
    known = {sheet.name for sheet in sheets(visit.kit)}
    return visit.page(
        "sheet_edit.html",
        stage="sorting",
        status=status,
        ways=sorting_links(visit, "sheets"),
        columns=columns,
        looked_at=looked_at,
        replaces=looked_at is not None and looked_at.name in known,
        rows=_rows(visit, looked_at, looked_at.rows[:MOST_LOOKED_AT]) if looked_at is not None else None,
        falls=_falls(visit, looked_at) if looked_at is not None else [],
    )


def _falls(visit: Visit, sheet: Sheet) -> list[str]:
    """Where a sheet's own prices fall as the grade rises: often a slip of the pen."""
    catalog = visit.kit.catalog()
    return [
        f"{say_goods(kind, issue, catalog)} falls from {lower.grade} to {higher.grade}."
        for (kind, issue, _), curve in curves_of(sheet).items()
        for lower, higher in curve.dips
    ]


def strike(visit: Visit) -> Response:
    """Strike a sheet off; the journal keeps it."""
    stored = set_down(visit.kit, TABLE, visit.form.text("name"), None)
    return lead_on(visit, stored, "sheets")


routes = [
    shown("/sorting/sheets", page, name="sheets"),
    shown("/sorting/sheets/one", one, name="sheet"),
    shown("/sorting/sheets/new", new, name="sheet.new"),
    shown("/sorting/sheets/change", change, name="sheet.change"),
    done("/sorting/sheets", put, name="sheet.put"),
    done("/sorting/sheets/strike", strike, name="sheet.strike"),
]
