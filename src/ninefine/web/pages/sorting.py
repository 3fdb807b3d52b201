"""Sorting: tallies under way, heaps that wait to be told apart, a heap sorted at once, what was sorted lately."""

from collections.abc import Sequence

from starlette.responses import Response

from ninefine.desk import sorting
from ninefine.desk.amounts import say_amount
from ninefine.desk.heaps import heap_name, read_heap, say_heap
from ninefine.desk.journal import JournalLine
from ninefine.desk.to_sort import HeapToSort, OpenTally, count_to_sort, heaps_to_sort, sorted_lately, tallies_under_way
from ninefine.errors import NotFoundError
from ninefine.web.format import day, figure, plural
from ninefine.web.forms import Form
from ninefine.web.ledger import Cell, Column, Ledger, Of, Row, Weight
from ninefine.web.pages.asked import first_of, turned
from ninefine.web.pages.booked import lead_on, said
from ninefine.web.pages.rows import asks_for_more, rows_shown
from ninefine.web.pages.sorting_links import sorting_links
from ninefine.web.visit import Visit, done, shown

HEAPS_A_PAGE = 25
METHODS = [("weight", "By fine weight"), ("value", "By what each row would bring")]


def page(visit: Visit) -> Response:
    """The stage."""
    return _stage(visit)


def _stage(visit: Visit, status: int = 200) -> Response:
    kit, first = visit.kit, first_of(visit)
    mixed, face, undated = count_to_sort(kit)
    tallies = tallies_under_way(kit)
    heaps = heaps_to_sort(kit, first=first, most=HEAPS_A_PAGE + 1)
    return visit.page(
        "sorting.html",
        stage="sorting",
        status=status,
        mixed=mixed,
        face=face,
        undated=undated,
        tallies=[_tally(visit, one) for one in tallies],
        heaps=_heaps(visit, heaps[:HEAPS_A_PAGE], {one.heap: one.number for one in reversed(tallies)}),
        newer=turned(visit, "sorting", first - HEAPS_A_PAGE) + "#heaps" if first else "",
        older=turned(visit, "sorting", first + HEAPS_A_PAGE) + "#heaps" if len(heaps) > HEAPS_A_PAGE else "",
        lately=_lately(visit, sorted_lately(kit)),
        beside=sorting_links(visit),
        said=said(visit) or visit.asked("said"),
    )


def _tally(visit: Visit, one: OpenTally) -> tuple[str, str, str, str, str]:
    told = f"{plural(one.pieces, 'piece')} told, {figure(one.face_told, 2)} face" if one.pieces else "nothing told yet"
    if one.pieces_left is not None:
        left = f"; {plural(one.pieces_left, 'piece')} left"
    else:
        left = f"; {figure(one.face_left, 2)} face left" if one.face_left is not None else ""
    note = f"Tally {one.number}, begun {day(one.started_at.date())}: {told}{left}"
    return "", f"{one.title}.", note, visit.path_to("tally", number=one.number), "Go on"


def _heaps(visit: Visit, heaps: Sequence[HeapToSort], under_way: dict[str, int]) -> Ledger:
    return Ledger(
        caption="Held and not told apart by date: mixed heaps first, then the latest bought",
        columns=(
            Column(key="goods", head="Heap"),
            Column(key="much", head="How much"),
            Column(key="acquired", head="Acquired", of=Of.DATE),
            Column(key="tally", head="Tally"),
        ),
        rows=[
            Row(
                cells={
                    "goods": Cell(value=one.goods, href=visit.path_to("heap", asking={"heap": one.name})),
                    "much": one.amount,
                    "acquired": one.acquired,
                    **_open_tally(visit, under_way.get(one.name)),
                },
                note=f"lot {one.heap.lot}" + (f", at {one.heap.place}" if one.heap.place else ""),
            )
            for one in heaps
        ],
        empty="No heap waits: all that is held is told apart.",
    )


def _open_tally(visit: Visit, number: int | None) -> dict[str, Cell]:
    if number is None:
        return {}
    return {"tally": Cell(value=f"{number}, open", href=visit.path_to("tally", number=number))}


def _lately(visit: Visit, lines: Sequence[JournalLine]) -> Ledger:
    return Ledger(
        caption="Sorted lately, newest first",
        columns=(
            Column(key="entry", head="Entry"),
            Column(key="on", head="Sorted", of=Of.DATE),
            Column(key="words", head="What came out"),
        ),
        rows=[
            Row(
                cells={
                    "entry": Cell(
                        value=str(line.stored.serial), href=visit.path_to("entry", serial=line.stored.serial)
                    ),
                    "on": line.on,
                    "words": line.sentence,
                },
                note=f"withdrawn by entry {line.withdrawn_by}" if line.withdrawn_by else "",
                weight=Weight.QUIET if line.withdrawn_by else Weight.PLAIN,
            )
            for line in lines
        ],
        empty="Nothing has been sorted yet.",
    )


def begin(visit: Visit) -> Response:
    """Begin a tally of a heap."""
    number = visit.form.attempt(sorting.begin, visit.kit, visit.form.text("heap"))
    if number is None:
        return _stage(visit, status=400)
    return visit.goto("tally", number=number)


def heap(visit: Visit) -> Response:
    """One heap: tally it coin by coin, or say at once what is in it."""
    name = visit.asked("heap")
    visit.form = Form(starting={"heap": name, "on": visit.kit.today().isoformat(), "method": "weight"})
    return _heap_page(visit, name)


def _heap_page(visit: Visit, name: str, status: int = 200) -> Response:
    kit = visit.kit
    held = read_heap(kit.holdings(), name)
    lot = kit.holdings().lots[held.lot]
    if lot.awaited:
        raise NotFoundError(f"Lot {lot.name} is still on its way.", expected="Count it in, then sort it.")
    known = heap_name(held)
    return visit.page(
        "sorting_heap.html",
        stage="sorting",
        status=status,
        name=known,
        words=say_heap(held, kit.catalog()),
        much=say_amount(held.amount),
        held=held,
        acquired=lot.acquired,
        tallies=[one.number for one in kit.tallies.open_tallies() if one.heap == known],
        rows=rows_shown(visit.form, "rows", "kind", "amount", "value", "place", least=4),
        methods=METHODS,
    )


def book(visit: Visit) -> Response:
    """Book a heap as told apart at once."""
    form = visit.form
    if asks_for_more(form):
        return _heap_page(visit, form.text("heap"))
    stored = form.attempt(sorting.sort, visit.kit, form.fields)
    return _heap_page(visit, form.text("heap"), status=400) if stored is None else lead_on(visit, stored, "sorting")


routes = [
    shown("/sorting", page, name="sorting"),
    done("/sorting/tallies", begin, name="tally.begin"),
    shown("/sorting/heap", heap, name="heap"),
    done("/sorting/heap", book, name="heap.book"),
]
