"""What if spot moves: a fan of paths, each way out along it; and a steady sum as it would have bought in the past."""

from starlette.responses import Response

from ninefine.catalog.kinds import Basis
from ninefine.desk.plan_whatif import Steady, WhatIf, plan_steady, plan_whatif
from ninefine.desk.plan_whatif_say import NOT_A_FORECAST, best_words, cover_words, steady_sentence, whatif_sentence
from ninefine.measure.numbers import to_places
from ninefine.papers.charts import Point
from ninefine.papers.charts_plans import Cut, Level, Named, fan, lines
from ninefine.web.charts import Picture
from ninefine.web.format import plural
from ninefine.web.forms import Form
from ninefine.web.ledger import Column, Ledger, Of, Row, Value
from ninefine.web.visit import Visit, shown

_PATH_FIELDS = ("path", "shock", "months", "paths", "block", "seed", "first_year", "last_year", "spot")
_STEADY_FIELDS = ("monthly", "kind", "ask", "since", "until")
#: About so many rows of a fan are shown; the picture has them all.
_ROWS = 6


def page(visit: Visit) -> Response:
    """The fan for what the address asks; without anything asked, drawn paths as usual."""
    asked = {name: visit.asked(name) for name in _PATH_FIELDS}
    visit.form = Form(starting=asked)
    found = visit.form.attempt(plan_whatif, visit.kit, asked)
    return visit.page(
        "plan_whatif.html",
        stage="plans",
        status=200 if visit.form.ok else 400,
        found=found,
        sentence="" if found is None else whatif_sentence(found),
        fan=None if found is None else _fan(visit, found),
        months=None if found is None else _months(visit, found),
        ways=None if found is None else _ways(visit, found),
        best="" if found is None else best_words(found.best),
        cover="" if found is None else cover_words(found),
        not_a_forecast=NOT_A_FORECAST,
        further=_PATH_FIELDS[2:],
    )


def _heads(found: WhatIf) -> list[str]:
    if found.fan.paths == 1:
        return ["Spot"]
    return [f"{cut}% end below" if cut != 50 else "Half end below" for cut in found.fan.cuts]


def _fan(visit: Visit, found: WhatIf) -> Picture:
    cuts = [Cut(month=month, levels=row) for month, row in enumerate(found.fan.rows)]
    levels = []
    if found.usual is not None and found.usual.even is not None:
        levels.append(Level(words=f"even by {found.usual.name}", value=found.usual.even))
    if found.covered is not None and found.covered.opens_at is not None:
        levels.append(Level(words="cover ends", value=found.covered.opens_at, look=True))
    unit = f"{visit.kit.journal.currency} an ozt"
    last = ", ".join(f"{value:,.2f}" for value in found.fan.rows[-1])
    return visit.picture(
        lambda palette, width: fan(cuts, palette, width, unit=unit, levels=levels),
        alt=f"{found.fan.words}: at the end {last}.",
        caption=f"{found.fan.words[0].upper()}{found.fan.words[1:]}. "
        + (
            "" if found.fan.paths == 1 else "Nine paths of ten lie in the pale band at a month, half in the darker one."
        ),
        size=(640, 280),
    )


