"""Planning a purchase: wishes, the best basket on one ruler with the reason for each line, and booking all of it."""

from functools import partial

from starlette.responses import Response

from ninefine.desk.exits import exit_names
from ninefine.desk.plan_purchase import FIELDS, PlannedPurchase, beside, book_plan, plan_purchase
from ninefine.desk.plan_purchase_say import (
    MIND,
    cost_per_ozt,
    each_ounce,
    freed_words,
    gain_words,
    missed_words,
    ounces_said,
    premium_of,
    premium_pct,
    reason_words,
    sentence,
    top_up_words,
    way_said,
)
from ninefine.desk.tables import offers, rows_said_by
from ninefine.market.quote import exact_decimal
from ninefine.papers.charts import RulerMark, premium_ruler
from ninefine.plan.buying import Basket
from ninefine.plan.solver import Patience
from ninefine.web.charts import Picture
from ninefine.web.format import percent
from ninefine.web.forms import Form
from ninefine.web.ledger import Cell, Column, Ledger, Of, Row, Weight, Worked
from ninefine.web.pages.booked import lead_on
from ninefine.web.pages.offers import landed_steps
from ninefine.web.visit import Visit, done, shown

#: Seconds that a page searches at most, and each of the searches beside it.
SECONDS, SECONDS_BESIDE = 20.0, 4.0
GOALS = (
    ("silver", "The most silver for the budget"),
    ("money", "The weight for the least money"),
    ("loss", "The weight, losing least if sold back"),
)
COUNTS = (
    ("known", "The scale's where weighed, else the trade's"),
    ("trade", "The trade's"),
    ("unworn", "As struck"),
)
_FURTHER = ("share_least", "share_most", "sellers", "each", "rolls")
_BY_NAME = ("whole", "together", "must", "never")


def page(visit: Visit) -> Response:
    """The form; once it says what is wanted, the plan."""
    asked = {name: visit.asked(name) for name in FIELDS}
    wanted = bool(asked["budget"] or asked["weight"] or visit.asked("goal"))
    usual = {"goal": "silver", "count": "known"}
    visit.form = Form(
        starting={name: text or usual.get(name, "") for name, text in {"arrived": "yes", **asked}.items()}
    )
    if not wanted:
        return _sheet(visit, None)
    with_beside = bool(visit.asked("beside"))
    fields = {name: text for name, text in asked.items() if text}
    found = visit.form.attempt(plan_purchase, visit.kit, fields, patience=Patience(seconds=SECONDS))
    return _sheet(visit, found, asked=fields, with_beside=with_beside)


def book_it(visit: Visit) -> Response:
    """Book every offer of the plan that was shown; a fault shows the plan again, with what was typed."""
    fields = dict(visit.form.fields)
    booked = visit.form.attempt(book_plan, visit.kit, fields)
    if booked:
        return lead_on(visit, booked[-1], "offers")
    asked = {name: text for name, text in fields.items() if name in FIELDS and text}
    found = visit.form.attempt(plan_purchase, visit.kit, asked, patience=Patience(seconds=SECONDS))
    return _sheet(visit, found, asked=asked)


def _sheet(
    visit: Visit,
    found: PlannedPurchase | None,
    *,
    asked: dict[str, str] | None = None,
    with_beside: bool = False,
) -> Response:
    kit = visit.kit
    on_table = offers(kit)
    basket = None if found is None else found.plan.basket
    again = {**(asked or {}), "beside": "yes"}
    return visit.page(
        "plan_buy.html",
        stage="plans",
        status=200 if visit.form.ok else 400,
        offers=[offer.name for offer in on_table],
        exits=[(name, name) for name in exit_names(kit)],
        goals=GOALS,
        counts=COUNTS,
        further=_FURTHER,
        by_name=_BY_NAME,
        found=found,
        sentence="" if found is None else sentence(found),
        mind=MIND,
        stamp=kit.stamp() if found is not None and not (asked or {}).get("spot") else None,
        lines=None if found is None or basket is None else _lines(visit, found),
        bills=None if basket is None else _bills(visit, basket),
        ruler=None if found is None or basket is None else _ruler(visit, found, basket),
        ahead=[] if found is None else [top_up_words(one) for one in found.ahead],
        asked=list((asked or {}).items()),
        spend="" if basket is None else str(basket.spend),
        again=visit.path_to("plan_buy", asking=again) if basket is not None and not with_beside else "",
        beside=_beside(visit, found) if found is not None and basket is not None and with_beside else None,
    )


