"""Plans of selling in words: the sentence, why each line is there, what clashes."""

from collections.abc import Iterable, Sequence
from decimal import Decimal
from fractions import Fraction

from ninefine.book.entries import Amount
from ninefine.desk.amounts import say_amount
from ninefine.desk.plan_selling import SellingPlan
from ninefine.desk.say import money_words
from ninefine.market.exits import Exit
from ninefine.measure.money import cents
from ninefine.measure.numbers import EXACT, plain, to_places
from ninefine.plan.selling import Goal, Need, Outcome, Part, Problem, counts_short
from ninefine.plan.selling_stock import ozt_per_step

ZERO = Decimal(0)
#: Said wherever a plan speaks of tax.
NOT_ADVICE = (
    "Tax is reckoned at the rates you typed, on what this book holds: arithmetic, not advice. Rules differ by place "
    "and change; ask a licensed preparer."
)
_BEST = {
    Goal.LEAST_SILVER: "No plan sells less silver",
    Goal.MOST_KEPT: "No plan leaves more after tax",
    Goal.FEWEST_TRIPS: "No plan needs fewer ways out",
}


def selling_sentence(plan: SellingPlan) -> str:
    """What a plan comes to, or why there is none."""
    if plan.outcome is None:
        return clash_sentence(plan)
    return f"Sell {outcome_words(plan.problem, plan.outcome)}. {_proof(plan)}"


def outcome_words(problem: Problem, done: Outcome) -> str:
    """What goes where, what is in hand, and how much silver goes."""
    trips = "; ".join(f"{parts_words(trip.parts)} to {trip.way.name}" for trip in done.trips)
    taxed = f", {money_words(done.kept, problem.currency)} after tax" if has_rates(problem) else ""
    return (
        f"{trips}: {money_words(done.net, problem.currency)} in hand{taxed}; {to_places(done.ozt, 2):,f} ozt trade go"
    )


def _proof(plan: SellingPlan) -> str:
    goal, currency = plan.problem.need.goal, plan.problem.currency
    if plan.proven:
        return f"{_BEST[goal]}: proven to the cent."
    if plan.short_of is None:
        return "The best found in the time; how much better another could be is not known."
    if plan.first_proven and goal is not Goal.MOST_KEPT:
        away = money_words(plan.short_of / 100, currency)
        return f"{_BEST[goal]}: proven; of such plans another could leave {away} more at the most."
    if goal is Goal.LEAST_SILVER:
        ounces = plain(to_places(plan.short_of / 1_000_000, 4))
        return f"The best found in the time: another could do with {ounces} ozt trade less at the most."
    if goal is Goal.FEWEST_TRIPS:
        return "The best found in the time; another could do with fewer ways out."
    away = money_words(plan.short_of / 100, currency)
    return f"The best found in the time: another could leave {away} more at the most."


def paid_words(way: Exit) -> str:
    """When a way out pays; empty where that is not set down."""
    if way.days is None:
        return ""
    return "paid at once" if way.days == 0 else f"paid within {way.days} {'day' if way.days == 1 else 'days'}"


def parts_words(parts: Iterable[Part]) -> str:
    """What some lines of a sale are, by kind."""
    return goods_words((part.stock.kind.name, part.amount) for part in parts)


def goods_words(goods: Iterable[tuple[str, Amount]]) -> str:
    """Goods by kind: `112 face of 90% coin`; amounts of one kind together."""
    kinds: dict[str, list[Amount]] = {}
    for name, amount in goods:
        kinds.setdefault(name, []).append(amount)
    return " and ".join(f"{_much(many)} of {name}" for name, many in kinds.items())


def _much(amounts: Sequence[Amount]) -> str:
    faces, counts = [amount.face for amount in amounts], [amount.count for amount in amounts]
    if None not in faces:
        return f"{plain(sum((face or ZERO for face in faces), ZERO))} face"
    if None not in counts:
        whole = sum(count or 0 for count in counts)
        return f"{whole:,} {'piece' if whole == 1 else 'pieces'}"
    return f"{plain(sum((amount.gross_g or ZERO for amount in amounts), ZERO))} g"


def part_ounces(part: Part) -> Decimal:
    """Fine ounces (trade) of a line, to ten places."""
    return to_places(ozt_per_step(part.stock) * part.steps, 10)


def part_tax(problem: Problem, part: Part) -> Decimal:
    """What a line's own gain comes to at its rate, to the cent; below zero for a loss."""
    rate = problem.rates.short if counts_short(part.term, problem.rates) else problem.rates.long
    return cents(EXACT.divide(EXACT.multiply(part.gain, rate), Decimal(100)), problem.currency)


def reason(problem: Problem, part: Part) -> str:
    """Why a line is there: what each of its ounces keeps, which is what a plan compares."""
    word, amount = "gains" if part.gain >= 0 else "loses", money_words(abs(part.gain), problem.currency)
    net = part.proceeds - part.fees - part_tax(problem, part)
    each = to_places(Fraction(net) / (ozt_per_step(part.stock) * part.steps), 2)
    if not has_rates(problem):
        return f"{word} {amount}, {part.term} term; {each:,f} an ounce reaches the pocket"
    rate = problem.rates.short if counts_short(part.term, problem.rates) else problem.rates.long
    return f"{word} {amount}, {part.term} term at {plain(rate)}%; {each:,f} an ounce is kept"


def has_rates(problem: Problem) -> bool:
    """Whether any tax rate was typed."""
    return bool(problem.rates.short or problem.rates.long)


def left_by_kind(plan: SellingPlan) -> tuple[tuple[str, str, int], ...]:
    """What stays of each kind that may be sold: its name, how much in words, and in how many heaps."""
    kinds: dict[str, list[Amount]] = {}
    for stock, steps in plan.left:
        kinds.setdefault(stock.kind.name, []).append(stock.amount(steps) or stock.heap.amount)
    return tuple((name, _amount_words(amounts), len(amounts)) for name, amounts in kinds.items())


def _amount_words(amounts: Sequence[Amount]) -> str:
    counts, faces = [one.count for one in amounts], [one.face for one in amounts]
    if None not in counts:
        return say_amount(Amount(count=sum(count or 0 for count in counts)))
    if None not in faces:
        return say_amount(Amount(face=sum((face or ZERO for face in faces), ZERO)))
    return ", ".join(say_amount(one) for one in amounts[:3]) + (" and more" if len(amounts) > 3 else "")


def need_words(need: Need, currency: str) -> str:
    """What was asked for: `5,000.00 USD after tax`, `400 face`."""
    if need.amount is not None:
        return str(need.amount)
    return money_words(need.sum or ZERO, currency) + (" after tax" if need.after_tax else "")


def clash_sentence(plan: SellingPlan) -> str:
    """Why no plan fits, and the nearest that does."""
    asked, clash = need_words(plan.problem.need, plan.problem.currency), plan.clash
    if clash is None:
        return f"No plan for {asked} was found in the time. Ask again, or ask for less."
    if not clash.limits:
        why = f"{asked} cannot be had, whatever limit is lifted."
    elif len(clash.limits) == 1:
        why = f"{asked} cannot be had with this limit: {clash.limits[0]}."
    else:
        why = f"{asked} cannot be had with these limits together: {'; '.join(clash.limits)}. Lift one of them."
    if clash.nearest is None:
        near = "Within the limits nothing can be sold."
    else:
        near = f"The nearest that fits: {outcome_words(plan.problem, clash.nearest)}."
    if clash.in_days is not None:
        near += f" In {clash.in_days} days it could be had."
    return f"{why[0].upper()}{why[1:]} {near}"
