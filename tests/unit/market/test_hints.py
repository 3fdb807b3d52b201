"""A little more: the next tier, the tax line, free carriage; and the small sums people do beside an offer."""

from decimal import Decimal

import pytest

from ninefine.errors import RangeError
from ninefine.market.budget import affordable, with_amount
from ninefine.market.hints import HintKind, crossover, hints, worth_driving
from ninefine.market.landed import Landed, landed
from ninefine.market.offers import Way
from ninefine.market.read_offer import offer_from
from ninefine.measure.numbers import to_places

SPOT = Decimal(32)


def costed(**more: object) -> Landed:
    """An offer of 60 face at 24.00x with something more, at spot 32."""
    goods = [{"kind": "90", "face": 60, "quote": "24.00x", **({"tiers": more.pop("tiers")} if "tiers" in more else {})}]
    return landed(offer_from({"name": "A", "goods": goods, **more}), SPOT)


def test_the_tax_line() -> None:
    """1,440 taxed 6% under 1,500 is 1,526.40; 63 face are 1,512.00 untaxed: three more face for 14.40 less."""
    now = costed(tax={"rate_pct": 6, "taxed": "under", "threshold": 1500})
    (found,) = hints(now)
    assert (found.kind, found.units_more, str(found.extra)) == (HintKind.TAX, 3, "-14.40")
    assert str(to_places(found.saved, 2)) == "86.40"  # 72.00 of coin for 14.40 less
    assert str(to_places(found.marginal_per_ozt(now), 3)) == "-6.713"  # -14.40 / 2.145


def test_the_free_carriage_line() -> None:
    """1,440 with 9.95 carriage, free from 1,450: one more face for 14.05 instead of 24.00."""
    (found,) = hints(costed(carriage={"flat": "9.95", "free_from": 1450}))
    assert (found.kind, found.units_more, str(found.extra)) == (HintKind.CARRIAGE, 1, "14.05")
    assert str(to_places(found.saved, 2)) == "9.95"


def test_the_next_tier() -> None:
    """From 100 face 23.50x: 40 more face for 910.00, 22.75 a face dollar (Q6: marginal X)."""
    now = costed(tiers=[{"from": 100, "quote": "23.50x"}, {"from": 500, "quote": "23.00x"}], stock="80 face")
    (found,) = hints(now)
    assert (found.kind, found.units_more, str(found.extra)) == (HintKind.TIER, 40, "910.00")
    assert str(to_places(found.marginal_per_ozt(now), 4)) == "31.8182"  # 22.75 / 0.715
    assert found.cost_per_ozt_then < now.cost_per_ozt()
    assert not found.within_stock


def test_nearest_line_first_and_none_behind() -> None:
    """Lines already reached give no hint; the rest come nearest first."""
    now = costed(
        tax={"rate_pct": 6, "taxed": "under", "threshold": 1500},
        carriage={"flat": 5, "free_from": 1440},
        tiers=[{"from": 50, "quote": "24.00x"}, {"from": 62, "quote": "23.90x"}],
    )
    assert [(hint.kind, hint.units_more) for hint in hints(now)] == [(HintKind.TIER, 2), (HintKind.TAX, 3)]


def test_a_line_behind_a_cheaper_tier_needs_more_units() -> None:
    """At 24.00x 63 face pass 1,500; from 63 on 23.00x holds, so 66 are needed."""
    now = costed(tax={"rate_pct": 6, "taxed": "under", "threshold": 1500}, tiers=[{"from": 63, "quote": "23.00x"}])
    assert [hint.units_more for hint in hints(now) if hint.kind is HintKind.TAX] == [6]


def test_what_is_taken_whole_has_no_hints_and_cannot_be_parted() -> None:
    """A flat price is for the lot."""
    row: dict[str, object] = {
        "name": "A",
        "goods": [{"kind": "90", "face": 60, "quote": "flat 1400"}],
        "carriage": {"flat": 5, "free_from": 1450},
    }
    offer = offer_from(row)
    assert hints(landed(offer, SPOT)) == []
    with pytest.raises(RangeError, match="cannot be parted"):
        with_amount(offer, 30)
    found = affordable(offer, Decimal(1405), SPOT)
    assert (found.whole, found.units, str(found.change)) == (True, 60, "0.00")
    assert affordable(offer, Decimal("1404.99"), SPOT).landed is None


def test_a_budget_that_reaches_for_nothing() -> None:
    """Carriage alone eats it; the change is the whole budget. Below zero is refused."""
    offer = costed(carriage={"flat": "9.95"}).offer
    found = affordable(offer, Decimal("33.94"), SPOT)
    assert (found.units, found.landed, found.change) == (0, None, Decimal("33.94"))
    assert affordable(offer, Decimal("33.95"), SPOT).units == 1
    with pytest.raises(RangeError, match="zero or more"):
        affordable(offer, Decimal(-1), SPOT)


def test_a_budget_buys_whole_pieces() -> None:
    """3,100 at spot 32 + 2.10 with 14.00 carriage: 90.498 pieces within reach, 90 bought, 17.00 left."""
    offer = offer_from(
        {"name": "D", "goods": [{"kind": "ozt", "count": 100, "quote": "spot+2.10"}], "carriage": {"flat": 14}}
    )
    found = affordable(offer, Decimal(3100), SPOT)
    assert (found.units, str(found.change), str(to_places(found.reach, 3))) == (90, "17.00", "90.499")


def test_a_weight_shrinks_with_the_amount() -> None:
    """Half of 60 face that weighed 1,461 g is taken to weigh 730.5 g."""
    offer = offer_from({"name": "C", "goods": [{"kind": "90", "face": 60, "weighed_g": 1461, "quote": "22.50x"}]})
    assert with_amount(offer, 30).lines[0].gross_g == Decimal("730.5")


def test_card_or_wire() -> None:
    """A wire of 30 against a card of 4%: the same at 750 of goods (30 / 0.04)."""
    wire, card = Way(name="wire", fee=Decimal(30)), Way(name="card", surcharge_pct=Decimal(4))
    assert crossover(wire, card) == crossover(card, wire) == 750
    assert crossover(card, card) is None
    assert crossover(Way(name="check"), card) is None


def test_how_far_to_drive() -> None:
    """0.40 a face dollar on 100 face at 0.70 a mile: 28.57 miles each way."""
    assert str(to_places(worth_driving(Decimal(40), Decimal("0.70")), 2)) == "28.57"
    with pytest.raises(RangeError):
        worth_driving(Decimal(40), Decimal(0))
