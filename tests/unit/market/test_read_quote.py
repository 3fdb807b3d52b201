"""Each way of saying a price, and what an unreadable one is told."""

from fractions import Fraction

import pytest

from ninefine.catalog.kinds import Basis
from ninefine.errors import RangeError, UnreadableError
from ninefine.market.quote import QuoteForm
from ninefine.market.read_quote import read_quote

READINGS = [
    ("23.4x", QuoteForm.TIMES_FACE, "23.4"),
    ("23.4 times face", QuoteForm.TIMES_FACE, "23.4"),
    ("23.4 X face value", QuoteForm.TIMES_FACE, "23.4"),
    ("$23.4 x", QuoteForm.TIMES_FACE, "23.4"),
    ("23.4\N{MULTIPLICATION SIGN}", QuoteForm.TIMES_FACE, "23.4"),
    ("23.40 a dollar", QuoteForm.PER_FACE, "23.4"),
    ("$23.40 per face dollar", QuoteForm.PER_FACE, "23.4"),
    ("$23.40 per $1 face", QuoteForm.PER_FACE, "23.4"),
    ("23.40 a dollar of face", QuoteForm.PER_FACE, "23.4"),
    ("spot", QuoteForm.SPOT_PLUS, "0"),
    ("at melt", QuoteForm.SPOT_PLUS, "0"),
    ("spot+1.20", QuoteForm.SPOT_PLUS, "1.2"),
    ("Spot plus $1.20", QuoteForm.SPOT_PLUS, "1.2"),
    ("spot + 1.20 an ounce", QuoteForm.SPOT_PLUS, "1.2"),
    ("$1.20 over spot", QuoteForm.SPOT_PLUS, "1.2"),
    ("spot - 0.75", QuoteForm.SPOT_PLUS, "-0.75"),
    ("spot \N{MINUS SIGN} .75", QuoteForm.SPOT_PLUS, "-0.75"),
    ("spot less 75c", QuoteForm.SPOT_PLUS, "-0.75"),
    ("75c back of spot", QuoteForm.SPOT_PLUS, "-0.75"),
    ("75 cents back", QuoteForm.SPOT_PLUS, "-0.75"),
    ("75\N{CENT SIGN} under spot", QuoteForm.SPOT_PLUS, "-0.75"),
    ("4% over", QuoteForm.PERCENT_OVER, "4"),
    ("4 percent over spot", QuoteForm.PERCENT_OVER, "4"),
    ("spot + 4%", QuoteForm.PERCENT_OVER, "4"),
    ("4% premium", QuoteForm.PERCENT_OVER, "4"),
    ("4% under", QuoteForm.PERCENT_OVER, "-4"),
    ("4% back of melt", QuoteForm.PERCENT_OVER, "-4"),
    ("melt minus 4 per cent", QuoteForm.PERCENT_OVER, "-4"),
    ("95% of melt", QuoteForm.PERCENT_OF_MELT, "95"),
    ("95% melt", QuoteForm.PERCENT_OF_MELT, "95"),
    ("95.5 % of spot", QuoteForm.PERCENT_OF_MELT, "95.5"),
    ("2.30 each", QuoteForm.EACH, "2.3"),
    ("36.10 a round", QuoteForm.EACH, "36.1"),
    ("1.10 each over melt", QuoteForm.EACH_OVER_MELT, "1.1"),
    ("spot + 2.10 each", QuoteForm.EACH_OVER_MELT, "2.1"),
    ("5c a piece under melt", QuoteForm.EACH_OVER_MELT, "-0.05"),
    ("32 an ounce", QuoteForm.PER_OUNCE, "32"),
    ("$32/ozt", QuoteForm.PER_OUNCE, "32"),
    ("1,032.50 per troy ounce", QuoteForm.PER_OUNCE, "1032.5"),
    ("0.93/g", QuoteForm.PER_GRAM, "0.93"),
    (".93 a gram", QuoteForm.PER_GRAM, "0.93"),
    ("93c per gram", QuoteForm.PER_GRAM, "0.93"),
    ("930 a kilo", QuoteForm.PER_GRAM, "0.93"),
    ("flat 500", QuoteForm.FLAT, "500"),
    ("$1,500 for the lot", QuoteForm.FLAT, "1500"),
]


@pytest.mark.parametrize(("text", "form", "value"), READINGS, ids=[row[0] for row in READINGS])
def test_a_price_is_read_as_said(text: str, form: QuoteForm, value: str) -> None:
    """Form and figure, exactly; the basis is the trade's and was not said."""
    quote = read_quote(text)
    assert (quote.form, quote.value) == (form, Fraction(value))
    assert (quote.basis, quote.basis_said) == (Basis.TRADE, False)


