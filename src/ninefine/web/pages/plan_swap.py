"""Planning a change of form or metal: what it costs, when it would have paid, and the ratio in the past."""

from starlette.responses import Response

from ninefine.desk.exits import exit_names
from ninefine.desk.plan_say import NOT_ADVICE
from ninefine.desk.plan_swap_say import guess_words, swap_sentence
from ninefine.desk.plan_swapping import GOLD, Swapping, plan_swapping, ratio_points
from ninefine.desk.sale import RULE_WORDS, RULES
from ninefine.measure.numbers import to_places
from ninefine.papers.charts import Point
from ninefine.papers.charts_plans import Level, Named, lines
from ninefine.web.charts import Picture
from ninefine.web.forms import Form
from ninefine.web.ledger import Column, Ledger, Of, Row, Step, Weight, Worked
from ninefine.web.visit import Visit, done, shown

_RULES = tuple((rule, RULE_WORDS[rule]) for rule in RULES)
_TAX = ("short_rate", "long_rate", "loss_limit", "so_far", "spot", "other_spot")


def page(visit: Visit) -> Response:
    """The form."""
    usual = next(iter(exit_names(visit.kit)), "")
    visit.form = Form(starting={"rule": "highest-basis", "exit": usual, "kind": "90%"})
    return _sheet(visit)


def swap_it(visit: Visit) -> Response:
    """Work the change out and show it."""
    return _sheet(visit, visit.form.attempt(plan_swapping, visit.kit, visit.form.trimmed))


def _sheet(visit: Visit, found: Swapping | None = None) -> Response:
    return visit.page(
        "plan_swap.html",
        stage="plans",
        status=200 if visit.form.ok else 400,
        rules=_RULES,
        exits=[*((name, name) for name in exit_names(visit.kit)), ("", "none of these")],
        tax_fields=_TAX,
        found=found,
        sentence="" if found is None else swap_sentence(found),
        guessed="" if found is None else guess_words(found),
        sums=None if found is None else _sums(visit, found),
        chart=None if found is None or found.taken.metal != GOLD else _ratio(visit, found),
        not_advice=NOT_ADVICE,
    )


def _sums(visit: Visit, found: Swapping) -> Ledger:
    change, unit = found.change, visit.kit.journal.currency
    sale = found.sale
    lots = [
        Step(
            what=f"{row.amount_words} of lot {row.lot}",
            result=f"{row.proceeds - row.fees:,.2f}",
            whence=f"{row.term} term",
        )
        for row in sale.rows[:40]
    ]
    rows = [
        Row(cells={"what": "Melt of what is given", "sum": to_places(change.given_melt, 2)}, weight=Weight.QUIET),
        Row(cells={"what": "Its sale brings", "sum": sale.proceeds - sale.fees}, worked=Worked(steps=lots)),
        Row(cells={"what": "Tax on it", "sum": -change.tax}, note="at the rates you typed"),
        Row(
            cells={"what": f"Paid for {change.units:,} of {found.taken.name}", "sum": -change.paid},
            note=f"{change.price:,.2f} each, at {found.quotes['ask']}",
        ),
        Row(cells={"what": "Left over", "sum": change.cash}, weight=Weight.TOTAL),
        Row(cells={"what": "Melt of what is taken", "sum": to_places(change.taken_melt, 2)}, weight=Weight.QUIET),
        Row(
            cells={"what": "Going back at once would bring", "sum": change.back},
            note=f"by a bid of {found.quotes['bid']}, with what was left over",
        ),
        Row(
            cells={"what": "Having it all again would cost", "sum": change.again},
            note=f"at an ask of {found.quotes['again']}",
        ),
    ]
    return Ledger(
        caption="The change, sum by sum",
        columns=(Column(key="what", head="What"), Column(key="sum", head="Sum", of=Of.MONEY, unit=unit)),
        rows=rows,
    )


def _ratio(visit: Visit, found: Swapping) -> Picture:
    change = found.change
    points = tuple(Point(on=on, value=value) for on, value in ratio_points())
    levels = [Level(words=f"today {to_places(change.ratio, 2)}", value=to_places(change.ratio, 4))]
    if change.pays_at is not None:
        at = to_places(change.pays_at, 2)
        levels.append(Level(words=f"pays at {at}", value=to_places(change.pays_at, 4), look=True))
    named = [Named(name="gold over silver", points=points)]
    return visit.picture(
        lambda palette, width: lines(named, palette, width, unit="times", levels=levels),
        alt="How many times an ounce of gold was the price of an ounce of silver, month by month since 1960.",
        caption="Averages of months; the red line is where going back would buy all of it again.",
        size=(640, 280),
    )


routes = [
    shown("/plans/swap", page, name="plan_swap"),
    done("/plans/swap", swap_it, name="plan_swap.made"),
]
