"""Why a basket is as it is: what holds each line where it is, and what a little more money would do."""

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction

from ninefine.market.hints import HintKind
from ninefine.market.landed import CostKind, Landed, how_much
from ninefine.market.quote import exact_decimal
from ninefine.plan.buying import Basket, Invoice, Item, Pick, broken_wishes, judged, past_stock
from ninefine.plan.buying_plan import Plan, value_of
from ninefine.plan.wishes import Goal

#: Steps of a line that are tried, one after the other, to see whether a line of money or a tier is crossed.
_FARTHEST = 400


class Holds(StrEnum):
    """What keeps a line from being longer."""

    ALL = "all that is offered"
    WHOLE = "taken whole or left"
    MONEY = "the budget"
    WISH = "a wish"
    ENOUGH = "no more is needed"
    ELSEWHERE = "the money does more elsewhere"


@dataclass(frozen=True, slots=True, kw_only=True)
class Reason:
    """One line of a basket and why it is as long as it is.

    Attributes:
        words: the goods and their price, as the invoice line says them.
        amount: the line's price, without what is added to it.
        ozt, item: fine ounces on the item's count.
        holds: what keeps it from being longer.
        over: dollars by which one more step would overspend, where the budget holds it.
        wrong: the wish that one more would break, where a wish holds it.
    """

    invoice: Invoice
    item: Item
    steps: int
    words: str
    amount: Decimal
    ozt: Fraction
    holds: Holds
    over: Decimal | None = None
    wrong: str = ""


def reasons(plan: Plan) -> tuple[Reason, ...]:
    """Each line of the basket, with what holds it where it is."""
    if plan.basket is None:
        return ()
    found = []
    for place, invoice in enumerate(plan.basket.invoices):
        goods = [line for line in invoice.landed.lines if line.kind is CostKind.GOODS]
        bought = [at for at, count in enumerate(invoice.pick.steps) if count]
        for at, line in zip(bought, goods, strict=True):
            item, steps = invoice.pick.source.items[at], invoice.pick.steps[at]
            holds, over, wrong = _held(plan, plan.basket, place, at)
            found.append(
                Reason(
                    invoice=invoice,
                    item=item,
                    steps=steps,
                    words=line.words,
                    amount=line.amount,
                    ozt=item.ozt * steps,
                    holds=holds,
                    over=over,
                    wrong=wrong,
                )
            )
    return tuple(found)


def _held(plan: Plan, basket: Basket, place: int, at: int) -> tuple[Holds, Decimal | None, str]:
    invoice = basket.invoices[place]
    if invoice.pick.source.whole:
        return Holds.WHOLE, None, ""
    if invoice.pick.steps[at] == invoice.pick.source.items[at].most:
        return Holds.ALL, None, ""
    longer = _longer(plan, basket, place, at, 1)
    budget = plan.wishes.budget
    if budget is not None and longer.spend > budget:
        return Holds.MONEY, longer.spend - budget, ""
    wrong = broken_wishes(longer, plan.wishes)
    if wrong:
        return Holds.WISH, None, wrong[0]
    return (Holds.ELSEWHERE if plan.wishes.goal is Goal.MOST_SILVER else Holds.ENOUGH), None, ""


def _longer(plan: Plan, basket: Basket, place: int, at: int, more: int) -> Basket:
    """The basket with a line some steps longer."""
    picks = list(basket.picks)
    picks[place] = _more(picks[place], at, more)
    market = plan.market
    return judged(picks, market.spot, plan.wishes, market.way_out, known=market.known)


def _more(pick: Pick, at: int, more: int) -> Pick:
    steps = list(pick.steps)
    steps[at] += more
    return Pick(source=pick.source, steps=tuple(steps), way=pick.way)


@dataclass(frozen=True, slots=True, kw_only=True)
class TopUp:
    """What buying a little more of an offer in the basket would do.

    Attributes:
        offer, item: more of which line of which offer.
        kind: the line that is crossed.
        more: units more (face dollars, pieces).
        extra: what more would leave the pocket in all; below zero, buying more costs less.
        saved: what crossing saves, against the same goods at today's conditions.
        short: dollars that the budget lacks for it; zero where it is within the budget.
    """

    offer: str
    item: Item
    kind: HintKind
    more: Fraction
    extra: Decimal
    saved: Decimal
    ozt: Fraction
    short: Decimal

    @property
    def each_more(self) -> Decimal:
        """What each ounce more would cost, unrounded."""
        return exact_decimal(Fraction(self.extra) / self.ozt)

    @property
    def goods(self) -> str:
        """The goods, in words."""
        return self.item.goods.content.name


