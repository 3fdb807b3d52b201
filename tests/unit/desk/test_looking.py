"""What pages look at: a count against its order, the offers, a lot by each exit, a sale beside another, prices."""

from datetime import date
from decimal import Decimal

import pytest

from ninefine.catalog.kinds import Basis
from ninefine.desk import arrivals, offers, purchase, records, sale
from ninefine.desk.counting import compare_count
from ninefine.desk.exit_form import put_exit
from ninefine.desk.exits import lot_evens
from ninefine.desk.kit import Kit
from ninefine.desk.offer_form import put_offer
from ninefine.desk.prices import marks_between, price_view, years
from ninefine.desk.scale import to_weigh
from ninefine.errors import NotEnoughError, NotFoundError
from ninefine.market.hints import HintKind
from ninefine.testing import kit_in_memory

D = Decimal
MIXED = {"on": "2024-03-05", "kind-1": "90%", "amount-1": "250 face", "price-1": "23.40x", "carriage": "25"}


@pytest.fixture
def kit() -> Kit:
    return kit_in_memory(today=date(2024, 6, 1))


def test_a_count_is_set_against_the_order_at_the_price_of_the_line_alone(kit: Kit) -> None:
    """Quarry Street: 1.85 face of wrong pieces at 23.40 come to 43.29, carriage left out."""
    stored = purchase.buy(kit, MIXED | {"arrived": "no"})

    (one,) = compare_count(kit, {"lot-1": "L1", "counted-1": "248.15 face"})

    assert (one.short, one.measure, one.price, one.share) == (D("1.85"), "face", D(5850), D("43.29"))
    assert len(kit.journal.records()) == 1
    assert arrivals.parcel(kit, stored.serial).lots == (one.lot,)
    with pytest.raises(NotFoundError, match="entry 1"):
        arrivals.parcel(kit, 9)


def test_more_than_was_ordered_claims_nothing_and_other_measures_do_not_compare(kit: Kit) -> None:
    purchase.buy(kit, MIXED | {"arrived": "no"})

    (more,) = compare_count(kit, {"lot-1": "L1", "counted-1": "251 face"})
    (other,) = compare_count(kit, {"lot-1": "L1", "counted-1": "6100 g"})

    assert (more.short, more.share) == (D(-1), D(0))
    assert (other.short, other.measure, other.share) == (None, "", D(0))


def test_the_price_of_a_short_lot_is_that_of_the_entry_as_mended(kit: Kit) -> None:
    purchase.buy(kit, MIXED | {"arrived": "no"})
    records.mend_fields(kit, 1, {"lines.1.price": "5000"})

    (one,) = compare_count(kit, {"lot-1": "L1", "counted-1": "200 face"})

    assert one.share == 1000


def test_claims_wait_until_they_are_credited(kit: Kit) -> None:
    purchase.buy(kit, MIXED | {"arrived": "no"})
    arrivals.receive(kit, {"lot-1": "L1", "counted-1": "248.15 face", "claim": "34.01"})

    assert [lot.claim for lot in arrivals.claims(kit)] == [D("34.01")]
    arrivals.credit(kit, {"lots": "L1", "amount": "34.01"})
    assert arrivals.claims(kit) == ()


def test_a_heap_says_what_it_should_weigh(kit: Kit) -> None:
    """25.0 g a face dollar by the Coinage Act of 1873; 0.715 against 0.7234 ozt is the trade's wear."""
    purchase.buy(kit, {**MIXED, "kind-2": "sterling", "amount-2": "400 g", "price-2": "300"})
    purchase.buy(kit, {"kind-1": "90% dimes", "amount-1": "10 face", "price-1": "23x"})

    newest, mixed = to_weigh(kit)

    assert (newest.name, mixed.name) == ("L3/us-dime-90", "L1/us-90")
    assert mixed.unworn_g is not None
    assert mixed.trade_g is not None
    assert round(mixed.unworn_g, 6) == 6250
    assert round(mixed.trade_g, 1) == D("6177.5")
    assert to_weigh(kit, first=1) == (mixed,)
    assert to_weigh(kit, most=1) == (newest,)
    arrivals.weigh(kit, {"heap-1": "L1", "weight-1": "6180 g"})
    assert [one.name for one in to_weigh(kit)] == ["L3/us-dime-90"]
    assert [one.name for one in to_weigh(kit, lot="L1")] == ["L1/us-90"]
    (wear,) = arrivals.wears(kit)
    assert wear.heap.lot == "L1"
    assert arrivals.wears(kit, first=1) == ()
    with pytest.raises(NotFoundError):
        to_weigh(kit, lot="L9")


def test_one_offer_that_cannot_be_priced_does_not_hide_the_others(kit: Kit) -> None:
    put_offer(kit, {"name": "A", "kind-1": "90", "amount-1": "100 face", "price-1": "24x"})
    put_offer(kit, {"name": "gold", "kind-1": "us-half-90", "amount-1": "100 face", "price-1": "24x"})
    row = dict(kit.holdings().tables["offer"]["gold"])
    records.set_down(kit, "offer", "gold", row | {"goods": [{"kind": "gone", "count": "1", "quote": "5 each"}]})
    put_exit(kit, {"name": "shop", "what-1": "90", "bid-1": "25x"})

    side_by_side = offers.side_by_side(kit, spot=D(32))

    assert [row.name for row in side_by_side.ranked] == ["A"]
    assert [name for name, _ in side_by_side.unpriced] == ["gold"]
    assert offers.under_limit(kit) == ("A",)


