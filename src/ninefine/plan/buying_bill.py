"""An offer's bill as sums over unknowns, in cents: what `market.landed` reckons, for amounts that are not yet known.

A bill is a straight line as long as nothing crosses a line: one way to pay, one tier, carriage free or not, taxed or
not. Such a case is a `Mode`. Rounding to the cent bends the line; so each sum carries how far below and above the truth
may lie, and a bill can be said roughly (with that margin) or exactly (each rounding an unknown of its own).
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from fractions import Fraction
from itertools import pairwise, product
from math import gcd, lcm

from ninefine.market.content import CountedBy
from ninefine.market.offers import Carriage, Charged, Offer, Taxed, Way
from ninefine.market.quote import per_unit
from ninefine.plan.buying import Item, Source

HALF = Fraction(1, 2)


@dataclass(frozen=True, slots=True, kw_only=True)
class Sum:
    """`fixed` + each unknown times its factor; the truth lies from `below` under it to `above` over it. Cents."""

    terms: Mapping[int, Fraction] = field(default_factory=dict)
    fixed: Fraction = Fraction(0)
    below: Fraction = Fraction(0)
    above: Fraction = Fraction(0)

    @property
    def whole(self) -> bool:
        """Whether it is a whole number of cents whatever the unknowns are, so that rounding changes nothing."""
        parts = (self.fixed, *self.terms.values())
        return not self.below and not self.above and all(part.denominator == 1 for part in parts)

    def plus(self, other: "Sum") -> "Sum":
        """Both together."""
        return _all([self, other])

    def times(self, factor: Fraction) -> "Sum":
        """So many times it; the margins change sides where that is below zero."""
        if not factor:
            return Sum()
        below, above = (self.below, self.above) if factor >= 0 else (self.above, self.below)
        return Sum(
            terms={at: value * factor for at, value in self.terms.items()},
            fixed=self.fixed * factor,
            below=below * abs(factor),
            above=above * abs(factor),
        )

    def minus(self, other: "Sum") -> "Sum":
        """The one less the other."""
        return self.plus(other.times(Fraction(-1)))


#: Rounds a sum half up to the cent: roughly (it widens the margins) or exactly (it makes an unknown).
Rounded = Callable[[Sum], Sum]


def roughly(amount: Sum) -> Sum:
    """A rounded sum, said roughly: half a cent more of margin on either side.

    A sum that is itself exact goes by steps, and half up leaves it above the half by one of them.
    """
    if amount.whole:
        return amount
    below = amount.below + HALF
    if not amount.below and not amount.above:
        below -= Fraction(1, lcm(2, *(part.denominator for part in (amount.fixed, *amount.terms.values()))))
    return Sum(terms=amount.terms, fixed=amount.fixed, below=below, above=amount.above + HALF)


@dataclass(frozen=True, slots=True, kw_only=True)
class Mode:
    """One straight stretch of an offer's bill.

    Attributes:
        way: how it is paid.
        stretch: for goods counted by face, pieces or grams: from how many units, and under how many (none: no end).
        prices: cents for a step of each line on this stretch, at `spot`.
        free: carriage is free. taxed: the sale is taxed.
    """

    source: Source
    spot: Decimal
    way: Way
    stretch: Mapping[CountedBy, tuple[Fraction, Fraction | None]]
    prices: tuple[Fraction, ...]
    free: bool
    taxed: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class MoneyLine:
    """A line of money that a mode lies on one side of: free carriage, or a tax line.

    Attributes:
        at: dollars. over: the sale reaches it; else it stays under.
        counts: what is held against it.
    """

    at: Decimal
    over: bool
    counts: Charged


def money_lines(mode: Mode) -> Iterator[MoneyLine]:
    """The lines of money of an offer, and on which side of each a mode lies."""
    carriage, rule = mode.source.offer.carriage, mode.source.offer.tax
    if carriage is not None and carriage.free_from is not None:
        yield MoneyLine(at=carriage.free_from, over=mode.free, counts=Charged.GOODS)
    if rule is not None and rule.line is not None:
        yield MoneyLine(at=rule.line, over=mode.taxed is (rule.taxed is Taxed.FROM), counts=rule.counts)


@dataclass(frozen=True, slots=True, kw_only=True)
class Bill:
    """Sums of a bill: goods less discount, what the tax rule looks at, and all of it."""

    net: Sum
    looked_at: Sum
    total: Sum


def modes(source: Source, spot: Decimal) -> Iterator[Mode]:
    """Every straight stretch of an offer's bill; ways to pay that can never be the cheaper are left out."""
    offer = source.offer
    frees = (False, True) if offer.carriage is not None and offer.carriage.free_from is not None else (False,)
    rule = offer.tax
    taxes = (False, True) if rule is not None and rule.line is not None else (rule is not None,)
    ways = _ways(offer)
    for stretch in _stretches(source):
        prices = tuple(_price(item, stretch, spot) for item in source.items)
        for way, free, taxed in product(ways, frees, taxes):
            yield Mode(source=source, spot=spot, way=way, stretch=stretch, prices=prices, free=free, taxed=taxed)