def top_ups(plan: Plan) -> tuple[TopUp, ...]:
    """For each offer in the basket the nearest tier, tax line or free carriage ahead, where crossing it saves money."""
    if plan.basket is None:
        return ()
    found: dict[tuple[str, HintKind], TopUp] = {}
    for place, invoice in enumerate(plan.basket.invoices):
        if invoice.pick.source.whole:
            continue
        for at in range(len(invoice.pick.steps)):
            for one in _ahead(plan, plan.basket, place, at):
                key = one.offer, one.kind
                if one.saved > 0 and (key not in found or one.extra < found[key].extra):
                    found[key] = one
    return tuple(sorted(found.values(), key=lambda one: one.extra))


def _ahead(plan: Plan, basket: Basket, place: int, at: int) -> list[TopUp]:
    """The lines that making one line of an invoice longer comes to, each at the first step that crosses it."""
    invoice = basket.invoices[place]
    item, now = invoice.pick.source.items[at], invoice.landed
    found: dict[HintKind, TopUp] = {}
    last = now
    for more in range(1, min(item.most - invoice.pick.steps[at], _FARTHEST) + 1):
        then = plan.market.known.invoice(_more(invoice.pick, at, more))
        if past_stock(invoice.pick.source.offer, then):
            break
        for kind in _crossed(last, then):
            if kind not in found:
                found[kind] = _top_up(plan, basket, place, at, more, kind)
        last = then
    return list(found.values())


def _crossed(now: Landed, then: Landed) -> list[HintKind]:
    """The lines that lie between two sizes of an invoice."""
    crossed = []
    quotes = {line.words.partition(" at ")[2] for line in now.lines if line.kind is CostKind.GOODS}
    if any(
        line.words.partition(" at ")[2] not in quotes
        for line in then.lines
        if line.kind is CostKind.GOODS and len(now.goods) == len(then.goods)
    ):
        crossed.append(HintKind.TIER)
    if now.sum_of(CostKind.TAX) and not then.sum_of(CostKind.TAX):
        crossed.append(HintKind.TAX)
    if now.sum_of(CostKind.CARRIAGE) and not then.sum_of(CostKind.CARRIAGE):
        crossed.append(HintKind.CARRIAGE)
    return crossed


def _top_up(plan: Plan, basket: Basket, place: int, at: int, more: int, kind: HintKind) -> TopUp:
    invoice = basket.invoices[place]
    item = invoice.pick.source.items[at]
    longer = _longer(plan, basket, place, at, more)
    extra = longer.spend - basket.spend
    one = _longer(plan, basket, place, at, 1).spend - basket.spend if more > 1 else None
    today = extra if one is None else one * more
    if one is None:
        today = _price_now(invoice, at) * more
    lacks = Decimal(0) if plan.wishes.budget is None else longer.spend - plan.wishes.budget
    return TopUp(
        offer=invoice.pick.source.name,
        item=item,
        kind=kind,
        more=item.step * more,
        extra=extra,
        saved=today - extra,
        ozt=item.ozt * more,
        short=max(lacks, Decimal(0)),
    )


def _price_now(invoice: Invoice, at: int) -> Decimal:
    """What a step of a line costs in goods as the invoice stands; nothing where it buys none of that line."""
    bought = [place for place, count in enumerate(invoice.pick.steps) if count]
    if at not in bought:
        return Decimal(0)
    goods = [line for line in invoice.landed.lines if line.kind is CostKind.GOODS]
    return exact_decimal(Fraction(goods[bought.index(at)].amount) / invoice.pick.steps[at])


def in_words(item: Item, steps: int) -> str:
    """So many steps of a line, in words: `30 face of 90% halves`."""
    return how_much(item.bought(steps, lambda _: item.goods.content).goods(lambda _: item.goods.content))


def better_by(one: Plan, other: Plan) -> Fraction | None:
    """By how much one plan is better than another by their goal: ounces, or dollars; none where either is empty."""
    if one.basket is None or other.basket is None:
        return None
    goal = one.wishes.goal
    gain = value_of(one.basket, goal) - value_of(other.basket, goal)
    return gain if goal is Goal.MOST_SILVER else -gain
