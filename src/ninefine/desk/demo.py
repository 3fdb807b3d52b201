"""The demo: an invented household's book from 2019 on, told through the desk's own verbs.

The story stands in `data/demo-*.toml`, a step for each entry, in the words of the verbs' own forms. Steps have fixed
dates; those of `demo-3-waiting.toml` alone are dated back from the day of building, so that something is waiting.
"""

import tomllib
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta
from importlib.resources import files
from typing import Any

from ninefine.book.chain import Stored
from ninefine.desk import (
    arrivals,
    collectors,
    judging,
    paper_tables,
    pieces,
    purchase,
    records,
    sale,
    sets,
    sheets,
    sorting,
    tables,
    triage,
)
from ninefine.desk.demo_bench import VERBS as BENCH
from ninefine.desk.demo_otherwise import VERBS as OTHERWISE
from ninefine.desk.demo_papers import draw
from ninefine.desk.goods import split_line
from ninefine.desk.kit import Kit

#: The story is told on this day at the earliest; its last step of a fixed date lies before.
EARLIEST = date(2026, 11, 25)
CHAPTERS = (
    "demo-1-first-years.toml",
    "demo-2-later-years.toml",
    "demo-3-waiting.toml",
    "demo-4-papers.toml",
    "demo-5-otherwise.toml",
    "demo-6-bench.toml",
)

#: A step as the story writes it: a verb, its day and its form.
Step = Mapping[str, Any]
#: Fields of a step that its form does not take.
_OF_STEP = {"do", "days_back", "id", "of", "files", "goods", "counted", "heaps", "rows", "marks", "row", "open"}


@dataclass(slots=True)
class _Telling:
    """The story under way: a kit whose clock stands on the day of the step, and the entries that steps named."""

    kit: Kit
    named: dict[str, int] = field(default_factory=dict)


def build_demo(kit: Kit) -> None:
    """Enter the invented household's book into an empty one.

    Told as of `kit.today()`, but never of a day before `EARLIEST`.
    """
    clock = [EARLIEST]
    telling = _Telling(
        kit=Kit(reference=kit.reference, journal=kit.journal, tallies=kit.tallies, today=lambda: clock[0])
    )
    for on, step in steps(max(kit.today(), EARLIEST)):
        clock[0] = on
        verb = step["do"]
        own = OTHERWISE.get(verb) or BENCH.get(verb)
        stored = own(telling.kit, step) if own is not None else _VERBS[verb](telling, step)
        if stored is not None and "id" in step:
            telling.named[step["id"]] = stored.serial


def steps(today: date) -> list[tuple[date, Step]]:
    """Every step of the story with its day, in order of time."""
    dated: list[tuple[date, Step]] = []
    for name in CHAPTERS:
        text = (files("ninefine.desk") / "data" / name).read_text(encoding="utf-8")
        for step in tomllib.loads(text)["step"]:
            on = step["on"] if "on" in step else today - timedelta(days=step["days_back"])
            dated.append((on, step))
    return sorted(dated, key=lambda pair: pair[0])


def _form(step: Step) -> dict[str, str]:
    """What of a step goes into the verb's form as it stands."""
    return {name: str(value) for name, value in step.items() if name not in _OF_STEP}


def _numbered(first: str, second: str, pairs: Sequence[Sequence[str]]) -> dict[str, str]:
    """Pairs as a form's numbered fields."""
    form: dict[str, str] = {}
    for number, (name, value) in enumerate(pairs, 1):
        form |= {f"{first}-{number}": name, f"{second}-{number}": value}
    return form


def _buy(telling: _Telling, step: Step) -> Stored:
    form = _form(step)
    for number, (lot, line) in enumerate(step["goods"].items(), 1):
        amount, kind, price = split_line(line)
        form |= {
            f"lot-{number}": lot,
            f"amount-{number}": amount,
            f"kind-{number}": kind,
            f"price-{number}": price,
        }
    return purchase.buy(telling.kit, form)


