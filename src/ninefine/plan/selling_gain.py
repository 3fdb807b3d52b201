"""What a gain is counted from: what a step cost, or for a gift that was worth less, its value on that day.

A plan of selling is bounded from above, so no gain may be counted higher here than it is in the end. For most silver
the two are the same. A gift worth less than it had cost has a gain over its cost, a loss under its value, and between
them neither (26 CFR 1.1015-1(a)). Where a way out takes off something flat, a sale may be so small that its share of
that decides between the three.
"""

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from ninefine.book.term import term_of
from ninefine.market.exits import Exit
from ninefine.plan.selling import Problem, Stock, counts_short
from ninefine.plan.selling_sales import Offered, Pair, taken_share

_NOTHING = Fraction(0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Counted:
    """How the gain of a stock by a way out is counted.

    Attributes:
        each: cents from which a step's gain is counted; nothing where nobody knows what it cost.
        short: whether it is taxed as short term.
        nothing: there is neither gain nor loss.
        gift: roundings may move it between gain, nothing and loss, by a cent.
        loss_under: of a gift by a way out that takes off something flat: under this gross, in cents for each cent that
            is taken off, it may be a loss from its value. short_by_value: whether that loss is of the short term.
    """

    each: Fraction
    short: bool
    nothing: bool = False
    gift: bool = False
    loss_under: Fraction = _NOTHING
    short_by_value: bool = False


def counted(problem: Problem, can: Offered, pair: Pair) -> Counted:
    """How the gain of a pair is counted."""
    way, stock = problem.ways[pair[0]], problem.stocks[pair[1]]
    short, by_value = is_short(problem, pair[1]), is_short(problem, pair[1], by_value=True)
    cost, value = costs(stock)
    if value is None or value >= cost:
        return Counted(each=cost, short=short)
    brings = can.prices[pair] * (1 - taken_share(way))
    if brings <= value:
        return Counted(each=value, short=by_value, gift=True)
    return Counted(
        each=cost,
        short=short,
        nothing=brings < cost,
        gift=True,
        # a line pays its share of what is taken off, by what it brings
        loss_under=can.prices[pair] / (brings - value) if takes_flat(way) else _NOTHING,
        short_by_value=by_value,
    )


def costs(stock: Stock) -> tuple[Fraction, Fraction | None]:
    """Cents that a step cost, and for a gift with a value of its own what it was worth then."""
    if not stock.lot.cost_known:
        return _NOTHING, None
    cost = Fraction(stock.heap.basis) * 100 / stock.steps
    if stock.lot.loss_basis is None:
        return cost, None
    whole = sum((heap.basis for heap in stock.lot.heaps), Decimal(0))
    return cost, cost * Fraction(stock.lot.loss_basis) / Fraction(whole) if whole else _NOTHING


def is_short(problem: Problem, at: int, *, by_value: bool = False) -> bool:
    """Whether a stock's gain is taxed as short term; `by_value`: a gift's loss from its value on its day."""
    return counts_short(term_of(problem.stocks[at].lot, problem.on, by_value=by_value), problem.rates)


def takes_flat(way: Exit) -> bool:
    """Whether a way out takes something off whatever is paid."""
    return bool(way.costs or way.travel or way.parcels or way.treatment)
