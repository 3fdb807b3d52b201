"""What exits pay: five ways out for one sorted bag, with every fee. Figures worked out apart from the program."""

from decimal import Decimal

import pytest

from ninefine.catalog.kinds import Basis
from ninefine.errors import NotFoundError, RangeError
from ninefine.market.content import content
from ninefine.market.exits import exit_from
from ninefine.market.goods import Goods
from ninefine.market.paid import Paid, PaidKind, break_even, parcel_count, pays
from ninefine.measure.numbers import to_places

SPOT = Decimal("31.50")

# 1,179 dimes less one scarce piece of 2.457 g, 489 quarters, 16 halves, two 40% halves; weighed heap by heap
BAG = (
    Goods(kind="dimes", content=content("dimes"), count=1178, gross_g=Decimal("2879.643")),
    Goods(kind="quarters", content=content("quarters"), count=489, gross_g=Decimal("3015.0")),
    Goods(kind="halves", content=content("halves"), count=16, gross_g=Decimal("197.9")),
    Goods(kind="40", content=content("40"), count=2, gross_g=Decimal("22.9")),
)


def way_out(name: str, **more: object) -> Paid:
    """What an exit pays for the bag at 31.50."""
    return pays(exit_from({"name": name, **more}), BAG, SPOT)


def test_melt_by_scale_and_on_trade_ounces() -> None:
    """(176.2918 + 0.2945) x 31.50 = 5,562.47; (248.05 x 0.715 + 0.2945) x 31.50 = 5,595.98 (0.295 a face for 40%)."""
    scale = way_out("melt by scale", bids=[{"what": "silver", "quote": "spot by scale"}], payable_pct=100)
    assert str(scale.net) == "5562.47"
    coin = (Goods(kind="90", content=content("90"), face=Decimal("248.05")), BAG[-1])
    bids = [{"what": "90", "quote": "spot"}, {"what": "40", "quote": "spot by scale"}]
    melt = exit_from({"name": "trade melt", "bids": bids, "payable_pct": 100})
    assert str(pays(melt, coin, SPOT).net) == "5595.98"  # one melt is rounded once


def test_the_shop() -> None:
    """248.05 x 21.80 + 1.00 x 8.20 = 5,415.69, 97.36% of scale melt."""
    paid = way_out("shop", bids=[{"what": "90", "quote": "21.80x"}, {"what": "40", "quote": "8.20x"}])
    assert str(paid.net) == "5415.69"
    assert str(to_places(paid.pct_of_melt(Basis.SCALE), 2)) == "97.36"


def test_the_refiner() -> None:
    """0.95 x 176.5863 x 31.50 - 75.00 - 48.00 = 5,161.35; 196.6161 gross ozt at 0.30 is under the 75.00 minimum."""
    paid = way_out(
        "refiner",
        bids=[{"what": "silver", "quote": "spot"}],
        basis="scale",
        payable_pct="95",
        treatment={"per_gross_ozt": "0.30", "minimum": "75"},
        costs="48",
    )
    assert str(paid.net) == "5161.35"
    assert str(to_places(paid.pct_of_melt(Basis.SCALE), 2)) == "92.79"
    assert (
        next(line for line in paid.lines if line.kind is PaidKind.TREATMENT).words == "treatment of 196.6161 gross ozt"
    )


def test_online_in_parcels() -> None:
    """24 parcels at 24.20x, 13.25% + 0.40 a parcel, 6.20 postage: 6,002.81 - 804.97 - 148.80 = 5,049.04; 40% kept."""
    paid = way_out(
        "online",
        bids=[{"what": "90", "quote": "24.20x"}],
        fee_pct="13.25",
        parcels={"count": 24, "fee": "0.40", "postage": "6.20"},
    )
    assert (str(paid.gross), str(paid.net)) == ("6002.81", "5049.04")
    fees = sum(line.amount for line in paid.lines if line.kind is PaidKind.FEE)
    postage = sum(line.amount for line in paid.lines if line.kind is PaidKind.POSTAGE)
    assert (str(fees), str(postage)) == ("-804.97", "-148.80")
    assert [item.kind for item in paid.unsold] == ["40"]


def test_the_meet_up() -> None:
    """248.05 x 22.60 = 5,605.93; 40% halves are not wanted there. Of all melt by scale that is 100.78%."""
    paid = way_out("meet-up", bids=[{"what": "90", "quote": "22.60x"}])
    assert str(paid.net) == "5605.93"
    assert str(to_places(paid.per_face_dollar or Decimal(0), 4)) == "22.6000"
    assert str(to_places(paid.net / Decimal("5562.47") * 100, 2)) == "100.78"


