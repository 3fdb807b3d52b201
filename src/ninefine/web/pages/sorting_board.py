"""The board of one tally: a coin marked with three keys or fewer, every mark kept before the next is typed.

The page works by plain forms, a coin at a time. Its script sends the same marks on slips, each with a number of its
window, until they are acknowledged; answers bring back only those parts of the page that changed.
"""

import secrets
from collections.abc import Mapping
from dataclasses import replace
from datetime import timedelta
from typing import Any

from starlette.responses import JSONResponse, Response

from ninefine.desk import sorting
from ninefine.desk.sorting import Board
from ninefine.desk.tally_view import (
    Look,
    denominations,
    finds,
    grids,
    is_mixed,
    kinds_in_order,
    last_marks,
    look_at,
    struck_in_silver,
    usual_word,
)
from ninefine.errors import BookError, InputError, NotFoundError
from ninefine.measure.numbers import read_reference
from ninefine.sorting.coin import Coin
from ninefine.sorting.tally import Mark
from ninefine.web.format import figure, plural
from ninefine.web.forms import Form
from ninefine.web.pages.bench_tray import strip_of
from ninefine.web.pages.booked import lead_on
from ninefine.web.pages.sorting_keys import KEY_WORDS, KEYS, LABELS, TRAY, TRAY_MINTS
from ninefine.web.visit import Visit, done, shown

#: How many of the last marks are shown.
LATEST = 10
#: A pace is told once hands have worked for so long.
PACE_FROM = timedelta(seconds=20)


def page(visit: Visit) -> Response:
    """The board."""
    number = tally_number(visit)
    now = sorting.board(visit.kit, number, latest=LATEST)
    just = visit.asked("just")
    mark = next((one for one in now.tally.latest if str(one.seq) == just), None)
    look = None if mark is None else look_at(visit.kit.catalog(), mark.kind, mark.issue)
    visit.form = Form(starting={"word": visit.asked("word") or usual_word(visit.kit, now)})
    return _board(visit, now, look=look, just=mark)


def _board(
    visit: Visit, now: Board, *, look: Look | None = None, just: Mark | None = None, status: int = 200
) -> Response:
    kit = visit.kit
    first = kit.journal.records()[0]
    tray = visit.house.trays.beside(now.number)
    return visit.page(
        "sorting_board.html",
        stage="sorting",
        status=status,
        now=now,
        look=look,
        just=just,
        said=visit.asked("said"),
        coins=[(coin.key, LABELS.get(coin.key, coin.plural)) for coin in denominations()],
        keys=KEYS,
        key_words=KEY_WORDS,
        tray=TRAY,
        tray_mints=TRAY_MINTS,
        mixed=is_mixed(kit, now),
        struck={word: _struck(visit, word) for word in KEYS},
        window=new_window(),
        # names this tally among those of every book that these pages were ever opened on
        mark_of_tally=f"{first.digest.hex()[:12]}.{now.number}",
        grids=grids(kit, now),
        finds=finds(kit, now),
        latest=last_marks(kit, now),
        pace=pace_words(now),
        strip=strip_of(visit, tray) if tray else (),
        strip_token=tray.token if tray else "",
    )


def _struck(visit: Visit, word: str) -> str:
    """What of a denomination was struck in silver when, packed for the board's targets: `1916:P,D,S 1917:P,D,S`."""
    return " ".join(f"{year}:{','.join(mints)}" for year, mints in struck_in_silver(visit.kit.reference, word).items())


def tally_number(visit: Visit) -> int:
    """The tally that the address names.

    Raises:
        NotFoundError: it names none.
    """
    part = visit.part("number")
    number = read_reference(part)
    if number is None:
        raise NotFoundError(f"{part[:20]!r} is no tally's number.")
    return number


def new_window() -> str:
    """The window's name on the slips of plain forms, new for every page, so that a form sent twice counts once."""
    return secrets.token_hex(6)


def pace_words(now: Board) -> str:
    """How fast it goes and how long the rest takes; empty before that can be told."""
    if now.pace.late_worked < PACE_FROM or not now.pace.late_an_hour:
        return ""
    words = f"{plural(now.pace.late_an_hour, 'coin')} an hour of late"
    if now.pace.an_hour and now.pace.worked > now.pace.late_worked:
        words += f", {figure(now.pace.an_hour)} over {_span(now.pace.worked)} of work"
    return words + (f"; the rest takes about {_span(now.time_left)}" if now.time_left else "")


def _span(length: timedelta) -> str:
    minutes = max(1, round(length.total_seconds() / 60))
    hours, rest = divmod(minutes, 60)
    if not hours:
        return plural(minutes, "minute")
    return plural(hours, "hour") + (f" {plural(rest, 'minute')}" if rest else "")


def mark(visit: Visit) -> Response:
    """Mark a coin by a plain form, or take one back; the board follows."""
    number, form = tally_number(visit), visit.form
    word = form.text("word")
    try:
        _do(visit, number)
    except (InputError, BookError) as error:
        form.blame(error, field="text")
        return _board(visit, sorting.board(visit.kit, number, latest=LATEST), status=400)
    kept = visit.kit.running(number).noted(form.text("slip"))
    just = {"just": str(kept.seq)} if kept is not None and kept.cancels is None else {}
    return visit.goto("tally", number=number, asking={"word": word, **just})


