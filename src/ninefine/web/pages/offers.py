"""Offers: what is on the table on one ruler, the working of each, sold back to a way out, and how far a budget goes."""

from collections.abc import Mapping, Sequence
from decimal import Decimal
from functools import partial

from starlette.responses import Response

from ninefine.desk.exits import exit_names
from ninefine.desk.offers import Closer, SideBySide, closer, how_far, sentence, side_by_side
from ninefine.desk.records import set_down
from ninefine.desk.tables import rows_said_by
from ninefine.errors import InputError
from ninefine.market.budget import Affordable
from ninefine.market.compare import Ranked
from ninefine.market.hints import Hint, HintKind
from ninefine.market.landed import Landed
from ninefine.papers.charts import RulerMark, premium_ruler
from ninefine.web.charts import Picture
from ninefine.web.format import figure, money, ounces, percent
from ninefine.web.ledger import Cell, Column, Ledger, Of, Row, Step, Weight, Worked
from ninefine.web.pages.asked import ask, settle
from ninefine.web.pages.booked import lead_on, said
from ninefine.web.visit import Visit, done, shown

#: Offers drawn on the ruler; more would be a thicket.
MOST_DRAWN = 14


def page(visit: Visit) -> Response:
    """The offers: every one by every way to pay it, ranked by cost per fine ounce."""
    kit = visit.kit
    fields = ask(visit, "spot", "exit")
    spot, exit_name = fields.positive("spot"), fields.raw("exit")
    settle(visit, fields)
    found = _side_by_side(visit, spot, exit_name)
    return visit.page(
        "offers.html",
        stage="offers",
        status=200 if visit.form.ok else 400,
        side_by_side=found,
        sentence="" if found is None else sentence(found),
        stamp=kit.stamp() if found is not None and spot is None else None,
        exits=[(name, name) for name in exit_names(kit)],
        ranked=None if found is None else _ranked(visit, found),
        back=None if found is None else _sold_back(visit, found),
        ruler=None if found is None else _ruler(visit, found),
        said=said(visit),
    )


def _side_by_side(visit: Visit, spot: Decimal | None, exit_name: str) -> SideBySide | None:
    """The offers side by side; none where no price is known. An exit that is not there is told at its field."""
    try:
        return side_by_side(visit.kit, spot=spot, exit_name=exit_name)
    except InputError as error:
        visit.form.blame(error, field="exit" if exit_name else "spot")
    return None if not exit_name else _side_by_side(visit, spot, "")


def _ranked(visit: Visit, found: SideBySide) -> Ledger:
    entries = rows_said_by(visit.kit, "offer")
    return Ledger(
        caption="What each costs in all, the cheapest silver first",
        columns=(
            Column(key="offer", head="Offer"),
            Column(key="landed", head="Landed", of=Of.MONEY, unit=visit.kit.journal.currency),
            Column(key="fine", head="Fine silver", of=Of.OUNCE),
            Column(key="each", head="A fine ounce", of=Of.MONEY, places=3, unit=visit.kit.journal.currency),
            Column(key="over", head="Over spot", of=Of.MONEY, signed=True, unit=visit.kit.journal.currency),
            Column(key="pct", head="Over spot", of=Of.PERCENT, signed=True),
        ),
        rows=[_ranked_row(visit, row, entries) for row in found.ranked],
        empty="No offers are on the table.",
    )


def _ranked_row(visit: Visit, row: Ranked, entries: Mapping[str, int]) -> Row:
    offer = row.landed.offer
    return Row(
        cells={
            "offer": Cell(value=f"{row.rank}. {row.name}", href=visit.path_to("offer", asking={"name": offer.name})),
            "landed": row.landed.total,
            "fine": Cell(value=row.landed.ozt[row.basis], basis=row.basis),
            "each": Cell(value=row.cost_per_ozt, note=f"an ozt {row.basis}"),
            "over": row.premium_usd,
            "pct": row.premium_pct,
        },
        note="; ".join(part for part in (offer.seller if offer.seller != offer.name else "", offer.note) if part),
        worked=Worked(steps=landed_steps(row.landed, entries.get(offer.name))),
    )


def landed_steps(landed: Landed, entry: int | None) -> list[Step]:
    """Every line of a landed cost, its ounces on each basis, and what an ounce costs on each."""
    whence = f"The offer as set down by entry {entry} of the book." if entry else ""
    steps = [Step(what=str(line.kind), how=line.words, result=money(line.amount)) for line in landed.lines]
    steps.append(Step(what="landed, in all", result=money(landed.total), whence=whence))
    for basis, ozt in landed.ozt.items():
        how = f"{money(landed.total)} / {figure(ozt, 4)} ozt {basis}"
        over = f"{percent(landed.premium_pct(basis), signed=True)} against spot {money(landed.spot)}"
        steps.append(Step(what=f"fine silver, {_BASIS[basis]}", result=ounces(ozt, basis)))
        steps.append(
            Step(what=f"a fine ounce, {basis}", how=how, result=money(landed.cost_per_ozt(basis), 3), whence=over)
        )
    return steps


