"""The figures that triage goes by: thresholds, shares for what is not sound, ways out to collectors, graders' fees."""

from starlette.responses import Response

from ninefine.book.chain import Stored
from ninefine.desk.collectors import (
    COLLECTOR,
    COLLECTOR_FIELDS,
    GRADER,
    GRADER_FIELDS,
    collector_fields,
    collector_named,
    collectors,
    grader_fields,
    grader_named,
    graders,
    put_collector,
    put_grader,
)
from ninefine.desk.judging import (
    Judging,
    flaw_fields,
    flaw_shares,
    judging,
    judging_fields,
    put_flaw_shares,
    put_judging,
)
from ninefine.desk.records import set_down
from ninefine.measure.numbers import plain
from ninefine.web.forms import Form
from ninefine.web.ledger import Cell, Column, Ledger, Of, Row
from ninefine.web.pages.booked import lead_on, said
from ninefine.web.pages.sorting_links import sorting_links
from ninefine.web.visit import Visit, done, shown
from ninefine.worth.band import FLAWS

AGAINST = (("melt", "its melt"), ("bid", "the best bid for metal"))
GRADING = (("together", "all one way"), ("apart", "each by itself"))


def page(visit: Visit) -> Response:
    """All the figures."""
    visit.form = Form(starting={**judging_fields(judging(visit.kit)), **flaw_fields(flaw_shares(visit.kit))})
    return _page(visit)


def _page(visit: Visit, status: int = 200) -> Response:
    form, kit = visit.form, visit.kit
    for name, text in {**judging_fields(judging(kit)), **flaw_fields(flaw_shares(kit))}.items():
        form.values.setdefault(name, [text])
    now = judging(kit)
    return visit.page(
        "judging.html",
        stage="sorting",
        status=status,
        ways=sorting_links(visit, "triage"),
        said=said(visit),
        now=now,
        fresh=now == Judging(),
        against=AGAINST,
        grading=GRADING,
        flaws=list(FLAWS),
        collectors=_collectors(visit),
        graders=_graders(visit),
    )


def put(visit: Visit) -> Response:
    """Set the thresholds down."""
    stored = visit.form.attempt(put_judging, visit.kit, visit.form.fields)
    return _page(visit, status=400) if stored is None else lead_on(visit, stored, "judging")


def put_shares(visit: Visit) -> Response:
    """Set down what pieces that are not sound bring."""
    stored = visit.form.attempt(put_flaw_shares, visit.kit, visit.form.fields)
    return _page(visit, status=400) if stored is None else lead_on(visit, stored, "judging")


def _collectors(visit: Visit) -> Ledger:
    return Ledger(
        caption="Ways out to collectors, piece by piece",
        columns=(
            Column(key="name", head="Way out"),
            Column(key="pct", head="Of the sheet", of=Of.PERCENT, places=0),
            Column(key="fee", head="Fee", of=Of.PERCENT, places=1),
            Column(key="fixed", head="And a piece", of=Of.MONEY),
            Column(key="postage", head="Postage", of=Of.MONEY),
            Column(key="costs", head="Costs", of=Of.MONEY),
            Column(key="minutes", head="Minutes", of=Of.COUNT),
            Column(key="least", head="Takes from", of=Of.MONEY),
        ),
        rows=[
            Row(
                cells={
                    "name": Cell(value=way.name, href=visit.path_to("collector.change", asking={"name": way.name})),
                    "pct": way.pct_of_sheet,
                    "fee": way.fee_pct,
                    "fixed": way.fee,
                    "postage": way.postage,
                    "costs": way.costs,
                    "minutes": way.minutes,
                    "least": way.least,
                },
                note=way.note,
            )
            for way in collectors(visit.kit)
        ],
        empty="No way out to collectors is set down yet, so nothing can be pulled.",
    )


def _graders(visit: Visit) -> Ledger:
    return Ledger(
        caption="Tables of graders' fees",
        columns=(
            Column(key="name", head="Grader"),
            Column(key="tiers", head="Fee by declared value"),
            Column(key="parcel", head="A parcel", of=Of.MONEY),
            Column(key="read", head="Read on", of=Of.DATE),
        ),
        rows=[
            Row(
                cells={
                    "name": Cell(value=one.name, href=visit.path_to("grader.change", asking={"name": one.name})),
                    "tiers": "; ".join(
                        f"{plain(tier.fee)} {'of any value' if tier.up_to is None else 'to ' + plain(tier.up_to)}"
                        for tier in one.tiers
                    ),
                    "parcel": one.parcel,
                    "read": one.read_on,
                },
                note=one.source,
            )
            for one in graders(visit.kit)
        ],
        empty="No table of fees is set down yet. Copy one from a grader's own page, with the day on which you read it.",
    )


def new_collector(visit: Visit) -> Response:
    """An empty form for a way out to collectors."""
    visit.form = Form(starting=dict.fromkeys(COLLECTOR_FIELDS, ""))
    return _collector(visit, "")


def change_collector(visit: Visit) -> Response:
    """A way out's form, filled in."""
    way = collector_named(visit.kit, visit.asked("name"))
    visit.form = Form(starting=collector_fields(way))
    return _collector(visit, way.name)


def _collector(visit: Visit, name: str, status: int = 200) -> Response:
    return visit.page("collector.html", stage="sorting", status=status, ways=sorting_links(visit, "triage"), name=name)


def put_collector_down(visit: Visit) -> Response:
    """Set a way out to collectors down."""
    stored = visit.form.attempt(put_collector, visit.kit, visit.form.fields)
    return _collector(visit, "", status=400) if stored is None else lead_on(visit, stored, "judging")


def new_grader(visit: Visit) -> Response:
    """An empty form for a table of fees."""
    visit.form = Form(starting={**dict.fromkeys(GRADER_FIELDS, ""), "tiers": ""})
    return _grader(visit, "")


def change_grader(visit: Visit) -> Response:
    """A table's form, filled in."""
    fees = grader_named(visit.kit, visit.asked("name"))
    visit.form = Form(starting=grader_fields(fees))
    return _grader(visit, fees.name)


def _grader(visit: Visit, name: str, status: int = 200) -> Response:
    return visit.page("grader.html", stage="sorting", status=status, ways=sorting_links(visit, "triage"), name=name)


def put_grader_down(visit: Visit) -> Response:
    """Set a table of fees down."""
    stored = visit.form.attempt(put_grader, visit.kit, visit.form.fields)
    return _grader(visit, "", status=400) if stored is None else lead_on(visit, stored, "judging")


def strike(visit: Visit) -> Response:
    """Strike a way out or a table of fees off."""
    table = GRADER if visit.form.text("table") == GRADER else COLLECTOR
    stored: Stored = set_down(visit.kit, table, visit.form.text("name"), None)
    return lead_on(visit, stored, "judging")


routes = [
    shown("/sorting/triage/figures", page, name="judging"),
    done("/sorting/triage/figures", put, name="judging.put"),
    done("/sorting/triage/shares", put_shares, name="judging.shares"),
    shown("/sorting/triage/collectors/new", new_collector, name="collector.new"),
    shown("/sorting/triage/collectors/change", change_collector, name="collector.change"),
    done("/sorting/triage/collectors", put_collector_down, name="collector.put"),
    shown("/sorting/triage/graders/new", new_grader, name="grader.new"),
    shown("/sorting/triage/graders/change", change_grader, name="grader.change"),
    done("/sorting/triage/graders", put_grader_down, name="grader.put"),
    done("/sorting/triage/figures/strike", strike, name="judging.strike"),
]
