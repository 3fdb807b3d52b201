"""Steps of the demo's story that came or went otherwise than by a purchase or a sale, as forms of the desk's verbs."""

from collections.abc import Callable, Mapping
from typing import Any

from ninefine.book.chain import Stored
from ninefine.desk import book_settings, came, gains, lots, refining, went
from ninefine.desk.goods import split_line
from ninefine.desk.kit import Kit

#: A step as the story writes it: a verb, its day and its form.
Step = Mapping[str, Any]
#: Fields of a step that its form does not take.
_OF_STEP = frozenset({"do", "goods", "each", "heaps", "into", "date", "id"})


def _form(step: Step) -> dict[str, str]:
    """What of a step goes into the verb's form as it stands."""
    return {name: str(value) for name, value in step.items() if name not in _OF_STEP}


def _goods(step: Step, sum_field: str, place: str = "") -> dict[str, str]:
    """Lots with their lines as numbered fields; `each` says more of some of them, `place` goes with every line."""
    form: dict[str, str] = {}
    for number, (lot, line) in enumerate(step["goods"].items(), 1):
        amount, kind, price = split_line(line)
        form |= {
            f"lot-{number}": lot,
            f"amount-{number}": amount,
            f"kind-{number}": kind,
            f"{sum_field}-{number}": price,
        }
        more = ({"place": place} if place else {}) | step.get("each", {}).get(lot, {})
        form |= {f"{name}-{number}": str(value) for name, value in more.items()}
    return form


def _heaps(step: Step, amount: str, value: str) -> dict[str, str]:
    """Heaps with how much of each and what it counted for, as numbered fields."""
    form: dict[str, str] = {}
    for number, (heap, *rest) in enumerate(step["heaps"], 1):
        form[f"heap-{number}"] = heap
        form |= dict(zip((f"{amount}-{number}", f"{value}-{number}"), rest, strict=False))
    return form


def _given(kit: Kit, step: Step) -> Stored:
    return came.give(kit, _form(step) | _goods(step, "basis"))


def _inherit(kit: Kit, step: Step) -> Stored:
    return came.inherit(kit, _form(step) | _goods(step, "value"))


def _opening(kit: Kit, step: Step) -> Stored:
    return came.open_with(kit, _form(step) | _goods(step, "cost", place=step.get("place", "")))


def _swap(kit: Kit, step: Step) -> Stored:
    form = _form(step) | _heaps(step, "out", "for")
    for number, (lot, line) in enumerate(step["into"].items(), 1):
        amount, kind, _ = split_line(line)
        form |= {f"lot-{number}": lot, f"amount-{number}": amount, f"kind-{number}": kind}
    return went.swap(kit, form)


def _lose(kit: Kit, step: Step) -> Stored:
    return went.lose(kit, _form(step) | _heaps(step, "amount", "value"))


def _refine(kit: Kit, step: Step) -> Stored:
    return refining.refine(kit, refining.read_settlement(kit, _form(step) | _heaps(step, "amount", "value")))


def _reported(kit: Kit, step: Step) -> Stored:
    return gains.report(kit, {**_form(step), "on": step["date"]})


VERBS: dict[str, Callable[[Kit, Step], Stored]] = {
    "given": _given,
    "inherit": _inherit,
    "opening": _opening,
    "swap": _swap,
    "lose": _lose,
    "refine": _refine,
    "split": lambda kit, step: lots.split(kit, _form(step)),
    "join": lambda kit, step: lots.join(kit, _form(step)),
    "use": lambda kit, step: lots.use(kit, _form(step)),
    "reported": _reported,
    "settle": lambda kit, step: book_settings.settle(kit, {k: v for k, v in _form(step).items() if k != "on"}),
}
