"""Whether having a piece graded by a third party pays: outcomes with their chances, fees, and the break-even chance."""

from starlette.responses import Response

from ninefine.desk.collectors import collectors, graders
from ninefine.desk.grading import Graded, grading
from ninefine.desk.pieces import Where, laid
from ninefine.desk.say_sorting import details_sentence, even_words, grading_sentence
from ninefine.web.forms import Form
from ninefine.web.ledger import Column, Ledger, Of, Row, Weight
from ninefine.web.pages.sorting_links import sorting_links
from ninefine.web.visit import Visit, shown

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
        sentence="" if found is None else grading_sentence(kit, found),
        pieces=pieces,
        exits=ways or [("", "none is set down yet")],
        fees=[(one.name, one.name) for one in graders(kit)] or [("", "none is set down yet")],
        ends=ENDS,
        ready=bool(ways) and bool(graders(kit)),
        outcomes=_outcomes(found) if found is not None else None,
        costs=_costs(found) if found is not None else None,
        details="" if found is None else details_sentence(found),
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
                "even": even_words(one.break_even),
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


routes = [shown("/sorting/triage/grading", page, name="grading")]
