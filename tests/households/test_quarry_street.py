"""Quarry Street: a $250 mixed bag arrives, is counted, sorted, weighed, claimed on, and held against four ways out.

The household and its prices are invented; every expected figure was worked out apart from the program. 31.1034768 g is
the troy ounce (NIST SP 811), 25.0 g of .900 a face dollar of 90% coin (Coinage Act of 1873), 11.5 g of .400 a half of
1967 (Coinage Act of 1965); 0.715 ozt a face dollar is common practice, no source.
"""

from datetime import date
from decimal import Decimal

import pytest

from ninefine.book.holdings import Heap
from ninefine.catalog.kinds import Basis
from ninefine.desk import arrivals, claims, purchase, records, sorting, tables
from ninefine.desk.exits import heap_ways
from ninefine.desk.holdings import lot_line
from ninefine.desk.kit import Kit
from ninefine.errors import Faults
from ninefine.market.paid import PaidKind
from ninefine.measure.numbers import to_places
from ninefine.testing import kit_in_memory
from ninefine.worth.stack import PileWorth, Stack, stack_of
from ninefine.worth.ways_out import WayOut

ZERO = Decimal(0)
SPOT = Decimal("31.50")
DAY = date(2025, 2, 18)
#: The scarce dime's own weight; it is set aside from common coin.
SCARCE_G = "2.457 g"

WRONG = {
    "kind-1": "us-quarter-clad",
    "amount-1": "3",
    "kind-2": "not-silver",
    "amount-2": "1 piece, 0.10 face",
    "kind-3": "us-half-40",
    "amount-3": "2 pieces, 22.9 g",
    "kept-3": "yes",
}
HEAPS = {
    "kind-1": "90% dimes",
    "amount-1": "1179 pieces, 2882.1 g",
    "kind-2": "90% quarters",
    "amount-2": "489 pieces, 3015.0 g",
    "kind-3": "90% halves",
    "amount-3": "16 pieces, 197.9 g",
    "kind-4": "half 1967",
    "amount-4": "2 pieces, 22.9 g",
    "kind-5": "us-quarter-clad",
    "amount-5": "3 pieces, 17.0 g",
    "kind-6": "not-silver",
    "amount-6": "1 piece, 0.10 face, 2.05 g",
}


def ordered() -> Kit:
    """The bag paid for and on its way."""
    kit = kit_in_memory(today=DAY)
    records.price(kit, {"per_ozt": "31.50", "whose": "the shop's screen"})
    purchase.buy(
        kit,
        {"amount-1": "250 face", "kind-1": "90%", "price-1": "23.40x", "carriage": "25.00", "arrived": "no"},
    )
    return kit


def arrived() -> Kit:
    """The bag counted and told apart, the claim made and paid."""
    kit = ordered()
    claim = claims.work_out(kit, {"lot": "L1", **WRONG})
    arrivals.receive(kit, {"lot-1": "L1", "counted-1": "250 face", "claim": str(claim.total)})
    sorting.sort(kit, {"heap": "L1", **HEAPS})
    arrivals.credit(kit, {"lots": "L1", "amount": str(claim.total)})
    return kit


@pytest.fixture(scope="module")
def kit() -> Kit:
    """The book after the evening at the table, the scarce dime set aside."""
    kit = arrived()
    sorting.sort(
        kit,
        {"heap": "L1/us-dime-90", "kind-1": "us-dime-mercury#1921-D", "amount-1": f"1 piece, {SCARCE_G}"},
    )
    return kit


def common(kit: Kit) -> tuple[Heap, ...]:
    """All but the scarce dime."""
    return tuple(heap for heap in kit.holdings().heaps if heap.issue != "1921-D")


def stack(kit: Kit, basis: Basis = Basis.SCALE) -> Stack:
    """Common coin on one ounce basis."""
    return stack_of(common(kit), kit.catalog().kind, basis=basis, spots={"XAG": SPOT})


def line_of(stack: Stack, slug: str) -> PileWorth:
    return next(line for line in stack.lines if line.pile.kind.slug == slug)


def test_the_bag_cost_what_was_paid_and_carried() -> None:
    """250 x 23.40 + 25.00."""
    assert ordered().holdings().lots["L1"].cost == Decimal("5875.00")


def test_step_1_the_count_is_right() -> None:
    """1,180 dimes, 492 quarters and 18 halves are 250.00 face; 248.15 of it is good 90% coin."""
    kit = arrived()
    heaps = kit.holdings().heaps

    assert sum(heap.face or 0 for heap in heaps) == 250
    good = [heap.face for heap in heaps if heap.kind in {"us-dime-90", "us-quarter-90", "us-half-90"}]
    assert good == [Decimal("117.90"), Decimal("122.25"), Decimal("8.00")]
    assert sum(face or 0 for face in good) == Decimal("248.15")
    assert sum(heap.count or 0 for heap in heaps) == 1180 + 492 + 18