def _months(visit: Visit, found: WhatIf) -> Ledger:
    unit, last = visit.kit.journal.currency, found.fan.months
    months = [*range(0, last, max(1, last // _ROWS)), last]
    rows = []
    for month in months:
        cells: dict[str, Value] = {"month": _when(found, month)}
        cells |= {f"at-{place}": value for place, value in enumerate(found.fan.rows[month])}
        rows.append(Row(cells=cells))
    heads = _heads(found)
    return Ledger(
        caption="Spot along the paths",
        columns=(
            Column(key="month", head="When"),
            *(Column(key=f"at-{place}", head=head, of=Of.MONEY, unit=unit) for place, head in enumerate(heads)),
        ),
        rows=rows,
    )


def _when(found: WhatIf, month: int) -> str:
    if month == 0:
        return "now"
    return "at once" if found.fan.at_once else f"in {plural(month, 'month')}"


def _ways(visit: Visit, found: WhatIf) -> Ledger:
    unit = visit.kit.journal.currency
    rows = []
    for row in found.rows:
        cells: dict[str, Value] = {
            "way": row.name,
            "now": row.now,
            "even": None if row.even is None else to_places(row.even, 2),
        }
        cells |= {f"end-{place}": value for place, value in enumerate(row.ends)}
        rows.append(Row(cells=cells))
    return Ledger(
        caption="What each way out pays for what it buys: today, and at the end of the paths",
        columns=(
            Column(key="way", head="Way out"),
            Column(key="now", head="Today", of=Of.MONEY, unit=unit),
            *(Column(key=f"end-{at}", head=head, of=Of.MONEY, unit=unit) for at, head in enumerate(_heads(found))),
            Column(key="even", head="Even at spot", of=Of.MONEY, unit=unit),
        ),
        rows=rows,
        empty="No way out buys any of it: set one down first.",
    )


def steady_page(visit: Visit) -> Response:
    """A steady sum over a window of the past; only the form where no sum is asked for."""
    asked = {name: visit.asked(name) for name in _STEADY_FIELDS}
    visit.form = Form(starting=asked)
    found = visit.form.attempt(plan_steady, visit.kit, asked) if asked["monthly"] else None
    return visit.page(
        "plan_steady.html",
        stage="plans",
        status=200 if visit.form.ok else 400,
        found=found,
        sentence="" if found is None else steady_sentence(found, visit.kit.journal.currency),
        runs=None if found is None else _runs(visit, found),
        windows=None if found is None else _windows(found),
        chart=None if found is None else _growth(visit, found),
        not_a_forecast=NOT_A_FORECAST,
    )


def _runs(visit: Visit, found: Steady) -> Ledger:
    unit = visit.kit.journal.currency
    rows = [
        Row(
            cells={
                "way": words,
                "units": run.units,
                "ozt": run.ozt,
                "spent": run.spent,
                "each": None if run.per_ozt is None else to_places(run.per_ozt, 2),
                "change": run.change,
                "worth": run.worth,
            }
        )
        for words, run in (
            ("Month by month", found.beside.steady),
            ("All at once, in the first month", found.beside.lump),
        )
    ]
    return Ledger(
        caption=f"The same money in {found.kind.name}",
        columns=(
            Column(key="way", head="Way"),
            Column(key="units", head=f"Bought, by {found.habit.content.counted_by.unit}", of=Of.COUNT),
            Column(key="ozt", head="Fine ounces", of=Of.OUNCE, basis=Basis.TRADE, places=2),
            Column(key="spent", head="Spent", of=Of.MONEY, unit=unit),
            Column(key="each", head="An ounce cost", of=Of.MONEY, unit=unit),
            Column(key="change", head="Left over", of=Of.MONEY, unit=unit),
            Column(key="worth", head="Melt at the end", of=Of.MONEY, unit=unit),
        ),
        rows=rows,
    )


def _windows(found: Steady) -> Ledger:
    words = ("one window of twenty", "one of four", "half of them", "three of four", "nineteen of twenty")
    rows = [
        Row(cells={"share": f"In {share}, no more than", "ahead": ahead})
        for share, ahead in zip(words, found.windows.ahead, strict=True)
    ]
    return Ledger(
        caption=f"Ounces of the steady sum for each of the lump sum, over all {found.windows.count:,} windows as long",
        columns=(Column(key="share", head="Windows"), Column(key="ahead", head="Ounces", of=Of.FIGURE, places=4)),
        rows=rows,
    )


def _growth(visit: Visit, found: Steady) -> Picture:
    """What was paid for an ounce month by month, beside the average so far."""
    months = [month for month in found.beside.steady.months if month.units]
    spot = tuple(Point(on=point.first, value=point.per_ozt) for point in found.window)
    paid = tuple(Point(on=month.on, value=month.price / found.habit.ozt) for month in months)
    named = [Named(name="asked, an ounce", points=paid), Named(name="spot, the month's average", points=spot)]
    average = found.beside.steady.per_ozt
    levels = [] if average is None else [Level(words=f"average {average:,.2f}", value=average)]
    return visit.picture(
        lambda palette, width: lines(named, palette, width, unit=f"{visit.kit.journal.currency} an ozt", levels=levels),
        alt="What an ounce was asked at in each month, over the month's average of spot.",
        caption="Where spot was low the same sum bought more, so the average lies below the middle of the prices.",
        size=(640, 280),
    )


routes = [
    shown("/plans/what-if", page, name="plan_whatif"),
    shown("/plans/steady", steady_page, name="plan_steady"),
]
