"""Sets by date: what each lacks, the cheapest gaps by the guide sheets, what is kept, what may go back to the heap."""

from collections.abc import Sequence
from decimal import Decimal
from functools import partial

from starlette.responses import Response

from ninefine.catalog.mints import MINTS, mint_name
from ninefine.desk.heaps import ref_of, say_goods
from ninefine.desk.records import set_down
from ninefine.desk.say_sorting import set_sentence
from ninefine.desk.sets import TABLE, DateSet, SetView, put_set, read_set, set_fields, set_named, sets, view
from ninefine.papers.charts_sorting import FOOT, ROW, PlaceAt, places_grid
from ninefine.sorting.sets import Kept, Lack, Piece, SetBy, Want
from ninefine.web.charts import Picture
from ninefine.web.format import plural
from ninefine.web.forms import Form
from ninefine.web.ledger import Cell, Column, Ledger, Of, Row, Weight
from ninefine.web.pages.asked import A_PAGE, first_of
from ninefine.web.pages.booked import BOOKED, lead_on, said
from ninefine.web.pages.sorting_links import sorting_links
from ninefine.web.visit import Visit, done, shown

ASKED = ("name", "what", "by", "first", "last", "grade", "proofs")
BY = ((SetBy.ISSUE, "one of each year and mint"), (SetBy.YEAR, "one of each year"), (SetBy.VARIETY, "varieties apart"))
#: Kept places and duplicates shown; the picture and the commands show all.
MOST_SHOWN = 60
EXAMPLES = ("mercury dime", "roosevelt dime", "walking liberty half", "franklin half", "peace dollar")


def page(visit: Visit) -> Response:
    """The kept sets, and a set that is only asked about."""
    visit.form = Form(starting={name: visit.asked(name) for name in ASKED})
    asked = visit.form.attempt(read_set, visit.kit, visit.form.fields) if visit.asked("what") else None
    return _page(visit, asked)


def _page(visit: Visit, asked: DateSet | None, status: int = 200) -> Response:
    kept = sets(visit.kit)
    seen = [view(visit.kit, one) for one in kept]
    return visit.page(
        "sets.html",
        stage="sorting",
        status=status,
        ways=sorting_links(visit, "sets"),
        said=said(visit),
        kept=_kept_sets(visit, seen),
        count=len(kept),
        lacking=sum(len(one.state.lacks) for one in seen),
        by=BY,
        examples=EXAMPLES,
        asked=_about(visit, view(visit.kit, asked)) if asked is not None else None,
    )


def one(visit: Visit) -> Response:
    """One kept set."""
    found = set_named(visit.kit, visit.asked("name"))
    visit.form = Form(starting=set_fields(found))
    return _one(visit, found)


def _one(visit: Visit, found: DateSet, status: int = 200) -> Response:
    return visit.page(
        "set.html",
        stage="sorting",
        status=status,
        ways=sorting_links(visit, "sets"),
        said=said(visit),
        by=BY,
        name=found.name,
        asked=_about(visit, view(visit.kit, found)),
    )


def put(visit: Visit) -> Response:
    """Keep a set, or change one that is kept; or only ask about one."""
    form = visit.form
    if form.text("do") == "ask":
        return visit.goto("sets", asking={name: form.text(name) for name in ASKED if form.text(name)})
    stored = form.attempt(put_set, visit.kit, form.fields)
    if stored is None:
        return _page(visit, None, status=400)
    return visit.goto("set", asking={"name": " ".join(form.text("name").split()), BOOKED: str(stored.serial)})


def strike(visit: Visit) -> Response:
    """Keep a set no longer; the pieces stay as they are."""
    stored = set_down(visit.kit, TABLE, visit.form.text("name"), None)
    return lead_on(visit, stored, "sets")