@pytest.mark.parametrize(
    ("slug", "nominal", "wear", "ozt"),
    [
        ("us-dime-90", "2947.5", "-2.22", "83.3955"),
        ("us-quarter-90", "3056.25", "-1.35", "87.2411"),
        ("us-half-90", "200.0", "-1.05", "5.7264"),
        ("us-half-kennedy-40", "23.0", "-0.43", "0.2945"),
    ],
)
def test_steps_1_and_2_wear_and_fine_ounces_by_scale(slug: str, nominal: str, wear: str, ozt: str) -> None:
    found = next(one for one in arrivals.wears(arrived()) if one.kind.slug == slug)

    assert to_places(found.nominal_g, 2) == Decimal(nominal)
    assert str(to_places(found.from_spec * 100, 2)) == wear
    assert str(to_places(found.scale_ozt, 4)) == ozt


def test_step_2_the_sum_by_scale() -> None:
    """176.3629 of 90% coin and 0.2945 of 40%; the base pieces hold nothing."""
    line = lot_line(arrived(), "L1", basis=Basis.SCALE)

    assert str(to_places(line.ozt, 4)) == "176.6574"


def test_step_3_what_was_sold_and_what_came() -> None:
    """178.75 on the trade basis; good coin 177.4273; by scale 0.60% under, each heap by its face."""
    kit = arrived()
    wears = {one.kind.slug: one for one in arrivals.wears(kit) if one.kind.fineness == Decimal("0.9")}
    by_scale = sum((one.scale_ozt for one in wears.values()), ZERO)
    by_trade = sum((one.trade_ozt for one in wears.values()), ZERO)

    assert Decimal(250) * Decimal("0.715") == Decimal("178.7500")
    assert str(to_places(by_trade, 4)) == "177.4273"
    assert str(to_places((by_scale / by_trade - 1) * 100, 2)) == "-0.60"
    per_face = {slug: str(to_places(one.scale_ozt / (one.heap.face or 1), 4)) for slug, one in wears.items()}
    assert per_face == {"us-dime-90": "0.7073", "us-quarter-90": "0.7136", "us-half-90": "0.7158"}


def test_step_4_the_claim() -> None:
    """1.85 face x 23.40 = 43.29; the 40% halves are kept at melt, 0.2945 x 31.50 = 9.28: 34.01."""
    claim = claims.work_out(ordered(), {"lot": "L1", **WRONG})

    assert (claim.measure, claim.each) == ("face", Decimal("23.40"))
    assert sum(line.share for line in claim.lines) == Decimal("1.85")
    assert [str(line.price) for line in claim.lines] == ["17.55", "2.34", "23.40"]
    assert [str(line.credit) for line in claim.lines] == ["0", "0", "9.28"]
    assert claim.total == Decimal("34.01")


def test_a_claim_says_what_it_lacks() -> None:
    with pytest.raises(Faults, match=r"(?s)no lot 'L9'.*moon dust"):
        claims.work_out(ordered(), {"lot": "L9", "kind-1": "moon dust", "amount-1": "3"})
    with pytest.raises(Faults, match="sold by face"):
        claims.work_out(ordered(), {"lot": "L1", "kind-1": "not-silver", "amount-1": "3 pieces"})
    with pytest.raises(Faults, match="at least one kind"):
        claims.work_out(ordered(), {"lot": "L1"})


def test_pieces_that_go_back_are_claimed_whole() -> None:
    claim = claims.work_out(ordered(), {"lot": "L1", "kind-1": "us-half-40", "amount-1": "2"})

    assert claim.total == Decimal("23.40")


def test_step_5_cost_after_the_claim_is_paid() -> None:
    """5,875.00 - 34.01 = 5,840.99 over 176.6574 ozt: 33.064, 4.96% over 31.50; base pieces carry no cost."""
    kit = arrived()
    line = lot_line(kit, "L1", basis=Basis.SCALE)

    assert (line.lot.cost, line.lot.claim, line.basis) == (Decimal("5840.99"), Decimal(0), Decimal("5840.99"))
    assert str(to_places(line.basis / line.ozt, 3)) == "33.064"
    assert str(to_places((line.basis / line.ozt / SPOT - 1) * 100, 2)) == "4.96"
    base = [heap.basis for heap in kit.holdings().heaps if heap.kind in {"us-quarter-clad", "not-silver"}]
    assert base == [Decimal(0), Decimal(0)]


