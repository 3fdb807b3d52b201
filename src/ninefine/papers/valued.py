"""What is held, line by line, with its three values: melt at spot, a quick sale at bids, replacement at asks.

Heaps of one kind at one place are one line; pieces that are not to be melted stand on lines of their own. A line
without a bid or an ask has no such value and is in no such total: no figure of one sort ever fills in for another.
"""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from msgspec.structs import replace

from ninefine.book.holdings import Heap
from ninefine.catalog.kinds import Basis, Kind
from ninefine.errors import RangeError
from ninefine.market.asks import Ask, ask_for, replacement
from ninefine.market.exits import Exit
from ninefine.market.goods import Goods
from ninefine.market.paid import Paid, PaidKind, pays
from ninefine.measure.money import spread
from ninefine.worth.ounces import HeapOunces, ounces_of
from ninefine.worth.stack import Pile, melts_of, piles_of
from ninefine.worth.ways_out import goods_of

ZERO = Decimal(0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """How a heap is told apart on paper: the issue named, and why it is not to be melted. Both empty for most."""

    issue: str = ""
    why: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Quick:
    """What a line would bring in a quick sale, its share of what the exit takes off counted, and which exit."""

    net: Decimal
    exit: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One line of what is held. `melt`, `quick` and `replacement` are none where there is no price, bid or ask."""

    pile: Pile
    mark: Mark
    lots: tuple[str, ...]
    ounces: HeapOunces
    melt: Decimal | None
    quick: Quick | None
    replacement: Decimal | None
    ask: Ask | None

    @property
    def name(self) -> str:
        """The goods in words."""
        return f"{self.pile.kind.name} {self.mark.issue}".strip()

    @property
    def ozt(self) -> Decimal:
        """Fine troy ounces by the trade's count."""
        return self.ounces.on(Basis.TRADE).ozt


@dataclass(frozen=True, slots=True, kw_only=True)
class Valued:
    """Everything held, valued.

    Attributes:
        lines: by place, then most ounces first.
        unknown: heaps whose kind the catalog does not hold; they have no weight and no value.
        settled: what each exit would pay for its lines, metal by metal.
    """

    lines: tuple[Line, ...]
    unknown: tuple[Heap, ...]
    settled: tuple[Paid, ...]

    @property
    def melt(self) -> Decimal:
        """Melt of every line that has one."""
        return sum((line.melt for line in self.lines if line.melt is not None), ZERO)

    @property
    def quick(self) -> Decimal:
        """What a quick sale of every line with a bid would bring, after all that is taken off."""
        return sum((line.quick.net for line in self.lines if line.quick is not None), ZERO)

    @property
    def replacement(self) -> Decimal:
        """What every line with an ask would cost to have again."""
        return sum((line.replacement for line in self.lines if line.replacement is not None), ZERO)

    @property
    def metals(self) -> tuple[str, ...]:
        """The metals of the lines, silver first."""
        held = {line.pile.kind.metal for line in self.lines}
        return tuple(sorted(held, key=lambda metal: (metal != "XAG", metal)))


def valued(
    heaps: Iterable[Heap],
    *,
    kind_of: Callable[[str], Kind],
    mark_of: Callable[[Heap], Mark],
    prices: "Prices",
) -> Valued:
    """Value what is held, line by line.

    Args:
        heaps: what is held.
        kind_of: the catalog's `kind`.
        mark_of: how a heap is told apart.
        prices: what lines are valued by.
    """
    apart: dict[Mark, list[Heap]] = {}
    for heap in heaps:
        # what it cost has no part in these values, nor whether anybody knows it
        apart.setdefault(mark_of(heap), []).append(replace(heap, cost_known=True))
    piled: list[tuple[Mark, Pile, tuple[str, ...]]] = []
    unknown: list[Heap] = []
    for mark, group in apart.items():
        piles, strange = piles_of(group, kind_of)
        piled += [(mark, pile, _lots_of(pile, group)) for pile in piles]
        unknown += strange
    lines, settled = _lines(piled, prices)
    lines.sort(key=lambda line: (line.pile.place, -line.ozt, line.name))
    return Valued(lines=tuple(lines), unknown=tuple(unknown), settled=settled)


@dataclass(frozen=True, slots=True, kw_only=True)
class Prices:
    """What lines are valued by: spot of each metal, asks, and exits with the one for a quick sale first."""

    spots: Mapping[str, Decimal]
    asks: Sequence[Ask] = ()
    exits: Sequence[Exit] = ()
    currency: str = "USD"


def _lots_of(pile: Pile, group: Iterable[Heap]) -> tuple[str, ...]:
    measured = (pile.count is not None, pile.face is not None, pile.gross_g is not None)
    names = (
        heap.lot
        for heap in group
        if (heap.kind, heap.place) == (pile.kind.slug, pile.place)
        and (heap.count is not None, heap.face is not None, heap.gross_g is not None) == measured
    )
    return tuple(dict.fromkeys(names))


def _lines(piled: Sequence[tuple[Mark, Pile, tuple[str, ...]]], prices: Prices) -> tuple[list[Line], tuple[Paid, ...]]:
    ounces = [ounces_of(pile, pile.kind) for _, pile, _ in piled]
    counted = [(pile.kind.metal, one.on(Basis.TRADE).ozt) for (_, pile, _), one in zip(piled, ounces, strict=True)]
    melts = melts_of(counted, prices.spots, prices.currency)
    goods = [goods_of(pile.kind, pile) if pile.kind.fineness else None for _, pile, _ in piled]
    quicks, settled = _quick_sale(goods, prices)
    lines = []
    for place, (mark, pile, lots) in enumerate(piled):
        ask, cost = _asked(goods[place], prices)
        lines.append(
            Line(
                pile=pile, mark=mark, lots=lots, ounces=ounces[place], melt=melts[place],
                quick=quicks.get(place), replacement=cost, ask=ask,
            )
        )  # fmt: skip
    return lines, settled


def _asked(goods: Goods | None, prices: Prices) -> tuple[Ask | None, Decimal | None]:
    """The ask for some goods and what they would cost by it; none where it cannot price them."""
    spot = None if goods is None else prices.spots.get(goods.content.metal)
    ask = None if goods is None else ask_for(prices.asks, goods.content)
    if goods is None or spot is None or ask is None:
        return None, None
    try:
        return ask, replacement(ask, goods, spot)
    except RangeError:  # an ask by the face for goods without one: it says nothing of these
        return None, None


def _quick_sale(goods: Sequence[Goods | None], prices: Prices) -> tuple[dict[int, Quick], tuple[Paid, ...]]:
    """Every line to the first exit where it takes it, else to the other that would pay most; what each settles."""
    taken: dict[tuple[str, str], list[int]] = {}
    for place, item in enumerate(goods):
        if item is not None and item.content.metal in prices.spots:
            way = _exit_for(item, prices)
            if way is not None:
                taken.setdefault((way.name, item.content.metal), []).append(place)
    by_name = {way.name: way for way in prices.exits}
    quicks: dict[int, Quick] = {}
    settled = []
    for (name, metal), places in taken.items():
        sold = [item for place in places if (item := goods[place]) is not None]
        paid = pays(by_name[name], sold, prices.spots[metal], metal=metal)
        settled.append(paid)
        gross = [line.amount for line in paid.lines if line.kind is PaidKind.GOODS]
        shares = spread(paid.net, gross, prices.currency) if any(gross) and min(gross) >= 0 else gross
        quicks |= {place: Quick(net=net, exit=name) for place, net in zip(places, shares, strict=True)}
    return quicks, tuple(settled)


def _exit_for(item: Goods, prices: Prices) -> Exit | None:
    """The first exit that can price the goods at all; past the first, the one that would pay most for them alone."""
    spot, metal = prices.spots[item.content.metal], item.content.metal
    found: list[tuple[Decimal, Exit]] = []
    for place, way in enumerate(prices.exits):
        if way.bid_for(item.content) is None:
            continue
        try:
            net = pays(way, [item], spot, metal=metal).net
        except RangeError:  # a bid by the face for goods without one
            continue
        if place == 0:
            return way
        found.append((net, way))
    return max(found, key=lambda one: one[0])[1] if found else None
