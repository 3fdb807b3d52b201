"""In what steps a heap may be sold: piece by piece, by whole dollars of face, or all of it."""

from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction

from ninefine.book.entries import Amount
from ninefine.book.holdings import Heap, Lot
from ninefine.book.take import FINEST_FACE
from ninefine.catalog.kinds import Basis, Kind
from ninefine.market.exits import Exit
from ninefine.market.goods import Goods, measured
from ninefine.market.paid import bid_on
from ninefine.market.quote import QuoteForm, per_unit
from ninefine.plan.selling import Problem, Stock
from ninefine.worth.ways_out import goods_of

ZERO = Decimal(0)
#: Coin not told apart goes by whole dollars of face; by less only where the heap is no whole number of them.
_FACES = tuple(Decimal(face) for face in ("1", "0.50", "0.25", "0.10", "0.05"))
SILVER = "XAG"


def stock_of(name: str, heap: Heap, lot: Lot, kind: Kind) -> Stock | None:
    """A heap as something to sell from; none where it holds no silver."""
    if not kind.fineness or kind.metal != SILVER:
        return None
    step, steps = _step(heap, kind)
    return Stock(name=name, heap=heap, lot=lot, kind=kind, steps=steps, step=step)


def _step(heap: Heap, kind: Kind) -> tuple[Amount | None, int]:
    if heap.count is not None:
        if heap.face is not None and not _even(heap.face, heap.count):
            return None, 1
        return Amount(count=1), heap.count
    if heap.face is not None:
        sizes = _FACES if kind.face is None else (kind.face,)
        for size in sizes:
            whole = Fraction(heap.face) / Fraction(size)
            if whole.denominator == 1:
                return Amount(face=size), int(whole)
    return None, 1


def _even(face: Decimal, count: int) -> bool:
    """Whether the pieces can all have the same face, so that some of them have a face of their own."""
    each = Fraction(face) / count / Fraction(FINEST_FACE)
    return each.denominator == 1


def whole_goods(stock: Stock) -> Goods:
    """All of a stock, as the market reckons with it."""
    return goods_of(stock.kind, stock.heap)


def per_step(stock: Stock, unit: str) -> Fraction:
    """How much one step is in the unit of a limit other than money: face, pieces, ozt (trade)."""
    return measured([whole_goods(stock)], ZERO, unit) / stock.steps


def ozt_per_step(stock: Stock) -> Fraction:
    """Fine troy ounces of one step, by the trade."""
    return whole_goods(stock).ozt(Basis.TRADE) / stock.steps


def price_per_step(way: Exit, stock: Stock, spot: Decimal) -> Fraction | None:
    """What a way out bids for one step, before anything is taken off; none where it would not buy it or pays nothing.

    A flat price is for a whole lot of goods and names no price of a step, so such a bid is passed over.
    """
    goods = whole_goods(stock)
    quote = bid_on(way, goods)
    if quote is None or quote.form is QuoteForm.FLAT:
        return None
    price = per_unit(quote, goods.terms(spot)) * goods.units / stock.steps
    return price if price > 0 else None


def weighs(way: Exit, stock: Stock) -> bool:
    """Whether the price of some steps may be a hair off their share: a part of a weighed heap is weighed too."""
    if stock.heap.gross_g is None or stock.steps == 1:
        return False
    quote = bid_on(way, whole_goods(stock))
    return way.treatment is not None or (quote is not None and quote.basis is Basis.SCALE)


def open_ways(problem: Problem) -> Sequence[tuple[int, Exit]]:
    """The ways out that pay in time, by their places; one that does not say in how many days is not in time."""
    days = problem.need.days
    return [
        (at, way) for at, way in enumerate(problem.ways) if days is None or (way.days is not None and way.days <= days)
    ]
