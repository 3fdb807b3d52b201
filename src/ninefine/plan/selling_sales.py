"""Sales as whole numbers: steps of stocks by ways out, what they bring and what is taken off, each rounding its own.

Money is in cents. Every rounding of a sale (half up at its lines, its fees) is an unknown of its own, kept within its
own half cent; so a sale is worth at least as much here as when it is reckoned exactly, and mostly just as much.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from math import ceil, floor

from ninefine.market.exits import Exit
from ninefine.market.goods import Limit
from ninefine.plan.model import Model
from ninefine.plan.selling import Problem
from ninefine.plan.selling_lines import Line, most_of, rounded_line, summed
from ninefine.plan.selling_stock import open_ways, ozt_per_step, per_step, price_per_step, weighs, whole_goods

HALF = Fraction(1, 2)
#: Ounces are counted in millionths here.
MICRO = 1_000_000
#: Pairs of way out and stock up to which every rounding is a whole number of its own; with more of them it stands where
#: it favours the plan, which is sooner asked and seldom more than a cent or two off.
MOST_EXACT = 24
#: Cents by which a line, and a way out, may move a gain where roundings are not whole numbers: more than they ever do.
_SLACK_A_LINE, _SLACK_A_WAY = Fraction(12), Fraction(4)
#: A way out and a stock, each by its place in the problem.
Pair = tuple[int, int]


@dataclass(frozen=True, slots=True, kw_only=True)
class Offered:
    """What is worked out once for a problem.

    Attributes:
        prices: the pairs of way out and stock that can meet, with the price of a step in cents.
        ways: the ways out that pay in time and buy anything.
        ozt: fine ounces (trade) of a step of each stock. micro: the same in whole millionths.
    """

    prices: Mapping[Pair, Fraction]
    ways: tuple[tuple[int, Exit], ...]
    ozt: tuple[Fraction, ...]
    micro: tuple[int, ...]


def offered(problem: Problem) -> Offered:
    """Which stocks each way out that pays in time would buy, and at what."""
    prices: dict[Pair, Fraction] = {}
    ways = open_ways(problem)
    for place, way in ways:
        for at, stock in enumerate(problem.stocks):
            price = price_per_step(way, stock, problem.spot)
            if price is not None:
                prices[place, at] = price * 100
    ozt = tuple(ozt_per_step(stock) for stock in problem.stocks)
    used = {place for place, _ in prices}
    return Offered(
        prices=prices,
        ways=tuple((place, way) for place, way in ways if place in used),
        ozt=ozt,
        micro=tuple(round(ounces * MICRO) for ounces in ozt),
    )


def taken_share(way: Exit) -> Fraction:
    """What share of the proceeds a way out takes off."""
    rate = Fraction(way.fee_pct) / 100
    return rate if way.payable_pct is None else rate + 1 - Fraction(way.payable_pct) / 100


@dataclass(frozen=True, slots=True, kw_only=True)
class Sale:
    """One way out: whether it is used, its pairs, what it brings, what it takes off, and the flat part of that."""

    used: int
    pairs: tuple[Pair, ...]
    gross: Line
    fees: Line
    flat: Line


@dataclass(slots=True, kw_only=True)
class Sales:
    """Unknowns and rows of all sales of a problem, in a model.

    `steps`, `chosen` and `brings` are each pair's unknown, whether it is a line at all, and its proceeds.
    """

    model: Model
    problem: Problem
    can: Offered
    steps: dict[Pair, int] = field(default_factory=dict)
    chosen: dict[Pair, int] = field(default_factory=dict)
    brings: dict[Pair, Line] = field(default_factory=dict)
    by_way: dict[int, Sale] = field(default_factory=dict)
    _above: dict[Pair, Fraction] = field(default_factory=dict)

    def write(self) -> None:
        """Write them all."""
        for place, way in self.can.ways:
            self.by_way[place] = self._sale(place, way)
        for at, stock in enumerate(self.problem.stocks):
            terms = {step: 1 for pair, step in self.steps.items() if pair[1] == at}
            if len(terms) > 1:
                self.model.row(terms, most=stock.steps, because=f"no more of {stock.name} than there is")

    def net(self) -> Line:
        """What reaches the pocket."""
        return summed(sale.gross.minus(sale.fees) for sale in self.by_way.values())

    def lines(self, each: Fraction) -> Line:
        """So much for every line."""
        return Line(dict.fromkeys(self.chosen.values(), each))

    @property
    def exact(self) -> bool:
        """Whether there are few enough pairs for every rounding to be a whole number; else roundings may be parted."""
        return len(self.can.prices) <= MOST_EXACT

    def steps_times(self, each: Iterable[Fraction]) -> Line:
        """The steps of every pair, each stock's times a factor of its own."""
        factors = tuple(each)
        return Line({step: factors[pair[1]] for pair, step in self.steps.items()})

    def rounded(self, exact: Line, most: Fraction, loose: Fraction = Fraction(0), only_with: int | None = None) -> Line:
        """A line rounded to whole cents; `only_with` is the choice without which it is nothing.

        With many pairs a rounding is no unknown of its own: the line then stands at the top of where it may be, which
        is what a bound needs, for all that is rounded so counts in favour of a plan.
        """
        if self.exact or only_with is None:
            return rounded_line(self.model, exact, most, loose, whole=self.exact)
        return exact if exact.whole and not loose else exact.plus(Line({only_with: HALF + loose}))

    @property
    def slack(self) -> Line:
        """Cents by which gains may stand above what they come to; more than they ever do."""
        if self.exact:
            return Line()
        used = {sale.used: _SLACK_A_WAY for sale in self.by_way.values()}
        return Line({**dict.fromkeys(self.chosen.values(), _SLACK_A_LINE), **used})

    def above(self, pairs: Iterable[Pair]) -> Line:
        """Cents by which what some pairs bring may stand above what it comes to."""
        return Line({self.chosen[pair]: self._above[pair] for pair in pairs if self._above.get(pair)})

    def _sale(self, place: int, way: Exit) -> Sale:
        model, used = self.model, self.model.choice(way.name)
        pairs = tuple(pair for pair in self.can.prices if pair[0] == place)
        for pair in pairs:
            stock = self.problem.stocks[pair[1]]
            at = self.steps[pair] = model.unknown(stock.steps, name=f"{stock.name} by {way.name}")
            line = self.chosen[pair] = model.choice(f"a line of {stock.name} by {way.name}")
            model.row({at: 1, line: -stock.steps}, most=0, because="a line")
            model.row({at: 1, line: -1}, least=0, because="a line is not empty")
            model.row({line: 1, used: -1}, most=0, because=f"{way.name} is used")
        model.row({**{self.steps[pair]: 1 for pair in pairs}, used: -1}, least=0, because=f"{way.name} is used")
        gross = self._gross(way, pairs)
        flat = self._flat(way, pairs, used)
        sale = Sale(used=used, pairs=pairs, gross=gross, fees=flat.plus(self._by_gross(way, gross)), flat=flat)
        self._limit(way, way.minimum, sale, at_least=True)
        self._limit(way, way.capacity, sale, at_least=False)
        return sale

    def _gross(self, way: Exit, pairs: tuple[Pair, ...]) -> Line:
        """What is paid for each stock, a line each; a refiner's melt is rounded once for all of it."""
        one_melt = way.payable_pct is not None and len(pairs) > 1
        weighed = False
        for pair in pairs:
            stock, price = self.problem.stocks[pair[1]], self.can.prices[pair]
            loose = Fraction(len(pairs), 2) + 1 if one_melt else Fraction(0)
            if weighs(way, stock):
                loose, weighed = loose + 2, True
            exact = Line({self.steps[pair]: price})
            self.brings[pair] = self.rounded(exact, stock.steps * price, loose, self.chosen[pair])
            if not self.exact and self.brings[pair] is not exact:
                self._above[pair] = 2 * (HALF + loose)
        gross = summed(self.brings[pair] for pair in pairs)
        if one_melt and self.exact:
            exact = Line({self.steps[pair]: self.can.prices[pair] for pair in pairs})
            loose = HALF + (2 if weighed else 0)
            self.model.row(gross.minus(exact).terms, least=-loose, most=loose, because="one melt, rounded once")
        return gross

    def _by_gross(self, way: Exit, gross: Line) -> Line:
        """What is taken off in per cent of what is paid."""
        taken, most = Line(), most_of(self.model, gross)
        for rate in [way.fee_pct] + ([100 - way.payable_pct] if way.payable_pct is not None else []):
            share = Fraction(rate) / 100
            if share:
                taken = taken.plus(self.rounded(gross.times(share), most * share))
        return taken

    def _flat(self, way: Exit, pairs: tuple[Pair, ...], used: int) -> Line:
        """What is taken off whatever is paid: freight, travel, parcels, a refiner's charge by weight."""
        costs = [Fraction(way.costs)] + ([Fraction(way.travel.cost)] if way.travel is not None else [])
        flat = Line({used: sum((Fraction(floor(cost * 100 + HALF)) for cost in costs), Fraction(0))})
        if way.parcels is not None:
            many = self._parcels(way, pairs, used)
            for cost in (Fraction(way.parcels.fee) * 100, Fraction(way.parcels.postage) * 100):
                whole = many.times(cost)
                flat = flat.plus(self.rounded(whole, most_of(self.model, whole)))
        if way.treatment is not None:
            flat = flat.plus(self._treated(way, pairs, used))
        return flat

    def _parcels(self, way: Exit, pairs: tuple[Pair, ...], used: int) -> Line:
        """How many parcels: as many as set, or as the face fills."""
        assert way.parcels is not None
        if way.parcels.count is not None or not way.parcels.face:
            return Line({used: Fraction(way.parcels.count or 1)})
        faces = {pair: per_step(self.problem.stocks[pair[1]], "face") for pair in pairs}
        whole = sum((faces[pair] * self.problem.stocks[pair[1]].steps for pair in pairs), Fraction(0))
        size = Fraction(way.parcels.face)
        many = self.model.unknown(max(1, ceil(whole / size)), name=f"parcels of {way.name}")
        filled = {many: size, **{self.steps[pair]: -faces[pair] for pair in pairs}}
        self.model.row(filled, least=0, because="parcels")
        self.model.row({many: 1, used: -1}, least=0, because="parcels")
        return Line({many: Fraction(1)})

    def _treated(self, way: Exit, pairs: tuple[Pair, ...], used: int) -> Line:
        """A refiner's charge: by gross weight, and no less than his least."""
        assert way.treatment is not None
        stocks, each = self.problem.stocks, Fraction(way.treatment.per_gross_ozt) * 100
        ounces = {pair: whole_goods(stocks[pair[1]]).gross_ozt / stocks[pair[1]].steps for pair in pairs}
        least = floor(Fraction(way.treatment.minimum) * 100 + HALF)
        most = least + ceil(sum((each * ounces[pair] * stocks[pair[1]].steps for pair in pairs), Fraction(0))) + 1
        charge = self.model.unknown(most, name=f"treatment of {way.name}")
        loose = HALF + (2 if any(weighs(way, stocks[pair[1]]) for pair in pairs) else 0)
        by_weight = {charge: Fraction(1), **{self.steps[pair]: -each * ounces[pair] for pair in pairs}}
        self.model.row(by_weight, least=-loose, because="treatment by weight")
        self.model.row({charge: 1, used: -least}, least=0, because="the least treatment")
        return Line({charge: Fraction(1)})

    def _limit(self, way: Exit, limit: Limit | None, sale: Sale, *, at_least: bool) -> None:
        if limit is None:
            return
        amount = Fraction(limit.amount)
        if limit.unit == "money":
            held, amount = sale.gross, amount * 100
            if not (at_least or self.exact):
                amount += len(sale.pairs) ** 2 + 1  # what is brought stands a little above what it comes to
        else:
            held = Line({self.steps[pair]: per_step(self.problem.stocks[pair[1]], limit.unit) for pair in sale.pairs})
        if at_least:
            over = held.minus(Line({sale.used: amount}))
            self.model.row(over.terms, least=-over.fixed, because=f"{way.name} takes no less than {limit}")
        else:
            self.model.row(held.terms, most=amount - held.fixed, because=f"{way.name} takes no more than {limit}")
