"""How am I doing: cost an ounce, gain by way out, yearly return, the same money otherwise, worth through time."""

from collections.abc import Mapping, Sequence
from decimal import Decimal
from functools import partial

from starlette.responses import Response

from ninefine.catalog.kinds import Basis
from ninefine.desk.exits import exit_names
from ninefine.desk.performance import (
    ASKED,
    MELT,
    NO_BASIS,
    Performance,
    flow_words,
    performance,
    rate_words,
    worth_by_month,
)
from ninefine.market.prices import StampKind
from ninefine.papers.charts import Bar
from ninefine.papers.charts_books import HEIGHT, Month, worth_through_time
from ninefine.web.charts import Picture
from ninefine.web.format import day, figure, money, plural
from ninefine.web.forms import Form
from ninefine.web.ledger import Cell, Column, Ledger, Of, Row, Step, Value, Weight, Worked
from ninefine.web.pages.asked import A_PAGE, first_of
from ninefine.web.pages.bars import bars_shown
from ninefine.web.pages.holdings import FORM_WORDS
from ninefine.web.visit import Visit, shown
from ninefine.worth.history import Point
from ninefine.worth.stack import Share

#: Months of the table on one page.
MONTHS_A_PAGE = 12


def page(visit: Visit) -> Response:
    """How the silver has done up to today, or to a day."""
    kit = visit.kit
    visit.form = Form(starting={name: visit.asked(name) for name in ASKED})
    found = visit.form.attempt(performance, kit, visit.form.fields)
    shown_ = performance(kit) if found is None else found
    points = worth_by_month(kit, last=shown_.now.on)
    stamp = shown_.now.stamps.get("XAG")
    return visit.page(
        "returns.html",
        stage="holdings",
        status=200 if visit.form.ok else 400,
        found=shown_,
        by="melt" if shown_.valued_by == MELT else f"what {shown_.valued_by} would pay",
        rate=rate_words(shown_.rate),
        real_rate=rate_words(shown_.real_rate),
        worked=Worked(steps=_steps(shown_)),
        stamp=stamp,
        typed=bool(visit.form.text("spot")) and visit.form.ok,
        ways=[("", "melt by trade count"), *((name, name) for name in exit_names(kit))],
        otherwise=_otherwise(visit, shown_),
        bars=_bars(visit, shown_),
        forms=_forms(visit, shown_),
        exits=_exits(visit, shown_),
        line=_line(visit, points),
        months=_months(visit, points),
        turns=_turns(visit, "months", MONTHS_A_PAGE, len(points)),
        move=_move(visit, shown_),
        flows=_flows(visit, shown_),
        flow_turns=_turns(visit, "flows", A_PAGE, len(shown_.flows.flows)),
        no_basis=NO_BASIS,
    )


def _steps(found: Performance) -> list[Step]:
    """How the answer's figures were worked out."""
    flows = found.flows.flows
    out, back = sum(1 for one in flows if one.amount < 0), sum(1 for one in flows if one.amount > 0)
    stamp = found.now.stamps.get("XAG")
    whence = f"{stamp.whose}: {stamp.note}" if stamp is not None else ""
    gain = f"{figure(found.worth, 2)} + {figure(found.flows.taken_out, 2)} - {figure(found.flows.put_in, 2)}"
    steps = [
        Step(what="put in", result=figure(found.flows.put_in, 2), whence=f"{plural(out, 'flow')} of the book, below"),
        Step(what="taken out", result=figure(found.flows.taken_out, 2), whence=f"{plural(back, 'flow')}, below"),
        Step(what="worth of what is held", result=figure(found.worth, 2), how=found.valued_by, whence=whence),
        Step(what="against all in cash", result=figure(found.gain, 2, signed=True), how=gain),
    ]
    if found.rate is not None:
        how = "the yearly rate at which every flow, and the worth at the end, come to nothing together"
        words = "money-weighted: years of 365 days, counted from the first flow"
        steps.append(Step(what="yearly return", result=rate_words(found.rate), how=how, whence=words))
    return steps


def _otherwise(visit: Visit, found: Performance) -> Ledger:
    """The same money as it is, as cash, in constant dollars, in one-ounce rounds."""
    unit = visit.kit.journal.currency
    rows = [Row(cells={"what": "In the silver that is held", "worth": found.worth}, note=f"by {found.valued_by}")]
    rows.append(
        Row(
            cells={"what": "Kept as cash", "worth": found.net_put_in, "ahead": found.gain},
            note="what was put in, less what was taken out",
        )
    )
    if found.constant is not None:
        years = ", ".join(map(str, found.constant.stood_in))
        rows.append(
            Row(
                cells={
                    "what": f"To have kept up with prices, in dollars of {found.constant.year}",
                    "worth": found.constant.amount,
                    "ahead": found.real_gain,
                },
                note="the same sums by the yearly index of consumer prices (CPI-U)"
                + (f"; {years} by the index of a neighbouring year" if years else ""),
            )
        )
    if found.rounds is not None:
        note = f"{figure(found.rounds.ounces, 2)} rounds, bought and sold on the same days at your own rules"
        if found.rounds.unpriced:
            note += f"; {plural(len(found.rounds.unpriced), 'day')} without a price left out"
        rows.append(
            Row(
                cells={"what": "In one-ounce rounds", "worth": found.rounds.worth, "ahead": found.over_rounds},
                note=note,
            )
        )
    return Ledger(
        caption="The same money otherwise",
        columns=(
            Column(key="what", head="What"),
            Column(key="worth", head="Worth", of=Of.MONEY, unit=unit),
            Column(key="ahead", head="The silver is ahead by", of=Of.MONEY, unit=unit, signed=True),
        ),
        rows=rows,
    )


