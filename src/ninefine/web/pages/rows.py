"""Forms whose rows can grow: how many are shown, one more without losing what was typed, a row of a table set down."""

from collections.abc import Callable, Sequence
from itertools import count

from starlette.responses import Response

from ninefine.book.chain import Stored
from ninefine.measure.numbers import read_reference
from ninefine.web.forms import Form
from ninefine.web.pages.booked import lead_on
from ninefine.web.visit import Visit

#: The button that asks for one more row is named so, and carries the rows' name.
MORE = "more"
#: No form has more rows than this; a longer list is booked in parts.
MOST_ROWS = 40


def rows_shown(form: Form, name: str, *stems: str, least: int = 1) -> list[int]:
    """The numbers of the rows to show: all that hold anything, at least so many, and one more where it was asked for.

    Args:
        form: the form as sent, or its starting values.
        name: the rows' name, as the button carries it.
        stems: the rows' fields: `kind` for `kind-1`, `kind-2`.
        least: rows shown at least.
    """
    sent = [read_reference(field.rpartition("-")[2]) for field in form.values if field.rpartition("-")[0] in stems]
    shown = max([least, *(number for number in sent if number is not None)])
    if form.text(MORE) == name:
        shown += 1
    return list(range(1, min(shown, MOST_ROWS) + 1))


def names_sent(form: Form, stem: str) -> dict[str, int]:
    """What the rows that were sent speak of, `heap-3`, and the number of each."""
    found = {}
    for field in form.values:
        before, dash, number = field.rpartition("-")
        if dash and before == stem and (place := read_reference(number)) is not None:
            found[form.text(field)] = place
    return found


def row_numbers(form: Form, stem: str, names: Sequence[str]) -> list[int]:
    """The numbers of rows that speak of some names: each as it was sent, any other the next that is free.

    What was typed is kept by the row's number. Were rows numbered anew when a heap has gone meanwhile, what was typed
    of one heap would stand beside another.
    """
    sent = names_sent(form, stem)
    free = count(max(sent.values(), default=0) + 1)
    return [sent[name] if name in sent else next(free) for name in names]


def asks_for_more(form: Form) -> bool:
    """Whether the form was sent only to get one more row."""
    return bool(form.text(MORE))


def lift(form: Form, *stems: str) -> None:
    """Say above the form what was wrong with fields that are sent and not shown: its rows' heaps or lots."""
    for name in [name for name in form.faults if name.rpartition("-")[0] in stems]:
        form.general.append(form.faults.pop(name))


def set_row_down(
    visit: Visit, put: Callable[..., Stored], sheet: Callable[..., Response], *, stage: str, name: str = ""
) -> Response:
    """Set a row of one of the person's tables down as its form says, or show the form again.

    Args:
        visit: the visit.
        put: the desk's verb: the kit, the form's fields, whether the row is new.
        sheet: shows the form: the visit, the row's name (empty: a new one), the status.
        stage: the route to lead on to.
        name: the row that is changed; empty for a new one.
    """
    if asks_for_more(visit.form):
        return sheet(visit, name=name)
    stored = visit.form.attempt(put, visit.kit, visit.form.fields, new=not name)
    return sheet(visit, name=name, status=400) if stored is None else lead_on(visit, stored, stage)
