"""Goods of the packaged catalog: what a unit holds, what a bid may call them, and which weight stands for them."""

from decimal import Decimal
from fractions import Fraction

import pytest

from ninefine.catalog.catalog import Catalog
from ninefine.catalog.kinds import Basis
from ninefine.catalog.shelf import load_catalog
from ninefine.errors import NotFoundError, RangeError
from ninefine.market.content import CountedBy, content, content_of
from ninefine.market.exits import exit_from
from ninefine.market.goods import Goods, contents_with
from ninefine.market.paid import pays
from ninefine.measure.numbers import to_places


@pytest.fixture(scope="module")
def catalog() -> Catalog:
    """The packaged catalog."""
    return load_catalog()


@pytest.mark.parametrize(
    ("slug", "names"),
    [
        ("us-dime-mercury", ("us-dime-mercury", "dimes", "90", "constitutional", "silver")),
        ("us-half-walking-liberty", ("us-half-walking-liberty", "halves", "90", "constitutional", "silver")),
        ("us-dollar-peace", ("us-dollar-peace", "dollars", "constitutional", "silver")),
        ("us-half-kennedy-40", ("us-half-kennedy-40", "40", "other-coin", "silver")),
        ("us-five-cent-wartime", ("us-five-cent-wartime", "war", "other-coin", "silver")),
        ("us-90", ("us-90", "90", "constitutional", "silver")),
        ("xag-generic-round-1oz", ("xag-generic-round-1oz", "ozt", "bullion", "silver")),
        ("xag-generic-bar-10oz", ("xag-generic-bar-10oz", "bullion", "silver")),
        ("xau-us-eagle-1oz", ("xau-us-eagle-1oz", "gold")),
    ],
)
def test_what_a_bid_may_call_a_kind(catalog: Catalog, slug: str, names: tuple[str, ...]) -> None:
    """Narrowest first; gold never answers to a bid for silver or for bullion."""
    assert content_of(catalog.kind(slug)).names == names


@pytest.mark.parametrize(
    ("slug", "name"),
    [
        ("us-90", "90"),
        ("us-dime-90", "dimes"),
        ("us-quarter-90", "quarters"),
        ("us-half-90", "halves"),
        ("us-dollar-90", "dollars"),
        ("us-half-40", "40"),
        ("us-five-cent-wartime", "war"),
    ],
)
def test_the_trades_names_and_the_catalog_hold_the_same(catalog: Catalog, slug: str, name: str) -> None:
    """Two ways to the same ounces must not differ: to the catalog's forty digits, and exactly by the trade's factor."""
    one, other = content_of(catalog.kind(slug)), content(name)
    assert abs(one.unworn_ozt - other.unworn_ozt) < Fraction(1, 10**35)
    assert (one.trade_ozt, one.fineness, one.piece) == (other.trade_ozt, other.fineness, other.piece)


def test_every_kind_with_metal_has_a_content(catalog: Catalog) -> None:
    """Ounces above zero on both bases, trade never much above unworn; kinds without metal are refused."""
    for kind in catalog.kinds:
        if not kind.fineness:
            with pytest.raises(RangeError):
                content_of(kind)
            continue
        found = content_of(kind)
        assert found.trade_ozt > 0
        assert found.unworn_ozt > 0
        assert found.trade_ozt / found.unworn_ozt < Fraction(102, 100)
        assert found.names[0] == kind.slug


def test_a_stamp_stands_for_a_scale_and_a_specification_does_not(catalog: Catalog) -> None:
    """A bar's ounces by scale are those stamped on it; an old coin that was not weighed has none."""
    bar = Goods(kind="bar", content=content_of(catalog.kind("xag-generic-bar-10oz")), count=3)
    assert bar.ozt(Basis.SCALE) == bar.ozt(Basis.TRADE) == 30
    seated = next(kind for kind in catalog.kinds if kind.slug == "us-half-capped-bust-lettered")
    coin = Goods(kind=seated.slug, content=content_of(seated), count=1)
    assert coin.content.counted_by is CountedBy.PIECE
    assert not coin.weighed
    with pytest.raises(RangeError, match="has not been weighed"):
        coin.ozt(Basis.SCALE)


def test_goods_are_found_by_the_trades_names_first_then_by_slug(catalog: Catalog) -> None:
    """And a name of neither lists near ones."""
    resolve = contents_with(catalog.kind)
    assert resolve("90").name == content("90").name
    assert resolve("us-dime-mercury").names[0] == "us-dime-mercury"
    with pytest.raises(NotFoundError):
        resolve("us-dime-merkury-of-tin")


def test_an_amount_in_the_wrong_measure_is_told_what_to_say() -> None:
    """Mixed coin by the piece has no face; sterling needs grams."""
    with pytest.raises(RangeError, match="counted by face"):
        _ = Goods(kind="90", content=content("90"), count=5).units
    with pytest.raises(RangeError, match="counted by gram"):
        _ = Goods(kind="sterling", content=content("sterling"), count=5).units
    assert Goods(kind="dimes", content=content("dimes"), count=5).units == Fraction(1, 2)


def test_sterling_by_the_gram(catalog: Catalog) -> None:
    """620 g of sterling at 80% of melt, spot 32: 620 x 0.925 / 31.1034768 x 32 x 0.8 = 472.02."""
    spoons = Goods(kind="sterling", content=content("sterling"), gross_g=Decimal(620))
    shop = exit_from({"name": "the shop", "bids": [{"what": "household", "quote": "80% of melt"}]})
    assert str(pays(shop, [spoons], Decimal(32)).net) == "472.02"
    own = contents_with(catalog.kind)("sterling")
    assert str(to_places(own.unworn_ozt * 620, 4)) == "18.4385"
