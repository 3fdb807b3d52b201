"""What an exit pays for some goods: gross, each thing taken off, net; and the spot at which a cost comes back."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction
from math import ceil

from ninefine.catalog.kinds import Basis
from ninefine.errors import NotFoundError
from ninefine.market.exits import Exit, Parcels
from ninefine.market.goods import Goods, check_spot, over, under
from ninefine.market.landed import how_much
from ninefine.market.quote import Quote, QuoteForm, convert, exact_decimal, per_unit
from ninefine.measure.money import spread
from ninefine.measure.numbers import plain, to_places


class PaidKind(StrEnum):
    """What a line of a settlement is."""

    GOODS = "goods"
    MELT_LOSS = "not payable"
    FEE = "fee"
    POSTAGE = "postage"
    TREATMENT = "treatment"
    COSTS = "costs"
    TRAVEL = "travel"


@dataclass(frozen=True, slots=True, kw_only=True)
class PaidLine:
    """One line of a settlement, to the cent; what is taken off is below zero."""

    kind: PaidKind
    words: str
    amount: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class Paid:
    """What an exit pays.

    Attributes:
        exit, spot: the way out, and dollars per fine troy ounce on the day.
        lines: every line; they sum to `net`.
        sold, unsold: the goods it buys, and those it has no bid for.
        gross: what it pays before anything is taken off.
        net: what reaches the pocket.
        cautions: what to know before going.
    """

    exit: Exit
    spot: Decimal
    lines: tuple[PaidLine, ...]
    sold: tuple[Goods, ...]
    unsold: tuple[Goods, ...]
    gross: Decimal
    net: Decimal
    cautions: tuple[str, ...]

    @property
    def taken_off(self) -> Decimal:
        """All that is taken off, as an amount above zero."""
        return self.gross - self.net

    @property
    def per_face_dollar(self) -> Decimal | None:
        """Net for each face dollar sold, unrounded; none where something sold has no face."""
        faces = [item.face_value for item in self.sold]
        known = [face for face in faces if face]
        return exact_decimal(Fraction(self.net) / sum(known, Fraction(0))) if len(known) == len(faces) else None

    def pct_of_melt(self, basis: Basis) -> Decimal:
        """Net in per cent of the melt of what was sold, unrounded.

        Raises:
            RangeError: by scale, where not everything was weighed.
        """
        melt = sum((item.ozt(basis) for item in self.sold), Fraction(0)) * Fraction(self.spot)
        return exact_decimal(Fraction(self.net) / melt * 100)


_Reckoned = list[tuple[PaidKind, str, Fraction]]


def pays(
    way_out: Exit,
    goods: Sequence[Goods],
    spot: Decimal,
    *,
    metal: str = "XAG",
    bids: Sequence[Quote | None] | None = None,
) -> Paid:
    """What an exit pays for some goods at a spot, each line rounded half up to the cent.

    An exit that pays for assayed silver (`payable_pct`) settles all goods as one melt: one rounding for all. `bids` are
    bids for each of the goods in the place of the exit's own, none for what it does not buy.

    Raises:
        NotFoundError: it buys none of these goods.
        RangeError: a bid that these goods cannot be priced by, goods of another metal, or spot not above zero.
    """
    check_spot(goods, spot, metal)
    quotes = [bid_on(way_out, item) for item in goods] if bids is None else list(bids)
    sold = tuple(item for item, quote in zip(goods, quotes, strict=True) if quote is not None)
    if not sold:
        raise NotFoundError(
            f"{way_out.name} buys none of these goods.",
            expected="A bid is set for a kind, a way of quoting (90, dollars, 40, ozt), a form, or silver.",
            instead=tuple(bid.what for bid in way_out.bids),
        )
    struck = [quote for quote in quotes if quote is not None]
    exact = _gross(sold, struck, Fraction(spot))
    amounts = _rounded(way_out, exact)
    gross = sum(amounts, Decimal(0))
    lines = [
        PaidLine(kind=PaidKind.GOODS, words=f"{how_much(item)} at {quote.text(6)}", amount=amount)
        for item, quote, amount in zip(sold, struck, amounts, strict=True)
    ]
    for kind, words, amount in _taken(way_out, sold, Fraction(gross)):
        lines.append(PaidLine(kind=kind, words=words, amount=Decimal(0) - to_places(amount, 2)))
    return Paid(
        exit=way_out,
        spot=spot,
        lines=tuple(lines),
        sold=sold,
        unsold=tuple(item for item, quote in zip(goods, quotes, strict=True) if quote is None),
        gross=gross,
        net=sum((line.amount for line in lines), Decimal(0)),
        cautions=_cautions(way_out, sold, gross),
    )


def bid_on(way_out: Exit, goods: Goods) -> Quote | None:
    """The bid for some goods; a bid by scale on goods that were not weighed is taken on trade ounces."""
    quote = way_out.bid_for(goods.content)
    if quote is not None and quote.basis is Basis.SCALE and not goods.weighed:
        return replace(quote, basis=Basis.TRADE)
    return quote


def break_even(
    way_out: Exit, goods: Sequence[Goods], cost: Decimal, spot: Decimal, *, metal: str = "XAG"
) -> Decimal | None:
    """The spot at which an exit would pay back a cost, its bid rule unchanged; unrounded, none if no spot does.

    A bid struck on spot keeps its words. A bid said as a plain price (times face, each) keeps its share of trade melt
    at today's spot: 22 times face at 32 goes on as 96.15% of melt. Every such rule and every fee is a straight line in
    spot, so the answer is exact.

    Raises:
        NotFoundError: it buys none of these goods.
    """
    today = pays(way_out, goods, spot, metal=metal)
    quotes = [(item, bid_on(way_out, item)) for item in today.sold]
    bids = [steady(quote, item, spot) for item, quote in quotes if quote is not None]
    low, high = Fraction(spot), 2 * Fraction(spot)
    at_low, at_high = (_exact_net(way_out, today.sold, bids, at) for at in (low, high))
    if at_high <= at_low:
        return None
    found = low + (Fraction(cost) - at_low) * (high - low) / (at_high - at_low)
    return exact_decimal(found) if found > 0 else None


def steady(quote: Quote, goods: Goods, spot: Decimal) -> Quote:
    """A quote for goods as it goes on when spot moves: struck on spot it stays, a plain price is a share of melt."""
    if quote.form.needs_spot:
        return quote
    return convert(quote, QuoteForm.PERCENT_OF_MELT, goods.terms(spot), basis=Basis.TRADE)


def _exact_net(way_out: Exit, goods: Sequence[Goods], bids: Sequence[Quote], spot: Fraction) -> Fraction:
    gross = sum(_gross(goods, bids, spot), Fraction(0))
    return gross - sum((amount for _, _, amount in _taken(way_out, goods, gross)), Fraction(0))


def _gross(goods: Sequence[Goods], bids: Sequence[Quote], spot: Fraction) -> list[Fraction]:
    """What each of some goods brings before anything is taken off, unrounded."""
    return [
        per_unit(quote, replace(item.terms(None), spot=spot)) * item.units
        for item, quote in zip(goods, bids, strict=True)
    ]


def _rounded(way_out: Exit, exact: Sequence[Fraction]) -> list[Decimal]:
    if way_out.payable_pct is None or min(exact) < 0 or not any(exact):
        return [to_places(amount, 2) for amount in exact]
    return spread(to_places(sum(exact, Fraction(0)), 2), [exact_decimal(amount) for amount in exact])


def _taken(way_out: Exit, goods: Sequence[Goods], gross: Fraction) -> _Reckoned:
    """Everything that is taken off, unrounded, as amounts above zero."""
    taken: _Reckoned = []
    if way_out.payable_pct is not None and way_out.payable_pct != 100:
        kept = 100 - Fraction(way_out.payable_pct)
        words = f"{plain(way_out.payable_pct)}% of assayed silver is paid for"
        taken.append((PaidKind.MELT_LOSS, words, gross * kept / 100))
    if way_out.fee_pct:
        taken.append((PaidKind.FEE, f"{plain(way_out.fee_pct)}% of proceeds", gross * Fraction(way_out.fee_pct) / 100))
    if way_out.parcels is not None:
        taken += _parcel_costs(way_out.parcels, goods)
    if way_out.treatment is not None:
        ounces = sum((item.gross_ozt for item in goods), Fraction(0))
        charge = max(Fraction(way_out.treatment.per_gross_ozt) * ounces, Fraction(way_out.treatment.minimum))
        words = f"treatment of {plain(to_places(ounces, 4))} gross ozt"
        taken.append((PaidKind.TREATMENT, words, charge))
    if way_out.costs:
        taken.append((PaidKind.COSTS, "flat costs", Fraction(way_out.costs)))
    if way_out.travel is not None:
        words = f"{plain(way_out.travel.miles)} miles at {plain(way_out.travel.per_mile)}"
        taken.append((PaidKind.TRAVEL, words, Fraction(way_out.travel.cost)))
    return taken


def parcel_count(parcels: Parcels, goods: Sequence[Goods]) -> int:
    """How many parcels some goods need: as many as set, or as their face fills; one for goods without face."""
    if parcels.count is not None:
        return parcels.count
    face = sum((item.face_value or Fraction(0) for item in goods), Fraction(0))
    return max(1, ceil(face / Fraction(parcels.face or 1)))


def _parcel_costs(parcels: Parcels, goods: Sequence[Goods]) -> _Reckoned:
    count = parcel_count(parcels, goods)
    each = f"{count} parcel{'s' if count != 1 else ''} at "
    costs: _Reckoned = []
    if parcels.fee:
        costs.append((PaidKind.FEE, each + plain(parcels.fee), count * Fraction(parcels.fee)))
    if parcels.postage:
        costs.append((PaidKind.POSTAGE, each + plain(parcels.postage), count * Fraction(parcels.postage)))
    return costs


def _cautions(way_out: Exit, sold: Sequence[Goods], gross: Decimal) -> tuple[str, ...]:
    cautions = [
        *under(way_out.minimum, sold, gross, f"{way_out.name} takes no less than"),
        *over(way_out.capacity, sold, gross, f"{way_out.name} takes at once no more than"),
    ]
    unweighed = dict.fromkeys(item.content.name for item in sold if _by_scale_unweighed(way_out, item))
    if unweighed:
        first = list(unweighed)[:3]
        names = ", ".join(first) + (f" and {len(unweighed) - 3} more" if len(unweighed) > 3 else "")
        cautions.append(f"{names} have not been weighed: the bid by scale is reckoned on trade ounces.")
    return tuple(cautions)


def _by_scale_unweighed(way_out: Exit, item: Goods) -> bool:
    quote = way_out.bid_for(item.content)
    return quote is not None and quote.basis is Basis.SCALE and not item.weighed
