"""Tax on a plan of selling as whole numbers, within a region of the year's gains; and which regions there can be.

Where a fee is shared by coin of both terms its share is bent, and is kept between two straight lines.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from math import ceil

from ninefine.market.exits import Exit
from ninefine.measure.numbers import to_places
from ninefine.plan.model import Model
from ninefine.plan.selling import Problem
from ninefine.plan.selling_gain import Counted, costs, counted, is_short, takes_flat
from ninefine.plan.selling_lines import Line, most_of, summed, unknown_line
from ninefine.plan.selling_sales import HALF, Offered, Pair, Sale, Sales, taken_share
from ninefine.plan.selling_stock import per_step, whole_goods
from ninefine.plan.taxed import Region, slope_of, year_tax

#: How much of a sale's proceeds may be short term, for each way out: from and to.
Shares = Mapping[int, tuple[Fraction, Fraction]]
_ALL = (Fraction(0), Fraction(1))
#: Cents by which the roundings of one way out and one stock may move a year's gain: more than they ever do.
_ROUNDING = 5
#: Parts of the largest sale in which a gift may lose: over each, its share of what is taken off is bounded anew.
_PARTS = (Fraction(1, 32), Fraction(1, 8), Fraction(1, 2))


def regions_of(problem: Problem, can: Offered) -> list[Region]:
    """Where the year's gains may end: what no plan can reach is left out."""
    low, high = _reach(problem, can)
    gain = {term: high[term] >= 0 for term in high}
    loss = {term: low[term] <= 0 for term in low}
    possible = {
        Region.BOTH_GAIN: gain[True] and gain[False],
        Region.SHORT_LOSS: loss[True] and gain[False],
        Region.LONG_LOSS: loss[False] and gain[True],
        Region.LOSS: low[True] + low[False] <= 0 and problem.rates.loss_limit > 0,
        Region.DEEP_LOSS: low[True] + low[False] <= -Fraction(problem.rates.loss_limit) * 100,
    }
    return [region for region, can_be in possible.items() if can_be]


def _reach(problem: Problem, can: Offered) -> tuple[dict[bool, Fraction], dict[bool, Fraction]]:
    """The least and the most that the year's gains of each term can be, generously; short is true."""
    rates = problem.rates
    before = {True: Fraction(rates.before_short) * 100, False: Fraction(rates.before_long) * 100}
    rounding = _ROUNDING * (1 + len(can.prices))
    low = {term: gain - rounding for term, gain in before.items()}
    high = {term: gain + rounding for term, gain in before.items()}
    shares = {place: taken_share(way) for place, way in can.ways}
    flat = any(takes_flat(way) for _, way in can.ways)
    for at, stock in enumerate(problem.stocks):
        prices = {place: price for (place, of), price in can.prices.items() if of == at}
        if not prices:
            continue
        each, value = costs(stock)
        # flat fees may eat up all that is brought, and more; then only the cost bounds the loss from below
        worst = Fraction(0) if flat else min(price * (1 - shares[place]) for place, price in prices.items())
        term = is_short(problem, at)
        low[term] += min(Fraction(0), worst - each) * stock.steps
        if value is not None:
            low[is_short(problem, at, by_value=True)] += min(Fraction(0), worst - value) * stock.steps
        high[term] += max(Fraction(0), max(prices.values()) - each) * stock.steps
    if flat:
        most = 100 * sum((_flat_most(problem, place) for place, _ in can.ways), Fraction(0))
        low = {term: least - most for term, least in low.items()}
    return low, high


def _flat_most(problem: Problem, place: int) -> Fraction:
    """Dollars that a way out takes off whatever it pays, if all went by it."""
    way = problem.ways[place]
    most = Fraction(way.costs) + (Fraction(way.travel.cost) if way.travel is not None else 0)
    if way.parcels is not None:
        face = sum((per_step(stock, "face") * stock.steps for stock in problem.stocks), Fraction(0))
        many = way.parcels.count or 1 + ceil(face / Fraction(way.parcels.face or 1))
        most += many * Fraction(way.parcels.fee + way.parcels.postage)
    if way.treatment is not None:
        gross = sum((whole_goods(stock).gross_ozt for stock in problem.stocks), Fraction(0))
        most += Fraction(way.treatment.minimum) + Fraction(way.treatment.per_gross_ozt) * gross
    return most


