"""A plan of buying in words: the answer, why each line is as it is, what a little more would do, what clashes."""

from collections.abc import Mapping
from decimal import Decimal
from fractions import Fraction

from ninefine.catalog.kinds import Basis
from ninefine.desk.plan_purchase import PlannedPurchase
from ninefine.market.hints import HintKind
from ninefine.market.quote import exact_decimal
from ninefine.measure.numbers import plain, to_places
from ninefine.plan.buying import Basket, Invoice
from ninefine.plan.buying_beside import Freed, Missed
from ninefine.plan.buying_clash import Clash, Nearest
from ninefine.plan.buying_plan import Plan
from ninefine.plan.explain import Holds, Reason, TopUp
from ninefine.plan.solver import Proof
from ninefine.plan.wishes import Goal, Wish

#: What every plan of buying says.
MIND = (
    "Prices hold until they change: ask again before paying. Rules on sales tax differ by place; look yours up, or ask "
    "someone licensed."
)


def money(value: Decimal | Fraction) -> str:
    """An amount to the cent: `1,234.50`."""
    return f"{to_places(value, 2):,f}"


def ounces(value: Fraction | Decimal) -> str:
    """Ounces to four places."""
    return f"{to_places(value, 4):,f}"


def by_basis(basket: Basket) -> Mapping[Basis, Fraction]:
    """A basket's ounces, each line on the count that the plan goes by."""
    found: dict[Basis, Fraction] = {}
    for invoice in basket.invoices:
        for item, steps in zip(invoice.pick.source.items, invoice.pick.steps, strict=True):
            if steps:
                found[item.basis] = found.get(item.basis, Fraction(0)) + item.ozt * steps
    return found


def ounces_said(basket: Basket) -> str:
    """A basket's ounces with their basis: `92.6375 fine ounces (71.5000 trade, 21.1375 scale)`."""
    parts = by_basis(basket)
    if len(parts) == 1:
        return f"{ounces(basket.ozt)} fine ounces {next(iter(parts)).value}"
    inner = ", ".join(f"{ounces(ozt)} {basis.value}" for basis, ozt in parts.items())
    return f"{ounces(basket.ozt)} fine ounces ({inner})"


def cost_per_ozt(basket: Basket) -> Decimal:
    """Dollars for a fine ounce of a basket, everything added; unrounded."""
    return exact_decimal(Fraction(basket.spend) / basket.ozt)


def premium_pct(basket: Basket, spot: Decimal) -> Decimal:
    """Per cent over spot, unrounded; below zero under it."""
    return exact_decimal((Fraction(basket.spend) / basket.ozt / Fraction(spot) - 1) * 100)


def each_ounce(invoice: Invoice) -> Decimal:
    """Dollars for a fine ounce of one offer of a basket, its miles counted; unrounded."""
    return exact_decimal(Fraction(invoice.total) / invoice.ozt)


def premium_of(invoice: Invoice, spot: Decimal) -> Decimal:
    """Per cent over spot of one offer of a basket, unrounded."""
    return exact_decimal((Fraction(invoice.total) / invoice.ozt / Fraction(spot) - 1) * 100)


def sentence(found: PlannedPurchase) -> str:
    """The answer in words, with how far it is proven."""
    plan = found.plan
    if plan.basket is None:
        if plan.proof is Proof.NOT_FOUND:
            return "The time ran out before any basket was found. Give it longer, or fewer offers."
        return clash_sentence(found.clash, sold_back=plan.wishes.goal is Goal.LEAST_LOSS)
    basket, spot = plan.basket, plan.market.spot
    over = premium_pct(basket, spot)
    side = "over" if over >= 0 else "under"
    count = len(basket.invoices)
    return (
        f"{money(basket.spend)} buys {ounces_said(basket)} by {count} offer{'s' if count != 1 else ''}: "
        f"{money(cost_per_ozt(basket))} an ounce, {money(abs(over))}% {side} spot {money(spot)}{_left(plan)}. "
        f"{proof_words(plan)}"
    )


def _left(plan: Plan) -> str:
    parts = []
    if plan.change is not None:
        parts.append(f"{money(plan.change)} of the budget is left")
    if plan.basket is not None and plan.basket.loss is not None and plan.market.way_out is not None:
        loss = plan.basket.loss
        words = f"lose {money(loss)}" if loss >= 0 else f"bring {money(-loss)} more"
        parts.append(f"sold back to {plan.market.way_out.name} today it would {words}")
    return "; " + "; ".join(parts) if parts else ""


def proof_words(plan: Plan) -> str:
    """How far the plan is proven, in words."""
    if plan.proof is Proof.PROVEN:
        what = {
            Goal.MOST_SILVER: "No basket within these wishes holds more",
            Goal.LEAST_SPEND: "No basket within these wishes costs less",
            Goal.LEAST_LOSS: "No basket within these wishes loses less",
        }[plan.wishes.goal]
        return f"{what}: proven." if plan.settled else f"{what}: proven; among equals it may not be the cheapest."
    if plan.gap is None:
        return "It is the best found in the time, and not proven."
    unit = "ounces" if plan.wishes.goal is Goal.MOST_SILVER else "in money"
    near = ounces(plan.gap) if plan.wishes.goal is Goal.MOST_SILVER else money(plan.gap)
    return f"It is the best found in the time; the best there can be lies no more than {near} {unit} from it."


