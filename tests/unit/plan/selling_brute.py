"""Every plan of a small problem, tried one after the other in whole cents: what a planner is held against.

Written apart from the program: it shares only the price of a step, which the market's own tests prove.
"""

from collections.abc import Iterator
from fractions import Fraction
from itertools import product
from math import ceil, floor

from ninefine.book.term import Term, term_of
from ninefine.market.exits import Exit
from ninefine.plan.selling import Goal, Problem, Stock
from ninefine.plan.selling_stock import ozt_per_step, price_per_step

HALF = Fraction(1, 2)
Value = tuple[Fraction, ...]


def half_up(value: Fraction) -> int:
    """To a whole cent, halves away from zero."""
    return floor(value + HALF) if value >= 0 else -floor(-value + HALF)


def best_by_trying(problem: Problem) -> Value | None:
    """What the best plan comes to by the problem's goal, the first aim first; none where no plan fits."""
    return max((value for value in _values(problem)), default=None)


def _values(problem: Problem) -> Iterator[Value]:
    tables = _Tables(problem)
    places = range(len(problem.stocks))
    splits = [list(_splits(tables, at)) for at in places]
    for plan in product(*splits):
        value = tables.value(plan)
        if value is not None:
            yield value


def _splits(tables: "_Tables", at: int) -> Iterator[tuple[int, ...]]:
    """Every way to give some steps of a stock to the ways out."""
    steps = tables.problem.stocks[at].steps
    ranges = [range(steps + 1) if (way, at) in tables.price else range(1) for way in range(len(tables.problem.ways))]
    for split in product(*ranges):
        if sum(split) <= steps:
            yield split