@pytest.mark.parametrize(
    ("text", "value", "face"),
    [
        ("$5,850 for 250 face", "5850", 250),
        ("5850 for $250 face value", "5850", 250),
        ("$5,850 for two-fifty face", "5850", 250),
        ("5850/250 face", "5850", 250),
        ("$234 a roll of quarters", "234", 10),
        ("117 per roll of dimes", "117", 5),
        ("234 a half dollar roll", "234", 10),
        ("700 a roll of silver dollars", "700", 20),
        ("52 a roll of war nickels", "52", 2),
        ("23,400 a bag", "23400", 1000),
        ("11,700 a half bag", "11700", 500),
        ("5850 a $250 bag", "5850", 250),
        ("5850 a 250 face bag", "5850", 250),
    ],
)
def test_a_price_for_some_face_keeps_how_much(text: str, value: str, face: int) -> None:
    """Rolls and bags are face dollars by another name: rolls from an encyclopaedia article, bags common practice."""
    quote = read_quote(text)
    assert (quote.form, quote.value, quote.per) == (QuoteForm.FOR_FACE, Fraction(value), Fraction(face))


@pytest.mark.parametrize(
    ("text", "coin"),
    [
        ("2.30 a dime", "dime"),
        ("1.60 a nickel", "war nickel"),
        ("11.50 a half dollar", "half"),
        ("30 a morgan", "silver dollar"),
        ("5.75 per quarter", "quarter"),
    ],
)
def test_a_coin_named_in_a_price_each_is_kept(text: str, coin: str) -> None:
    """The coin gives its face, so the price can be turned."""
    quote = read_quote(text)
    assert (quote.form, quote.piece) == (QuoteForm.EACH, coin)


@pytest.mark.parametrize(
    ("text", "basis"),
    [
        ("spot trade", Basis.TRADE),
        ("spot on 0.715", Basis.TRADE),
        ("spot on .7234", Basis.UNWORN),
        ("spot on 0.723", Basis.UNWORN),
        ("30 an ounce on .7734", Basis.UNWORN),
        ("30 an ounce on 0.765", Basis.TRADE),
        ("4% over unworn", Basis.UNWORN),
        ("95% of melt (trade)", Basis.TRADE),
        ("95% of melt, as struck", Basis.UNWORN),
        ("32 per unworn ounce", Basis.UNWORN),
        ("spot+1.20 on trade ounces", Basis.TRADE),
        ("0.93 a gram by scale", Basis.SCALE),
        ("23.4x weighed", Basis.SCALE),
    ],
)
def test_words_after_the_price_name_its_ounces(text: str, basis: Basis) -> None:
    """The basis is held in the record, and that it was said."""
    quote = read_quote(text)
    assert (quote.basis, quote.basis_said) == (basis, True)


@pytest.mark.parametrize(
    ("text", "suggested"),
    [
        ("23.4", "23.4x"),
        ("95%", "95% of melt"),
        ("23,40x", "23.40x"),
        ("spot 1.20", "spot+1.20"),
        ("234 a roll", "234 a roll of quarters"),
        ("32 oz", "32 an ounce"),
        ("", "23.4x"),
        ("hello", "23.4x"),
        ("-5x", "5x"),
        ("$1,20.0 each", "1.20 each"),
        ("5850 for some face", "5850x"),
        ("x" * 5000, "23.4x"),
        ("9" * 60 + "x", "23.4x"),
    ],
)
def test_an_unreadable_price_is_answered_with_readable_ones_near_it(text: str, suggested: str) -> None:
    """The error carries texts that would be read, made of the number typed."""
    with pytest.raises(UnreadableError, match="not a price") as caught:
        read_quote(text)
    assert suggested in caught.value.instead


@pytest.mark.parametrize("text", ["0x", "0% of melt", "flat 0", "0.00 each"])
def test_a_price_of_nothing_is_refused(text: str) -> None:
    """Zero is read and refused; a spot plus zero is spot."""
    with pytest.raises(RangeError, match="price of nothing"):
        read_quote(text)


def test_an_ounce_factor_of_nobodys_is_refused() -> None:
    """0.72 is neither the trade's factor nor the specification's."""
    with pytest.raises(RangeError, match=r"0\.72") as caught:
        read_quote("spot on 0.72")
    assert "spot on 0.715" in caught.value.instead
