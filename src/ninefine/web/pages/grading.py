"""Whether having a piece graded by a third party pays: outcomes with their chances, fees, and the break-even chance."""

from decimal import Decimal

from starlette.responses import Response

from ninefine.desk.collectors import collectors, graders
from ninefine.desk.grading import Graded, grading
from ninefine.desk.heaps import say_goods
from ninefine.desk.pieces import Where, laid
from ninefine.web.format import percent
from ninefine.web.forms import Form
from ninefine.web.ledger import Column, Ledger, Of, Row, Weight
from ninefine.web.pages.sorting_links import sorting_links
from ninefine.web.visit import Visit, shown
from ninefine.worth.graders import BreakEven

ASKED = ("piece", "what", "raw", "outcomes", "declared", "pieces", "fees", "raw_exit", "graded_exit", "end")
ENDS = (("mid", "the middle of the sheet"), ("low", "the low end"), ("high", "the high end"))


def page(visit: Visit) -> Response:
    """The question, and its answer once enough is said."""
    kit = visit.kit
    usual = {"pieces": "1", "end": "mid"}
    visit.form = Form(starting={name: visit.asked(name) or usual.get(name, "") for name in ASKED})
    found = visit.form.attempt(grading, kit, visit.form.fields) if visit.asked("outcomes") else None
    pieces = [("", "none of them"), *((one.label, one.label) for one in laid(kit) if one.where is not Where.GONE)]
    ways = [(way.name, way.name) for way in collectors(kit)]
    return visit.page(
        "grading.html",
        stage="sorting",
        ways=sorting_links(visit, "triage"),
        found=found,
        goods="" if found is None else say_goods(found.named.kind.slug, found.named.issue, kit.catalog()),
        pieces=pieces,
        exits=ways or [("", "none is set down yet")],
        fees=[(one.name, one.name) for one in graders(kit)] or [("", "none is set down yet")],
        ends=ENDS,
        ready=bool(ways) and bool(graders(kit)),
        outcomes=_outcomes(found) if found is not None else None,
        costs=_costs(found) if found is not None else None,
        details="" if found is None else _details(found),
    )


def _outcomes(found: Graded) -> Ledger:
    answer = found.answer
    rows = [
        Row(
            cells={
                "band": str(one.outcome.band),
                "chance": one.outcome.chance * 100,
                "price": one.price,
                "net": one.net,
                "even": _even(one.break_even),
            },
            note="your own figure" if one.outcome.price is not None else "",
        )
        for one in answer.outcomes
    ]
    rows.append(Row(cells={"band": "On average", "net": answer.expected}, weight=Weight.TOTAL))
    return Ledger(
        caption="What may come back",
        columns=(
            Column(key="band", head="In the holder"),
            Column(key="chance", head="Chance", of=Of.PERCENT, places=1),
            Column(key="price", head="By the sheet", of=Of.MONEY),
            Column(key="net", head="Nets", of=Of.MONEY),
            Column(key="even", head="Breaks even"),
        ),
        rows=rows,
    )


def _even(even: BreakEven | None) -> str:
    if even is None:
        return "at no chance"
    return f"{'above' if even.above else 'below'} {_percent(even.chance)}"


def _percent(chance: Decimal) -> str:
    return percent(chance * 100, 1)


def _costs(found: Graded) -> Ledger:
    answer = found.answer
    rows = [Row(cells={"what": "On average it nets", "amount": answer.expected})]
    rows += [Row(cells={"what": line.words, "amount": -line.amount}) for line in answer.costs]
    rows.append(Row(cells={"what": "What it nets ungraded", "amount": -answer.raw}))
    rows.append(Row(cells={"what": "Gain on average", "amount": answer.gain}, weight=Weight.TOTAL))
    return Ledger(
        caption="Does it pay?",
        columns=(
            Column(key="what", head="Line"),
            Column(key="amount", head="Money", of=Of.MONEY, signed=True),
        ),
        rows=rows,
    )


def _details(found: Graded) -> str:
    answer = found.answer
    if not answer.details:
        return "No outcome says details. Details are the usual loser: think whether none can come back so."
    even = answer.details_break_even
    said = f"The chance of details is {_percent(answer.details)}."
    if even is None:
        return f"{said} No chance of details makes grading break even."
    side = "above" if even.above else "below"
    return f"{said} Grading pays while that chance is {side} {_percent(even.chance)}."


routes = [shown("/sorting/triage/grading", page, name="grading")]
