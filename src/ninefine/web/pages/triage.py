"""Triage: pieces laid aside, what each is worth each way, keep or pull or back to the heap, and why."""

from collections.abc import Sequence
from functools import partial

from starlette.responses import Response

from ninefine.desk.amounts import say_amount
from ninefine.desk.judging import Judging, judging
from ninefine.desk.pieces import Where, lay, next_label, say_piece
from ninefine.desk.say_sorting import triage_sentence
from ninefine.desk.triage import Answer, Candidate, answers, back, candidates, stamp_or_none, total
from ninefine.papers.charts_finds import FOOT, HEAD, LINE, Over, over_the_heap
from ninefine.web.charts import Picture
from ninefine.web.format import money
from ninefine.web.forms import Form
from ninefine.web.ledger import Cell, Column, Ledger, Of, Row, Weight
from ninefine.web.pages.asked import A_PAGE, ask, first_of, settle, turned
from ninefine.web.pages.booked import BOOKED, lead_on, said
from ninefine.web.pages.sorting_links import sorting_links
from ninefine.web.visit import Visit, done, shown
from ninefine.worth.verdict import Verdict

LAY = ("label", "heap", "what", "count", "band", "grams", "wanted", "note")
#: Pieces drawn in the picture.
MOST_DRAWN = 16


def page(visit: Visit) -> Response:
    """Every piece that is laid aside, with its answer."""
    kit, first = visit.kit, first_of(visit)
    fields = ask(visit, "spot")
    spot = fields.positive("spot")
    settle(visit, fields)
    every = answers(kit, spot)
    offered = candidates(kit, first=first, most=A_PAGE + 1)
    rules = judging(kit)
    return visit.page(
        "triage.html",
        stage="sorting",
        ways=sorting_links(visit, "triage"),
        said=said(visit),
        every=every,
        sentence=triage_sentence(kit, spot),
        stamp=stamp_or_none(kit) if spot is None else None,
        spot=spot,
        minutes=total(kit, spot=spot).minutes,
        judging=rules,
        table=_answers(visit, every),
        picture=_picture(visit, every, rules),
        candidates=_candidates(visit, offered[:A_PAGE]),
        newer=turned(visit, "triage", first - A_PAGE) + "#candidates" if first else "",
        older=turned(visit, "triage", first + A_PAGE) + "#candidates" if len(offered) > A_PAGE else "",
    )


def _answers(visit: Visit, every: Sequence[Answer]) -> Ledger:
    return Ledger(
        caption="Pieces laid aside, those on the table first",
        columns=(
            Column(key="label", head="Piece"),
            Column(key="melt", head="Melt", of=Of.MONEY),
            Column(key="bid", head="Best bid", of=Of.MONEY),
            Column(key="low", head="A collector, net: low", of=Of.MONEY),
            Column(key="mid", head="middle", of=Of.MONEY),
            Column(key="high", head="high", of=Of.MONEY),
            Column(key="verdict", head="Verdict"),
        ),
        rows=[_answer(visit, one) for one in every],
        empty="No piece is laid aside.",
    )


def _answer(visit: Visit, one: Answer) -> Row:
    cells: dict[str, Cell] = {
        "label": Cell(
            value=f"{one.laid.label}: {say_piece(visit.kit, one.laid)}",
            href=visit.path_to("piece", asking={"label": one.laid.label}),
        )
    }
    pulled = f"pulled by entry {one.laid.pulled_by}" if one.laid.where is Where.PULLED else ""
    if one.found is None:
        return Row(cells={**cells, "verdict": Cell(value=one.wrong)}, note=pulled)
    found = one.found
    bids = found.metal.bids
    cells |= {
        "melt": Cell(value=found.metal.melt),
        "bid": Cell(value=bids[0].net, note=bids[0].exit.name) if bids else Cell(value=None),
        "verdict": Cell(value="pulled" if pulled else found.verdict),
    }
    if found.best is not None:
        net = found.best.net
        cells |= {"low": Cell(value=net.low), "mid": Cell(value=net.mid, note=found.best.exit.name)}
        cells |= {"high": Cell(value=net.high)}
    note = "; ".join(part for part in (pulled, found.reason) if part)
    return Row(cells=cells, note=note, weight=Weight.QUIET if pulled else Weight.PLAIN)