_BASIS = {"unworn": "as struck", "trade": "by the trade's count", "scale": "by the scale"}


def _sold_back(visit: Visit, found: SideBySide) -> Ledger | None:
    if found.exit is None or not found.ranked:
        return None
    unit = visit.kit.journal.currency
    return Ledger(
        caption=f"Sold back to {found.exit.name} today",
        columns=(
            Column(key="offer", head="Offer"),
            Column(key="pays", head="Would pay", of=Of.MONEY, unit=unit),
            Column(key="loss", head="Lost by it", of=Of.MONEY, unit=unit),
            Column(key="pct", head="Lost", of=Of.PERCENT),
            Column(key="even", head="Even at spot", of=Of.MONEY, places=3, unit=unit),
            Column(key="rise", head="Spot must move", of=Of.PERCENT, signed=True),
        ),
        rows=[
            Row(
                cells={
                    "offer": f"{row.rank}. {row.name}",
                    "pays": row.most,
                    "loss": row.loss,
                    "pct": row.loss_pct,
                    "even": row.break_even,
                    "rise": row.rise_pct,
                },
                note="" if row.paid is not None else f"{found.exit.name} has no bid for these goods",
                worked=None if row.paid is None else Worked(steps=paid_steps(row)),
            )
            for row in found.ranked
        ],
    )


def paid_steps(row: Ranked) -> list[Step]:
    """A settlement line by line, and what it leaves."""
    if row.paid is None:
        return []
    steps = [Step(what=str(line.kind), how=line.words, result=money(line.amount)) for line in row.paid.lines]
    steps.append(Step(what="reaches your pocket", result=money(row.paid.net), whence="The most to pay without a loss."))
    if row.loss is not None:
        how = f"{money(row.landed.total)} landed - {money(row.paid.net)}"
        steps.append(Step(what="lost", how=how, result=money(row.loss)))
    if row.break_even is not None:
        steps.append(
            Step(what="even at a spot of", result=money(row.break_even, 3), whence="Its bid rule taken as unchanged.")
        )
    return steps


def _ruler(visit: Visit, found: SideBySide) -> Picture | None:
    rows = found.ranked[:MOST_DRAWN]
    if not rows:
        return None
    marks = [
        RulerMark(name=row.name, at=row.premium_pct, words=percent(row.premium_pct, signed=True), look=row.rank == 1)
        for row in rows
    ]
    told = "; ".join(f"{mark.name} {mark.words}" for mark in marks)
    return visit.picture(
        partial(premium_ruler, marks, unit="per cent over spot, landed"),
        alt=f"Each offer on one ruler by its premium over spot: {told}.",
        caption="What each costs over spot for a fine ounce, everything added. The red one is the cheapest silver; "
        "what lies left of the dashed line is under spot.",
        size=(720, 90 + 22 * len(marks)),
    )


def one(visit: Visit) -> Response:
    """One offer: each way to pay it, every line of its cost, the lines ahead of it, and how far a budget goes."""
    kit, name = visit.kit, visit.asked("name")
    fields = ask(visit, "name", "spot", "exit", "budget", "way")
    spot, budget = fields.positive("spot"), fields.positive("budget")
    exit_name, way = fields.raw("exit"), fields.raw("way")
    settle(visit, fields)
    found = closer(kit, name, spot=spot, exit_name=exit_name)
    reach: Affordable | None = None
    if budget is not None:
        reach = visit.form.attempt(how_far, kit, name, budget, spot=spot, way=way)
    best = found.best
    return visit.page(
        "offer.html",
        stage="offers",
        status=200 if visit.form.ok else 400,
        found=found,
        best=best,
        offer=best.landed.offer,
        entry=rows_said_by(kit, "offer").get(name),
        stamp=kit.stamp() if spot is None else None,
        ways=_ways(visit, found),
        lines=_cost_lines(visit, best.landed),
        bases=_bases(visit, best.landed),
        back=_sold_back(visit, found.side_by_side),
        ahead=_ahead(visit, found, found.ahead),
        budget=budget,
        reach=reach,
        bought=None if reach is None or reach.landed is None else _cost_lines(visit, reach.landed),
        pays=[("", "the offer's first")] if len(best.landed.offer.ways) < 2 else _way_choices(found),
        exits=[(name, name) for name in exit_names(kit)],
    )


