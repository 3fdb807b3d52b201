"""Silver that came otherwise than bought, by form: given, inherited, held before the book."""

from ninefine.desk.came import HOW, read_gift, read_inheritance, read_opening
from ninefine.web.pages.entry_form import EntryForm, routes_of

GIVEN = EntryForm(
    name="given",
    title="A gift received",
    words="It keeps its giver's cost and date; what nobody knows stays not known.",
    read=read_gift,
    stems=("kind", "amount", "basis", "acquired", "value", "lot"),
)
INHERITED = EntryForm(
    name="inherited",
    title="An inheritance",
    words="Its basis is its value on the day of death, and from that day it counts as owned.",
    read=read_inheritance,
    stems=("kind", "amount", "value", "lot"),
)
OPENING = EntryForm(
    name="opening",
    title="Held before the book",
    words="What was there when the book began. A cost or a date that nobody knows is left empty, and stays not known.",
    read=read_opening,
    stems=("kind", "amount", "cost", "acquired", "how", "seller", "place", "lot"),
    more=lambda _: {"hows": [("", "nobody knows"), *((how, how) for how in HOW)]},
)
FORMS = (GIVEN, INHERITED, OPENING)

routes = [route for form in FORMS for route in routes_of(form)]
