"""Sharing out: people and their shares, wishes, what each would get, and the cash that evens it out."""

from starlette.responses import Response

from ninefine.desk.exits import exit_names
from ninefine.desk.plan_dividing import FIRSTS, MELT, Dividing, dividing_sentence, plan_dividing, proof_words
from ninefine.measure.numbers import to_places
from ninefine.papers.charts import Bar
from ninefine.plan.division import Sharing
from ninefine.web.charts import Picture
from ninefine.web.format import figure, money
from ninefine.web.forms import Form
from ninefine.web.ledger import Column, Ledger, Of, Row, Value, Weight
from ninefine.web.pages.bars import bars_shown
from ninefine.web.visit import Visit, done, shown

#: Things that are shown one by one; any more are counted.
MOST_SHOWN = 120
#: Seconds that a page looks for a sharing out at most.
SECONDS = 6.0
_FIRSTS = tuple((word, words) for word, (_, words) in FIRSTS.items())


def page(visit: Visit) -> Response:
    """The form."""
    visit.form = Form(starting={"first": "least-cash", "value": MELT})
    return _sheet(visit)


def share_it(visit: Visit) -> Response:
    """Work the sharing out and show it."""
    return _sheet(visit, visit.form.attempt(plan_dividing, visit.kit, visit.form.trimmed, seconds=SECONDS))


def _sheet(visit: Visit, found: Dividing | None = None) -> Response:
    sharing = None if found is None else found.sharing
    return visit.page(
        "plan_divide.html",
        stage="plans",
        status=200 if visit.form.ok else 400,
        firsts=_FIRSTS,
        values=[
            (MELT, "melt, by the trade's ounces"),
            *((name, f"what {name} bids") for name in exit_names(visit.kit)),
        ],
        sentence="" if found is None else dividing_sentence(found),
        people=None if found is None or sharing is None else _people(visit, sharing),
        things=None if found is None or sharing is None else _things(visit, found, sharing),
        bars=None if sharing is None else _bars(visit, sharing),
        proof="" if found is None else proof_words(found),
        lots=[name for name, lot in visit.kit.holdings().lots.items() if lot.heaps and not lot.awaited][:40],
    )


def _people(visit: Visit, sharing: Sharing) -> Ledger:
    unit = visit.kit.journal.currency
    rows = [
        Row(
            cells={
                "who": lot.person.name,
                "worth": lot.worth,
                "cash": lot.cash,
                "due": lot.due,
                "points": to_places(lot.points, 1) if lot.wished else None,
            },
            note=f"wished with {lot.wished} points" if lot.wished else "said no wish",
        )
        for lot in sharing.lots
    ]
    return Ledger(
        caption="What each gets, in pieces and in cash; together it is what each is due",
        columns=(
            Column(key="who", head="Who"),
            Column(key="worth", head="In pieces", of=Of.MONEY, unit=unit),
            Column(key="cash", head="In cash", of=Of.MONEY, unit=unit, signed=True),
            Column(key="due", head="Due", of=Of.MONEY, unit=unit),
            Column(key="points", head="Points met", of=Of.FIGURE, places=1),
        ),
        rows=rows,
    )


def _things(visit: Visit, found: Dividing, sharing: Sharing) -> Ledger:
    names = [lot.person.name for lot in sharing.lots]
    rows = []
    for at, thing in enumerate(found.estate.things[:MOST_SHOWN]):
        cells: dict[str, Value] = {"what": thing.name, "worth": thing.worth}
        cells |= {f"to-{who}": lot.pieces[at] or None for who, lot in enumerate(sharing.lots)}
        whole = found.stocks[at].step is None
        rows.append(Row(cells={key: value for key, value in cells.items() if value is not None},
                        note="stays together" if whole else ""))  # fmt: skip
    if len(found.estate.things) > MOST_SHOWN:
        rows.append(Row(cells={"what": f"and {len(found.estate.things) - MOST_SHOWN} more"}, weight=Weight.QUIET))
    return Ledger(
        caption="Which pieces go to whom: pieces, or dollars of face where pieces are not told apart",
        columns=(
            Column(key="what", head="What"),
            *(Column(key=f"to-{who}", head=name, of=Of.COUNT) for who, name in enumerate(names)),
            Column(key="worth", head="One is worth", of=Of.MONEY, unit=visit.kit.journal.currency),
        ),
        rows=rows,
    )


def _bars(visit: Visit, sharing: Sharing) -> Picture:
    bars = []
    for lot in sharing.lots:
        cash = "nothing" if not lot.cash else f"{'is paid' if lot.cash > 0 else 'pays'} {money(abs(lot.cash))}"
        bars.append(Bar(name=lot.person.name, length=lot.worth, words=f"{figure(lot.worth, 2)} in pieces, {cash}"))
    dues = {lot.due for lot in sharing.lots}
    line = (max(dues), "due") if max(dues) - min(dues) <= 1 else None
    caption = "The worth of each one's pieces; cash makes up the rest of what each is due."
    return bars_shown(visit, bars, caption=caption, line=line)


routes = [
    shown("/plans/divide", page, name="plan_divide"),
    done("/plans/divide", share_it, name="plan_divide.made"),
]