def _lines(visit: Visit, found: PlannedPurchase) -> Ledger:
    """Each line with its reason, then what the basket comes to."""
    rows = [
        Row(
            cells={
                "what": f"{reason.invoice.pick.source.name}: {reason.words}",
                "price": reason.amount,
                "fine": Cell(value=exact_decimal(reason.ozt), basis=reason.item.basis),
            },
            note=reason_words(reason),
        )
        for reason in found.reasons
    ]
    return Ledger(
        caption="What to buy, and why no more of it",
        columns=(
            Column(key="what", head="Goods"),
            Column(key="price", head="Price", of=Of.MONEY, unit=visit.kit.journal.currency),
            Column(key="fine", head="Fine silver", of=Of.OUNCE),
        ),
        rows=rows,
    )


def _bills(visit: Visit, basket: Basket) -> Ledger:
    """What leaves the pocket, offer by offer, each line of each bill behind it."""
    unit = visit.kit.journal.currency
    entries = rows_said_by(visit.kit, "offer")
    rows = []
    for one in basket.invoices:
        name = one.pick.source.name
        counts = " and ".join(f"ozt {basis.value}" for basis in one.bases)
        rows.append(
            Row(
                cells={
                    "offer": Cell(value=name, href=visit.path_to("offer", asking={"name": name})),
                    "seller": one.landed.total,
                    "miles": one.travel,
                    "all": one.total,
                    "each": Cell(value=each_ounce(one), note=counts),
                },
                note=way_said(one),
                worked=Worked(steps=landed_steps(one.landed, entries.get(name))),
            )
        )
    rows.append(
        Row(cells={"offer": "All of it", "all": basket.spend, "each": cost_per_ozt(basket)}, weight=Weight.TOTAL)
    )
    return Ledger(
        caption="What leaves your pocket",
        columns=(
            Column(key="offer", head="Offer"),
            Column(key="seller", head="To the seller", of=Of.MONEY, unit=unit),
            Column(key="miles", head="Miles", of=Of.MONEY, unit=unit),
            Column(key="all", head="In all", of=Of.MONEY, unit=unit),
            Column(key="each", head="A fine ounce", of=Of.MONEY, places=3, unit=unit),
        ),
        rows=rows,
    )


def _ruler(visit: Visit, found: PlannedPurchase, basket: Basket) -> Picture:
    """Each offer of the basket and the basket itself on one ruler, by what is paid over spot."""
    spot = found.plan.market.spot
    pins = [(one.pick.source.name, premium_of(one, spot)) for one in basket.invoices]
    marks = [RulerMark(name=name, at=at, words=percent(at, signed=True), look=False) for name, at in pins]
    if len(pins) > 1:
        whole = premium_pct(basket, spot)
        marks.append(RulerMark(name="the basket", at=whole, words=percent(whole, signed=True), look=True))
    told = "; ".join(f"{mark.name} {mark.words}" for mark in marks)
    return visit.picture(
        partial(premium_ruler, marks, unit="per cent over spot, landed"),
        alt=f"Each offer of the basket on one ruler by its premium over spot: {told}.",
        caption="What each offer of the basket costs over spot for a fine ounce, everything added; the basket in red.",
        size=(720, 90 + 22 * len(marks)),
    )


def _beside(visit: Visit, found: PlannedPurchase) -> dict[str, Ledger]:
    """The next best baskets; what each limit costs; what each offer in the basket is worth."""
    more, goal = beside(found, seconds=SECONDS_BESIDE), found.plan.wishes.goal
    unit = visit.kit.journal.currency
    others = [
        Row(
            cells={
                "what": " + ".join(one.pick.source.name for one in plan.basket.invoices),
                "spend": plan.basket.spend,
                "fine": ounces_said(plan.basket),
                "each": cost_per_ozt(plan.basket),
            }
        )
        for plan in more.runners_up
        if plan.basket is not None
    ]
    moved = [Row(cells={"what": freed_words(one), "gain": gain_words(one.gain, goal)}) for one in more.limits]
    lost = [Row(cells={"what": f"without {one.offer}", "gain": missed_words(one, goal)}) for one in more.missed]
    effect = (Column(key="what", head="If"), Column(key="gain", head="Then"))
    return {
        "others": Ledger(
            caption="The next best, from other sets of offers",
            columns=(
                Column(key="what", head="Offers"),
                Column(key="spend", head="Spent", of=Of.MONEY, unit=unit),
                Column(key="fine", head="Holds"),
                Column(key="each", head="A fine ounce", of=Of.MONEY, places=3, unit=unit),
            ),
            rows=others,
            empty="No other set of offers keeps these wishes.",
        ),
        "limits": Ledger(caption="What each limit costs, on the counts above", columns=effect, rows=moved),
        "missed": Ledger(caption="What each offer is worth to it, on the counts above", columns=effect, rows=lost),
    }


routes = [
    shown("/plans/buy", page, name="plan_buy"),
    done("/plans/buy/book", book_it, name="plan_buy.book"),
]