@dataclass(slots=True, kw_only=True)
class TaxLines:
    """The lines of a plan's tax within a region, written into its model."""

    model: Model
    problem: Problem
    sales: Sales
    shares: Shares
    _short_fees: dict[int, Line] = field(default_factory=dict)
    _counted: dict[Pair, Counted] = field(default_factory=dict)
    _small: dict[int, Line] = field(default_factory=dict)

    def __post_init__(self) -> None:
        can = self.sales.can
        self._counted = {pair: counted(self.problem, can, pair) for pair in can.prices}
        for place, way in can.ways:
            found = [one.loss_under for pair, one in self._counted.items() if pair[0] == place and one.loss_under]
            if found:
                self._small[place] = self._small_sale(place, way, max(found))

    def _small_sale(self, place: int, way: Exit, under: Fraction) -> Line:
        """The most that gifts may lose from their value: their share of what is taken off flat, in a small sale."""
        sale, model = self.sales.by_way[place], self.model
        most, gross_most = most_of(model, sale.flat), Fraction(ceil(most_of(model, sale.gross)))
        loss = Line({model.unknown(ceil(most), name="a loss on gifts", follows=True): Fraction(1)})
        pairs = [pair for pair in sale.pairs if self._counted[pair].loss_under]
        gifts = [self.sales.chosen[pair] for pair in pairs]
        line = ceil(most * under * Fraction(101, 100)) + 100
        limits = [sale.flat, Line(dict.fromkeys(gifts, most))]
        if way.parcels is None and way.treatment is None:
            limits.append(Line({self._above(sale, line, gross_most): -most}, most))
        # what gifts bring, held against the whole sale, is their share: over a sum it is no more than by that sum
        brings = summed(self.sales.brings[pair] for pair in pairs).plus(Line(dict.fromkeys(gifts, Fraction(2))))
        for part in _PARTS:
            at = ceil(line * part)
            share = brings.times(most / at)
            limits.append(share.plus(Line({self._above(sale, at, gross_most): -most}, most)))
        for limit in limits:
            room = limit.minus(loss)
            model.row(room.terms, least=-room.fixed, because="a loss on gifts")
        return loss

    def _above(self, sale: Sale, line: int, most: Fraction) -> int:
        """A choice that must be taken where a sale brings more than a sum."""
        above = self.model.choice(f"a sale of more than {line} cents")
        below = sale.gross.minus(Line({above: most}))
        self.model.row(below.terms, most=line - below.fixed, because="a small sale")
        return above

    def added(self, region: Region) -> Line:
        """The tax that the plan adds to the year's; rows keep the year's gains within the region."""
        rates = self.problem.rates
        short = self._gains(short=True).plus(Line({}, Fraction(rates.before_short) * 100))
        long = self._gains(short=False).plus(Line({}, Fraction(rates.before_long) * 100))
        self._keep_in(region, short, long)
        slope = slope_of(region, rates)
        owed = Fraction(year_tax(rates.before_short, rates.before_long, rates)) * 100
        if region is Region.BOTH_GAIN:
            exact = [short.times(slope.short), long.times(slope.long)]
        else:
            fixed = Line({}, _half_up(slope.fixed * 100))
            exact = [short.times(slope.short).plus(long.times(slope.long)).plus(fixed)]
        return summed(self._rounded(line) for line in exact).plus(Line({}, -owed))

    def _rounded(self, exact: Line) -> Line:
        if not exact.terms:
            return Line({}, _half_up(exact.fixed))
        return unknown_line(self.model, exact, Fraction(0), whole=self.sales.exact)

    def _keep_in(self, region: Region, short: Line, long: Line) -> None:
        both = short.plus(long)
        edge = both.plus(Line({}, Fraction(self.problem.rates.loss_limit) * 100))
        signs = {
            Region.BOTH_GAIN: [(short, 1), (long, 1)],
            Region.SHORT_LOSS: [(short, -1), (both, 1)],
            Region.LONG_LOSS: [(long, -1), (both, 1)],
            Region.LOSS: [(both, -1), (edge, 1)],
            Region.DEEP_LOSS: [(both, -1), (edge, -1)],
        }[region]
        for line, sign in signs:
            within = line.times(Fraction(sign)).plus(self.sales.slack).plus(self._under())
            self.model.row(within.terms, least=-within.fixed, because=str(region))

    def _under(self) -> Line:
        """Cents by which gains on gifts may be more than is counted."""
        gifts = [self.sales.chosen[pair] for pair, one in self._counted.items() if one.gift]
        return summed([Line(dict.fromkeys(gifts, Fraction(3))), *(self.sales.by_way[at].flat for at in self._small)])

    def _gains(self, *, short: bool) -> Line:
        """Gains of a term: what its coin brings, less its share of what is taken off, less what it cost."""
        gains = Line()
        for place, sale in self.sales.by_way.items():
            if any(
                self._counted[pair].loss_under and self._counted[pair].short_by_value is short for pair in sale.pairs
            ):
                gains = gains.minus(self._small[place])
            mine = [pair for pair in sale.pairs if self._counted[pair].short is short]
            if not mine:
                continue
            for pair in mine:
                gains = gains.plus(self.sales.brings[pair]).minus(self._cost(place, pair))
            if len(mine) == len(sale.pairs):
                gains = gains.minus(sale.fees)
            elif sale.fees.terms:
                part = self._fees_of_short(place, sale)
                gains = gains.minus(part if short else sale.fees.minus(part))
        return gains

    def _fees_of_short(self, place: int, sale: Sale) -> Line:
        """What of a way out's fees goes with its short-term coin: in proportion, within the node's own two lines."""
        if place in self._short_fees:
            return self._short_fees[place]
        model, rate = self.model, taken_share(self.problem.ways[place])
        low, high = self.shares.get(place, _ALL)
        mine = [pair for pair in sale.pairs if self._counted[pair].short]
        brings, above = summed(self.sales.brings[pair] for pair in mine), self.sales.above(mine)
        for share, side, off in (
            (high, -1, above),
            (low, 1, self.sales.above(sale.pairs).times(low)),
        ):
            within = brings.minus(sale.gross.times(share)).times(Fraction(side)).plus(off)
            model.row(within.terms, least=-within.fixed, because="share of short term")
        most = Fraction(ceil(most_of(model, sale.fees)) + 1)
        part = Line({model.unknown(int(most), name="fees of the short term"): Fraction(1)})
        # each line's share is rounded, and what is left over goes to the largest of them
        lines = [self.sales.chosen[pair] for pair in sale.pairs]
        loose = (
            Line(dict.fromkeys(lines, HALF)).plus(above.times(rate)).plus(Line({sale.used: Fraction(1 if rate else 0)}))
        )
        for share, side in ((high, -1), (low, 1)):
            within = part.minus(brings.times(rate)).minus(sale.flat.times(share)).times(Fraction(side)).plus(loose)
            model.row(within.terms, least=-within.fixed, because="share of fees")
        rest = sale.fees.minus(part)
        model.row(rest.terms, least=-2 - rest.fixed, because="share of fees")
        # what is all of one term pays no fee of the other
        for fees, pairs in ((part, mine), (rest, [pair for pair in sale.pairs if pair not in mine])):
            none = (
                Line({self.sales.chosen[pair]: most for pair in pairs}).minus(fees).plus(Line({sale.used: Fraction(2)}))
            )
            model.row(none.terms, least=-none.fixed, because="fees of a term that is not there")
        self._short_fees[place] = part
        return part

    def _cost(self, place: int, pair: Pair) -> Line:
        """What so many steps cost; of a heap sold from twice, the later sale's rounding rests on the earlier one's."""
        stock, one = self.problem.stocks[pair[1]], self._counted[pair]
        if not stock.lot.cost_known:
            return Line()
        chosen = self.sales.chosen[pair]
        # what rounding of fees, basis and value may come to is counted as cost
        doubt = Line({chosen: Fraction(1)}) if one.gift else Line()
        if one.nothing:
            return self.sales.brings[pair].times(1 - taken_share(self.problem.ways[place])).plus(doubt)
        each = one.each
        shared = any(other[1] == pair[1] and other[0] < pair[0] for other in self.sales.steps)
        loose = HALF if shared and each.denominator != 1 else Fraction(0)
        exact = Line({self.sales.steps[pair]: each})
        return self.sales.rounded(exact, each * stock.steps, loose, chosen).plus(doubt)


def _half_up(cents: Fraction) -> Fraction:
    """To a whole cent as `year_tax` rounds: halves away from zero, below it too."""
    return Fraction(to_places(cents, 0))