def _stretches(source: Source) -> Iterator[dict[CountedBy, tuple[Fraction, Fraction | None]]]:
    """Every way in which the tiers of each kind of counting can be reached."""
    starts: dict[CountedBy, set[Fraction]] = {}
    reach: dict[CountedBy, Fraction] = {}
    for item in source.items:
        counted = item.goods.content.counted_by
        reach[counted] = reach.get(counted, Fraction(0)) + item.step * item.most
        starts.setdefault(counted, {Fraction(0)}).update(Fraction(tier.start) for tier in item.line.tiers)
    parts = []
    for counted, found in starts.items():
        lines = [start for start in sorted(found) if start <= reach[counted]]
        parts.append([(counted, pair) for pair in [*pairwise(lines), (lines[-1], None)]])
    for chosen in product(*parts):
        yield dict(chosen)


def _price(item: Item, stretch: Mapping[CountedBy, tuple[Fraction, Fraction | None]], spot: Decimal) -> Fraction:
    """Cents for one step of a line on a stretch: its own quote, or that of the highest tier reached."""
    start = stretch[item.goods.content.counted_by][0]
    reached = [tier.quote for tier in item.line.tiers if Fraction(tier.start) <= start]
    quote = reached[-1] if reached else item.line.quote
    return per_unit(quote, item.goods.terms(spot)) * item.step * 100


_REACH = {Charged.GOODS: 0, Charged.CARRIAGE: 1, Charged.ALL: 2}


def _ways(offer: Offer) -> tuple[Way, ...]:
    """Ways to pay, without those that another beats whatever is bought."""
    ways = offer.ways or (offer.way(),)
    all_taxed = offer.tax is not None and offer.tax.counts is Charged.ALL
    if all_taxed and offer.tax is not None and offer.tax.line is not None:
        return ways  # a dearer way may lift a sale over the tax line
    kept: list[Way] = []
    for way in ways:
        if not any(_beats(other, way, all_taxed=all_taxed) for other in kept):
            kept = [other for other in kept if not _beats(way, other, all_taxed=all_taxed)] + [way]
    return tuple(kept)


def _beats(one: Way, other: Way, *, all_taxed: bool) -> bool:
    """Whether one way is never the dearer. `all_taxed`: a surcharge is taxed too, unless it is on the tax itself."""
    if one.fee > other.fee or one.surcharge_pct > other.surcharge_pct:
        return False
    if not one.surcharge_pct:
        return True
    if all_taxed and other.surcharge_on is Charged.ALL is not one.surcharge_on:
        return False
    return _REACH[one.surcharge_on] <= _REACH[other.surcharge_on]


def bill(mode: Mode, goods: Sequence[Sum], rounded: Rounded) -> Bill:
    """The bill of a mode over sums that say how many steps of each line are bought."""
    lines = [rounded(steps.times(price)) for steps, price in zip(goods, mode.prices, strict=True)]
    return bill_of(mode, lines, exempt_lines(mode.source), rounded)


def slopes(mode: Mode) -> tuple[float, float, float]:
    """Roughly, cents on a mode's bill: for a cent of goods that may be taxed, for one of exempt goods, and fixed.

    Without rounding a bill is one and the same straight line for all its lines, so two of them tell it.
    """
    found = bill_of(mode, [Sum(terms={0: Fraction(1)}), Sum(terms={1: Fraction(1)})], [False, True], lambda one: one)
    return float(found.total.terms[0]), float(found.total.terms[1]), float(found.total.fixed)


