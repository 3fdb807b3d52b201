"""Laws of quotes: any way of saying a price can be turned into any other and back, and read back from its words."""

from fractions import Fraction
from itertools import permutations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ninefine.catalog.kinds import Basis
from ninefine.errors import InputError, RangeError, UnreadableError
from ninefine.market.content import content, content_names
from ninefine.market.quote import Quote, QuoteForm, basis_of, convert, per_unit, quote_of
from ninefine.market.read_quote import read_quote
from ninefine.market.terms import PIECE_FACES, Terms

SIGNED = {QuoteForm.SPOT_PLUS, QuoteForm.PERCENT_OVER, QuoteForm.EACH_OVER_MELT}
ALL_FORMS = sorted(QuoteForm)

prices = st.decimals(min_value="0.01", max_value="99999", places=4).map(Fraction)
signed_prices = st.decimals(min_value="-999", max_value="9999", places=4).map(Fraction)
spots = st.decimals(min_value="0.25", max_value="999", places=4).map(Fraction)
bases = st.sampled_from([Basis.TRADE, Basis.UNWORN, Basis.SCALE])


@st.composite
def quotes(draw: st.DrawFn, form: QuoteForm | None = None) -> Quote:
    """Any quote that a person could type."""
    form = form or draw(st.sampled_from(ALL_FORMS))
    said = draw(st.booleans())
    return Quote(
        form=form,
        value=draw(signed_prices if form in SIGNED else prices),
        per=draw(st.integers(1, 5000).map(Fraction)) if form is QuoteForm.FOR_FACE else None,
        piece=draw(st.sampled_from(["", *PIECE_FACES])) if form in {QuoteForm.EACH, QuoteForm.EACH_OVER_MELT} else "",
        basis=draw(bases) if said else Basis.TRADE,
        basis_said=said,
    )


@st.composite
def coin_terms(draw: st.DrawFn) -> Terms:
    """Terms for coin of one size, weighed, with spot and an amount."""
    return Terms(
        content=content(draw(st.sampled_from(["dimes", "quarters", "halves", "dollars", "40", "war"]))),
        spot=draw(spots),
        units=draw(st.integers(1, 5000).map(Fraction)),
        scale_g=draw(st.decimals(min_value="1", max_value="110", places=2).map(Fraction)),
    )


class TestConversion:
    """A price converted to another form comes to the same price a unit, and back to the same quote, exactly."""

    @pytest.mark.parametrize(("one", "other"), list(permutations(ALL_FORMS, 2)), ids=lambda form: form.value)
    @settings(max_examples=10)
    @given(data=st.data(), terms=coin_terms())
    def test_there_and_back_is_exact_for_every_pair(
        self, one: QuoteForm, other: QuoteForm, data: st.DataObject, terms: Terms
    ) -> None:
        """Both ways, with fractions equal and not merely near."""
        quote = data.draw(quotes(one))
        turned = convert(quote, other, terms)
        assert turned.form is other
        assert per_unit(turned, terms) == per_unit(quote, terms)
        back = convert(turned, one, terms, per=quote.per, piece=quote.piece, basis=basis_of(quote, terms))
        assert back.value == quote.value

    @given(quote=quotes(), terms=coin_terms())
    def test_a_quote_said_like_itself_is_itself(self, quote: Quote, terms: Terms) -> None:
        """`quote_of` undoes `per_unit`."""
        again = quote_of(per_unit(quote, terms), quote, terms)
        assert (again.form, again.value, again.per, again.piece) == (quote.form, quote.value, quote.per, quote.piece)

    @given(quote=quotes(), terms=coin_terms())
    def test_the_same_price_is_dearer_by_the_ounce_where_ounces_are_fewer(self, quote: Quote, terms: Terms) -> None:
        """Trade ounces are fewer than unworn ones (or equal), so dollars per trade ounce are never the smaller."""
        trade, unworn = quote.usd_per_ozt(terms, Basis.TRADE), quote.usd_per_ozt(terms, Basis.UNWORN)
        assert (abs(trade) > abs(unworn)) == (terms.content.trade_ozt < terms.content.unworn_ozt and trade != 0)

    @given(value=signed_prices, terms=coin_terms())
    def test_a_premium_may_be_negative(self, value: Fraction, terms: Terms) -> None:
        """Spot plus d is d over spot per ounce on its own basis, above or below zero."""
        quote = Quote(form=QuoteForm.SPOT_PLUS, value=value)
        assert terms.spot is not None
        assert quote.usd_per_ozt(terms, Basis.TRADE) - terms.spot == value


class TestWords:
    """What a quote prints reads back as the same quote."""

    @given(quotes())
    def test_a_typed_quote_reads_back_as_itself(self, quote: Quote) -> None:
        """Figures with an end survive print and read in every form, coin and basis."""
        if quote.form is QuoteForm.EACH_OVER_MELT and not quote.value:
            return
        assert read_quote(str(quote)) == quote

    @pytest.mark.parametrize(("one", "other"), list(permutations(ALL_FORMS, 2)), ids=lambda form: form.value)
    @settings(max_examples=10)
    @given(data=st.data(), terms=coin_terms())
    def test_converted_words_carry_the_price(
        self, one: QuoteForm, other: QuoteForm, data: st.DataObject, terms: Terms
    ) -> None:
        """With enough digits, the printed conversion read again and turned back gives the typed figures."""
        quote = data.draw(quotes(one))
        turned = convert(quote, other, terms)
        if turned.value <= 0 and other not in SIGNED:
            with pytest.raises(InputError):  # a price below nothing is no price to type
                read_quote(turned.text(places=20))
            return
        read = read_quote(turned.text(places=20))
        back = convert(read, one, terms, per=quote.per, piece=quote.piece, basis=basis_of(quote, terms))
        assert abs(back.value - quote.value) < Fraction(1, 10**8)

    @given(st.text(max_size=60))
    def test_no_text_breaks_the_reader(self, text: str) -> None:
        """Whatever is typed, the reader answers with a quote or says what it would read."""
        try:
            answer = str(read_quote(text))
        except InputError as error:
            answer = str(error)
        assert answer

    @given(st.text(alphabet="0123456789.,x%+- spotmelcraudignf$/", max_size=30))
    def test_what_is_suggested_can_be_read(self, text: str) -> None:
        """Every suggestion is itself a readable price."""
        suggested: tuple[str, ...] = ()
        try:
            read_quote(text)
        except UnreadableError as error:
            suggested = error.instead
        except RangeError:
            return
        for suggestion in suggested:
            assert read_quote(suggestion).value != 0


class TestContents:
    """What the trade's ways of counting hold agrees with itself."""

    @pytest.mark.parametrize("name", content_names())
    def test_trade_ounces_never_exceed_unworn(self, name: str) -> None:
        """Wear only takes metal away; less than two per cent by every convention."""
        found = content(name)
        assert Fraction(98, 100) * found.unworn_ozt < found.trade_ozt <= found.unworn_ozt

    @pytest.mark.parametrize("name", content_names())
    def test_ounces_follow_from_grams_and_fineness(self, name: str) -> None:
        """Fine ounces are gross grams times fineness over 31.1034768 (NIST SP 811)."""
        found = content(name)
        assert found.unworn_ozt == found.gross_g * found.fineness / Fraction("31.1034768")