def _kept_sets(visit: Visit, seen: Sequence[SetView]) -> Ledger:
    return Ledger(
        caption="The sets that you keep",
        columns=(
            Column(key="name", head="Set"),
            Column(key="places", head="Places", of=Of.COUNT),
            Column(key="kept", head="Filled", of=Of.COUNT),
            Column(key="lacks", head="Lacking", of=Of.COUNT),
            Column(key="cost", head="Gaps with a price", of=Of.MONEY),
            Column(key="back", head="May go back", of=Of.COUNT),
        ),
        rows=[
            Row(
                cells={
                    "name": Cell(value=each.asked.name, href=visit.path_to("set", asking={"name": each.asked.name})),
                    "places": len(each.wants),
                    "kept": len(each.state.kept),
                    "lacks": len(each.state.lacks),
                    "cost": each.state.cost,
                    "back": sum(piece.count for piece in each.state.back),
                },
                note=each.words,
            )
            for each in seen
        ],
        empty="You keep no set yet.",
    )


def _about(visit: Visit, seen: SetView) -> dict[str, object]:
    """What the template shows of a set."""
    state, first = seen.state, first_of(visit, "row")
    lacks = state.lacks[first : first + A_PAGE]
    asking = {name: visit.asked(name) for name in ASKED if visit.asked(name)}
    route = "set" if seen.asked.name and visit.request.url.path.endswith("/one") else "sets"

    def from_row(row: int) -> str:  # `first` is a year here
        return visit.path_to(route, asking={**asking, "row": str(max(row, 0))}) + "#lacks"

    return {
        "view": seen,
        "sentence": set_sentence(seen, visit.kit.journal.currency),
        "state": state,
        "picture": _picture(visit, seen),
        "lacks": _lacks(visit, seen, lacks),
        "newer": from_row(first - A_PAGE) if first else "",
        "older": from_row(first + A_PAGE) if len(state.lacks) > first + A_PAGE else "",
        "kept": _kept(visit, seen, state.kept),
        "back": _back(visit, state.back),
    }


def _picture(visit: Visit, seen: SetView) -> Picture:
    filled = {(kept.want.kind, kept.want.label) for kept in seen.state.kept}
    order = list(MINTS)
    places = [_place(seen, want, (want.kind, want.label) in filled) for want in seen.wants]
    names = {mint_name(letter): at for at, letter in enumerate(order)}
    cells = sorted(places, key=lambda cell: (names.get(cell.mint, len(order)), cell.year))
    rows = len({cell.mint for cell in cells})
    state = seen.state
    return visit.picture(
        partial(places_grid, cells),
        alt=(
            f"{seen.words}, by year: {plural(len(state.kept), 'place')} filled of {len(seen.wants)}. Lacking: "
            + ", ".join(lack.want.label for lack in state.lacks[:40])
            + ("" if len(state.lacks) <= 40 else f", and {len(state.lacks) - 40} more")
            + "."
        ),
        caption="A full disc is a place that is filled, a ring one that is empty; red rings are keys and semi-keys.",
        size=(720, 8 + ROW * rows + FOOT),
    )


def _place(seen: SetView, want: Want, filled: bool) -> PlaceAt:  # noqa: FBT001 - said by its name at the one call
    issue = want.issues[0]
    by_year = seen.asked.by is SetBy.YEAR
    return PlaceAt(
        year=issue.year,
        mint="Any mint" if by_year else mint_name(issue.mint),
        filled=filled,
        look=not by_year and issue.rank in {"key", "semi-key"},
    )


def _lacks(visit: Visit, seen: SetView, lacks: Sequence[Lack]) -> Ledger:
    return Ledger(
        caption=f"Lacking, the cheapest gaps first: the middle of your sheets at {seen.asked.grade}",
        columns=(
            Column(key="what", head="Place"),
            Column(key="mintage", head="Struck", of=Of.COUNT),
            Column(key="rank", head="Sought as"),
            Column(key="price", head="By your sheets", of=Of.MONEY),
        ),
        rows=[
            Row(
                cells={
                    "what": _place_words(visit, seen, lack.want),
                    "mintage": lack.issue.mintage,
                    "rank": lack.issue.rank or None,
                    "price": lack.price,
                },
                note=_lack_note(lack),
                weight=Weight.LOOK if lack.issue.rank == "key" else Weight.PLAIN,
            )
            for lack in lacks
        ],
        empty="Nothing is lacking.",
    )


