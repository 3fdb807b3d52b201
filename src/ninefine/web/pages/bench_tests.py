"""The forms of the bench: one piece, in water, a roll or a heap, household ware. Worked out first, booked if wanted."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from functools import partial
from typing import Any

from starlette.responses import Response

from ninefine.catalog.household import constructions
from ninefine.desk.bench import book_test
from ninefine.desk.bench_tries import HeapTests, PieceTests, WareTests, try_heap, try_piece, try_ware
from ninefine.desk.kit import Kit
from ninefine.web.forms import Form
from ninefine.web.pages.bench_show import (
    BANDS,
    EDGES,
    MAGNETS,
    cautions,
    density_ledger,
    doubt_ledger,
    evidence_ledger,
    heap_picture,
    kinds,
    mix_ledger,
    mix_picture,
    piece_pictures,
    scales,
    typed_kind,
    uploads,
    ways,
)
from ninefine.web.pages.booked import BOOKED
from ninefine.web.visit import Visit, done, shown

BUILDS = [("", "Solid, or not said"), *((one.key, one.name.capitalize()) for one in constructions())]
IN_WATER = [
    ("hung", "It hangs from the scale: the scale shows its weight in water"),
    ("lowered", "It is lowered into a tared vessel on the scale: the scale shows what it loses"),
]
_FROM_ADDRESS = ("piece", "heap", "kind", "weight")
Tests = PieceTests | HeapTests | WareTests


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """One form of the bench.

    Attributes:
        name: its route; its template is named alike.
        try_it: works the form out.
        show: what its page shows of the result.
        lists: further lists that its fields pick from.
        starting: what its fields show before anything is typed.
    """

    name: str
    try_it: Callable[[Kit, Mapping[str, str]], Tests]
    show: Callable[[Visit, Any], Mapping[str, Any]]
    lists: Mapping[str, Any] = field(default_factory=dict)
    starting: Mapping[str, str] = field(default_factory=dict)


def _blank(sheet: Sheet, visit: Visit) -> Response:
    asked = {name: visit.asked(name) for name in _FROM_ADDRESS if visit.asked(name)}
    visit.form = Form(starting={"on": visit.kit.today().isoformat(), **sheet.starting, **asked})
    return _page(sheet, visit)


def _tried(sheet: Sheet, visit: Visit) -> Response:
    """Work a form out and show it, or book it where that was asked."""
    typed_kind(visit)
    tests = visit.form.attempt(sheet.try_it, visit.kit, visit.form.fields)
    if tests is None:
        return _page(sheet, visit, status=400)
    if visit.form.text("do") == "book":
        stored = visit.form.attempt(book_test, visit.kit, visit.form.fields, tests.evidence, uploads(visit))
        if stored is not None:
            return visit.goto("bench_tested", asking={BOOKED: str(stored.serial)}, entry=stored.serial)
    return _page(sheet, visit, tests, status=200 if visit.form.ok else 400)


def _page(sheet: Sheet, visit: Visit, tests: Tests | None = None, status: int = 200) -> Response:
    return visit.page(
        f"{sheet.name}.html",
        stage="bench",
        status=status,
        tests=tests,
        kinds=kinds(visit),
        bands=BANDS,
        magnets=MAGNETS,
        edges=EDGES,
        scales=scales(visit),
        ways=ways(visit, sheet.name),
        **sheet.lists,
        **({} if tests is None else sheet.show(visit, tests)),
    )


def _show_piece(visit: Visit, tests: PieceTests) -> Mapping[str, Any]:
    return {
        "table": evidence_ledger(tests.evidence),
        "pictures": piece_pictures(visit, tests),
        "densities": None if tests.gravity is None else density_ledger(tests.gravity),
        "doubt": None if tests.gravity is None else doubt_ledger(tests.gravity.reading, "density"),
        "cautions": cautions(tests.evidence),
    }


def _show_heap(visit: Visit, tests: HeapTests) -> Mapping[str, Any]:
    found = tests.weight
    pictures = [heap_picture(visit, found)]
    return {
        "table": evidence_ledger(tests.evidence),
        "pictures": [one for one in pictures if one is not None],
        "mix": None if tests.mix is None else mix_ledger(tests.mix),
        "bars": None if tests.mix is None else mix_picture(visit, tests.mix),
        "fine": Decimal(repr(found.fine_ozt.value)),
        "fine_within": Decimal(repr(found.fine_ozt.half_width())),
        "from_spec": None if found.from_spec is None else Decimal(repr(100 * found.from_spec.value)),
        "from_trade": None if found.from_trade is None else Decimal(repr(100 * found.from_trade.value)),
        "trade_within": None if found.from_trade is None else Decimal(repr(100 * found.from_trade.half_width())),
        "doubt": doubt_ledger(found.fine_ozt, "fine weight"),
        "cautions": cautions(tests.evidence),
    }


def _show_ware(_visit: Visit, tests: WareTests) -> Mapping[str, Any]:
    return {"table": evidence_ledger(tests.evidence), "cautions": tests.ware.cautions}


SHEETS = {
    "/bench/piece": Sheet(name="bench_piece", try_it=try_piece, show=_show_piece),
    "/bench/water": Sheet(
        name="bench_water",
        try_it=try_piece,
        show=_show_piece,
        lists={"in_water": IN_WATER},
        starting={"way": "hung", "celsius": "20"},
    ),
    "/bench/roll": Sheet(name="bench_roll", try_it=try_heap, show=_show_heap),
    "/bench/ware": Sheet(name="bench_ware", try_it=try_ware, show=_show_ware, lists={"builds": BUILDS}),
}

routes = [
    route
    for path, sheet in SHEETS.items()
    for route in (
        shown(path, partial(_blank, sheet), name=sheet.name),
        done(path, partial(_tried, sheet), name=f"{sheet.name}.try"),
    )
]
