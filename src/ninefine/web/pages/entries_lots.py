"""Lots as such, by form: one made of part of another, several put together, and what serves the household itself."""

from starlette.responses import Response

from ninefine.desk.lots import read_join, read_split, read_use
from ninefine.web.pages import entries_came, entries_went
from ninefine.web.pages.booked import said
from ninefine.web.pages.entry_form import EntryForm, heap_choices, routes_of
from ninefine.web.visit import Visit, shown

SPLIT = EntryForm(
    name="split",
    title="A lot made of part of another",
    words="What is taken becomes a lot of its own; its share of the cost, its date and its past go with it.",
    read=read_split,
    more=lambda visit: {"choices": heap_choices(visit, visit.form.text("of"))},
)
JOINED = EntryForm(
    name="join",
    title="Lots put together",
    words="The first takes in what is held of the others. They must have come on one day, in one way.",
    read=read_join,
)
USED = EntryForm(
    name="use",
    title="The household's own use",
    words="Tableware and the like: a loss on it is kept apart and does not count.",
    read=read_use,
    more=lambda _: {"uses": [("", "they serve the household itself"), ("yes", "they no longer do")]},
)
FORMS = (SPLIT, JOINED, USED)


def page(visit: Visit) -> Response:
    """Every kind of entry that has a form of its own, and where the others are booked."""
    groups = (
        ("It came, and was not bought", entries_came.FORMS),
        ("It left, and was not sold", entries_went.FORMS),
        ("Lots as such", FORMS),
    )
    return visit.page("entries.html", stage="holdings", groups=groups, said=said(visit))


routes = [shown("/entries", page, name="entries"), *(route for form in FORMS for route in routes_of(form))]