def test_an_offer_looked_at_closely_tells_what_lies_ahead(kit: Kit) -> None:
    """A wire of 30 against a card of 4 per cent: even at 750 of goods."""
    form = {"name": "A", "kind-1": "90", "amount-1": "50 face", "price-1": "24x", "tiers-1": "100: 23x"}
    form |= {"way-1": "card", "way_pct-1": "4", "way-2": "wire", "way_fee-2": "30", "carriage": "10"}
    put_offer(kit, form | {"carriage_free": "1500"})

    found = offers.closer(kit, "A", spot=D(32))

    assert [(one.name, other.name, at) for one, other, at in found.crossings] == [("card", "wire", D(750))]
    assert [hint.kind for hint in found.ahead] == [HintKind.CARRIAGE, HintKind.TIER]
    assert found.best.landed.way.name == "wire"
    with pytest.raises(NotFoundError):
        offers.closer(kit, "B")


def test_each_exit_tells_the_spot_at_which_a_lot_is_even(kit: Kit) -> None:
    """Elm Hollow's B, from the published scenario: 2,390.00 for 100 face, a bid of 22.00x at 32.00: even at 34.764."""
    records.price(kit, {"on": "2024-06-01", "per_ozt": "32"})
    purchase.buy(kit, {"kind-1": "90%", "amount-1": "100 face", "price-1": "23.90x"})
    put_exit(kit, {"name": "shop", "what-1": "90", "bid-1": "22x"})
    put_exit(kit, {"name": "bars only", "what-1": "ozt", "bid-1": "spot"})

    shop, bars = lot_evens(kit, "L1")

    assert shop.even is not None
    assert round(shop.even, 3) == D("34.764")
    assert shop.gain == -190
    assert (bars.way.net, bars.even) == (D(0), None)


def test_first_in_first_out_stands_beside_a_choice(kit: Kit) -> None:
    for day, price in (("2022-03-05", "20x"), ("2023-03-05", "25x"), ("2024-05-05", "30x")):
        purchase.buy(kit, {"on": day, "kind-1": "90%", "amount-1": "100 face", "price-1": price})
    form = {"heap-1": "L3", "amount-1": "60 face", "heap-2": "L2", "price": "28x", "fees": "10"}

    plan = sale.read_sale(kit, form)
    beside = sale.first_in_beside(kit, form, plan)

    assert [(row.lot, row.amount.face) for row in beside.rows] == [("L1", D(100)), ("L2", D(60))]
    assert (plan.proceeds, beside.proceeds, beside.fees) == (D(4480), D(4480), D(10))
    assert (plan.gain, beside.gain) == (D(4480 - 10 - 4300), D(4480 - 10 - 3500))
    by_rule = {"kind": "90%", "amount": "150 face", "rule": "highest-basis", "price": "28x"}
    ruled = sale.read_sale(kit, by_rule)
    assert [row.lot for row in ruled.rows] == ["L3", "L2"]
    assert [row.lot for row in sale.first_in_beside(kit, by_rule, ruled).rows] == ["L1", "L2"]
    assert len(kit.journal.records()) == 3


def test_long_term_only_leaves_young_lots_alone(kit: Kit) -> None:
    for day, price in (("2022-03-05", "20x"), ("2023-03-05", "25x"), ("2024-05-05", "30x")):
        purchase.buy(kit, {"on": day, "kind-1": "90%", "amount-1": "100 face", "price-1": price})
    form = {"kind": "90%", "amount": "150 face", "rule": "long-highest-basis", "price": "28x"}

    plan = sale.read_sale(kit, form)

    assert [(row.lot, row.term) for row in plan.rows] == [("L2", "long"), ("L1", "long")]
    assert plan.entry.rule == "highest basis first, long term only"
    with pytest.raises(NotEnoughError):
        sale.read_sale(kit, form | {"amount": "201 face"})


def test_prices_of_a_metal_are_gathered_newest_first(kit: Kit) -> None:
    for day, price in (("2024-05-01", "26"), ("2024-05-30", "31"), ("2024-03-01", "22")):
        records.price(kit, {"on": day, "per_ozt": price})
    records.price(kit, {"on": "2024-05-30", "per_ozt": "30.5", "side": "bid"})

    view = price_view(kit, most=3)

    assert [mark.per_ozt for mark in view.marks] == [D("30.5"), 31, 26]
    assert (view.all_marks, view.name, view.in_book) == (4, "silver", True)
    assert view.stamp is not None
    assert view.stamp.per_ozt == 31
    assert [m.per_ozt for m in marks_between(kit, "XAG", date(2024, 3, 1), date(2024, 5, 30))] == [22, 26, 31]
    assert price_view(kit, "XPT").averages == ()
    assert price_view(kit, "XPT").stamp is None
    with pytest.raises(NotFoundError):
        price_view(kit, "XCU")


def test_years_of_averages_say_their_months_and_their_source() -> None:
    """World Bank, Pink Sheet: silver averaged 23.8780 in December 2023; USGS Data Series 140 reaches back to 1900."""
    (row,) = years("XAG", first=2023, last=2023)
    assert row.months[12] == D("23.878")
    assert row.mean is not None
    assert abs(row.mean - sum(row.months.values(), D(0)) / 12) < D("0.0005")
    (old,) = years("XAG", first=1890, last=1900)
    assert (old.year, old.months) == (1900, {})
    assert "USGS" in old.source
    assert years("XPD", first=1900, last=2026) == ()


def test_the_ounces_of_a_weighed_offer_are_the_scale_s(kit: Kit) -> None:
    put_offer(kit, {"name": "C", "kind-1": "90", "amount-1": "60 face, 1461 g", "price-1": "22.50x"})

    assert offers.side_by_side(kit, spot=D(32)).ranked[0].basis is Basis.SCALE
