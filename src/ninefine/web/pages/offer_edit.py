"""Entering an offer, changing one, and booking one as bought."""

from starlette.responses import Response

from ninefine.desk.offer_form import offer_fields, put_offer
from ninefine.desk.offers import book
from ninefine.desk.tables import offer_named
from ninefine.market.offers import Charged, Taxed
from ninefine.web.forms import Form
from ninefine.web.pages.booked import lead_on
from ninefine.web.pages.rows import rows_shown, set_row_down
from ninefine.web.visit import Visit, done, shown

CHARGED = ((Charged.GOODS, "the goods"), (Charged.CARRIAGE, "goods and carriage"), (Charged.ALL, "all, tax too"))
TAXED = (
    (Taxed.ALWAYS, "every sale"),
    (Taxed.UNDER, "sales under a line"),
    (Taxed.FROM, "sales from a line on"),
)
COUNTS = (
    (Charged.GOODS, "the goods"),
    (Charged.CARRIAGE, "goods and carriage"),
    (Charged.ALL, "all, surcharge too"),
)
GOODS = ("kind", "amount", "price", "tiers")
WAYS = ("way", "way_pct", "way_fee")


def new(visit: Visit) -> Response:
    """An empty form for an offer."""
    visit.form = Form(starting={"way_on-1": Charged.GOODS, "taxed": Taxed.ALWAYS, "tax_counts": Charged.GOODS})
    return _sheet(visit, name="")


def put_new(visit: Visit) -> Response:
    """Set a new offer down."""
    return set_row_down(visit, put_offer, _sheet, stage="offers")


def change(visit: Visit) -> Response:
    """An offer's form, filled in."""
    offer = offer_named(visit.kit, visit.asked("name"))
    visit.form = Form(starting=offer_fields(offer))
    return _sheet(visit, name=offer.name)


def put_change(visit: Visit) -> Response:
    """Set an offer down anew."""
    name = offer_named(visit.kit, visit.form.text("name")).name
    return set_row_down(visit, put_offer, _sheet, stage="offers", name=name)


def _sheet(visit: Visit, *, name: str, status: int = 200) -> Response:
    ways = rows_shown(visit.form, "ways", *WAYS, least=2)
    return visit.page(
        "offer_edit.html",
        stage="offers",
        status=status,
        name=name,
        goods=rows_shown(visit.form, "goods", *GOODS),
        ways=ways,
        way_names=[f"{stem}-{number}" for number in ways for stem in WAYS],
        charged=CHARGED,
        taxed=TAXED,
        counts=COUNTS,
    )


def book_form(visit: Visit) -> Response:
    """The form for booking an offer as it stands."""
    visit.form = Form(starting={"on": visit.kit.today().isoformat(), "arrived": "yes"})
    return _booking(visit, visit.asked("name"))


def book_it(visit: Visit) -> Response:
    """Book an offer as bought."""
    name = visit.form.text("name")
    stored = visit.form.attempt(book, visit.kit, name, visit.form.fields)
    if stored is None:
        return _booking(visit, name, status=400)
    return lead_on(visit, stored, "offers" if visit.form.text("arrived") != "no" else "arrivals")


def _booking(visit: Visit, name: str, status: int = 200) -> Response:
    offer = offer_named(visit.kit, name)
    return visit.page(
        "offer_book.html",
        stage="offers",
        status=status,
        offer=offer,
        ways=[(way.name, way.name) for way in offer.ways],
        goods=[line.said for line in offer.lines],
    )


routes = [
    shown("/offers/new", new, name="offer.new"),
    done("/offers/new", put_new, name="offer.put_new"),
    shown("/offers/change", change, name="offer.change"),
    done("/offers/change", put_change, name="offer.put_change"),
    shown("/offers/book", book_form, name="offer.book"),
    done("/offers/book", book_it, name="offer.book_it"),
]
