"""Baskets over offers: what may be bought of each, and what a basket costs, judged by the market's landed cost.

A basket says how many steps (whole face dollars, pieces or rolls) of each line of each offer are bought, and how each
offer is paid. `judged` works it out with `market.landed`, which books offers too: a plan reckons no cost of its own.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction
from math import floor

from ninefine.catalog.kinds import Basis
from ninefine.errors import InputError, NotFoundError, RangeError
from ninefine.market.content import Content, CountedBy, content
from ninefine.market.exits import Exit
from ninefine.market.goods import Goods, Limit, Resolve, check_spot, measured
from ninefine.market.landed import CostKind, Landed, landed
from ninefine.market.offers import Offer, OfferLine, with_units
from ninefine.market.paid import Paid, pays
from ninefine.market.quote import QuoteForm, per_unit
from ninefine.measure.money import cents, spread
from ninefine.plan.wishes import Wishes


@dataclass(frozen=True, slots=True, kw_only=True)
class Item:
    """One line of an offer, as it may be bought.

    Attributes:
        line, goods: what is offered.
        step: units (face dollars, pieces, grams) that are bought at a time.
        most: steps that can be had; none of less than a roll, where rolls are bought whole.
        basis, ozt: fine troy ounces of one step, and on which count.
        constitutional: whether it is U.S. 90% coin.
    """

    line: OfferLine
    goods: Goods
    step: Fraction
    most: int
    basis: Basis
    ozt: Fraction
    constitutional: bool

    def bought(self, steps: int, resolve: Resolve) -> OfferLine:
        """The line for so many steps."""
        units = self.step * steps
        if units == self.goods.units:
            return self.line
        return with_units(self.line, Decimal(units.numerator) / Decimal(units.denominator), resolve)


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """An offer that a basket may draw on. `whole`: taken whole or left."""

    offer: Offer
    items: tuple[Item, ...]
    whole: bool
    resolve: Resolve

    @property
    def name(self) -> str:
        """The offer's name."""
        return self.offer.name

    @property
    def seller(self) -> str:
        """Whom the money goes to; an offer without a seller's name is its own."""
        return self.offer.seller or self.offer.name

    @property
    def all_steps(self) -> tuple[int, ...]:
        """Everything that can be had."""
        return tuple(item.most for item in self.items)

    def for_steps(self, steps: Sequence[int]) -> Offer:
        """The offer for some steps of each line; its travel is the basket's."""
        lines = tuple(item.bought(count, self.resolve) for item, count in zip(self.items, steps, strict=True) if count)
        return replace(self.offer, lines=lines, travel=None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Pick:
    """What is taken of an offer: steps of each line, and how it is paid."""

    source: Source
    steps: tuple[int, ...]
    way: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Invoice:
    """One offer of a basket, worked out. `travel`: its share of the miles driven."""

    pick: Pick
    landed: Landed
    travel: Decimal

    @property
    def total(self) -> Decimal:
        """All that leaves the pocket for it."""
        return self.landed.total + self.travel

    @property
    def ozt(self) -> Fraction:
        """Fine troy ounces, each line on the count that the plan goes by."""
        counted = zip(self.pick.source.items, self.pick.steps, strict=True)
        return sum((item.ozt * count for item, count in counted), Fraction(0))

    @property
    def bases(self) -> tuple[Basis, ...]:
        """The counts of ounces that it goes by."""
        counted = zip(self.pick.source.items, self.pick.steps, strict=True)
        return tuple(dict.fromkeys(item.basis for item, count in counted if count))


@dataclass(frozen=True, slots=True, kw_only=True)
class Basket:
    """What is bought, worked out to the cent. `back`: what a way out would pay for all of it today."""

    invoices: tuple[Invoice, ...]
    spend: Decimal
    ozt: Fraction
    constitutional_ozt: Fraction
    back: Paid | None = None

    @property
    def loss(self) -> Decimal | None:
        """What buying and selling back today would lose; below zero, a gain."""
        return None if self.back is None else self.spend - self.back.net

    @property
    def sellers(self) -> tuple[str, ...]:
        """Whom it is bought from."""
        return tuple(dict.fromkeys(invoice.pick.source.seller for invoice in self.invoices))

    @property
    def bases(self) -> tuple[Basis, ...]:
        """The counts of ounces that it goes by; more than one where some lines were weighed and others not."""
        return tuple(dict.fromkeys(basis for invoice in self.invoices for basis in invoice.bases))

    @property
    def picks(self) -> tuple[Pick, ...]:
        """What it takes of each offer."""
        return tuple(invoice.pick for invoice in self.invoices)


@dataclass(frozen=True, slots=True, kw_only=True)
class LeftOut:
    """An offer that no basket can draw on, and why."""

    offer: str
    why: str


def sources(
    offers: Iterable[Offer], spot: Decimal, wishes: Wishes, *, resolve: Resolve = content
) -> tuple[tuple[Source, ...], tuple[LeftOut, ...]]:
    """What may be bought of each offer under some wishes, and the offers that cannot be looked at, with the reason."""
    found: list[Source] = []
    out: list[LeftOut] = []
    for offer in offers:
        if offer.name in wishes.never or (wishes.only and offer.name not in wishes.only):
            continue
        try:
            source = _source(offer, wishes, resolve)
            _check_prices(source, spot)
        except InputError as error:
            out.append(LeftOut(offer=offer.name, why=str(error)))
            continue
        found.append(source)
    return tuple(found), tuple(out)


def _check_prices(source: Source, spot: Decimal) -> None:
    """Make sure that every price of an offer can be reckoned and is one.

    Raises:
        RangeError: a quote that the goods cannot be priced by, goods of another metal, or a price of nothing.
    """
    check_spot([item.goods for item in source.items], spot, "XAG")
    for item in source.items:
        for quote in (item.line.quote, *(tier.quote for tier in item.line.tiers)):
            if per_unit(quote, item.goods.terms(spot)) <= 0:
                raise RangeError(
                    f"{item.goods.content.name} come to nothing at {quote.text(6)}.", expected="A price is above zero."
                )


def _source(offer: Offer, wishes: Wishes, resolve: Resolve) -> Source:
    whole = offer.name in wishes.whole
    stock = offer.stock if len(offer.lines) == 1 else None
    items = tuple(_item(line, wishes, resolve, whole=whole, stock=stock) for line in offer.lines)
    return Source(offer=offer, items=items, whole=whole, resolve=resolve)


def _item(line: OfferLine, wishes: Wishes, resolve: Resolve, *, whole: bool, stock: Limit | None) -> Item:
    goods = line.goods(resolve)
    held, units = goods.content, goods.units
    step = _step(line, goods, rolls=wishes.rolls)
    reach = max(units, _in_stock(stock, goods))
    most = floor(reach / step)
    if whole or not (most or (wishes.rolls and roll_of(held))):
        step, most = units, 1
    basis = wishes.basis or (Basis.SCALE if goods.weighed else Basis.TRADE)
    return Item(
        line=line,
        goods=goods,
        step=step,
        most=most,
        basis=basis,
        ozt=goods.terms(None).ozt(basis) * step,
        constitutional="constitutional" in held.names,
    )


def _step(line: OfferLine, goods: Goods, *, rolls: bool) -> Fraction:
    """What is bought at a time: a face dollar, a piece, a roll; all of it where its price or its nature is for all."""
    held = goods.content
    flat = QuoteForm.FLAT in {line.quote.form, *(tier.quote.form for tier in line.tiers)}
    if flat or held.counted_by is CountedBy.GRAM:
        return goods.units
    return roll_of(held) or Fraction(1) if rolls else Fraction(1)


def roll_of(held: Content) -> Fraction | None:
    """Units in a bank roll of some goods; none where there is no such roll."""
    return held.piece * held.roll if held.roll and held.piece else None


def _in_stock(stock: Limit | None, goods: Goods) -> Fraction:
    """Units that a seller says to have; what was weighed is that weight and no more."""
    if stock is None or stock.unit == "money" or goods.gross_g is not None:
        return Fraction(0)
    one = measured([goods], Decimal(0), stock.unit) / goods.units
    return Fraction(stock.amount) / one if one else Fraction(0)


def with_bids(source: Source, way_out: Exit) -> Source | None:
    """A source without what a way out has no bid for; none where it is taken whole and so cannot be had without."""
    items = tuple(item if way_out.bid_for(item.goods.content) else replace(item, most=0) for item in source.items)
    if source.whole and items != source.items:
        return None
    return replace(source, items=items)


def invoice_of(pick: Pick, spot: Decimal) -> Landed:
    """What an offer costs for some steps, without travel, by the market's own reckoning."""
    return landed(pick.source.for_steps(pick.steps), spot, way=pick.way, resolve=pick.source.resolve)


def goods_of(picks: Sequence[Pick]) -> list[Goods]:
    """All goods of a basket, line by line."""
    return [
        item.bought(count, pick.source.resolve).goods(pick.source.resolve)
        for pick in picks
        for item, count in zip(pick.source.items, pick.steps, strict=True)
        if count
    ]


def judged(
    picks: Sequence[Pick], spot: Decimal, wishes: Wishes, way_out: Exit | None = None, *, known: "Known | None" = None
) -> Basket:
    """Work a basket out to the cent."""
    reckoned = [known.invoice(pick) if known is not None else invoice_of(pick, spot) for pick in picks]
    travel = _travel(picks, [one.total for one in reckoned], wishes)
    invoices = tuple(
        Invoice(pick=pick, landed=cost, travel=miles) for pick, cost, miles in zip(picks, reckoned, travel, strict=True)
    )
    counted = [
        (item, count) for pick in picks for item, count in zip(pick.source.items, pick.steps, strict=True) if count
    ]
    return Basket(
        invoices=invoices,
        spend=sum((invoice.total for invoice in invoices), Decimal(0)),
        ozt=sum((item.ozt * count for item, count in counted), Fraction(0)),
        constitutional_ozt=sum((item.ozt * count for item, count in counted if item.constitutional), Fraction(0)),
        back=None if way_out is None else _back(way_out, picks, spot),
    )


def _back(way_out: Exit, picks: Sequence[Pick], spot: Decimal) -> Paid | None:
    try:
        return pays(way_out, goods_of(picks), spot)
    except NotFoundError:
        return None  # this exit buys no such goods, and the basket says so by having no figure


def trips(found: Iterable[Source], wishes: Wishes) -> dict[str, int]:
    """Which trip each offer with travel belongs to: those said to go together, those of one seller, else its own."""
    at: dict[str, int] = {}
    by_seller: dict[str, int] = {}
    for number, source in enumerate(found):
        if source.offer.travel is None:
            continue
        group = next((-1 - place for place, names in enumerate(wishes.together) if source.name in names), None)
        at[source.name] = by_seller.setdefault(source.seller, number) if group is None else group
    return at


def _travel(picks: Sequence[Pick], totals: Sequence[Decimal], wishes: Wishes) -> list[Decimal]:
    """Each offer's share of the miles: a trip counts once, at its longest, shared by what each offer costs."""
    at = trips((pick.source for pick in picks), wishes)
    shares = [Decimal(0)] * len(picks)
    members: dict[int, list[int]] = {}
    for place, pick in enumerate(picks):
        if pick.source.name in at:
            members.setdefault(at[pick.source.name], []).append(place)
    for places in members.values():
        cost = max(travel_cost(picks[place].source.offer) for place in places)
        weights = [max(totals[place], Decimal("0.01")) for place in places]
        for place, share in zip(places, spread(cost, weights), strict=True):
            shares[place] = share
    return shares


def travel_cost(offer: Offer) -> Decimal:
    """What the miles of an offer cost, to the cent."""
    return Decimal(0) if offer.travel is None else cents(offer.travel.cost)


def paid_to(cost: Landed) -> Decimal:
    """What an offer takes itself, without travel."""
    return cost.total - cost.sum_of(CostKind.TRAVEL)


class Known:
    """Invoices worked out once: a plan asks for the same ones again and again."""

    def __init__(self, spot: Decimal) -> None:
        self._spot = spot
        self._found: dict[tuple[str, tuple[Fraction, ...], str], Landed] = {}

    def invoice(self, pick: Pick) -> Landed:
        """What a pick costs."""
        units = tuple(item.step * count for item, count in zip(pick.source.items, pick.steps, strict=True))
        key = (pick.source.name, units, pick.way)
        if key not in self._found:
            self._found[key] = invoice_of(pick, self._spot)
        return self._found[key]


def broken_wishes(basket: Basket, wishes: Wishes) -> list[str]:
    """The wishes that a basket does not keep, in words; what a plan is checked by before it is shown."""
    wrong = []
    if wishes.budget is not None and basket.spend > wishes.budget:
        wrong.append("it costs more than the budget")
    if wishes.weight is not None and basket.ozt < wishes.weight:
        wrong.append("it holds less than the weight wanted")
    share = basket.constitutional_ozt * 100
    if wishes.share_least is not None and share < Fraction(wishes.share_least) * basket.ozt:
        wrong.append("too little of it is constitutional")
    if wishes.share_most is not None and share > Fraction(wishes.share_most) * basket.ozt:
        wrong.append("too much of it is constitutional")
    if wishes.sellers is not None and len(basket.sellers) > wishes.sellers:
        wrong.append("it takes more sellers")
    if wishes.each is not None and any(invoice.landed.total > wishes.each for invoice in basket.invoices):
        wrong.append("one offer takes more than may go to one")
    names = {invoice.pick.source.name for invoice in basket.invoices}
    wrong += [f"{name} is not in it" for name in sorted(wishes.must - names)]
    for invoice in basket.invoices:
        wrong += _out_of_limits(invoice)
    return wrong


def _out_of_limits(invoice: Invoice) -> list[str]:
    """Where an invoice is under the seller's least or over what the seller has."""
    offer, cost = invoice.pick.source.offer, invoice.landed
    wrong = []
    if offer.minimum is not None and _held(cost, offer.minimum) < Fraction(offer.minimum.amount):
        wrong.append(f"{offer.name} sells no less than {offer.minimum}")
    if past_stock(offer, cost):
        wrong.append(f"{offer.name} sells no more than {offer.stock}")
    return wrong


def past_stock(offer: Offer, cost: Landed) -> bool:
    """Whether what is bought of an offer is more than the seller has."""
    return offer.stock is not None and _held(cost, offer.stock) > Fraction(offer.stock.amount)


def _held(cost: Landed, limit: Limit) -> Fraction:
    return measured(cost.goods, cost.sum_of(CostKind.GOODS, CostKind.DISCOUNT), limit.unit)


def by_name(found: Iterable[Source]) -> Mapping[str, Source]:
    """Sources by their offer's name."""
    return {source.name: source for source in found}