class _Tables:
    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        need = problem.need
        self.price = {}
        for place, way in enumerate(problem.ways):
            if need.days is not None and (way.days is None or way.days > need.days):
                continue
            for at, stock in enumerate(problem.stocks):
                price = price_per_step(way, stock, problem.spot)
                if price is not None:
                    self.price[place, at] = price * 100
        self.ozt = [ozt_per_step(stock) for stock in problem.stocks]
        self.micro = [round(ozt * 1_000_000) for ozt in self.ozt]
        self.bother = round(Fraction(problem.bother) / Fraction(problem.spot) * 1_000_000)
        self.short = [self._is_short(stock) for stock in problem.stocks]
        self.short_by_value = [self._is_short(stock, by_value=True) for stock in problem.stocks]

    def _is_short(self, stock: Stock, *, by_value: bool = False) -> bool:
        term = term_of(stock.lot, self.problem.on, by_value=by_value)
        rates = self.problem.rates
        return term is Term.SHORT or (term is Term.UNKNOWN and rates.short >= rates.long)

    def value(self, plan: tuple[tuple[int, ...], ...]) -> Value | None:
        problem, need = self.problem, self.problem.need
        basis = [half_up(Fraction(stock.heap.basis) * 100) for stock in problem.stocks]
        value = [half_up(Fraction(stock.lot.loss_basis or 0) * 100) for stock in problem.stocks]
        left = [stock.steps for stock in problem.stocks]
        gains, net, trips = {True: 0, False: 0}, 0, 0
        sold = [sum(split) for split in plan]
        for place, way in enumerate(problem.ways):
            lines = [(at, split[place]) for at, split in enumerate(plan) if split[place]]
            if not lines:
                continue
            trips += 1
            brings = self._brings(place, way, lines)
            if not self._in_limits(way, lines, sum(brings)):
                return None
            fees = self._fees(way, lines, sum(brings))
            net += sum(brings) - fees
            for (at, steps), bring, fee in zip(lines, brings, _share(fees, brings), strict=True):
                cost = half_up(Fraction(basis[at] * steps, left[at]))
                # what a gift was worth goes with its cost, and the last of it takes what is left
                worth = value[at] if steps == left[at] else half_up(Fraction(value[at] * cost, basis[at] or 1))
                basis[at], value[at], left[at] = basis[at] - cost, value[at] - worth, left[at] - steps
                gain, by_value = self._gain(at, bring - fee, cost, worth)
                gains[self.short_by_value[at] if by_value else self.short[at]] += gain
        kept = net - self._tax(gains)
        if not trips or not self._meets(net, kept, trips, sold):
            return None
        many = sum(1 for split in plan for steps in split if steps)
        melt = sum(self.ozt[at] * steps for at, steps in enumerate(sold)) * Fraction(problem.spot) * 100
        left_over = kept - melt - many * Fraction(problem.bother) * 100
        ounces = sum(self.micro[at] * steps for at, steps in enumerate(sold))
        first = {
            Goal.LEAST_SILVER: (Fraction(-ounces - many * self.bother),),
            Goal.FEWEST_TRIPS: (Fraction(-trips),),
            Goal.MOST_KEPT: (),
            Goal.MOST_MONEY: (Fraction(net),),
        }[need.goal]
        return (*first, left_over) if need.goal is not Goal.MOST_MONEY else first

    def _gain(self, at: int, net: int, cost: int, value: int) -> tuple[int, bool]:
        """A gain, and whether it is a loss from a gift's value: over its cost, under its value, and between nothing."""
        lot = self.problem.stocks[at].lot
        if not lot.cost_known:
            return net, False
        if lot.loss_basis is None or net >= cost:
            return net - cost, False
        return (net - value, True) if net < value else (0, False)

    def _meets(self, net: int, kept: int, trips: int, sold: list[int]) -> bool:
        need = self.problem.need
        if need.sum is not None and (kept if need.after_tax else net) < Fraction(need.sum) * 100:
            return False
        if need.amount is not None:
            face = sum(self._face(at) * steps for at, steps in enumerate(sold))
            assert need.amount.unit == "face"
            if face != Fraction(need.amount.amount):
                return False
        return need.most_trips is None or trips <= need.most_trips

    def _face(self, at: int) -> Fraction:
        stock = self.problem.stocks[at]
        return Fraction(0) if stock.heap.face is None else Fraction(stock.heap.face) / stock.steps

    def _brings(self, place: int, way: Exit, lines: list[tuple[int, int]]) -> list[int]:
        exact = [self.price[place, at] * steps for at, steps in lines]
        if way.payable_pct is None:
            return [half_up(amount) for amount in exact]
        return _spread(half_up(sum(exact, Fraction(0))), exact)

    def _in_limits(self, way: Exit, lines: list[tuple[int, int]], gross: int) -> bool:
        for limit, sign in ((way.minimum, 1), (way.capacity, -1)):
            if limit is None:
                continue
            if limit.unit == "money":
                held = Fraction(gross, 100)
            elif limit.unit == "ozt":
                held = sum((self.ozt[at] * steps for at, steps in lines), Fraction(0))
            elif limit.unit == "face":
                held = sum((self._face(at) * steps for at, steps in lines), Fraction(0))
            else:
                held = sum((Fraction(steps) for at, steps in lines if self._told_apart(at)), Fraction(0))
            if (held - Fraction(limit.amount)) * sign < 0:
                return False
        return True

    def _told_apart(self, at: int) -> bool:
        return self.problem.stocks[at].heap.count is not None

    def _fees(self, way: Exit, lines: list[tuple[int, int]], gross: int) -> int:
        taken = 0
        if way.payable_pct is not None:
            taken += half_up(gross * (100 - Fraction(way.payable_pct)) / 100)
        taken += half_up(gross * Fraction(way.fee_pct) / 100)
        if way.parcels is not None:
            count = way.parcels.count
            if count is None:
                face = sum((self._face(at) * steps for at, steps in lines), Fraction(0))
                count = max(1, ceil(face / Fraction(way.parcels.face or 1)))
            for each in (way.parcels.fee, way.parcels.postage):
                taken += half_up(count * Fraction(each) * 100)
        if way.treatment is not None:
            ounces = sum((self._gross_ozt(at) * steps for at, steps in lines), Fraction(0))
            by_weight = Fraction(way.treatment.per_gross_ozt) * ounces
            taken += half_up(max(by_weight, Fraction(way.treatment.minimum)) * 100)
        taken += half_up(Fraction(way.costs) * 100)
        return taken + (half_up(Fraction(way.travel.miles) * Fraction(way.travel.per_mile) * 100) if way.travel else 0)

    def _gross_ozt(self, at: int) -> Fraction:
        return self.ozt[at] / Fraction(self.problem.stocks[at].kind.fineness)

    def _tax(self, gains: dict[bool, int]) -> int:
        rates = self.problem.rates
        before = half_up(Fraction(rates.before_short) * 100), half_up(Fraction(rates.before_long) * 100)
        return self._year(before[0] + gains[True], before[1] + gains[False]) - self._year(*before)

    def _year(self, short: int, long: int) -> int:
        rates = self.problem.rates
        at_short, at_long = Fraction(rates.short) / 100, Fraction(rates.long) / 100
        if short >= 0 and long >= 0:
            return half_up(short * at_short) + half_up(long * at_long)
        whole = short + long
        if whole >= 0:
            return half_up(whole * (at_long if long > 0 else at_short))
        return half_up(max(whole, -half_up(Fraction(rates.loss_limit) * 100)) * at_short)


def _spread(total: int, weights: list[int] | list[Fraction]) -> list[int]:
    whole = sum(weights)
    parts = [half_up(Fraction(total) * weight / whole) for weight in weights]
    largest = max(range(len(weights)), key=weights.__getitem__)
    parts[largest] += total - sum(parts)
    return parts


def _share(fees: int, brings: list[int]) -> list[int]:
    """Fees by what each line brings; the cents that rounding leaves over go one each to the largest."""
    parts = [half_up(Fraction(fees * bring, sum(brings))) for bring in brings]
    off = fees - sum(parts)
    one = 1 if off > 0 else -1
    for at in sorted(range(len(parts)), key=lambda at: -brings[at])[: abs(off)]:
        parts[at] += one
    return parts