def bill_of(mode: Mode, lines: Sequence[Sum], exempt: Sequence[bool], rounded: Rounded) -> Bill:
    """The bill of a mode over what each line comes to, in the order of `market.landed`."""
    offer, way = mode.source.offer, mode.way
    price = _all(lines)
    discount = rounded(price.times(_pct(offer.discount_pct)).plus(_cents(offer.discount)))
    net = price.minus(discount)
    carriage = _carriage(offer.carriage, net, free=mode.free, rounded=rounded)
    carried = net.plus(carriage)
    surcharge = _surcharge(way, {Charged.GOODS: net, Charged.CARRIAGE: carried}, rounded)
    looked_at = Sum()
    tax = Sum()
    if offer.tax is not None:
        looked_at = net if offer.tax.counts is Charged.GOODS else carried
        if offer.tax.counts is Charged.ALL and way.surcharge_on is not Charged.ALL:
            looked_at = looked_at.plus(surcharge)
        if mode.taxed:
            base = looked_at.minus(_exempt(mode, lines, exempt, discount))
            tax = rounded(base.times(_pct(offer.tax.rate_pct)))
    if way.surcharge_on is Charged.ALL:
        surcharge = _surcharge(way, {Charged.ALL: carried.plus(tax)}, rounded)
    fee = rounded(_cents(way.fee))
    return Bill(net=net, looked_at=looked_at, total=_all([carried, surcharge, tax, fee]))


def _all(sums: Sequence[Sum]) -> Sum:
    terms: dict[int, Fraction] = {}
    for one in sums:
        for at, factor in one.terms.items():
            terms[at] = terms[at] + factor if at in terms else factor
    return Sum(
        terms=terms,
        fixed=sum((one.fixed for one in sums), Fraction(0)),
        below=sum((one.below for one in sums), Fraction(0)),
        above=sum((one.above for one in sums), Fraction(0)),
    )


def _cents(amount: Decimal) -> Sum:
    return Sum(fixed=Fraction(amount) * 100)


def _pct(rate: Decimal) -> Fraction:
    return Fraction(rate) / 100


def _carriage(carriage: Carriage | None, net: Sum, *, free: bool, rounded: Rounded) -> Sum:
    if carriage is None or free:
        return Sum()
    return rounded(net.times(_pct(carriage.pct)).plus(_cents(carriage.flat)))


def _surcharge(way: Way, counted: Mapping[Charged, Sum], rounded: Rounded) -> Sum:
    if not way.surcharge_pct or way.surcharge_on not in counted:
        return Sum()
    return rounded(counted[way.surcharge_on].times(_pct(way.surcharge_pct)))


def _exempt(mode: Mode, lines: Sequence[Sum], exempt: Sequence[bool], discount: Sum) -> Sum:
    """What the lines fine enough to be exempt cost. A discount shared with others bends the line: a margin says it."""
    if not any(exempt):
        return Sum()
    part = _all([line for line, fine in zip(lines, exempt, strict=True) if fine])
    if all(exempt):
        return part.minus(discount)
    if not discount.terms and not discount.fixed:
        return part
    return Sum(terms=part.terms, fixed=part.fixed, below=part.below + largest(discount, mode), above=part.above)


def exempt_lines(source: Source) -> list[bool]:
    """Which lines are fine enough not to be taxed."""
    rule = source.offer.tax
    if rule is None or rule.exempt_fineness is None:
        return [False] * len(source.items)
    return [item.goods.content.fineness >= Fraction(rule.exempt_fineness) for item in source.items]


def bends(source: Source) -> bool:
    """Whether a discount is shared between lines that are taxed and lines that are not: no sum says that exactly."""
    offer = source.offer
    if not (offer.discount or offer.discount_pct):
        return False
    fine = exempt_lines(source)
    return any(fine) and not all(fine)


def largest(amount: Sum, mode: Mode) -> Fraction:
    """No less than a discount can come to: all of its lines at the most that can be had."""
    offer = mode.source.offer
    most = sum((price * item.most for price, item in zip(mode.prices, mode.source.items, strict=True)), Fraction(0))
    return most * _pct(offer.discount_pct) + Fraction(offer.discount) * 100 + amount.above + 1


def grain(source: Source, counted: CountedBy) -> Fraction:
    """The smallest step by which a basket counted in one way can grow."""
    steps = [item.step for item in source.items if item.goods.content.counted_by is counted]
    found = steps[0]
    for step in steps[1:]:
        scale = found.denominator * step.denominator
        found = Fraction(gcd(int(found * scale), int(step * scale)), scale)
    return found