def way_said(invoice: Invoice) -> str:
    """How an offer is paid, where it says."""
    return f"by {invoice.landed.way.name}" if invoice.landed.way.name else ""


def reason_words(reason: Reason) -> str:
    """Why a line is as long as it is."""
    match reason.holds:
        case Holds.ALL:
            return "all that is offered"
        case Holds.WHOLE:
            return "taken whole, as you said"
        case Holds.MONEY:
            return f"one step more would overspend by {money(reason.over or Decimal(0))}"
        case Holds.WISH:
            return f"with one step more, {reason.wrong}"
        case Holds.ENOUGH:
            return "no more is needed"
    return "the money does more elsewhere"


_LINES = {
    HintKind.TIER: "reaches the next tier",
    HintKind.TAX: "crosses the tax line",
    HintKind.CARRIAGE: "reaches free carriage",
}


def top_up_words(one: TopUp) -> str:
    """What a little more would do: `27.40 more (2 face of 90% halves, A) crosses the tax line and saves 61.00`."""
    unit = one.item.goods.content.counted_by.value
    amount = plain(to_places(one.more, 3))
    goods = f"{amount} face of {one.goods}" if unit == "face" else f"{amount} x {one.goods}"
    spent = f"{money(one.extra)} more" if one.extra >= 0 else f"{money(-one.extra)} less"
    words = f"{one.offer}: {goods} for {spent} {_LINES[one.kind]} and saves {money(one.saved)}"
    return words + (f"; the budget lacks {money(one.short)} for it" if one.short else "")


_LIMITS = {
    Wish.BUDGET: "{} more to spend",
    Wish.WEIGHT: "{} fewer ounces asked for",
    Wish.SHARE_LEAST: "without the least share of constitutional coin",
    Wish.SHARE_MOST: "without the most share of constitutional coin",
    Wish.SELLERS: "with any number of sellers",
    Wish.EACH: "with any amount to one offer",
    Wish.ROLLS: "without whole rolls",
    Wish.WHOLE: "if every offer could be parted",
    Wish.WITH: "without offers that must be in",
}


def freed_words(one: Freed) -> str:
    """A limit, moved or taken away."""
    return _LIMITS[one.wish].format("" if one.moved is None else plain(one.moved)).strip()


def gain_words(gain: Fraction | None, goal: Goal) -> str:
    """By how much a basket gets better, in words."""
    if gain is None:
        return "nothing fits"
    if not gain:
        return "nothing changes"
    if goal is Goal.MOST_SILVER:
        return f"{ounces(abs(gain))} fine ounces {'more' if gain > 0 else 'fewer'}"
    better, worse = ("less spent", "more spent") if goal is Goal.LEAST_SPEND else ("less lost", "more lost")
    return f"{money(abs(gain))} {better if gain > 0 else worse}"


def missed_words(one: Missed, goal: Goal) -> str:
    """What an offer in the basket is worth to it."""
    return gain_words(None if one.loss is None else -one.loss, goal)


def clash_sentence(found: Clash | None, *, sold_back: bool = False) -> str:
    """Why nothing fits, and what would. `sold_back`: only what the way out has a bid for will do."""
    if found is None or not found.wishes:
        if sold_back:
            return "Nothing on the table can be bought and sold back: the way out has no bid for what is offered."
        return "Nothing on the table can be bought: there is no offer that can be looked at."
    names = [wish.value for wish in found.wishes]
    if len(names) == 1:
        words = f"No basket keeps {names[0]}."
    else:
        words = f"No basket keeps all of these at once: {', '.join(names[:-1])} and {names[-1]}."
    return " ".join([words, *(f"{nearest_words(one)}." for one in found.nearest)])


_NEAREST = {
    Wish.BUDGET: "A budget of {} would do",
    Wish.WEIGHT: "As much as {} can be had",
    Wish.SHARE_LEAST: "A least share of {}% can be kept",
    Wish.SHARE_MOST: "A most share of {}% can be kept",
    Wish.SELLERS: "With {} sellers it can be done",
    Wish.EACH: "With up to {} to one offer it can be done",
    Wish.ROLLS: "Without whole rolls it can be done",
    Wish.WHOLE: "If offers could be parted it could be done",
    Wish.WITH: "Without the offers that must be in it can be done",
}


def nearest_words(one: Nearest) -> str:
    """How far one wish would have to give, the others kept."""
    needs = one.needs
    if needs is None:
        return _NEAREST[one.wish]
    shown = money(needs) if one.wish in {Wish.BUDGET, Wish.EACH} else plain(needs)
    if one.wish is Wish.WEIGHT:
        shown = ounces_said(one.basket)
    return _NEAREST[one.wish].format(shown)