def _bars(visit: Visit, found: Performance) -> Picture | None:
    """The same as bars; none where nothing is priced."""
    if found.worth is None:
        return None
    told = [("in silver", found.worth, True), ("as cash", found.net_put_in, False)]
    if found.constant is not None:
        told.append((f"to keep up with prices, {found.constant.year} dollars", found.constant.amount, False))
    if found.rounds is not None:
        told.append(("in one-ounce rounds", found.rounds.worth, False))
    bars = [Bar(name=name, length=amount, words=money(amount), look=look) for name, amount, look in told]
    return bars_shown(
        visit,
        bars,
        alt="The same money otherwise: " + "; ".join(f"{bar.name} {bar.words}" for bar in bars) + ".",
        caption="What the money put in on balance is worth now, and what it would be otherwise.",
        width=440,
    )


def _forms(visit: Visit, found: Performance) -> Ledger:
    unit = visit.kit.journal.currency
    rows = [_form_row(share) for share in found.forms]
    if len(rows) > 1:
        here = found.now.here
        cells: dict[str, Value] = {"form": "All silver here", "ozt": here.ozt(), "each": found.cost_per_ozt}
        rows.append(Row(cells=cells | _untold(here.uncosted_ozt()), weight=Weight.TOTAL))
    columns = [
        Column(key="form", head="Form"),
        Column(key="ozt", head="Fine silver", of=Of.OUNCE, basis=Basis.TRADE),
        Column(key="cost", head="Cost", of=Of.MONEY, unit=unit),
        Column(key="each", head="Cost an ounce", of=Of.MONEY, unit=unit),
        Column(key="untold", head="Cost not known of", of=Of.OUNCE, basis=Basis.TRADE),
        Column(key="melt", head="Melt", of=Of.MONEY, unit=unit),
    ]
    if not found.now.here.uncosted_ozt():
        del columns[4]
    return Ledger(caption="What an ounce cost, by form", columns=columns, rows=rows, empty="Nothing is held.")


def _form_row(share: Share) -> Row:
    cells: dict[str, Value] = {
        "form": FORM_WORDS.get(share.name, share.name),
        "ozt": share.ozt,
        "cost": share.basis if share.cost_per_ozt is not None else None,
        "each": share.cost_per_ozt,
        "melt": share.melt,
    }
    return Row(cells=cells | _untold(share.uncosted_ozt))


def _untold(ozt: Decimal) -> dict[str, Value]:
    """The ounces of which nobody knows the cost; nothing where there are none."""
    return {"untold": ozt} if ozt else {}


def _exits(visit: Visit, found: Performance) -> Ledger:
    unit = visit.kit.journal.currency
    return Ledger(
        caption="What each way out would gain today, not realised, and the spot at which it would pay back the cost",
        columns=(
            Column(key="exit", head="Way out"),
            Column(key="net", head="Would pay", of=Of.MONEY, unit=unit),
            Column(key="cost", head="Cost of that", of=Of.MONEY, unit=unit),
            Column(key="gain", head="Gain", of=Of.MONEY, unit=unit, signed=True),
            Column(key="even", head="Even at a spot of", of=Of.MONEY, unit=unit),
        ),
        rows=[
            Row(
                cells={
                    "exit": Cell(
                        value=one.exit.name, href=visit.path_to("exit.change", asking={"name": one.exit.name})
                    ),
                    "net": one.net,
                    "cost": one.cost,
                    "gain": one.gain,
                    "even": one.even,
                },
                note=_left_out(one.unsold, one.uncosted_ozt),
            )
            for one in found.exits
        ],
        empty="No way out buys any of it, or none has been set down yet.",
    )


def _left_out(unsold: Sequence[str], uncosted: Decimal) -> str:
    names = ", ".join(unsold[:3]) + (f" and {len(unsold) - 3} kinds more" if len(unsold) > 3 else "")
    parts = [f"no bid for {names}" if unsold else "", "what nobody knows the cost of is left out" if uncosted else ""]
    return "; ".join(part for part in parts if part)


