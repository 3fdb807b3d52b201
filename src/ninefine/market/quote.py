"""A quote is a price as the trade says it; terms turn it into any other way of saying it, exactly.

Everything passes through one figure, the price of one unit of the goods (a face dollar, a piece, a gram), held as a
fraction. So a quote converted to another form and back is the same quote, to the last digit.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction

from ninefine.catalog.kinds import Basis
from ninefine.errors import RangeError
from ninefine.market.content import OUNCE_G
from ninefine.market.terms import Terms
from ninefine.measure.numbers import plain, to_places


class QuoteForm(StrEnum):
    """The ways in which the trade says a price; the value is its name in files."""

    TIMES_FACE = "times-face"
    PER_FACE = "per-face-dollar"
    FOR_FACE = "for-face"
    SPOT_PLUS = "spot-plus"
    PERCENT_OVER = "percent-over"
    PERCENT_OF_MELT = "percent-of-melt"
    EACH = "each"
    EACH_OVER_MELT = "each-over-melt"
    PER_OUNCE = "per-ounce"
    PER_GRAM = "per-gram"
    FLAT = "flat"

    @property
    def counts_ounces(self) -> bool:
        """Whether the form means nothing without saying which ounces."""
        return self in _COUNTS_OUNCES

    @property
    def needs_spot(self) -> bool:
        """Whether the form is struck on spot."""
        return self in _NEEDS_SPOT


_NEEDS_SPOT = {QuoteForm.SPOT_PLUS, QuoteForm.PERCENT_OVER, QuoteForm.PERCENT_OF_MELT, QuoteForm.EACH_OVER_MELT}
_COUNTS_OUNCES = _NEEDS_SPOT | {QuoteForm.PER_OUNCE}


@dataclass(frozen=True, slots=True, kw_only=True)
class Quote:
    """A price as the trade says it.

    Attributes:
        form: how it is said.
        value: dollars, or per cent for the two forms in per cent; signed where the form is over or under.
        per: for `for-face`, the face dollars that the price is for.
        piece: for the two forms in pieces, the coin named, if one was.
        basis: which ounces it counts.
        basis_said: the basis was part of the words, not the trade's habit.
    """

    form: QuoteForm
    value: Fraction
    per: Fraction | None = None
    piece: str = ""
    basis: Basis = Basis.TRADE
    basis_said: bool = False

    def __str__(self) -> str:
        """Words that read back as this quote, if its figures have an end; else to twelve places."""
        return self.text()

    def text(self, places: int = 12) -> str:
        """The quote in words that can be read again, figures rounded half up to `places`."""
        tail = _TAILS[self.basis] if self.basis_said else ""
        return _WORDS[self.form](self, places) + tail

    def usd_per_ozt(self, terms: Terms, basis: Basis) -> Fraction:
        """Dollars per fine troy ounce on a basis.

        Raises:
            RangeError: the terms lack what the quote needs (spot, a coin's size, a weight).
        """
        return per_unit(self, terms) / terms.ozt(basis)


def basis_of(quote: Quote, terms: Terms) -> Basis:
    """The ounces that a quote counts here: a price by the gram goes by the scale where there is a weight."""
    if quote.form is QuoteForm.PER_GRAM and not quote.basis_said and terms.scale_g is not None:
        return Basis.SCALE
    return quote.basis


def per_unit(quote: Quote, terms: Terms) -> Fraction:
    """Dollars for one unit of the goods.

    Raises:
        RangeError: the terms lack what the quote needs.
    """
    slope, start = _line(quote, terms)
    return start + slope * quote.value


def quote_of(price: Fraction, like: Quote, terms: Terms) -> Quote:
    """The quote that comes to a price per unit, said like another: its form, coin, amount and basis.

    Raises:
        RangeError: the terms lack what the form needs.
    """
    slope, start = _line(like, terms)
    basis = basis_of(like, terms)
    said = like.basis_said or basis is not like.basis
    return replace(like, value=(price - start) / slope, basis=basis, basis_said=said)


def convert(
    quote: Quote,
    to: QuoteForm,
    terms: Terms,
    *,
    per: Fraction | None = None,
    piece: str = "",
    basis: Basis | None = None,
) -> Quote:
    """The same price, said another way; there and back is exact.

    Args:
        quote: the price.
        to: the form wanted.
        terms: goods, spot and amount.
        per: for `for-face`, the face dollars to price; ten (a roll of quarters or halves) where not given.
        piece: for the forms in pieces, the coin; the goods' own piece where not given.
        basis: the ounces to say it in; those of the quote where not given.

    Raises:
        RangeError: the terms lack what either form needs.
    """
    if to is QuoteForm.FOR_FACE and per is None:
        per = Fraction(10)
    own = basis_of(quote, terms)
    wanted = basis or own
    said = quote.basis_said or wanted is not quote.basis
    like = Quote(form=to, value=Fraction(0), per=per, piece=piece, basis=wanted, basis_said=said)
    return quote_of(per_unit(quote, terms), like, terms)


def _line(quote: Quote, terms: Terms) -> tuple[Fraction, Fraction]:
    """Every form is a line: price of a unit = start + slope x value. Reading it backwards inverts it exactly."""
    nothing = Fraction(0)
    match quote.form:
        case QuoteForm.TIMES_FACE | QuoteForm.PER_FACE:
            return terms.need_face(), nothing
        case QuoteForm.FOR_FACE:
            return terms.need_face() / _need_per(quote.per), nothing
        case QuoteForm.EACH:
            return 1 / terms.need_piece(quote.piece), nothing
        case QuoteForm.FLAT:
            return 1 / terms.need_units(), nothing
    return _ounce_line(quote, terms)


def _ounce_line(quote: Quote, terms: Terms) -> tuple[Fraction, Fraction]:
    """The lines of the forms that count ounces or grams."""
    ozt, nothing = terms.ozt(basis_of(quote, terms)), Fraction(0)
    if quote.form is QuoteForm.PER_OUNCE:
        return ozt, nothing
    if quote.form is QuoteForm.PER_GRAM:
        return ozt * OUNCE_G / terms.content.fineness, nothing
    melt = terms.need_spot() * ozt
    match quote.form:
        case QuoteForm.SPOT_PLUS:
            return ozt, melt
        case QuoteForm.PERCENT_OVER:
            return melt / 100, melt
        case QuoteForm.PERCENT_OF_MELT:
            return melt / 100, nothing
    return 1 / terms.need_piece(quote.piece), melt


def _need_per(per: Fraction | None) -> Fraction:
    if not per:
        raise RangeError("A price for some face needs to say how much face.", instead=("5850 for 250 face",))
    return per


def _figure(value: Fraction, places: int, least: int = 0) -> str:
    """A figure to at most `places`, without trailing zeros beyond `least`."""
    text = plain(to_places(value, places))
    if least and places >= least:
        whole, _, rest = text.partition(".")
        text = f"{whole}.{rest.ljust(least, '0')}"
    return text


def _money(value: Fraction, places: int) -> str:
    return _figure(value, places, 2)


def _spot_words(quote: Quote, places: int) -> str:
    if not quote.value:
        return "spot"
    return ("spot+" if quote.value > 0 else "spot-") + _money(abs(quote.value), places)


def _percent_words(quote: Quote, places: int) -> str:
    return f"{_figure(abs(quote.value), places)}% " + ("under" if quote.value < 0 else "over")


def _each(quote: Quote) -> str:
    return f"a {quote.piece}" if quote.piece else "each"


def _each_over_words(quote: Quote, places: int) -> str:
    side = "under" if quote.value < 0 else "over"
    return f"{_money(abs(quote.value), places)} {_each(quote)} {side} melt"


_WORDS: dict[QuoteForm, Callable[[Quote, int], str]] = {
    QuoteForm.TIMES_FACE: lambda quote, places: f"{_figure(quote.value, places)}x",
    QuoteForm.PER_FACE: lambda quote, places: f"{_money(quote.value, places)} a face dollar",
    QuoteForm.FOR_FACE: lambda quote, places: (
        f"{_money(quote.value, places)} for {_figure(_need_per(quote.per), places)} face"
    ),
    QuoteForm.SPOT_PLUS: _spot_words,
    QuoteForm.PERCENT_OVER: _percent_words,
    QuoteForm.PERCENT_OF_MELT: lambda quote, places: f"{_figure(quote.value, places)}% of melt",
    QuoteForm.EACH: lambda quote, places: f"{_money(quote.value, places)} {_each(quote)}",
    QuoteForm.EACH_OVER_MELT: _each_over_words,
    QuoteForm.PER_OUNCE: lambda quote, places: f"{_money(quote.value, places)} an ounce",
    QuoteForm.PER_GRAM: lambda quote, places: f"{_money(quote.value, places)} a gram",
    QuoteForm.FLAT: lambda quote, places: f"flat {_money(quote.value, places)}",
}
_TAILS = {Basis.TRADE: " on trade ounces", Basis.UNWORN: " on unworn ounces", Basis.SCALE: " by scale"}


def exact_decimal(value: Fraction) -> Decimal:
    """A fraction as a decimal to 30 places: what a record of figures carries for a page to round."""
    return to_places(value, 30)
