"""The stack as spot moves: what each way out would pay, where the best one changes, what an insurance leaves uncovered.

A bid struck on spot keeps its words; one said as a plain price (times face, each) keeps its share of trade melt, as in
a break-even. So does an ask. Every figure is then a straight line of spot but for its rounding.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction

from ninefine.catalog.kinds import Basis
from ninefine.errors import NotFoundError
from ninefine.market.asks import Ask, ask_for, replacement
from ninefine.market.exits import Exit
from ninefine.market.goods import Goods
from ninefine.market.paid import bid_on, pays, steady
from ninefine.market.quote import Quote
from ninefine.measure.numbers import to_places

ZERO = Decimal(0)
#: Spots between which the best way out is looked for, as shares of today's.
LOWEST, HIGHEST = Decimal("0.2"), Decimal(5)
CENT = Decimal("0.01")


def steady_ask(ask: Ask, goods: Goods, spot: Decimal) -> Ask:
    """An ask whose plain price goes on as a share of trade melt."""
    quote = ask.quote
    if quote.basis is Basis.SCALE and not goods.weighed:
        quote = replace(quote, basis=Basis.TRADE)
    return replace(ask, quote=steady(quote, goods, spot))


@dataclass(frozen=True, slots=True, kw_only=True)
class Route:
    """A way out with the goods that it buys, and its bid for each, held steady."""

    way: Exit
    goods: tuple[Goods, ...]
    bids: tuple[Quote, ...]

    def net(self, spot: Decimal) -> Decimal:
        """What would reach the pocket at a spot."""
        return pays(self.way, self.goods, spot, bids=self.bids).net


def routes(ways: Sequence[Exit], goods: Sequence[Goods], spot: Decimal) -> tuple[Route, ...]:
    """Each way out that buys any of the goods."""
    found = []
    for way in ways:
        quotes = [(item, bid_on(way, item)) for item in goods]
        bids = [(item, steady(quote, item, spot)) for item, quote in quotes if quote is not None]
        if bids:
            mine, held = zip(*bids, strict=True)
            found.append(Route(way=way, goods=mine, bids=held))
    return tuple(found)


@dataclass(frozen=True, slots=True, kw_only=True)
class Stretch:
    """A stretch of spots, to the cent, over which one way out pays the most; the first begins at the lowest looked at.

    `beyond` is none where it reaches to the highest.
    """

    way: str
    first: Decimal
    beyond: Decimal | None


def best_ways(found: Sequence[Route], spot: Decimal) -> tuple[Stretch, ...]:
    """Which way out pays the most at which spots, from a fifth of today's to five times it.

    Ways out are compared by what reaches the pocket, each for what it buys; one that buys less has less to show.
    """
    if not found:
        return ()
    nets = _Nets(found)
    low, high = to_places(spot * LOWEST, 2), to_places(spot * HIGHEST, 2)
    stretches: list[Stretch] = []
    at = low
    while at < high:
        best = max(range(len(found)), key=lambda place: nets.of(place, at))
        dearer = [other for other in range(len(found)) if nets.of(other, high) > nets.of(best, high)]
        change = min((nets.crossing(best, other, at, high) for other in dearer), default=None)
        stretches.append(Stretch(way=found[best].way.name, first=at, beyond=change))
        at = high if change is None else change
    return tuple(stretches)


class _Nets:
    """What ways out pay at spots, each asked once: a settlement of many goods takes its time."""

    def __init__(self, found: Sequence[Route]) -> None:
        self._found = found
        self._kept: dict[tuple[int, Decimal], Decimal] = {}

    def of(self, place: int, spot: Decimal) -> Decimal:
        """What a way out pays at a spot."""
        key = place, spot
        if key not in self._kept:
            self._kept[key] = self._found[place].net(spot)
        return self._kept[key]

    def crossing(self, best: int, other: int, low: Decimal, high: Decimal) -> Decimal:
        """The least spot to the cent above `low` at which the other pays more.

        Both are straight lines but for rounding, so the place where the lines meet is within a cent or two of it.
        """
        behind, ahead = self.of(best, low) - self.of(other, low), self.of(other, high) - self.of(best, high)
        at = to_places(low + (high - low) * behind / (behind + ahead), 2)
        while at < high and not self._ahead(best, other, at):
            at += CENT
        while at - CENT > low and self._ahead(best, other, at - CENT):
            at -= CENT
        return max(at, low + CENT)

    def _ahead(self, best: int, other: int, spot: Decimal) -> bool:
        return self.of(other, spot) > self.of(best, spot)


@dataclass(frozen=True, slots=True, kw_only=True)
class Covered:
    """What an insurance covers of what it would cost to have the silver again.

    Attributes:
        limit: all covers together. replacement: at today's asks.
        opens_at: the spot at which replacement passes the limit, asks held steady; none where no spot does.
        unasked: kinds for which no ask is known: they are counted at melt.
    """

    limit: Decimal
    replacement: Decimal
    opens_at: Decimal | None
    unasked: tuple[str, ...]

    @property
    def gap(self) -> Decimal:
        """How much more it would cost than is covered; zero or below where all of it is."""
        return self.replacement - self.limit


def covered(asks: Sequence[Ask], goods: Sequence[Goods], limit: Decimal, spot: Decimal) -> Covered:
    """Hold what it would cost to have the silver again against what is covered."""
    priced = [(item, ask_for(asks, item.content)) for item in goods]
    steady = [(item, None if ask is None else steady_ask(ask, item, spot)) for item, ask in priced]
    low, high = replaced(steady, spot), replaced(steady, 2 * spot)
    opens = None
    if high > low:
        exact = Fraction(spot) + Fraction(limit - low) * Fraction(spot) / Fraction(high - low)
        opens = to_places(exact, 2) if exact > 0 else None
    names = dict.fromkeys(item.content.name for item, ask in priced if ask is None)
    return Covered(limit=limit, replacement=low, opens_at=opens, unasked=tuple(names))


def replaced(priced: Sequence[tuple[Goods, Ask | None]], spot: Decimal) -> Decimal:
    """What goods would cost at their asks; at melt (trade) where nobody asks."""
    return sum((_again(item, ask, spot) for item, ask in priced), ZERO)


def _again(item: Goods, ask: Ask | None, spot: Decimal) -> Decimal:
    if ask is None:
        return to_places(item.ozt(Basis.TRADE) * Fraction(spot), 2)
    return replacement(ask, item, spot)


def worths(found: Sequence[Route], spots: Sequence[Decimal]) -> Mapping[str, tuple[Decimal, ...]]:
    """What each way out would pay at some spots, by name.

    Raises:
        NotFoundError: no way out buys any of it.
    """
    if not found:
        raise NotFoundError("No way out buys any of what lies here.", expected="Set one down with what it pays.")
    return {route.way.name: tuple(route.net(spot) for spot in spots) for route in found}