def _receive(telling: _Telling, step: Step) -> Stored:
    return arrivals.receive(telling.kit, _form(step) | _numbered("lot", "counted", list(step["counted"].items())))


def _credit(telling: _Telling, step: Step) -> Stored:
    return arrivals.credit(telling.kit, _form(step))


def _weigh(telling: _Telling, step: Step) -> Stored:
    return arrivals.weigh(telling.kit, _form(step) | _numbered("heap", "weight", list(step["heaps"].items())))


def _sort(telling: _Telling, step: Step) -> Stored:
    return sorting.sort(telling.kit, _form(step) | _numbered("kind", "amount", step["rows"]))


def _tally(telling: _Telling, step: Step) -> Stored | None:
    number = sorting.begin(telling.kit, step["heap"])
    for coin in step["marks"]:
        sorting.mark(telling.kit, number, step["word"], coin)
    return None if step.get("open") else sorting.finish(telling.kit, number, note=step["note"])


def _move(telling: _Telling, step: Step) -> Stored:
    return records.move(telling.kit, _form(step))


def _sell(telling: _Telling, step: Step) -> Stored:
    form = _form(step) | _numbered("heap", "amount", step.get("heaps", ()))
    return sale.sell(telling.kit, sale.read_sale(telling.kit, form))


def _price(telling: _Telling, step: Step) -> Stored:
    return records.price(telling.kit, _form(step))


def _note(telling: _Telling, step: Step) -> Stored:
    form = _form(step)
    if "about" in step:
        form["about"] = str(telling.named[step["about"]])
    uploads = [records.Upload(name=file["name"], data=draw(file["draw"])) for file in step.get("files", ())]
    return records.note(telling.kit, form, uploads)


def _mend(telling: _Telling, step: Step) -> Stored:
    return records.mend_fields(telling.kit, telling.named[step["of"]], step["changes"], why=step["why"])


def _withdraw(telling: _Telling, step: Step) -> Stored:
    return records.withdraw(telling.kit, telling.named[step["of"]], why=step["why"])


def _exit(telling: _Telling, step: Step) -> Stored:
    return tables.set_exit(telling.kit, step["row"])


def _offer(telling: _Telling, step: Step) -> Stored:
    return tables.set_offer(telling.kit, step["row"])


def _kind(telling: _Telling, step: Step) -> Stored:
    return tables.set_kind(telling.kit, step["name"], step["row"])


def _sheet(telling: _Telling, step: Step) -> Stored:
    return sheets.put_sheet(telling.kit, _form(step))


def _collector(telling: _Telling, step: Step) -> Stored:
    return collectors.put_collector(telling.kit, step["row"])


def _judging(telling: _Telling, step: Step) -> Stored:
    return judging.put_judging(telling.kit, _form(step))


def _shares(telling: _Telling, step: Step) -> Stored:
    return judging.put_flaw_shares(telling.kit, step["row"])


def _set(telling: _Telling, step: Step) -> Stored:
    return sets.put_set(telling.kit, _form(step))


def _piece(telling: _Telling, step: Step) -> Stored:
    return pieces.lay(telling.kit, _form(step))


def _rest(telling: _Telling, step: Step) -> Stored:
    return paper_tables.set_row(telling.kit, step["table"], step["key"], step["row"])


def _pull(telling: _Telling, step: Step) -> Stored:
    return triage.pull(telling.kit, _form(step))


_VERBS: dict[str, Callable[[_Telling, Step], Stored | None]] = {
    "buy": _buy,
    "receive": _receive,
    "credit": _credit,
    "weigh": _weigh,
    "sort": _sort,
    "tally": _tally,
    "move": _move,
    "sell": _sell,
    "price": _price,
    "note": _note,
    "mend": _mend,
    "withdraw": _withdraw,
    "exit": _exit,
    "offer": _offer,
    "kind": _kind,
    "sheet": _sheet,
    "collector": _collector,
    "judging": _judging,
    "shares": _shares,
    "set": _set,
    "piece": _piece,
    "pull": _pull,
    "rest": _rest,
}
