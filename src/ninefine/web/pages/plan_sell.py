"""Planning a sale: a sum or an amount, the plan with the reason for each line, and one press books all its sales."""

from collections.abc import Mapping

from starlette.responses import Response

from ninefine.catalog.kinds import Basis
from ninefine.desk.amounts import say_amount
from ninefine.desk.exits import exit_names
from ninefine.desk.heaps import say_goods
from ninefine.desk.plan_say import NOT_ADVICE, left_by_kind, paid_words, part_ounces, part_tax, reason, selling_sentence
from ninefine.desk.plan_selling import SellingPlan, book_sales, plan_selling, sale_form
from ninefine.desk.plan_typed import GOALS
from ninefine.errors import BookError
from ninefine.measure.numbers import read_reference, to_places
from ninefine.papers.charts import Bar
from ninefine.plan.selling import Outcome, Stock, Trip
from ninefine.web.charts import Picture
from ninefine.web.format import money, plural
from ninefine.web.forms import Form
from ninefine.web.ledger import Cell, Column, Ledger, Of, Row, Value, Weight
from ninefine.web.pages.bars import bars_shown
from ninefine.web.pages.booked import lead_on
from ninefine.web.visit import Visit, done, shown

#: Lines of one sale that are shown one by one; any more are counted, and booked with the rest.
MOST_SHOWN = 60
#: Heaps that are left alone and named one by one.
MOST_LEFT_ALONE = 12
#: Seconds that a page looks for a plan at most.
SECONDS = 5.0
_GOALS = tuple((word, words) for word, (_, words) in GOALS.items())
_FURTHER = ("kind", "keep", "marks", "long_only", "ways", "most_trips", "bother", "spot")
_TAX = ("short_rate", "long_rate", "loss_limit", "so_far", "after_tax")


def page(visit: Visit) -> Response:
    """The form."""
    visit.form = Form(
        starting={"goal": "least-silver", **{name: visit.asked(name) for name in ("sum", "amount", "by")}}
    )
    return _sheet(visit)


def plan_it(visit: Visit) -> Response:
    """Make the plan and show it."""
    return _sheet(visit, visit.form.attempt(plan_selling, visit.kit, visit.form.trimmed, seconds=SECONDS))


def book_it(visit: Visit) -> Response:
    """Book all sales of the plan that was shown, as long as the book is still the one that it was made for."""
    form = visit.form
    sales = _sales_sent(form.fields)
    if not sales or form.text("serial") != str(visit.kit.holdings().serial):
        form.blame(BookError("The book has changed since this plan was made. Make it again, then book it."))
        return _sheet(visit, status=409)
    booked = form.attempt(book_sales, visit.kit, sales)
    return _sheet(visit, status=409) if booked is None else lead_on(visit, booked[-1], "exits")


def _sales_sent(fields: Mapping[str, str]) -> list[dict[str, str]]:
    """The forms of sales that a form carries, each field under the number of its sale: `2.heap-1`."""
    sales: dict[int, dict[str, str]] = {}
    for name, text in fields.items():
        number, dot, field = name.partition(".")
        sale = read_reference(number)
        if dot and sale is not None:
            sales.setdefault(sale, {})[field] = text
    return [sales[number] for number in sorted(sales)]


def _sheet(visit: Visit, plan: SellingPlan | None = None, *, status: int | None = None) -> Response:
    done_ = None if plan is None else plan.outcome
    return visit.page(
        "plan_sell.html",
        stage="plans",
        status=status or (200 if visit.form.ok else 400),
        goals=_GOALS,
        has_ways=bool(exit_names(visit.kit)),
        further=_FURTHER,
        tax_fields=_TAX,
        plan=plan,
        sentence="" if plan is None else selling_sentence(plan),
        clash=plan is not None and done_ is None,
        sales=[] if plan is None or done_ is None else [_sale(visit, plan, trip) for trip in done_.trips],
        beside=None if plan is None or done_ is None else _beside(visit, plan, done_),
        bars=None if plan is None or done_ is None else _bars(visit, plan, done_),
        left=None if plan is None or done_ is None else _left(visit, plan),
        all_sales=[] if plan is None or done_ is None else _all_sales(plan, done_),
        not_advice=NOT_ADVICE,
        serial=visit.kit.holdings().serial,
    )


def _sale(visit: Visit, plan: SellingPlan, trip: Trip) -> dict[str, object]:
    """One sale of the plan: its ledger, and the form that shows or books it."""
    return {
        "name": trip.way.name,
        "note": paid_words(trip.way),
        "rows": _parts(visit, plan, trip),
        "fields": [("how", "chosen"), *sale_form(plan.problem, trip).items()],
    }


def _all_sales(plan: SellingPlan, done_: Outcome) -> list[tuple[str, str]]:
    """The fields of all sales together, each under its sale's number."""
    forms = [sale_form(plan.problem, trip) for trip in done_.trips]
    return [(f"{number}.{name}", text) for number, form in enumerate(forms, 1) for name, text in form.items()]