def _lack_note(lack: Lack) -> str:
    cheapest = f"cheapest as {lack.issue.key}" if len(lack.want.issues) > 1 and lack.price is not None else ""
    return "; ".join(part for part in (cheapest, lack.issue.look_for if lack.issue.rank else "") if part)


def _place_words(visit: Visit, seen: SetView, want: Want) -> str:
    """A place in words; its date alone where the set is of one design."""
    if len({want.kind for want in seen.wants}) == 1:
        return want.label
    return say_goods(want.kind, want.label, visit.kit.catalog())


def _where(visit: Visit, ref: str) -> Cell:
    """Where a piece lies: a label of its own, or its heap."""
    if "/" not in ref:
        return Cell(value=ref, href=visit.path_to("piece", asking={"label": ref}))
    heap = ref_of(ref)
    words = f"lot {heap.lot}" + (f", at {heap.place}" if heap.place else "")
    return Cell(value=words, href=visit.path_to("lot", lot=heap.lot))


def _kept(visit: Visit, seen: SetView, kept: Sequence[Kept]) -> Ledger:
    return Ledger(
        caption=f"Filled, and the best piece at hand for each{_of(kept)}",
        columns=(
            Column(key="what", head="Place"),
            Column(key="piece", head="Kept"),
            Column(key="grade", head="Grade, in the middle", of=Of.FIGURE, places=1),
        ),
        rows=[
            Row(
                cells={
                    "what": _place_words(visit, seen, place.want),
                    "piece": _where(visit, place.piece.ref),
                    "grade": place.piece.grade,
                },
                note="not sound: a better one is worth looking for" if place.piece.problem else "",
            )
            for place in kept[:MOST_SHOWN]
        ],
        empty="Nothing at hand fills a place.",
    )


def _of(rows: Sequence[object]) -> str:
    """How much of a long list is shown."""
    return f" (the first {MOST_SHOWN} of {len(rows)})" if len(rows) > MOST_SHOWN else ""


def _back(visit: Visit, back: Sequence[Piece]) -> Ledger:
    return Ledger(
        caption=f"Duplicates: another is kept for the place{_of(back)}",
        columns=(
            Column(key="what", head="Pieces"),
            Column(key="count", head="How many", of=Of.COUNT),
            Column(key="ref", head="Where"),
            Column(key="go", head="To the heap"),
        ),
        rows=[_back_row(visit, piece) for piece in back[:MOST_SHOWN]],
        empty="Nothing is held twice.",
    )


def _back_row(visit: Visit, piece: Piece) -> Row:
    heap = "/" in piece.ref
    cells: dict[str, Cell | str | int | Decimal | None] = {
        "what": say_goods(piece.kind, piece.issue.replace(":", ", "), visit.kit.catalog()),
        "count": piece.count,
        "ref": _where(visit, piece.ref),
    }
    if heap:
        asking = {"heap": piece.ref, "amount": f"{piece.count} {'piece' if piece.count == 1 else 'pieces'}"}
        cells["go"] = Cell(value="Put back", href=visit.path_to("back", asking=asking))
    else:
        cells["go"] = Cell(value="Look at it", href=visit.path_to("piece", asking={"label": piece.ref}))
    return Row(cells=cells)


routes = [
    shown("/sorting/sets", page, name="sets"),
    shown("/sorting/sets/one", one, name="set"),
    done("/sorting/sets", put, name="set.put"),
    done("/sorting/sets/strike", strike, name="set.strike"),
]
