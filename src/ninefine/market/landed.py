"""Landed cost: all that leaves your pocket for an offer, line by line to the cent, over the ounces on each basis."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction

from ninefine.catalog.kinds import Basis
from ninefine.errors import RangeError
from ninefine.market.content import content
from ninefine.market.goods import Goods, Resolve, check_spot, over, under
from ninefine.market.offers import Charged, Offer, OfferLine, Taxed, TaxRule, Way
from ninefine.market.quote import Quote, exact_decimal, per_unit
from ninefine.measure.money import cents
from ninefine.measure.numbers import divide, plain, to_places


class CostKind(StrEnum):
    """What a line of the cost is for."""

    GOODS = "goods"
    DISCOUNT = "discount"
    CARRIAGE = "carriage"
    SURCHARGE = "surcharge"
    TAX = "tax"
    FEE = "fee"
    TRAVEL = "travel"


@dataclass(frozen=True, slots=True, kw_only=True)
class CostLine:
    """One line of the cost, to the cent; a discount is below zero."""

    kind: CostKind
    words: str
    amount: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class Landed:
    """What an offer costs in all, and what it holds.

    Attributes:
        offer, way: what was priced, and how it is paid.
        spot: dollars per fine troy ounce that it was struck against.
        lines: every line of the cost; they sum to `total`.
        goods: the goods, with what they hold.
        total: all that leaves the pocket.
        ozt: fine troy ounces on each basis; by scale only where every line was weighed.
        cautions: what to know before agreeing.
    """

    offer: Offer
    way: Way
    spot: Decimal
    lines: tuple[CostLine, ...]
    goods: tuple[Goods, ...]
    total: Decimal
    ozt: Mapping[Basis, Decimal]
    cautions: tuple[str, ...]

    @property
    def basis(self) -> Basis:
        """The ounces to compare by: the scale's where there is a weight, else the trade's."""
        return Basis.SCALE if Basis.SCALE in self.ozt and self._any_weight else Basis.TRADE

    @property
    def _any_weight(self) -> bool:
        return any(goods.gross_g is not None for goods in self.goods)

    def cost_per_ozt(self, basis: Basis | None = None) -> Decimal:
        """Dollars per fine troy ounce, unrounded; on the basis to compare by unless another is asked.

        Raises:
            RangeError: by scale, where not every line was weighed.
        """
        wanted = basis or self.basis
        if wanted not in self.ozt:
            raise RangeError(f"{self.offer.name} has not been weighed.", instead=("trade", "unworn"))
        return exact_decimal(Fraction(self.total) / Fraction(self.ozt[wanted]))

    def premium_usd(self, basis: Basis | None = None) -> Decimal:
        """Dollars per ounce over spot; below zero under it."""
        return self.cost_per_ozt(basis) - self.spot

    def premium_pct(self, basis: Basis | None = None) -> Decimal:
        """Per cent over spot (3.84, not 0.0384); below zero under it."""
        return exact_decimal((Fraction(self.cost_per_ozt(basis)) / Fraction(self.spot) - 1) * 100)

    def sum_of(self, *kinds: CostKind) -> Decimal:
        """What the lines of some kinds come to."""
        return sum((line.amount for line in self.lines if line.kind in kinds), Decimal(0))


def landed(offer: Offer, spot: Decimal, *, way: str = "", metal: str = "XAG", resolve: Resolve = content) -> Landed:
    """What an offer costs in all.

    Each line is rounded half up to the cent, as an invoice is. The tier is the one that the whole basket reaches. A
    surcharge is reckoned after the discount; the tax after both, on what its rule counts.

    Args:
        offer: the offer.
        spot: dollars per fine troy ounce.
        way: a way to pay by name; the offer's first where none is named.
        metal: what spot is of, ISO 4217; an offer of another metal is refused.
        resolve: finds what named goods hold.

    Raises:
        NotFoundError: goods, or a way to pay, of that name are not known.
        RangeError: a quote that these goods cannot be priced by, goods of another metal, or spot not above zero.
    """
    paid_by = offer.way(way)
    goods = tuple(line.goods(resolve) for line in offer.lines)
    check_spot(goods, spot, metal)
    goods_lines = [_goods_line(line, goods, at, spot) for at, line in enumerate(offer.lines)]
    price = sum((line.amount for line in goods_lines), Decimal(0))
    lines = [*goods_lines, *_discount_lines(offer, price)]
    net = sum((line.amount for line in lines), Decimal(0))
    carriage = _carriage_lines(offer, net)
    lines += carriage
    counted = {Charged.GOODS: net, Charged.CARRIAGE: net + sum((line.amount for line in carriage), Decimal(0))}
    tax = _tax_lines(offer, goods, goods_lines, counted, paid_by)
    counted[Charged.ALL] = counted[Charged.CARRIAGE] + sum((line.amount for line in tax), Decimal(0))
    lines += [*_surcharge_lines(paid_by, counted), *tax, *_fee_lines(offer, paid_by)]
    return Landed(
        offer=offer,
        way=paid_by,
        spot=spot,
        lines=tuple(lines),
        goods=goods,
        total=sum((line.amount for line in lines), Decimal(0)),
        ozt=ounces(goods),
        cautions=_cautions(offer, goods, net),
    )


def ounces(goods: Sequence[Goods]) -> dict[Basis, Decimal]:
    """Fine troy ounces of some goods on each basis that holds for all of them, to 30 places."""
    bases = [Basis.TRADE, Basis.UNWORN]
    if all(item.weighed for item in goods):
        bases.append(Basis.SCALE)
    return {basis: exact_decimal(sum((item.ozt(basis) for item in goods), Fraction(0))) for basis in bases}


def tier_quote(line: OfferLine, goods: Sequence[Goods], at: int) -> Quote:
    """The quote that holds for a line: its own, or that of the highest tier which the basket reaches.

    The basket is every line counted in the same way (face with face, pieces with pieces, grams with grams).
    """
    counted = goods[at].content.counted_by
    basket = sum((item.units for item in goods if item.content.counted_by is counted), Fraction(0))
    reached = [tier for tier in line.tiers if basket >= Fraction(tier.start)]
    return reached[-1].quote if reached else line.quote


def _goods_line(line: OfferLine, goods: Sequence[Goods], at: int, spot: Decimal) -> CostLine:
    quote = tier_quote(line, goods, at)
    item = goods[at]
    amount = to_places(per_unit(quote, item.terms(spot)) * item.units, 2)
    return CostLine(kind=CostKind.GOODS, words=f"{how_much(item)} at {quote.text(6)}", amount=amount)


def how_much(goods: Goods) -> str:
    """Some goods in words: `100 face of 90% halves`."""
    amount = plain(to_places(goods.units, 3))
    unit = {"face": "face of ", "piece": "x ", "gram": "g of "}[goods.content.counted_by]
    return f"{amount} {unit}{goods.content.name}"


def _discount_lines(offer: Offer, price: Decimal) -> list[CostLine]:
    amount = offer.discount + price * offer.discount_pct / 100
    return [CostLine(kind=CostKind.DISCOUNT, words="discount", amount=-cents(amount))] if amount else []


def _carriage_lines(offer: Offer, net: Decimal) -> list[CostLine]:
    carriage = offer.carriage
    if carriage is None:
        return []
    if carriage.free_from is not None and net >= carriage.free_from:
        words = f"carriage, free from {plain(carriage.free_from)}"
        return [CostLine(kind=CostKind.CARRIAGE, words=words, amount=Decimal(0))]
    return [CostLine(kind=CostKind.CARRIAGE, words="carriage", amount=cents(carriage.flat + net * carriage.pct / 100))]


def _surcharge_lines(way: Way, counted: dict[Charged, Decimal]) -> list[CostLine]:
    if not way.surcharge_pct:
        return []
    base = counted[way.surcharge_on]
    words = f"{way.name}: {plain(way.surcharge_pct)}% of {way.surcharge_on}"
    return [CostLine(kind=CostKind.SURCHARGE, words=words, amount=cents(base * way.surcharge_pct / 100))]


def is_taxed(rule: TaxRule, counted: Decimal) -> bool:
    """Whether a sale of this size is taxed under a rule."""
    if rule.line is None:
        return True
    return (counted < rule.line) is (rule.taxed is Taxed.UNDER)


def _tax_lines(
    offer: Offer, goods: Sequence[Goods], priced: Sequence[CostLine], counted: dict[Charged, Decimal], way: Way
) -> list[CostLine]:
    """The tax: on goods (less those fine enough to be exempt), or on goods with carriage, or with the surcharge too."""
    rule = offer.tax
    if rule is None:
        return []
    base = counted[Charged.GOODS if rule.counts is Charged.GOODS else Charged.CARRIAGE]
    if rule.counts is Charged.ALL and way.surcharge_on is not Charged.ALL:
        base += sum((line.amount for line in _surcharge_lines(way, counted)), Decimal(0))
    if not is_taxed(rule, base):
        return [CostLine(kind=CostKind.TAX, words=f"no sales tax: {_line_words(rule)}", amount=Decimal(0))]
    if rule.exempt_fineness is not None:
        base -= _exempt(rule.exempt_fineness, goods, priced, counted[Charged.GOODS])
    words = f"sales tax {plain(rule.rate_pct)}%: {_line_words(rule)}"
    return [CostLine(kind=CostKind.TAX, words=words, amount=cents(max(base, Decimal(0)) * rule.rate_pct / 100))]


def _exempt(floor: Decimal, goods: Sequence[Goods], priced: Sequence[CostLine], net: Decimal) -> Decimal:
    """What the lines fine enough to be exempt cost, each with its share of the discount."""
    price = sum((line.amount for line in priced), Decimal(0))
    exempt = [line.amount for line, item in zip(priced, goods, strict=True) if item.content.fineness >= Fraction(floor)]
    return divide(sum(exempt, Decimal(0)) * net, price) if price else Decimal(0)


def _line_words(rule: TaxRule) -> str:
    if rule.line is None:
        return "your rule"
    return f"your rule taxes sales {rule.taxed} {plain(rule.line)}"


def _fee_lines(offer: Offer, way: Way) -> list[CostLine]:
    lines = []
    if way.fee:
        lines.append(CostLine(kind=CostKind.FEE, words=f"{way.name} fee", amount=cents(way.fee)))
    if offer.travel is not None:
        words = f"{plain(offer.travel.miles)} miles at {plain(offer.travel.per_mile)}"
        lines.append(CostLine(kind=CostKind.TRAVEL, words=words, amount=cents(offer.travel.cost)))
    return lines


def _cautions(offer: Offer, goods: Sequence[Goods], net: Decimal) -> tuple[str, ...]:
    cautions = [
        *under(offer.minimum, goods, net, f"{offer.seller or 'The seller'} sells no less than"),
        *over(offer.stock, goods, net, f"{offer.seller or 'The seller'} has no more than"),
    ]
    for item in goods:
        if item.gross_g is not None and item.content.counted_by == "face":
            more = (item.ozt(Basis.SCALE) / item.ozt(Basis.TRADE) - 1) * 100
            side = "over" if more >= 0 else "under"
            cautions.append(
                f"{item.content.name}: {plain(abs(to_places(more, 2)))}% {side} the trade's ounces by scale."
            )
    if offer.tax is not None and offer.tax.read_on is None:
        cautions.append("The tax rule has no date on which it was read; rules change.")
    return tuple(cautions)
