"""Setting a way out down, and changing one: its bids, its fees, its limits."""

from starlette.responses import Response

from ninefine.catalog.kinds import Basis
from ninefine.desk.exit_form import exit_fields, put_exit
from ninefine.desk.tables import exit_named
from ninefine.web.forms import Form
from ninefine.web.pages.rows import rows_shown, set_row_down
from ninefine.web.visit import Visit, done, shown

BASES = (
    (Basis.TRADE, "the trade's count"),
    (Basis.SCALE, "the scale"),
    (Basis.UNWORN, "as struck"),
)
BIDS = ("what", "bid")


def new(visit: Visit) -> Response:
    """An empty form for a way out."""
    visit.form = Form(starting={"basis": Basis.TRADE})
    return _sheet(visit, name="")


def put_new(visit: Visit) -> Response:
    """Set a new way out down."""
    return set_row_down(visit, put_exit, _sheet, stage="exits")


def change(visit: Visit) -> Response:
    """A way out's form, filled in."""
    way = exit_named(visit.kit, visit.asked("name"))
    visit.form = Form(starting=exit_fields(way))
    return _sheet(visit, name=way.name)


def put_change(visit: Visit) -> Response:
    """Set a way out down anew."""
    name = exit_named(visit.kit, visit.form.text("name")).name
    return set_row_down(visit, put_exit, _sheet, stage="exits", name=name)


def _sheet(visit: Visit, *, name: str, status: int = 200) -> Response:
    return visit.page(
        "exit_edit.html",
        stage="exits",
        status=status,
        name=name,
        bids=rows_shown(visit.form, "bids", *BIDS, least=2),
        bases=BASES,
    )


routes = [
    shown("/exits/new", new, name="exit.new"),
    done("/exits/new", put_new, name="exit.put_new"),
    shown("/exits/change", change, name="exit.change"),
    done("/exits/change", put_change, name="exit.put_change"),
]