def _way_choices(found: Closer) -> list[tuple[str, str]]:
    return [(way.name, way.name) for way in found.best.landed.offer.ways]


def _ways(visit: Visit, found: Closer) -> Ledger | None:
    if len(found.ways) < 2:
        return None
    unit = visit.kit.journal.currency
    return Ledger(
        caption="By each way to pay, the cheapest first",
        columns=(
            Column(key="way", head="Paid by"),
            Column(key="landed", head="Landed", of=Of.MONEY, unit=unit),
            Column(key="each", head="A fine ounce", of=Of.MONEY, places=3, unit=unit),
            Column(key="pct", head="Over spot", of=Of.PERCENT, signed=True),
        ),
        rows=[
            Row(
                cells={
                    "way": row.landed.way.name,
                    "landed": row.landed.total,
                    "each": Cell(value=row.cost_per_ozt, note=f"an ozt {row.basis}"),
                    "pct": row.premium_pct,
                }
            )
            for row in found.ways
        ],
    )


def _cost_lines(visit: Visit, landed: Landed) -> Ledger:
    by = f", paid by {landed.way.name}" if landed.way.name else ""
    rows = [Row(cells={"what": line.words, "amount": line.amount}, note=str(line.kind)) for line in landed.lines]
    rows.append(Row(cells={"what": "Landed", "amount": landed.total}, weight=Weight.TOTAL))
    return Ledger(
        caption=f"All that leaves your pocket{by}",
        columns=(
            Column(key="what", head="For"),
            Column(key="amount", head="Amount", of=Of.MONEY, unit=visit.kit.journal.currency),
        ),
        rows=rows,
    )


def _bases(visit: Visit, landed: Landed) -> Ledger:
    unit = visit.kit.journal.currency
    return Ledger(
        caption=f"The same cost on each count of ounces, against spot {money(landed.spot)}",
        columns=(
            Column(key="basis", head="Ounces"),
            Column(key="fine", head="Fine silver", of=Of.OUNCE),
            Column(key="each", head="A fine ounce", of=Of.MONEY, places=3, unit=unit),
            Column(key="over", head="Over spot", of=Of.MONEY, signed=True, unit=unit),
            Column(key="pct", head="Over spot", of=Of.PERCENT, signed=True),
        ),
        rows=[
            Row(
                cells={
                    "basis": _BASIS[basis],
                    "fine": Cell(value=ozt, basis=basis),
                    "each": landed.cost_per_ozt(basis),
                    "over": landed.premium_usd(basis),
                    "pct": landed.premium_pct(basis),
                },
                note="the one it is ranked by" if basis is landed.basis else "",
            )
            for basis, ozt in landed.ozt.items()
        ],
    )


_HINTS = {
    HintKind.TIER: "reach the next tier",
    HintKind.TAX: "reach the line from which no tax is added",
    HintKind.CARRIAGE: "reach free carriage",
}


def _ahead(visit: Visit, found: Closer, hints: Sequence[Hint]) -> Ledger | None:
    if not hints:
        return None
    unit = visit.kit.journal.currency
    goods = found.best.landed.goods[0].content.counted_by
    return Ledger(
        caption="What a little more would do",
        columns=(
            Column(key="what", head="To"),
            Column(key="more", head="Buy more", of=Of.COUNT, unit="face" if goods == "face" else f"{goods}s"),
            Column(key="extra", head="Costs more", of=Of.MONEY, unit=unit, signed=True),
            Column(key="saved", head="Saves", of=Of.MONEY, unit=unit),
            Column(key="each", head="Each ounce more", of=Of.MONEY, places=3, unit=unit),
            Column(key="then", head="All, an ounce", of=Of.MONEY, places=3, unit=unit),
        ),
        rows=[
            Row(
                cells={
                    "what": _HINTS[hint.kind],
                    "more": hint.units_more,
                    "extra": hint.extra,
                    "saved": hint.saved,
                    "each": Cell(
                        value=hint.marginal_per_ozt(found.best.landed), note=f"an ozt {found.best.landed.basis}"
                    ),
                    "then": Cell(value=hint.cost_per_ozt_then, note=f"an ozt {hint.landed_then.basis}"),
                },
                note="" if hint.within_stock else "more than the seller has",
                weight=Weight.PLAIN if hint.within_stock else Weight.QUIET,
            )
            for hint in hints
        ],
    )


def strike(visit: Visit) -> Response:
    """Strike an offer off the table."""
    stored = set_down(visit.kit, "offer", visit.form.text("name"), None)
    return lead_on(visit, stored, "offers")


routes = [
    shown("/offers", page, name="offers"),
    shown("/offers/one", one, name="offer"),
    done("/offers/strike", strike, name="offer.strike"),
]
