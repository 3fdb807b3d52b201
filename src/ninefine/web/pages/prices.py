"""Prices: today's, whose it is and how old; the person's own marks; the packaged averages with their licence."""

from collections.abc import Sequence
from datetime import date
from functools import partial
from itertools import pairwise

from starlette.responses import Response

from ninefine.book.holdings import PriceMark
from ninefine.desk import records
from ninefine.desk.prices import METAL_NAMES, PriceView, YearRow, marks_between, price_view, years
from ninefine.market.series import ATTRIBUTION, licence_text
from ninefine.measure.money import metal_code
from ninefine.papers.charts import DayMark, Point, price_line
from ninefine.web.charts import Picture
from ninefine.web.format import money
from ninefine.web.forms import Form
from ninefine.web.ledger import Cell, Column, Ledger, Of, Row, Step, Worked
from ninefine.web.pages.asked import A_PAGE, first_of, turned
from ninefine.web.pages.booked import lead_on, said
from ninefine.web.visit import Visit, done, shown

SIDES = (("spot", "spot"), ("bid", "bid: what they pay"), ("ask", "ask: what they want"))
MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
#: Own marks drawn as rings; the latest ones.
MOST_RINGS = 12
#: Years shown where no span is asked for.
LATEST = 10


def page(visit: Visit) -> Response:
    """The prices of one metal."""
    metal = metal_code(visit.asked("metal") or "XAG")
    visit.form = Form(starting={"on": visit.kit.today().isoformat(), "metal": metal, "side": "spot"})
    return _page(visit, metal)


def set_down(visit: Visit) -> Response:
    """Set a price down."""
    stored = visit.form.attempt(records.price, visit.kit, visit.form.fields)
    text = visit.form.text("metal") or "XAG"
    metal = text if text in METAL_NAMES else "XAG"
    return _page(visit, metal, status=400) if stored is None else lead_on(visit, stored, "prices", metal=metal)


def _page(visit: Visit, metal: str, status: int = 200) -> Response:
    first = first_of(visit)
    view = price_view(visit.kit, metal, first=first, most=A_PAGE)
    start, end = _span(visit.asked("span"), view)
    whole = visit.asked("span") == "all"
    rows = years(metal, first=start, last=end)
    return visit.page(
        "prices.html",
        stage="prices",
        status=status,
        view=view,
        metals=[
            (name, visit.path_to("prices", asking={"metal": code}), code == metal) for code, name in METAL_NAMES.items()
        ],
        metal_choices=list(METAL_NAMES.items()),
        sides=SIDES,
        worked=_worked(view),
        marks=_marks(visit, view.marks),
        newer=turned(visit, "prices", first - A_PAGE, metal=metal) + "#marks" if first else "",
        older=turned(visit, "prices", first + A_PAGE, metal=metal) + "#marks"
        if first + A_PAGE < view.all_marks
        else "",
        line=_line(visit, view, start, end),
        table=(_year_means if whole else _months)(rows, start, end),
        spans=_spans(visit, view),
        attribution=ATTRIBUTION,
        licence=licence_text(),
        said=said(visit),
    )


def _address(visit: Visit, metal: str) -> str:
    return visit.path_to("prices", asking={"metal": metal})


def _marks_from(visit: Visit, metal: str, first: int) -> str:
    return turned(visit, "prices", first, metal=metal) + "#marks"


def _worked(view: PriceView) -> Worked | None:
    if view.stamp is None:
        return None
    step = Step(
        what=f"{view.name}, a fine ounce",
        how=view.stamp.note,
        result=money(view.stamp.per_ozt),
        whence=f"{view.stamp.whose}: {view.stamp.kind}.",
    )
    return Worked(title="Where this price comes from", steps=(step,))


def _span(asked: str, view: PriceView) -> tuple[int, int]:
    """The years asked for: all of them, a decade, or the latest ones."""
    if not view.averages:
        return 0, 0
    oldest, newest = view.averages[0].first.year, view.averages[-1].last.year
    if asked == "all":
        return view.first_year, newest
    if asked in {str(year) for year in _decades(view)}:
        return int(asked), int(asked) + 9
    return max(oldest, newest - LATEST + 1), newest