def test_step_6_the_scarce_dime_is_known_by_its_own_weight(kit: Kit) -> None:
    """2.457 g x 0.9 / 31.1034768 x 31.50 = 2.24: what it would melt at."""
    (dime,) = (heap for heap in kit.holdings().heaps if heap.issue == "1921-D")
    found = stack_of([dime], kit.catalog().kind, basis=Basis.SCALE, spots={"XAG": SPOT})

    assert str(to_places(found.ozt(), 4)) == "0.0711"
    assert found.melt() == Decimal("2.24")


def test_step_7_melt_by_scale_and_on_the_trade_basis(kit: Kit) -> None:
    """(176.2918 + 0.2945) x 31.50 = 5,562.47; with 90% coin at 0.715 instead, 5,595.98."""
    by_scale = stack(kit)
    half_40 = line_of(by_scale, "us-half-kennedy-40").fine.ozt
    coin = [line for line in by_scale.lines if line.pile.kind.fineness == Decimal("0.9")]

    assert sum(line.pile.face or 0 for line in coin) == Decimal("248.05")
    assert str(to_places(sum((line.fine.ozt for line in coin), ZERO), 4)) == "176.2918"
    assert by_scale.melt() == Decimal("5562.47")
    on_trade = sum((line.ounces.trade for line in coin), ZERO) + half_40
    assert str(to_places(on_trade * SPOT, 2)) == "5595.98"


EXITS: dict[str, dict[str, object]] = {
    "shop": {"bids": [{"what": "90", "quote": "21.80x"}, {"what": "40", "quote": "8.20x"}]},
    "refiner": {
        "basis": "scale",
        "bids": [{"what": "silver", "quote": "spot"}],
        "payable_pct": "95",
        "treatment": {"per_gross_ozt": "0.30", "minimum": "75.00"},
        "costs": "48.00",
    },
    "online": {
        "bids": [{"what": "90", "quote": "24.20x"}],
        "fee_pct": "13.25",
        "parcels": {"count": "24", "fee": "0.40", "postage": "6.20"},
    },
    "meet-up": {"bids": [{"what": "90", "quote": "22.60x"}]},
}


@pytest.fixture(scope="module")
def ways(kit: Kit) -> tuple[WayOut, ...]:
    """The four ways out, set down in the book, best first."""
    for name, row in EXITS.items():
        tables.set_exit(kit, {"name": name, **row})
    return heap_ways(kit, common(kit), spot=SPOT)


def test_step_7_every_way_out_ranked_by_what_it_pays(kit: Kit, ways: tuple[WayOut, ...]) -> None:
    """Fees and small parcels turn the highest headline price into the last place."""
    melt = stack(kit).melt()
    assert melt is not None

    shown = [(way.exit.name, str(way.net), str(to_places(way.net / melt * 100, 2))) for way in ways]

    assert shown == [
        ("meet-up", "5605.93", "100.78"),
        ("shop", "5415.69", "97.36"),
        ("refiner", "5161.35", "92.79"),
        ("online", "5049.04", "90.77"),
    ]


def test_step_7_what_the_parcels_take_off(ways: tuple[WayOut, ...]) -> None:
    """6,002.81 less 804.97 of fees and 148.80 of postage; the 40% halves are kept."""
    online = next(way for way in ways if way.exit.name == "online")
    (paid,) = online.paid
    fees, postage = (
        sum((line.amount for line in paid.lines if line.kind is kind), ZERO)
        for kind in (PaidKind.FEE, PaidKind.POSTAGE)
    )

    assert (paid.gross, fees, postage) == (Decimal("6002.81"), Decimal("-804.97"), Decimal("-148.80"))
    assert online.unsold == ("Kennedy half dollar, 40% silver",)


@pytest.mark.parametrize(
    ("price", "parcels", "better"),
    [("27.00x", 61, False), ("27.00x", 60, True), ("24.20x", 1, False)],
)
def test_step_7_where_posting_would_pay(
    kit: Kit, ways: tuple[WayOut, ...], price: str, parcels: int, *, better: bool
) -> None:
    """At 27.00x a parcel of 4.07 face is even: 27.00 x 0.8675 = 23.4225, and 6.60 / (23.4225 - 21.80) = 4.07.

    248.05 face in 61 parcels is 4.066 each, in 60 it is 4.134. At 24.20x no parcel is large enough: 24.20 x 0.8675 =
    20.9935 is under the shop's 21.80 before any postage.
    """
    del ways
    tables.set_exit(
        kit,
        {
            "name": "online",
            "bids": [{"what": "90", "quote": price}],
            "fee_pct": "13.25",
            "parcels": {"count": str(parcels), "fee": "0.40", "postage": "6.20"},
        },
    )
    coin = tuple(heap for heap in common(kit) if heap.kind != "us-half-kennedy-40")

    nets = {way.exit.name: way.net for way in heap_ways(kit, coin, spot=SPOT)}

    assert (nets["online"] > nets["shop"]) is better
