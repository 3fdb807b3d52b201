"""One quote, said in every other way: what `23.4 times face` is per ounce, over spot, a dime and a roll."""

from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction

from ninefine.catalog.kinds import Basis
from ninefine.market.content import OUNCE_G, Content, CountedBy, content
from ninefine.market.quote import Quote, QuoteForm, exact_decimal, per_unit
from ninefine.market.terms import Terms
from ninefine.measure.numbers import to_places


@dataclass(frozen=True, slots=True, kw_only=True)
class PieceFigure:
    """What a quote comes to for one piece or one roll."""

    name: str
    usd: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class QuoteAnswer:
    """A quote in every form, unrounded to 30 places. None where spot, face or weight is lacking.

    Premiums are over spot, and negative under it. Per cent figures are per cent: 3.84, not 0.0384.
    """

    quote: Quote
    goods: str
    spot: Decimal | None
    times_face: Decimal | None
    usd_per_face_dollar: Decimal | None
    usd_per_unit: Decimal
    usd_per_ozt_trade: Decimal
    usd_per_ozt_unworn: Decimal
    usd_per_ozt_scale: Decimal | None
    usd_per_gram_gross_trade: Decimal
    usd_per_gram_gross_unworn: Decimal
    premium_usd_per_ozt_trade: Decimal | None
    premium_usd_per_ozt_unworn: Decimal | None
    premium_usd_per_ozt_scale: Decimal | None
    premium_pct_trade: Decimal | None
    premium_pct_unworn: Decimal | None
    premium_pct_scale: Decimal | None
    pct_of_melt_trade: Decimal | None
    pct_of_melt_unworn: Decimal | None
    pct_of_melt_scale: Decimal | None
    pieces: tuple[PieceFigure, ...]
    notes: tuple[str, ...]


def answer(quote: Quote, terms: Terms) -> QuoteAnswer:
    """Say a quote in every form.

    Raises:
        RangeError: the terms lack what the quote itself needs (spot, a coin's size, an amount).
    """
    price, goods = per_unit(quote, terms), terms.content
    trade, unworn = price / goods.trade_ozt, price / goods.unworn_ozt
    scale = None if terms.scale_g is None else price / terms.ozt(Basis.SCALE)
    per_face = price / goods.face if goods.face else None
    gram = goods.fineness / OUNCE_G
    return QuoteAnswer(
        quote=quote,
        goods=goods.name,
        spot=_figure(terms.spot),
        times_face=_figure(per_face),
        usd_per_face_dollar=_figure(per_face),
        usd_per_unit=exact_decimal(price),
        usd_per_ozt_trade=exact_decimal(trade),
        usd_per_ozt_unworn=exact_decimal(unworn),
        usd_per_ozt_scale=_figure(scale),
        usd_per_gram_gross_trade=exact_decimal(trade * gram),
        usd_per_gram_gross_unworn=exact_decimal(unworn * gram),
        premium_usd_per_ozt_trade=_over(trade, terms.spot),
        premium_usd_per_ozt_unworn=_over(unworn, terms.spot),
        premium_usd_per_ozt_scale=_over(scale, terms.spot),
        premium_pct_trade=_percent(trade, terms.spot, less=100),
        premium_pct_unworn=_percent(unworn, terms.spot, less=100),
        premium_pct_scale=_percent(scale, terms.spot, less=100),
        pct_of_melt_trade=_percent(trade, terms.spot),
        pct_of_melt_unworn=_percent(unworn, terms.spot),
        pct_of_melt_scale=_percent(scale, terms.spot),
        pieces=_pieces(price, goods),
        notes=_notes(quote, terms, price),
    )


def _figure(value: Fraction | None) -> Decimal | None:
    return None if value is None else exact_decimal(value)


def _over(per_ozt: Fraction | None, spot: Fraction | None) -> Decimal | None:
    return None if per_ozt is None or spot is None else exact_decimal(per_ozt - spot)


def _percent(per_ozt: Fraction | None, spot: Fraction | None, *, less: int = 0) -> Decimal | None:
    return None if per_ozt is None or not spot else exact_decimal(per_ozt / spot * 100 - less)


def _pieces(price: Fraction, goods: Content) -> tuple[PieceFigure, ...]:
    """One piece and one roll of it; for mixed small coin, of each of the three."""
    if goods.counted_by is CountedBy.GRAM:
        return ()
    if goods.piece is not None:
        found = [PieceFigure(name="each", usd=exact_decimal(price * goods.piece))]
        if goods.roll:
            roll = PieceFigure(name=f"roll of {goods.roll}", usd=exact_decimal(price * goods.piece * goods.roll))
            found.append(roll)
        return tuple(found)
    return tuple(
        figure
        for name in ("dimes", "quarters", "halves")
        for figure in _named(price, content(name), _SINGULAR[name], name)
    )


_SINGULAR = {"dimes": "dime", "quarters": "quarter", "halves": "half"}


def _named(price: Fraction, coin: Content, one: str, many: str) -> tuple[PieceFigure, ...]:
    each = price * (coin.piece or 0)
    return (
        PieceFigure(name=one, usd=exact_decimal(each)),
        PieceFigure(name=f"roll of {many}", usd=exact_decimal(each * (coin.roll or 0))),
    )


def _notes(quote: Quote, terms: Terms, price: Fraction) -> tuple[str, ...]:
    """What the person should ask or know before trusting the figures."""
    goods, notes = terms.content, []
    if quote.form.counts_ounces and goods.trade_ozt != goods.unworn_ozt:
        if quote.basis_said:
            notes.append(f"Counted on {quote.basis} ounces, as said.")
        else:
            unit = goods.counted_by.unit
            other = per_unit(replace(quote, basis=Basis.UNWORN, basis_said=True), terms)
            notes.append(
                f"Counted on trade ounces, {_short(goods.trade_ozt, 4)} a {unit}, as is usual. Ask which are meant: on "
                f"unworn ounces, {_short(goods.unworn_ozt, 4)} a {unit}, the same words come to {_short(other, 2)} "
                f"a {unit} instead of {_short(price, 2)}."
            )
    if quote.form is QuoteForm.PER_GRAM and terms.scale_g is None and goods.counted_by is CountedBy.FACE:
        notes.append("A price by the gram becomes a price by face only after weighing; here trade weight is assumed.")
    return tuple(notes)


def _short(value: Fraction, places: int) -> str:
    return str(to_places(value, places))
