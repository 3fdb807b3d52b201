"""Booking a purchase that never lay on the table."""

from starlette.responses import Response

from ninefine.desk.purchase import COSTS, buy
from ninefine.web.forms import Form
from ninefine.web.pages.booked import lead_on, said
from ninefine.web.pages.rows import asks_for_more, rows_shown
from ninefine.web.visit import Visit, done, shown

GOODS = ("kind", "amount", "price", "lot")


def page(visit: Visit) -> Response:
    """An empty form for a purchase."""
    visit.form = Form(starting={"on": visit.kit.today().isoformat(), "arrived": "yes"})
    return _sheet(visit)


def book(visit: Visit) -> Response:
    """Book the purchase."""
    if asks_for_more(visit.form):
        return _sheet(visit)
    stored = visit.form.attempt(buy, visit.kit, visit.form.fields)
    if stored is None:
        return _sheet(visit, status=400)
    return lead_on(visit, stored, "arrivals" if visit.form.text("arrived") == "no" else "purchase")


def _sheet(visit: Visit, status: int = 200) -> Response:
    return visit.page(
        "purchase.html",
        stage="offers",
        status=status,
        goods=rows_shown(visit.form, "goods", *GOODS),
        costs=COSTS,
        said=said(visit),
    )


routes = [shown("/purchase", page, name="purchase"), done("/purchase", book, name="purchase.book")]