def _do(visit: Visit, number: int) -> Coin | None:
    """What a slip asks for; answers the coin where one was read."""
    kit, form = visit.kit, visit.form
    word, text, slip, of = (form.text(name) for name in ("word", "text", "slip", "of"))
    match form.text("do"):
        case "undo":
            opened = _whole(form.text("opened")) if form.text("opened") else None
            sorting.undo(kit, number, slip=slip, of=of, opened=opened)
        case "again":
            sorting.again(kit, number, slip=slip)
        case "amend":
            return sorting.amend(kit, number, word, text, of=of, slip=slip)
        case _:
            return sorting.mark(kit, number, word, text, slip=slip)
    return None


def slip(visit: Visit) -> Response:
    """A slip of the board's script: done, and answered with what changed."""
    number, form = tally_number(visit), visit.form
    visit.kit.tallies.tally(number)  # a tally that is not there is no fault of the coin
    fault, coin = "", None
    try:
        coin = _do(visit, number)
    except (InputError, BookError) as error:
        fault = str(error)
    changed = _changed(visit, number, sorting.window_of(form.text("slip")), form.fields)
    return JSONResponse({**changed, "fault": fault, **({} if fault else _told(visit, number, coin))})


def news(visit: Visit) -> Response:
    """What changed since the board was last told, by whichever window."""
    asked = {name: visit.asked(name) for name in ("seen", "opened")}
    return JSONResponse(_changed(visit, tally_number(visit), visit.asked("window"), asked))


def _told(visit: Visit, number: int, coin: Coin | None) -> Mapping[str, object]:
    """What is said of the coin that a slip marked; nothing where it took one back."""
    catalog = visit.kit.catalog()
    kept = visit.kit.running(number).noted(visit.form.text("slip"))
    if kept is None or kept.cancels is not None:
        return {}
    look = look_at(catalog, kept.kind, kept.issue)
    if coin is not None:
        look = replace(look, cautions=coin.cautions or look.cautions)
    return {
        "told": _piece(visit, "sorting_told.html", look=look, just=kept, number=number, window=""),
        "rank": look.rank,
        "careful": bool(look.cautions),
        "say": _aloud(look, kept),
    }


def _aloud(look: Look, mark: Mark) -> str:
    """A coin as it is read out: `20 times 64 D`."""
    year, _, mint = mark.issue.partition(":")[0].partition("-")
    words = f"{year[2:]} {' '.join(mint)}".strip() or look.name
    words = f"{mark.delta} times {words}" if mark.delta > 1 else words
    return f"{words}, {look.rank}" if look.rank else words


def _changed(visit: Visit, number: int, window: str, sent: Mapping[str, str]) -> dict[str, object]:
    """The parts of the page that differ from what a window has seen; all of them where it has seen none."""
    kit = visit.kit
    since, opened = (_whole(sent.get(name, "")) for name in ("seen", "opened"))
    now = sorting.board(kit, number, latest=LATEST)
    answer: dict[str, object] = {"last": now.last, "open": now.open}
    if since >= now.last and now.open and since:
        return answer
    touched = kit.running(number).changed(since)
    kinds = {kind for kind, _ in touched}
    drawn = {grid.kind.slug: _piece(visit, "sorting_grid.html", grid=grid) for grid in grids(kit, now, kinds)}
    parts = {
        "answer": _piece(visit, "sorting_answer.html", now=now, pace=pace_words(now)),
        "latest": _piece(visit, "sorting_latest.html", now=now, latest=last_marks(kit, now, window, opened)),
    }
    if any(look_at(kit.catalog(), kind, issue).rank for kind, issue in touched):
        parts["finds"] = _piece(visit, "sorting_finds.html", finds=finds(kit, now))
    grids_now = {slug: drawn.get(slug, "") for slug in sorted(kinds)}
    return {**answer, "parts": parts, "kinds": grids_now, "order": kinds_in_order(now)}


def _whole(text: str) -> int:
    """A mark's number as a window sends it; 0 where it sends none."""
    return read_reference(text) or 0


def _piece(visit: Visit, template: str, **context: Any) -> str:
    return bytes(visit.piece(template, **context).body).decode()


def finish(visit: Visit) -> Response:
    """Book the tally as a sorting."""
    number = tally_number(visit)
    stored = visit.form.attempt(sorting.finish, visit.kit, number, note=visit.form.text("note"))
    if stored is None:
        return _board(visit, sorting.board(visit.kit, number, latest=LATEST), status=409)
    return lead_on(visit, stored, "sorting")


def aside(visit: Visit) -> Response:
    """End the tally without booking it."""
    number = tally_number(visit)
    title = visit.kit.tallies.tally(number).title
    try:
        sorting.put_aside(visit.kit, number)
    except BookError as error:
        visit.form.blame(error)
        return _board(visit, sorting.board(visit.kit, number, latest=LATEST), status=409)
    return visit.goto("sorting", asking={"said": f"Tally {number} ({title}) was put aside. Its marks are kept."})


routes = [
    shown("/sorting/tallies/{number}", page, name="tally"),
    done("/sorting/tallies/{number}/marks", mark, name="tally.mark"),
    done("/sorting/tallies/{number}/slips", slip, name="tally.slip"),
    shown("/sorting/tallies/{number}/news", news, name="tally.news"),
    done("/sorting/tallies/{number}/finish", finish, name="tally.finish"),
    done("/sorting/tallies/{number}/aside", aside, name="tally.aside"),
]
