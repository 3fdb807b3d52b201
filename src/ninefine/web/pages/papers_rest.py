"""What papers rest on: asks, places, people, reviews, cover and what to keep apart, set down row by row."""

from starlette.responses import Response

from ninefine.desk.paper_tables import SETTINGS, Setting, rows, set_row, setting, strike_row
from ninefine.web.forms import Form
from ninefine.web.ledger import Cell, Column, Ledger, Row
from ninefine.web.pages.booked import lead_on, said
from ninefine.web.visit import Visit, done, shown


def page(visit: Visit) -> Response:
    """Every table with its rows."""
    tables = [(one, _ledger(visit, one)) for one in SETTINGS.values()]
    return visit.page("papers_rest.html", stage="papers", tables=tables, said=said(visit))


def _ledger(visit: Visit, one: Setting) -> Ledger:
    held = rows(visit.kit, one.table)
    return Ledger(
        caption=one.words,
        columns=[
            Column(key="key", head=one.key[0]),
            *(Column(key=name, head=label) for name, label, _ in one.fields),
        ],
        rows=[
            Row(
                cells={
                    "key": Cell(value=key, href=visit.path_to("papers.row", table=one.table, asking={"key": key})),
                    **{name: str(row[name]) for name, _, _ in one.fields if name in row},
                }
            )
            for key, row in held.items()
        ],
        empty="Nothing has been set down.",
    )


def row(visit: Visit) -> Response:
    """The form of one row: filled in for a change, empty for a new one."""
    one = setting(visit.part("table"))
    key = visit.asked("key")
    held = rows(visit.kit, one.table).get(key, {})
    visit.form = Form(starting={"key": key, **{name: str(value) for name, value in held.items()}})
    return _sheet(visit, one, known=key if held else "")


def put(visit: Visit) -> Response:
    """Set a row down."""
    one = setting(visit.part("table"))
    known = visit.form.text("known")
    key = known or visit.form.text("key")
    fields = {name: visit.form.text(name) for name, _, _ in one.fields}
    stored = visit.form.attempt(set_row, visit.kit, one.table, key, fields)
    return _sheet(visit, one, known=known, status=400) if stored is None else lead_on(visit, stored, "papers.rest")


def strike(visit: Visit) -> Response:
    """Strike a row off."""
    one = setting(visit.part("table"))
    return lead_on(visit, strike_row(visit.kit, one.table, visit.form.text("key")), "papers.rest")


def _sheet(visit: Visit, one: Setting, *, known: str, status: int = 200) -> Response:
    return visit.page("papers_row.html", stage="papers", status=status, setting=one, known=known)


routes = [
    shown("/papers/rest", page, name="papers.rest"),
    shown("/papers/rest/{table}", row, name="papers.row"),
    done("/papers/rest/{table}", put, name="papers.put"),
    done("/papers/rest/{table}/strike", strike, name="papers.strike"),
]