def _decades(view: PriceView) -> list[int]:
    newest = view.averages[-1].last.year if view.averages else 0
    return list(range(view.first_year // 10 * 10, newest + 1, 10)) if newest else []


def _spans(visit: Visit, view: PriceView) -> list[tuple[str, str, bool]]:
    """Ways to other years: the words, the address, and whether it is the one shown."""
    if not view.averages:
        return []
    asked = visit.asked("span")
    choices = [("", "latest"), ("all", "all"), *((str(year), f"{year}s") for year in reversed(_decades(view)))]
    known = {value for value, _ in choices}
    return [
        (
            words,
            visit.path_to("prices", asking={"metal": view.metal, **({"span": value} if value else {})}) + "#averages",
            value == (asked if asked in known else ""),
        )
        for value, words in choices
    ]


def _marks(visit: Visit, marks: Sequence[PriceMark]) -> Ledger:
    unit = visit.kit.journal.currency
    return Ledger(
        caption="Prices that you set down, for a fine ounce, the newest first",
        columns=(
            Column(key="on", head="Read on", of=Of.TEXT),
            Column(key="spot", head="Spot", of=Of.MONEY, unit=unit),
            Column(key="bid", head="Bid", of=Of.MONEY, unit=unit),
            Column(key="ask", head="Ask", of=Of.MONEY, unit=unit),
            Column(key="whose", head="Where"),
            Column(key="entry", head="Booked by"),
        ),
        rows=[
            Row(
                cells={
                    "on": f"{mark.on.isoformat()} {mark.at}".strip(),
                    mark.side: mark.per_ozt,
                    "whose": mark.whose or "not said",
                    "entry": Cell(value=f"entry {mark.serial}", href=visit.path_to("entry", serial=mark.serial)),
                }
            )
            for mark in marks
        ],
        empty="You have set no price of this metal down yet.",
    )


def _line(visit: Visit, view: PriceView, start: int, end: int) -> Picture | None:
    points = [Point(on=one.first, value=one.per_ozt) for one in view.averages if start <= one.first.year <= end]
    if len(points) < 2:
        return None
    own = marks_between(visit.kit, view.metal, date(start, 1, 1), date(end, 12, 31))[-MOST_RINGS:]
    # words only where rings stand apart, so that none covers another
    apart = {
        later.serial for earlier, later in pairwise(own) if (later.on - earlier.on).days > 150 * (end - start + 1) / 10
    }
    rings = [
        DayMark(on=mark.on, value=mark.per_ozt, words=money(mark.per_ozt) if mark.serial in apart else "")
        for mark in own
    ]
    low, high = min(points, key=lambda one: one.value), max(points, key=lambda one: one.value)
    alt = (
        f"Monthly averages of {view.name} from {points[0].on:%B %Y} to {points[-1].on:%B %Y}: lowest "
        f"{money(low.value)} in {low.on:%B %Y}, highest {money(high.value)} in {high.on:%B %Y}."
    )
    return visit.picture(
        partial(price_line, points, rings, unit="USD an ozt"),
        alt=alt,
        caption="The line is the average of each month, not any day's price. A ring is a price that you set down.",
        size=(720, 300),
    )


def _months(rows: Sequence[YearRow], start: int, end: int) -> Ledger:
    return Ledger(
        caption=f"Averages by month, {start} to {end}, U.S. dollars for a fine ounce",
        columns=(
            Column(key="year", head="Year"),
            *(Column(key=month, head=month, of=Of.MONEY) for month in MONTHS),
        ),
        rows=[
            Row(
                cells={
                    "year": str(row.year),
                    **{month: row.months.get(number) for number, month in enumerate(MONTHS, 1)},
                }
            )
            for row in rows
        ],
        empty="No averages of these years are packaged.",
        wide=True,
    )


def _year_means(rows: Sequence[YearRow], start: int, end: int) -> Ledger:
    return Ledger(
        caption=f"Averages by year, {start} to {end}, U.S. dollars for a fine ounce",
        columns=(
            Column(key="year", head="Year"),
            Column(key="mean", head="Mean", of=Of.MONEY, places=4),
            Column(key="source", head="Published by"),
        ),
        rows=[Row(cells={"year": str(row.year), "mean": row.mean, "source": row.source}) for row in rows],
        empty="No averages of these years are packaged.",
        wide=True,
    )


routes = [shown("/prices", page, name="prices"), done("/prices", set_down, name="prices.mark")]
