"""What a page's address asks for: read as a form is, so that what cannot be read is told at its field."""

from ninefine.desk.fields import Fields
from ninefine.errors import Faults
from ninefine.measure.numbers import read_reference
from ninefine.web.forms import Form
from ninefine.web.visit import Visit

#: Rows of a long list on one page.
A_PAGE = 50


def ask(visit: Visit, *names: str, **usual: str) -> Fields:
    """The values of the address as a form, shown again by the page's own fields.

    Args:
        visit: the visit.
        names: the values that the page asks for.
        usual: those that have a value where the address gives none.
    """
    given = {name: visit.asked(name) for name in (*names, *usual)}
    visit.form = Form(starting={name: text or usual.get(name, "") for name, text in given.items()})
    return Fields(visit.form.fields, source="what was asked")


def settle(visit: Visit, fields: Fields) -> bool:
    """End the reading; what was wrong is put at its field. Whether all could be read."""
    try:
        fields.done()
    except Faults as error:
        visit.form.blame(error)
    return visit.form.ok


def turned(visit: Visit, route: str, first: int, **asking: str) -> str:
    """The address of the same list from another row on."""
    return visit.path_to(route, asking={**asking, **({"first": str(first)} if first > 0 else {})})


def first_of(visit: Visit, name: str = "first") -> int:
    """From which row on a long list is shown; the top where the address says nothing sensible."""
    return read_reference(visit.asked(name)) or 0