def _parts(visit: Visit, plan: SellingPlan, trip: Trip) -> Ledger:
    unit = visit.kit.journal.currency
    rows = [
        Row(
            cells={
                "lot": Cell(value=part.stock.lot.name, href=visit.path_to("lot", lot=part.stock.lot.name)),
                "goods": f"{say_amount(part.amount)} of {_goods(visit, part.stock)}",
                "ozt": part_ounces(part),
                "proceeds": part.proceeds,
                "fees": part.fees,
                "basis": part.basis if part.stock.lot.cost_known else None,
                "gain": part.gain,
                "tax": part_tax(plan.problem, part),
            },
            note=reason(plan.problem, part),
        )
        for part in trip.parts[:MOST_SHOWN]
    ]
    if len(trip.parts) > MOST_SHOWN:
        more = f"and {plural(len(trip.parts) - MOST_SHOWN, 'line more', 'lines more')}"
        rows.append(Row(cells={"lot": more}, note="in the sum below, and booked with the rest", weight=Weight.QUIET))
    total: dict[str, Value] = {"lot": "All", "proceeds": trip.gross, "fees": trip.fees}
    rows.append(Row(cells=total, weight=Weight.TOTAL))
    return Ledger(
        caption=f"What goes to {trip.way.name}",
        columns=(
            Column(key="lot", head="Lot"),
            Column(key="goods", head="What"),
            Column(key="ozt", head="Fine ounces", of=Of.OUNCE, basis=Basis.TRADE, places=2),
            Column(key="proceeds", head="Proceeds", of=Of.MONEY, unit=unit),
            Column(key="fees", head="Fees", of=Of.MONEY, unit=unit),
            Column(key="basis", head="Basis", of=Of.MONEY, unit=unit),
            Column(key="gain", head="Gain", of=Of.MONEY, unit=unit, signed=True),
            Column(key="tax", head="Tax on it", of=Of.MONEY, unit=unit),
        ),
        rows=rows,
    )


def _goods(visit: Visit, stock: Stock) -> str:
    return say_goods(stock.heap.kind, stock.heap.issue, visit.kit.catalog())


def _compared(plan: SellingPlan, done_: Outcome) -> list[tuple[str, Outcome | None, str]]:
    return [("this plan", done_, ""), *((one.words, one.outcome, one.why_not) for one in plan.beside)]


def _beside(visit: Visit, plan: SellingPlan, done_: Outcome) -> Ledger:
    unit = visit.kit.journal.currency
    rows = []
    for words, outcome, why_not in _compared(plan, done_):
        if outcome is None:
            rows.append(Row(cells={"plan": words}, note=why_not, weight=Weight.QUIET))
            continue
        cells: dict[str, Value] = {
            "plan": words,
            "net": outcome.net,
            "tax": outcome.tax,
            "kept": outcome.kept,
            "ozt": to_places(outcome.ozt, 4),
            "over": to_places(outcome.left_over, 2),
        }
        rows.append(Row(cells=cells, weight=Weight.SUBTOTAL if outcome is done_ else Weight.PLAIN))
    return Ledger(
        caption="The plan beside simpler ways to the same need",
        columns=(
            Column(key="plan", head="Plan"),
            Column(key="net", head="In hand", of=Of.MONEY, unit=unit),
            Column(key="tax", head="Tax", of=Of.MONEY, unit=unit),
            Column(key="kept", head="Kept", of=Of.MONEY, unit=unit),
            Column(key="ozt", head="Silver that goes", of=Of.OUNCE, basis=Basis.TRADE, places=2),
            Column(key="over", head="Kept less its melt", of=Of.MONEY, unit=unit, signed=True),
        ),
        rows=rows,
    )


def _bars(visit: Visit, plan: SellingPlan, done_: Outcome) -> Picture:
    found = [(words, outcome) for words, outcome, _ in _compared(plan, done_) if outcome is not None]
    bars = [
        Bar(
            name=words,
            length=outcome.kept,
            words=f"{money(outcome.kept)} kept, {money(outcome.tax)} tax",
            look=outcome is done_,
        )
        for words, outcome in found
    ]
    caption = "What is kept of the money after tax. A longer bar may have cost more silver: see the last column."
    return bars_shown(visit, bars, caption=caption)


def _left(visit: Visit, plan: SellingPlan) -> Ledger:
    rows = [
        Row(cells={"goods": name, "much": much}, note=f"in {plural(heaps, 'heap')}")
        for name, much, heaps in left_by_kind(plan)
    ]
    rows += [
        Row(
            cells={
                "goods": f"{_goods(visit, one.stock)}, lot {one.stock.lot.name}",
                "much": say_amount(one.stock.heap.amount),
            },
            note=f"left alone: {one.why}",
            weight=Weight.QUIET,
        )
        for one in plan.problem.held_back[:MOST_LEFT_ALONE]
    ]
    if len(plan.problem.held_back) > MOST_LEFT_ALONE:
        more = f"and {plural(len(plan.problem.held_back) - MOST_LEFT_ALONE, 'heap more', 'heaps more')} left alone"
        rows.append(Row(cells={"goods": more}, weight=Weight.QUIET))
    return Ledger(
        caption="What stays on the shelf",
        columns=(Column(key="goods", head="What"), Column(key="much", head="How much")),
        rows=rows,
        empty="Nothing of what may be sold stays.",
    )


routes = [
    shown("/plans/sell", page, name="plan_sell"),
    done("/plans/sell", plan_it, name="plan_sell.made"),
    done("/plans/sell/book", book_it, name="plan_sell.book"),
]
