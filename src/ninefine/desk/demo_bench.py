"""Steps of the demo's story at the bench: a scale set down, pieces and rolls tested and kept."""

from collections.abc import Callable, Mapping
from typing import Any

from ninefine.book.chain import Stored
from ninefine.desk import bench, bench_tries, instruments
from ninefine.desk.kit import Kit

#: A step as the story writes it: a verb, its day and its form.
Step = Mapping[str, Any]


def _form(step: Step) -> dict[str, str]:
    return {name: str(value) for name, value in step.items() if name != "do"}


def _scale(kit: Kit, step: Step) -> Stored:
    return instruments.put_scale(kit, _form(step))


def _piece(kit: Kit, step: Step) -> Stored:
    form = _form(step)
    return bench.book_test(kit, form, bench_tries.try_piece(kit, form).evidence)


def _roll(kit: Kit, step: Step) -> Stored:
    form = _form(step)
    return bench.book_test(kit, form, bench_tries.try_heap(kit, form).evidence)


#: What each verb of these steps enters.
VERBS: dict[str, Callable[[Kit, Step], Stored]] = {"scale": _scale, "test": _piece, "test a roll": _roll}
