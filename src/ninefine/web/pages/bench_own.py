"""The person's own instruments: scales and how they were checked, calipers, the thermometer."""

from collections.abc import Callable, Mapping

from starlette.responses import Response

from ninefine.book.chain import Stored
from ninefine.desk.instruments import (
    CALIPERS,
    INSTRUMENTS,
    THERMOMETER,
    instruments,
    put_calipers,
    put_scale,
    put_thermometer,
)
from ninefine.desk.kit import Kit
from ninefine.web.forms import Form
from ninefine.web.ledger import Cell, Column, Ledger, Row
from ninefine.web.pages.bench_show import ways
from ninefine.web.pages.booked import lead_on, said
from ninefine.web.visit import Visit, done, shown


def page(visit: Visit) -> Response:
    """Every instrument that was set down, and a form for each sort."""
    name = visit.asked("scale")
    rows = visit.kit.holdings().tables.get(INSTRUMENTS, {})
    kept = {field: str(value) for field, value in rows.get(name, {}).items() if field != "is"}
    visit.form = Form(starting={"name": name, **kept} if kept else {})
    return _page(visit)


def _page(visit: Visit, *, at: str = "scale", status: int = 200) -> Response:
    own = instruments(visit.kit)
    return visit.page(
        "bench_own.html",
        stage="bench",
        status=status,
        said=said(visit),
        table=_table(visit),
        checked=sum(one.check is not None for one in own.scales.values()),
        scales=len(own.scales),
        at=at,
        ways=ways(visit, "bench_own"),
    )


def _table(visit: Visit) -> Ledger:
    rows = visit.kit.holdings().tables.get(INSTRUMENTS, {})
    return Ledger(
        caption="Your instruments",
        columns=(
            Column(key="name", head="Instrument"),
            Column(key="step", head="Reads to"),
            Column(key="error", head="Checked, or taken as"),
        ),
        rows=[_row(visit, name, row) for name, row in rows.items()],
        empty="None was set down; what is typed is taken to be read to its last digit, on a scale never checked.",
    )


def _row(visit: Visit, name: str, row: Mapping[str, object]) -> Row:
    unit = {CALIPERS: "mm", THERMOMETER: "°C"}.get(name, "g")
    if name in {CALIPERS, THERMOMETER}:
        error = f"right within {row['error']} {unit}" if "error" in row else "as makers commonly say"
        return Row(cells={"name": name.capitalize(), "step": f"{row['step']} {unit}", "error": error})
    words = "never checked: right within 1 in 500"
    if "check" in row:
        words = f"{row['check']} g within {row.get('within', '0')} g showed {row['shown']} g"
    return Row(
        cells={
            "name": Cell(value=name, href=visit.path_to("bench_own", asking={"scale": name}) + "#scale"),
            "step": f"{row['step']} {unit}",
            "error": words,
        }
    )


def _set(visit: Visit, put: Callable[[Kit, Mapping[str, str]], Stored], at: str) -> Response:
    stored = visit.form.attempt(put, visit.kit, visit.form.fields)
    return _page(visit, at=at, status=400) if stored is None else lead_on(visit, stored, "bench_own")


def scale(visit: Visit) -> Response:
    """Set a scale down."""
    return _set(visit, put_scale, "scale")


def calipers(visit: Visit) -> Response:
    """Set the calipers down."""
    return _set(visit, put_calipers, CALIPERS)


def thermometer(visit: Visit) -> Response:
    """Set the thermometer down."""
    return _set(visit, put_thermometer, THERMOMETER)


routes = [
    shown("/bench/instruments", page, name="bench_own"),
    done("/bench/instruments/scale", scale, name="bench_own.scale"),
    done("/bench/instruments/calipers", calipers, name="bench_own.calipers"),
    done("/bench/instruments/thermometer", thermometer, name="bench_own.thermometer"),
]