def test_the_narrowest_bid_holds() -> None:
    """A bid for halves goes before one for 90, that before one for a form, that before one for silver."""
    bids = [
        {"what": "silver", "quote": "20x"},
        {"what": "constitutional", "quote": "21x"},
        {"what": "us-90", "quote": "22x"},
        {"what": "us-half-90", "quote": "23x"},
    ]
    paid = way_out("shop", bids=bids)
    assert [str(line.amount) for line in paid.lines] == ["2591.60", "2689.50", "184.00", "20.00"]


def test_a_95_per_cent_bid_at_66() -> None:
    """0.715 x 66.00 x 0.95 = 44.8305 a face dollar; quoted 44.83x, 400 face bring 17,932.00; at 88%, 1,320.00 less."""
    coin = Goods(kind="90", content=content("90"), face=Decimal(400))
    shop = exit_from({"name": "shop", "bids": [{"what": "90", "quote": "95% of melt"}]})
    assert str(to_places(pays(shop, [coin], Decimal(66)).per_face_dollar or Decimal(0), 4)) == "44.8305"
    nets = [
        pays(exit_from({"name": "shop", "bids": [{"what": "90", "quote": quote}]}), [coin], Decimal(66)).net
        for quote in ("44.83x", "41.53x")
    ]
    assert [str(net) for net in nets] == ["17932.00", "16612.00"]


def test_parcels_by_face() -> None:
    """100.25 face in parcels of 10 is eleven parcels; goods without face go in one."""
    table = exit_from({"name": "x", "bids": [{"what": "silver", "quote": "spot"}], "parcels": {"face": 10, "fee": 1}})
    assert table.parcels is not None
    assert parcel_count(table.parcels, [Goods(kind="90", content=content("90"), face=Decimal("100.25"))]) == 11
    assert parcel_count(table.parcels, [Goods(kind="ozt", content=content("ozt"), count=300)]) == 1


def test_a_bid_by_scale_on_unweighed_coin_says_what_it_assumes() -> None:
    """Trade ounces stand in, and the person is told."""
    coin = Goods(kind="90", content=content("90"), face=Decimal(100))
    table = exit_from({"name": "refiner", "bids": [{"what": "90", "quote": "spot"}], "basis": "scale"})
    paid = pays(table, [coin], Decimal(32))
    assert str(paid.net) == "2288.00"
    assert "have not been weighed" in paid.cautions[0]


def test_limits_are_cautioned_not_enforced() -> None:
    """Capacity belongs to the exit; the figure is still given."""
    table = exit_from(
        {"name": "shop", "bids": [{"what": "90", "quote": "22x"}], "minimum": "500 face", "capacity": "70 ozt"}
    )
    paid = pays(table, [Goods(kind="90", content=content("90"), face=Decimal(100))], Decimal(32))
    assert paid.cautions == (
        "shop takes no less than 500 face; this is 100.",
        "shop takes at once no more than 70 ozt; this is 71.5.",
    )


def test_an_exit_that_buys_none_of_it_says_what_it_buys() -> None:
    """Not a zero."""
    table = exit_from({"name": "coin club", "bids": [{"what": "dollars", "quote": "30x"}]})
    with pytest.raises(NotFoundError, match="coin club buys none") as caught:
        pays(table, BAG, SPOT)
    assert caught.value.instead == ("dollars",)


def test_no_spot_makes_a_plain_sum_even() -> None:
    """Costs that no bid can cover at any spot above zero give none, not a guess."""
    coin = Goods(kind="90", content=content("90"), face=Decimal(1))
    nothing = exit_from({"name": "x", "bids": [{"what": "90", "quote": "spot"}], "fee_pct": 100})
    assert break_even(nothing, [coin], Decimal(20), Decimal(32)) is None
    with pytest.raises(RangeError, match="Spot is -1"):
        pays(nothing, [coin], Decimal(-1))


def test_fees_count_in_the_break_even() -> None:
    """(cost + 10) / (0.9 x 0.715 x 100): 2,000 and flat costs of 10 with a fee of 10%."""
    coin = Goods(kind="90", content=content("90"), face=Decimal(100))
    table = exit_from({"name": "x", "bids": [{"what": "90", "quote": "spot"}], "fee_pct": 10, "costs": 10})
    found = break_even(table, [coin], Decimal(2000), Decimal(32))
    assert found is not None
    assert str(to_places(found, 4)) == "31.2354"  # 2010 / 64.35
