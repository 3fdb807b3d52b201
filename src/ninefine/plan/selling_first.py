"""A plan of selling to begin with: filled in by merit, piece after piece. Never taken for the best."""

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from math import ceil

from ninefine.market.exits import Exit
from ninefine.plan.selling import Goal, Outcome, Problem, Takes, fits, reckon
from ninefine.plan.selling_gain import is_short
from ninefine.plan.selling_sales import Offered, Pair, taken_share
from ninefine.plan.selling_stock import per_step

#: How much more than the sum is aimed at, try after try, because of fees that merit leaves out.
_OVER = (Fraction(1), Fraction(101, 100), Fraction(104, 100), Fraction(110, 100))
_ZERO = Fraction(0)


def first_plans(problem: Problem, can: Offered) -> Iterator[Outcome]:
    """Plans that fit, filled by merit: from all ways out together, and from each alone."""
    tried: set[frozenset[tuple[Pair, int]]] = set()
    every = tuple(place for place, _ in can.ways)
    for places in (every, *((place,) for place in every)):
        for over in _OVER:
            takes = _Filling(problem, can, places).fill(over)
            key = frozenset(takes.items())
            if takes and key not in tried:
                tried.add(key)
                outcome = reckon(problem, takes)
                if fits(problem, outcome):
                    yield outcome
                    break


@dataclass(frozen=True, slots=True, kw_only=True)
class _Merit:
    """What a step of a pair keeps, in cents, and how that stands to its ounces."""

    pair: Pair
    net: Fraction
    each: Fraction


class _Filling:
    """One filling: what is left of stocks and of the room at each way out."""

    def __init__(self, problem: Problem, can: Offered, places: tuple[int, ...]) -> None:
        self._problem, self._can, self._places = problem, can, places
        self._left = {at: stock.steps for at, stock in enumerate(problem.stocks)}
        self._room = {place: _room(problem.ways[place]) for place in places}

    def fill(self, over: Fraction) -> Takes:
        """Take the best pairs first until the need is met, or nothing is left."""
        need = self._problem.need
        rest = Fraction(need.sum or 0) * 100 * over
        amount = Fraction(need.amount.amount) if need.amount is not None else _ZERO
        takes: dict[Pair, int] = {}
        for merit in self._ranked():
            steps = self._fitting(merit.pair)
            if need.sum is not None:
                steps = min(steps, max(0, ceil(rest / merit.net)))
            if need.amount is not None:
                each = per_step(self._problem.stocks[merit.pair[1]], need.amount.unit)
                steps = min(steps, int(amount // each)) if each else 0
                amount -= each * steps
            if steps:
                takes[merit.pair] = steps
                rest -= merit.net * steps
                self._take(merit.pair, steps)
        return takes

    def _ranked(self) -> list[_Merit]:
        merits = [self._merit(pair) for pair in self._can.prices if pair[0] in self._places]
        return sorted((one for one in merits if one.net > 0), key=lambda one: (-one.each, one.pair))

    def _merit(self, pair: Pair) -> _Merit:
        problem, (place, at) = self._problem, pair
        stock, way = problem.stocks[at], problem.ways[place]
        brings = self._can.prices[pair] * (1 - taken_share(way))
        if way.parcels is not None and way.parcels.face:
            share = per_step(stock, "face") / Fraction(way.parcels.face)
            brings -= share * Fraction(way.parcels.fee + way.parcels.postage) * 100
        cost = Fraction(stock.heap.basis) * 100 / stock.steps if stock.lot.cost_known else _ZERO
        rate = problem.rates.short if is_short(problem, at) else problem.rates.long
        kept = brings - Fraction(rate) / 100 * (brings - cost)
        taxed = problem.need.after_tax or problem.need.goal is not Goal.LEAST_SILVER
        net = kept if problem.need.after_tax else brings
        return _Merit(pair=pair, net=net, each=(kept if taxed else brings) / self._can.ozt[at])

    def _fitting(self, pair: Pair) -> int:
        """Steps that are left and that the way out has room for."""
        steps, room = self._left[pair[1]], self._room[pair[0]]
        for unit, left in room.items():
            each = self._each(pair, unit)
            if each:
                steps = min(steps, int(left // each))
        return max(0, steps)

    def _take(self, pair: Pair, steps: int) -> None:
        self._left[pair[1]] -= steps
        room = self._room[pair[0]]
        for unit in room:
            room[unit] -= self._each(pair, unit) * steps

    def _each(self, pair: Pair, unit: str) -> Fraction:
        if unit == "money":
            return ceil(self._can.prices[pair]) / Fraction(100)
        return per_step(self._problem.stocks[pair[1]], unit)


def _room(way: Exit) -> dict[str, Fraction]:
    return {} if way.capacity is None else {way.capacity.unit: Fraction(way.capacity.amount)}
