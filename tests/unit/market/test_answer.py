"""Conversions against worked figures: the trade's own arithmetic, statutes, and a published weighing."""

from decimal import Decimal
from fractions import Fraction

import pytest

from ninefine.catalog.kinds import Basis, Evidence, Form, Kind
from ninefine.errors import NotFoundError, RangeError
from ninefine.market.answer import answer
from ninefine.market.content import content, content_of
from ninefine.market.quote import QuoteForm, convert
from ninefine.market.read_quote import read_quote
from ninefine.market.terms import terms
from ninefine.measure.numbers import to_places


def rounded(value: Decimal | None, places: int) -> str:
    """A figure as it would be printed."""
    assert value is not None
    return str(to_places(value, places))


def test_forty_nine_times_face_at_spot_66() -> None:
    """49 / 0.715 = 68.53 a trade ounce, 3.84% over 66 (worked by hand)."""
    found = answer(read_quote("49x"), terms(content("90"), spot=Decimal(66)))
    assert rounded(found.usd_per_ozt_trade, 2) == "68.53"
    assert rounded(found.premium_pct_trade, 2) == "3.84"
    assert rounded(found.premium_usd_per_ozt_trade, 2) == "2.53"
    assert rounded(found.usd_per_ozt_unworn, 3) == "67.736"
    assert rounded(found.pct_of_melt_trade, 2) == "103.84"
    assert {piece.name: rounded(piece.usd, 2) for piece in found.pieces} == {
        "dime": "4.90",
        "roll of dimes": "245.00",
        "quarter": "12.25",
        "roll of quarters": "490.00",
        "half": "24.50",
        "roll of halves": "490.00",
    }


@pytest.mark.parametrize(
    ("text", "times_face"),
    [
        ("23.4 times face", "23.4000"),
        ("$234 a roll of quarters", "23.4000"),
        ("$5,850 for two-fifty face", "23.4000"),
        ("spot plus 1.20", "48.0480"),
        ("75 cents back of spot", "46.6538"),
        ("4% over", "49.0776"),
        ("95% of melt", "44.8305"),
        ("spot", "47.1900"),
        ("spot on 0.7234", "47.7439"),
        ("$2.30 a dime", "23.0000"),
        ("$1.10 a half over melt", "49.3900"),
        ("$0.93 a gram", "22.9803"),
        ("spot + 1.20 unworn", "48.6119"),
    ],
)
def test_each_way_of_saying_comes_to_its_times_face(text: str, times_face: str) -> None:
    """Spot 66: k (S + d), k S (1 + p), and so on with k = 0.715 or 22.5 / 31.1034768; common practice."""
    assert rounded(answer(read_quote(text), terms(content("90"), spot=Decimal(66))).times_face, 4) == times_face


def test_the_two_bases_differ_by_a_hundredth() -> None:
    """At 66 the choice of ounces is 55 cents a face dollar, and the answer says so in words."""
    found = answer(read_quote("spot"), terms(content("90"), spot=Decimal(66)))
    assert "47.74" in found.notes[0]
    assert "47.19" in found.notes[0]


@pytest.mark.parametrize(
    ("name", "unworn", "trade"),
    [
        ("90", "0.723392", "0.715000"),
        ("dollars", "0.773438", "0.765000"),
        ("40", "0.295787", "0.295000"),
        ("war", "1.125276", "1.125276"),
        ("ozt", "1.000000", "1.000000"),
        ("sterling", "0.029739", "0.029739"),
    ],
)
def test_fine_ounces_of_a_unit(name: str, unworn: str, trade: str) -> None:
    """Acts of 1837, 1873, 1942 and 1965 over 31.1034768; trade factors are common practice."""
    found = content(name)
    assert str(to_places(found.unworn_ozt, 6)) == unworn
    assert str(to_places(found.trade_ozt, 6)) == trade


def test_a_roll_by_face_weight_and_pieces() -> None:
    """A roll of each coin holds what bank rolls hold: $5, $10, $10, $20, $2 (encyclopaedia article on rolls)."""
    for name, face in [("dimes", 5), ("quarters", 10), ("halves", 10), ("dollars", 20), ("war", 2)]:
        found = content(name)
        assert found.piece is not None
        assert found.roll is not None
        assert found.piece * found.roll == face


def test_published_worn_quarters_by_the_gram() -> None:
    """40 pre-1964 quarters averaged 6.192673 g (Triola 2014, data set 21): 0.7168 ozt a face dollar by scale."""
    weighed = terms(content("quarters"), spot=Decimal(66), units=Decimal(10), scale_g=Decimal("6.192673") * 40)
    assert str(to_places(weighed.ozt(Basis.SCALE), 4)) == "0.7168"
    found = answer(read_quote("0.93 a gram"), weighed)
    assert rounded(found.usd_per_ozt_scale, 3) == "32.140"  # 0.93 x 31.1034768 / 0.9
    assert rounded(found.times_face, 4) == "23.0367"  # 0.93 x 24.770692 g