def _line(visit: Visit, points: Sequence[Point]) -> Picture | None:
    """Worth through time, by the end of each month; none with fewer than two of them."""
    if len(points) < 2:
        return None
    months = [Month(on=one.on, worth=one.worth, cost=one.cost, read=_read(one)) for one in points]
    known = [one for one in months if one.worth is not None]
    top = max(known, key=lambda one: one.worth or 0, default=None)
    last = months[-1]
    highest = "" if top is None else f"highest: {figure(top.worth)}, {day(top.on)}"
    said = f"From {day(months[0].on)} to {day(last.on)}, month by month: worth {money(last.worth)} at the end"
    return visit.picture(
        partial(
            worth_through_time,
            months,
            unit=visit.kit.journal.currency,
            highest=highest,
            names=(f"worth {figure(last.worth)}", f"cost {figure(last.cost)}"),
        ),
        alt=f"{said}, at a cost of {money(last.cost)}; {highest}.",
        caption="The melt of what was held at the end of each month, and what that had cost (dashed). A ring marks a "
        f"price that you read yourself; all others are monthly averages. {highest[:1].upper()}{highest[1:]}.",
        size=(720, HEIGHT),
    )


def _read(point: Point) -> bool:
    stamp = point.stamps.get("XAG")
    return stamp is not None and stamp.kind is StampKind.OWN and stamp.on.replace(day=1) == point.on.replace(day=1)


def _months(visit: Visit, points: Sequence[Point]) -> Ledger:
    unit = visit.kit.journal.currency
    first = first_of(visit, "months")
    newest = list(reversed(points))[first : first + MONTHS_A_PAGE]
    return Ledger(
        caption="Month by month, the newest first",
        columns=(
            Column(key="on", head="At the end of", of=Of.DATE),
            Column(key="ozt", head="Fine silver here", of=Of.OUNCE, basis=Basis.TRADE),
            Column(key="spot", head="Price", of=Of.MONEY, unit=unit),
            Column(key="worth", head="Melt, with what is on its way", of=Of.MONEY, unit=unit),
            Column(key="cost", head="Cost", of=Of.MONEY, unit=unit),
        ),
        rows=[_month(one) for one in newest],
        empty="Nothing has come yet.",
    )


def _month(point: Point) -> Row:
    stamp = point.stamps.get("XAG")
    return Row(
        note="no price known" if stamp is None else f"{stamp.kind.value}, {stamp.whose}",
        cells={
            "on": point.on,
            "ozt": point.ozt.get("XAG"),
            "spot": None if stamp is None else stamp.per_ozt,
            "worth": point.worth,
            "cost": point.cost,
        },
    )


def _turns(visit: Visit, name: str, size: int, count: int) -> tuple[str, str]:
    """The addresses of the rows before and after, empty where there are none."""
    first = first_of(visit, name)
    kept: Mapping[str, str] = {key: visit.asked(key) for key in ASKED if visit.asked(key)}

    def turned(to: int) -> str:
        return visit.path_to("returns", asking={**kept, name: str(max(0, to))}) + f"#{name}"

    return turned(first - size) if first else "", turned(first + size) if first + size < count else ""


def _move(visit: Visit, found: Performance) -> Ledger | None:
    """What a tenth more of spot moves; none without a price of silver."""
    move = found.move
    if move is None:
        return None
    unit = visit.kit.journal.currency
    led = f"{money(move.led_by_melt)} goes with spot; {money(move.led_by_collectors)} is worth more to collectors"
    return Ledger(
        caption="If spot moved by a tenth",
        columns=(
            Column(key="what", head="What"),
            Column(key="now", head=f"At {figure(move.spot, 2)}", of=Of.MONEY, unit=unit),
            Column(key="then", head=f"At {figure(move.other, 2)}", of=Of.MONEY, unit=unit),
            Column(key="moves", head="Moves by", of=Of.MONEY, unit=unit, signed=True),
        ),
        rows=[
            Row(cells={"what": "Melt of the silver here, by trade", "now": move.melt, "then": move.melt_after}),
            Row(
                cells={
                    "what": "The greater of melt and your collectors' prices, heap by heap",
                    "now": move.worth,
                    "then": move.worth_after,
                    "moves": move.moves,
                },
                note=led if move.led_by_collectors else "all of it goes with spot",
            ),
        ],
    )


def _flows(visit: Visit, found: Performance) -> Ledger:
    first = first_of(visit, "flows")
    newest = list(reversed(found.flows.flows))[first : first + A_PAGE]
    return Ledger(
        caption="Money in (below zero) and out, the newest first",
        columns=(
            Column(key="on", head="On", of=Of.DATE),
            Column(key="what", head="What"),
            Column(key="sum", head="In and out", of=Of.MONEY, unit=visit.kit.journal.currency, signed=True),
        ),
        rows=[
            Row(
                cells={
                    "on": Cell(value=one.on, href=visit.path_to("entry", serial=one.serial)),
                    "what": flow_words(one),
                    "sum": one.amount,
                },
                weight=Weight.QUIET if one.estimated else Weight.PLAIN,
            )
            for one in newest
        ],
        empty="No money has moved.",
    )


routes = [shown("/returns", page, name="returns")]
