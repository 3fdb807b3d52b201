"""Planning a sale: which pieces of which lots by which ways out, for a sum or an amount, held against simpler ways.

Planning books nothing: each trip of a plan comes back as the form of a sale, which `desk.sale` prices; the plan is
reckoned again by that very code before it is shown. `book_sales` books such forms.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from ninefine.book.chain import Stored
from ninefine.desk.amounts import say_amount
from ninefine.desk.fields import Fields
from ninefine.desk.kit import Kit
from ninefine.desk.plan_stock import held_stock
from ninefine.desk.plan_typed import read_by, read_goal, read_how_much, read_rates, read_trips, read_ways
from ninefine.desk.sale import SalePlan, read_sale
from ninefine.errors import BrokenLawError, NotFoundError
from ninefine.measure.numbers import to_places
from ninefine.plan.selling import Need, Outcome, Problem, Stock, Trip
from ninefine.plan.selling_beside import by_one_way, oldest_first
from ninefine.plan.selling_clash import Clash, clash_of
from ninefine.plan.selling_search import Found, best_plan
from ninefine.plan.selling_stock import per_step

ZERO = Decimal(0)
#: Seconds that a plan of selling is looked for at most; the one beside it takes at most half as long.
SECONDS = 6.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Beside:
    """A simpler plan for the same need; without an outcome `why_not` says why there is none."""

    words: str
    outcome: Outcome | None
    why_not: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class SellingPlan:
    """A plan of selling.

    Attributes:
        problem: what it rests on. by: the day by which the money must be there, if one was said.
        outcome: the plan; none where none fits, and then `clash` says why.
        proven: no plan is better, to the cent. first_proven: none is by what comes first, whatever is said of the rest.
            short_of: how much better another could at most be, where that is not proven (cents, or millionths of an
            ounce); none where not known.
        beside: the oldest pieces first, and the usual way out alone.
        left: what stays of each stock, in steps.
        cautions: what the figures leave out.
    """

    problem: Problem
    by: date | None
    outcome: Outcome | None
    proven: bool
    first_proven: bool = True
    short_of: Decimal | None = ZERO
    clash: Clash | None = None
    beside: tuple[Beside, ...] = ()
    cautions: tuple[str, ...] = ()

    @property
    def left(self) -> tuple[tuple[Stock, int], ...]:
        """What stays on the shelf of each stock that may be sold, in steps."""
        gone: dict[int, int] = {}
        for (_, at), steps in (self.outcome.takes if self.outcome is not None else {}).items():
            gone[at] = gone.get(at, 0) + steps
        rows = ((stock, stock.steps - gone.get(at, 0)) for at, stock in enumerate(self.problem.stocks))
        return tuple((stock, steps) for stock, steps in rows if steps)


def plan_selling(kit: Kit, form: Mapping[str, str], *, seconds: float = SECONDS) -> SellingPlan:
    """Plan a sale.

    Fields: `sum` (money needed) with `after_tax` (yes), or `amount` (`400 face`, `60 ozt`, `40 pieces`); `goal` (one of
    `plan_typed.GOALS`), `by` (a day, or a weekday), `kind` (only that), `keep` (lots, heaps or kinds to leave alone),
    `marks` (no: what is set apart may go too), `long_only` (yes), `most_trips`, `ways` (names, parted by commas),
    `short_rate`, `long_rate`, `loss_limit`, `so_far` (no: the year's gains so far count for nothing), `bother` (what a
    line more counts as costing, 1 if empty: no plan picks from one lot more for pennies), `spot`.

    Raises:
        Faults: every fault, each at its field.
        NotFoundError: no price of silver, or no way out, is known.
    """
    problem, by = read_problem(kit, form)
    found = best_plan(problem, seconds=seconds)
    if found.outcome is None:
        clash = clash_of(problem, seconds=seconds) if found.proven else None
        return SellingPlan(
            problem=problem, by=by, outcome=None, proven=found.proven, clash=clash, cautions=_cautions(problem, None)
        )
    _recheck(kit, problem, found.outcome)
    return SellingPlan(
        problem=problem,
        by=by,
        outcome=found.outcome,
        proven=found.proven,
        first_proven=found.first_proven,
        short_of=None if found.short_of is None else to_places(found.short_of, 2),
        beside=_beside(problem, found, seconds),
        cautions=_cautions(problem, found.outcome),
    )


def read_problem(kit: Kit, form: Mapping[str, str]) -> tuple[Problem, date | None]:
    """Read a form of `plan_selling`; second, the day by which the money must be there, if one was said."""
    fields, today = Fields(form, source="the plan"), kit.today()
    by = fields.read("by", lambda text: read_by(text, today), None)
    wanted, amount = read_how_much(fields)
    need = Need(
        sum=wanted,
        after_tax=fields.raw("after_tax") == "yes",
        amount=amount,
        goal=read_goal(fields),
        days=None if by is None else (by - today).days,
        most_trips=read_trips(fields),
    )
    rates, ways = read_rates(kit, fields), read_ways(kit, fields)
    stocks, held_back = held_stock(kit, fields)
    if amount is not None:
        # what has none of the measure (a bar has no face) cannot be part of an amount in it
        stocks = tuple(stock for stock in stocks if per_step(stock, amount.unit))
        held_back = tuple(one for one in held_back if per_step(one.stock, amount.unit))
    spot = fields.positive("spot") or kit.spot_or_none()
    bother = fields.money("bother", Decimal(1))
    fields.done()
    if spot is None:
        raise NotFoundError("No price of silver is known for today.", instead=("give spot", "set down a price"))
    return (
        Problem(
            stocks=stocks,
            ways=ways,
            spot=spot,
            on=today,
            need=need,
            rates=rates,
            held_back=held_back,
            bother=bother,
            currency=kit.journal.currency,
        ),
        by,
    )


def sale_form(problem: Problem, trip: Trip) -> dict[str, str]:
    """A trip as the form of a sale, heap by heap."""
    form = {"on": problem.on.isoformat(), "exit": trip.way.name, "spot": f"{problem.spot:f}"}
    for number, part in enumerate(trip.parts, 1):
        form[f"heap-{number}"] = part.stock.name
        form[f"take-{number}"] = "yes"
        if part.asked is not None:
            form[f"amount-{number}"] = say_amount(part.asked)
    return form


def book_sales(kit: Kit, forms: Sequence[Mapping[str, str]]) -> tuple[Stored, ...]:
    """Book the sales of a plan, each as its form says and in their order: all of them or none.

    Raises:
        Faults: every fault of the first form that has any.
        BookError: the book would not hold one of them.
    """
    return kit.journal.append_all([read_sale(kit, form).entry for form in forms])


def _recheck(kit: Kit, problem: Problem, outcome: Outcome) -> None:
    """Have every trip priced by the code that books sales: the plan must promise just that.

    What a heap costs that is sold from twice is shared out sale by sale, so there the first sale alone can be held
    against it before that one is booked.

    Raises:
        BrokenLawError: they differ, which is a defect.
    """
    seen: set[str] = set()
    for trip in outcome.trips:
        sale = read_sale(kit, sale_form(problem, trip))
        again = bool(seen & {part.stock.name for part in trip.parts})
        seen |= {part.stock.name for part in trip.parts}
        if (sale.proceeds, sale.fees) != (trip.gross, trip.fees) or not (again or _same_rows(sale, trip)):
            raise BrokenLawError(
                f"The plan for {trip.way.name} comes to {trip.net}, and the sale itself to {sale.proceeds - sale.fees}."
            )


def _same_rows(sale: SalePlan, trip: Trip) -> bool:
    told = [(row.proceeds, row.fees, row.basis, row.term) for row in sale.rows]
    return told == [(part.proceeds, part.fees, part.basis, part.term) for part in trip.parts]


def _beside(problem: Problem, found: Found, seconds: float) -> tuple[Beside, ...]:
    assert found.outcome is not None
    rows = [Beside(words="the oldest pieces first", outcome=oldest_first(problem, found.outcome))]
    if len(problem.ways) > 1:
        usual = usual_way(problem)
        alone = by_one_way(problem, usual, seconds=seconds / 2).outcome
        why = "" if alone is not None else f"{usual} alone cannot meet the need."
        rows.append(Beside(words=f"{usual} alone", outcome=alone, why_not=why))
    return tuple(rows)


def usual_way(problem: Problem) -> str:
    """The way out that is gone to first: the quickest."""
    return problem.ways[0].name


def _cautions(problem: Problem, outcome: Outcome | None) -> tuple[str, ...]:
    said = []
    if problem.need.days is not None:
        silent = [way.name for way in problem.ways if way.days is None]
        if silent:
            said.append(f"Of {', '.join(silent)} it is not set down in how many days money comes: left out.")
    if not (problem.rates.short or problem.rates.long):
        said.append("No tax rate was typed: tax is counted as nothing.")
    for one in outcome.trips if outcome is not None else ():
        said += one.cautions
    parts = [part for one in (outcome.trips if outcome is not None else ()) for part in one.parts]
    unknown = [part.stock.lot.name for part in parts if not part.stock.lot.cost_known]
    if unknown:
        lots = ", ".join(dict.fromkeys(unknown))
        said.append(f"Of lot {lots} nobody knows the cost: it is counted as if it had cost nothing.")
    undated = [part.stock.lot.name for part in parts if part.term == "not known"]
    if undated:
        lots = ", ".join(dict.fromkeys(undated))
        said.append(f"Of lot {lots} nobody knows how long it was held: the dearer rate is counted.")
    return tuple(dict.fromkeys(said))
