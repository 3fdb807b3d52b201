"""Pieces that are metal for a part of their weight alone: no figure counts the filling."""

from decimal import Decimal

from ninefine.book.entries import Amount
from ninefine.catalog.kinds import Basis
from ninefine.catalog.shelf import load_catalog
from ninefine.market.exits import exit_from
from ninefine.market.paid import pays
from ninefine.worth.ounces import ounces_of
from ninefine.worth.ways_out import goods_of

SPOT = Decimal(60)


def test_a_buyer_of_sterling_pays_for_the_low_share_of_a_weighted_candlestick() -> None:
    """524 g of which a twentieth is sterling: 26.2 g x 0.925 / 31.1034768 = 0.77917 ozt, at 60.00 46.75."""
    stick = load_catalog().kind("household-sterling-925.weighted-candlestick")
    held = Amount(gross_g=Decimal(524))
    buyer = exit_from({"name": "silver buyer", "bids": [{"what": "sterling", "quote": "100% of melt"}]})

    assert pays(buyer, [goods_of(stick, held)], SPOT).net == Decimal("46.75")
    assert round(ounces_of(held, stick).trade * SPOT, 2) == Decimal("46.75")


def test_an_own_kind_with_a_set_weight_and_a_share_counts_its_metal_alone() -> None:
    """A knife of 70 g whose handle, a fifth of it, is sterling: 14 g x 0.925 / 31.1034768 = 0.416352 ozt."""
    catalog = load_catalog().with_own(
        {
            "knife": {
                "name": "dinner knife, hollow handle",
                "weight": "70 g",
                "fineness": "925",
                "form": "household",
                "share_low": "0.20",
                "share_high": "0.30",
            }
        }
    )
    ounces = ounces_of(Amount(count=2), catalog.kind("own-knife"))

    assert round(ounces.on(Basis.TRADE).ozt, 6) == Decimal("0.832704")
    assert ounces.unworn == ounces.trade
    assert round(goods_of(catalog.kind("own-knife"), Amount(count=2)).ozt(Basis.TRADE), 6) == round(ounces.trade, 6)