def _picture(visit: Visit, every: Sequence[Answer], rules: Judging) -> Picture | None:
    rows = [
        Over(
            name=one.laid.label,
            low=one.found.extra.low,
            mid=one.found.extra.mid,
            high=one.found.extra.high,
            words=f"{one.found.verdict}, {money(one.found.extra.low)} to {money(one.found.extra.high)}",
            look=one.found.verdict is Verdict.PULL,
        )
        for one in every
        if one.found is not None and one.found.extra is not None
    ][:MOST_DRAWN]
    if not rows:
        return None
    unit = visit.kit.journal.currency
    return visit.picture(
        partial(over_the_heap, rows, rules.threshold, unit=f"{unit} over what it brings in the heap"),
        alt="What each piece would net over what it brings in the heap. "
        + "; ".join(f"{row.name}: {row.words}" for row in rows)
        + f". The threshold is {money(rules.threshold)}.",
        caption="Each line runs from the low to the high end of what a piece would net over its heap; the dot is the "
        "middle. Right of the dashed line it is pulled, left of it it goes back, across it the figures do not settle.",
        size=(720, HEAD + LINE * len(rows) + FOOT),
    )


def _candidates(visit: Visit, offered: Sequence[Candidate]) -> Ledger:
    return Ledger(
        caption="Told apart and not laid aside: dates that sorters look for, and those your sheets price by themselves",
        columns=(
            Column(key="goods", head="Coin"),
            Column(key="much", head="How much"),
            Column(key="rank", head="Sought as"),
            Column(key="go", head="Triage"),
        ),
        rows=[
            Row(
                cells={
                    "goods": one.goods,
                    "much": say_amount(one.heap.amount),
                    "rank": (one.issue.rank if one.issue is not None else "") or "by its price",
                    "go": Cell(value="Lay one aside", href=visit.path_to("lay", asking={"heap": one.name})),
                },
                note="; ".join(
                    part
                    for part in (
                        f"lot {one.heap.lot}" + (f", at {one.heap.place}" if one.heap.place else ""),
                        f"{one.aside} laid aside already" if one.aside else "",
                        one.issue.look_for if one.issue is not None else "",
                    )
                    if part
                ),
            )
            for one in offered
        ],
        empty="Nothing that is held and told apart is looked for.",
    )


def laying(visit: Visit) -> Response:
    """A form for a piece to lay aside."""
    usual = {"label": next_label(visit.kit), "count": "1"}
    visit.form = Form(starting={name: visit.asked(name) or usual.get(name, "") for name in LAY})
    return _laying(visit)


def _laying(visit: Visit, status: int = 200) -> Response:
    return visit.page("triage_lay.html", stage="sorting", status=status, ways=sorting_links(visit, "triage"))


def lay_aside(visit: Visit) -> Response:
    """Lay a piece aside."""
    stored = visit.form.attempt(lay, visit.kit, visit.form.fields)
    if stored is None:
        return _laying(visit, status=400)
    label = " ".join(visit.form.text("label").split())
    return visit.goto("piece", asking={"label": label, BOOKED: str(stored.serial)})


def putting(visit: Visit) -> Response:
    """A form to put pieces told apart back among the common ones."""
    names = ("heap", "amount", "place", "note")
    visit.form = Form(starting={**{name: visit.asked(name) for name in names}, "on": visit.kit.today().isoformat()})
    return _putting(visit)


def _putting(visit: Visit, status: int = 200) -> Response:
    return visit.page("triage_back.html", stage="sorting", status=status, ways=sorting_links(visit, "triage"))


def put_back(visit: Visit) -> Response:
    """Put them back."""
    stored = visit.form.attempt(back, visit.kit, visit.form.fields)
    return _putting(visit, status=400) if stored is None else lead_on(visit, stored, "triage")


routes = [
    shown("/sorting/triage", page, name="triage"),
    shown("/sorting/triage/lay", laying, name="lay"),
    done("/sorting/triage/lay", lay_aside, name="lay.put"),
    shown("/sorting/triage/back", putting, name="back"),
    done("/sorting/triage/back", put_back, name="back.put"),
]