def test_rounds_have_no_face() -> None:
    """A bar or round quoted times face is an error that says how rounds are quoted."""
    with pytest.raises(RangeError, match="no face value") as caught:
        answer(read_quote("23x"), terms(content("rounds"), spot=Decimal(32)))
    assert "36.10 each" in caught.value.instead


def test_rounds_at_spot_plus() -> None:
    """Spot 32, plus 2.10: 34.10 an ounce, each, and 6.5625% over."""
    found = answer(read_quote("spot+2.10"), terms(content("1 ozt"), spot=Decimal(32)))
    assert (rounded(found.usd_per_unit, 2), found.times_face) == ("34.10", None)
    assert rounded(found.premium_pct_unworn, 4) == "6.5625"
    assert found.notes == ()


def test_each_needs_a_coin_in_mixed_goods() -> None:
    """2.30 each of mixed coin is no price; of dimes it is 23 times face."""
    with pytest.raises(RangeError, match="needs its coin"):
        answer(read_quote("2.30 each"), terms(content("90")))
    assert rounded(answer(read_quote("2.30 each"), terms(content("dimes"))).times_face, 2) == "23.00"


def test_a_quote_struck_on_spot_needs_spot() -> None:
    """Without spot, times face still turns; spot plus does not."""
    found = answer(read_quote("49x"), terms(content("90")))
    assert (found.premium_pct_trade, found.pct_of_melt_unworn) == (None, None)
    with pytest.raises(RangeError, match="no spot"):
        answer(read_quote("spot+1"), terms(content("90")))
    with pytest.raises(RangeError, match="no spot"):
        answer(read_quote("spot+1"), terms(content("90"), spot=Decimal(0)))


def test_flat_needs_an_amount() -> None:
    """Flat 2340 is 23.4x on 100 face and nothing without it."""
    assert rounded(answer(read_quote("flat 2340"), terms(content("90"), units=Decimal(100))).times_face, 1) == "23.4"
    with pytest.raises(RangeError, match="how much"):
        answer(read_quote("flat 2340"), terms(content("90")))


def test_converted_words() -> None:
    """23.4x at spot 32 is said as per cent, dollars over and a price for a roll."""
    coin = terms(content("90"), spot=Decimal(32))
    assert convert(read_quote("23.4x"), QuoteForm.PERCENT_OVER, coin).text(2) == "2.27% over"
    assert convert(read_quote("23.4x"), QuoteForm.SPOT_PLUS, coin).text(3) == "spot+0.727"
    assert convert(read_quote("23.4x"), QuoteForm.FOR_FACE, coin).text(2) == "234.00 for 10 face"
    assert convert(read_quote("23.4x"), QuoteForm.EACH, coin, piece="dime").text(2) == "2.34 a dime"


def test_unknown_goods_name_the_known() -> None:
    """A way of quoting that is not known lists those that are."""
    with pytest.raises(NotFoundError) as caught:
        content("buttons")
    assert {"90", "dollars", "40", "war", "ozt"} <= set(caught.value.instead)


def test_a_catalog_kind_holds_the_same_as_the_trade_name() -> None:
    """A kind by face gives the exact fraction of its weight, not the record's 40 digits."""
    kind = Kind(
        slug="dime-mercury",
        name="Mercury dime",
        form=Form.CONSTITUTIONAL,
        country="US",
        face=Decimal("0.10"),
        by_face=True,
        gross_g=Decimal("2.5"),
        fineness=Decimal("0.9"),
        fine_ozt_per_face=Decimal("0.7233920075"),
        trade_ozt_per_face=Decimal("0.715"),
        roll=50,
        source="Act of Feb 12 1873",
        evidence=Evidence.LAW,
    )
    found, dimes = content_of(kind), content("dimes")
    assert (found.unworn_ozt, found.trade_ozt, found.piece) == (dimes.unworn_ozt, dimes.trade_ozt, dimes.piece)


def test_a_kind_without_metal_has_no_price_by_the_ounce() -> None:
    """Clad is refused in words."""
    kind = Kind(
        slug="clad", name="Clad quarter", form=Form.NO_SILVER, fineness=Decimal(0), source="-", evidence=Evidence.OWN
    )
    with pytest.raises(RangeError, match="no metal"):
        content_of(kind)


def test_what_is_not_metal_in_a_piece_is_not_paid_for() -> None:
    """A weighted sterling piece with metal for a tenth of its weight: a gram holds 0.0925 g of silver at the least."""
    kind = Kind(
        slug="sterling-weighted",
        name="Weighted sterling",
        form=Form.HOUSEHOLD,
        fineness=Decimal("0.925"),
        share_low=Decimal("0.10"),
        share_high=Decimal("0.35"),
        source="-",
        evidence=Evidence.OWN,
    )
    found = content_of(kind)
    assert found.unworn_ozt == Fraction("0.0925") / Fraction("31.1034768")
    assert found.names == ("sterling-weighted", "sterling", "household", "silver")
