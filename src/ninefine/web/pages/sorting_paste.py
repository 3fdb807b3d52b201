"""Pasting a tally from elsewhere onto one under way: looked at first, then marked, all of it or nothing."""

from starlette.responses import Response

from ninefine.catalog.denominations import DENOMINATIONS
from ninefine.desk import sorting
from ninefine.desk.heaps import say_goods
from ninefine.desk.paste import keep_paste, over_by, read_paste
from ninefine.desk.sorting import Board
from ninefine.desk.tally_view import usual_word
from ninefine.intake.tally_csv import TallyRead
from ninefine.web.format import plural
from ninefine.web.forms import Form
from ninefine.web.ledger import Column, Ledger, Of, Row
from ninefine.web.pages.sorting_board import new_window, tally_number
from ninefine.web.visit import Visit, done, shown

#: Rows of a preview.
MOST_SHOWN = 60


def page(visit: Visit) -> Response:
    """The empty form."""
    now = sorting.board(visit.kit, tally_number(visit))
    visit.form = Form(starting={"what": usual_word(visit.kit, now), "slip": new_window()})
    return _sheet(visit, now)


def look(visit: Visit) -> Response:
    """Show what was read, or mark it."""
    number, form = tally_number(visit), visit.form
    now = sorting.board(visit.kit, number)
    if form.text("do") == "keep":
        kept = form.attempt(keep_paste, visit.kit, number, form.fields)
        if kept is None:
            return _sheet(visit, now, status=400)
        said = f"{plural(kept.pieces, 'piece')} in {plural(len(kept.rows), 'row')} were marked."
        return visit.goto("tally", number=number, asking={"said": said})
    read = form.attempt(read_paste, visit.kit, form.fields)
    return _sheet(visit, now, read=read, status=200 if read is not None else 400)


def _sheet(visit: Visit, now: Board, *, read: TallyRead | None = None, status: int = 200) -> Response:
    over = 0 if read is None else over_by(now, read)
    return visit.page(
        "sorting_paste.html",
        stage="sorting",
        status=status,
        now=now,
        read=read,
        over=plural(over, "piece") if over else "",
        preview=None if read is None else _preview(visit, read),
        more=0 if read is None else max(0, len(read.rows) - MOST_SHOWN),
        slip=visit.form.text("slip") or new_window(),
        coins=[(coin.key, coin.plural) for coin in DENOMINATIONS],
    )


def _preview(visit: Visit, read: TallyRead) -> Ledger:
    catalog = visit.kit.catalog()
    return Ledger(
        caption="As read, nothing marked yet",
        columns=(Column(key="coin", head="Coin"), Column(key="count", head="Pieces", of=Of.COUNT)),
        rows=[
            Row(cells={"coin": say_goods(row.kind, row.issue.replace(":", ", "), catalog), "count": row.count})
            for row in read.rows[:MOST_SHOWN]
        ],
    )


routes = [
    shown("/sorting/tallies/{number}/paste", page, name="tally.paste"),
    done("/sorting/tallies/{number}/paste", look, name="tally.paste.look"),
]
