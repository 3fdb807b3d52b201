"""Forms whose rows can grow: how many of each are shown, and asking for one more without losing what was typed."""

from ninefine.desk.fields import numbers_of
from ninefine.web.forms import Form

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
    filled = [int(number) for number in numbers_of(form.fields, *stems)]
    sent = [int(field.rpartition("-")[2]) for field in form.values if field.rpartition("-")[0] in stems]
    shown = max([least, *filled, *sent])
    if form.text(MORE) == name:
        shown += 1
    return list(range(1, min(shown, MOST_ROWS) + 1))


def asks_for_more(form: Form) -> bool:
    """Whether the form was sent only to get one more row."""
    return bool(form.text(MORE))


def lift(form: Form, *stems: str) -> None:
    """Say above the form what was wrong with fields that are sent and not shown: its rows' heaps or lots."""
    for name in [name for name in form.faults if name.rpartition("-")[0] in stems]:
        form.general.append(form.faults.pop(name))
