"""Offers and ways out as flat forms: read, refused with each fault at its field, and filled in again unchanged."""

from datetime import date
from decimal import Decimal

import pytest

from ninefine.desk.exit_form import exit_fields, put_exit, read_exit_form
from ninefine.desk.fields import numbers_of
from ninefine.desk.kit import Kit
from ninefine.desk.offer_form import offer_fields, put_offer, read_offer_form
from ninefine.desk.tables import exit_named, offer_named
from ninefine.errors import Faults
from ninefine.market.offers import Taxed
from ninefine.testing import kit_in_memory

D = Decimal
HALVES = {"kind-1": "90% halves", "amount-1": "100 face", "price-1": "24.60x"}
WHOLE = {
    "name": "Cattail Post",
    "seller": "Cattail Post (invented)",
    **HALVES,
    "tiers-1": "250: 24.10x\nfrom 500 face at 23.90x",
    "kind-3": "1 oz round",
    "amount-3": "20",
    "price-3": "spot+2.10",
    "way-1": "check",
    "way-2": "card",
    "way_pct-2": "4%",
    "way_on-2": "goods and carriage",
    "way-3": "wire",
    "way_fee-3": "30",
    "carriage": "9.95",
    "carriage_free": "1500",
    "tax_rate": "6",
    "taxed": "under",
    "tax_line": "1500",
    "tax_source": "the shop's word",
    "tax_read": "2025-03-04",
    "miles": "18",
    "per_mile": "0.70",
    "minimum": "10 face",
    "discount_pct": "1",
}


@pytest.fixture
def kit() -> Kit:
    return kit_in_memory(today=date(2025, 3, 4))


def where(error: Faults) -> set[str]:
    return {fault.where for fault in error.faults}


def test_an_offer_is_read_from_what_people_type(kit: Kit) -> None:
    put_offer(kit, WHOLE)

    offer = offer_named(kit, "Cattail Post")
    assert [(line.kind, line.face, line.count) for line in offer.lines] == [
        ("us-half-90", D(100), None),
        ("xag-generic-round-1oz", None, 20),
    ]
    assert [(tier.start, tier.said) for tier in offer.lines[0].tiers] == [(D(250), "24.10x"), (D(500), "23.90x")]
    assert [(way.name, way.surcharge_pct, way.fee) for way in offer.ways] == [
        ("check", D(0), D(0)),
        ("card", D(4), D(0)),
        ("wire", D(0), D(30)),
    ]
    assert offer.tax is not None
    assert (offer.tax.taxed, offer.tax.threshold, offer.tax.read_on) == (Taxed.UNDER, D(1500), date(2025, 3, 4))
    assert offer.travel is not None
    assert offer.travel.cost == D("12.60")


def test_an_offer_filled_in_again_is_the_same_offer(kit: Kit) -> None:
    put_offer(kit, WHOLE)
    offer = offer_named(kit, "Cattail Post")

    assert read_offer_form(kit, offer_fields(offer)) == offer


def test_a_weighed_heap_keeps_its_weight_and_the_trade_its_names(kit: Kit) -> None:
    offer = read_offer_form(
        kit, {"name": "C", "kind-1": "90", "amount-1": "60 face, 1461 g", "price-1": "22.50x", "way_on-1": "goods"}
    )

    assert (offer.lines[0].kind, offer.lines[0].face, offer.lines[0].gross_g) == ("90", D(60), D(1461))
    assert offer.ways == ()


def test_every_fault_of_an_offer_stands_at_its_field(kit: Kit) -> None:
    form = WHOLE | {"price-1": "24.6q", "tiers-1": "cheap", "amount-3": "x", "way_pct-2": "104", "carriage": "-1"}
    form |= {"tax_line": "", "miles": "far", "minimum": "1 barrel", "name": ""}

    with pytest.raises(Faults) as caught:
        put_offer(kit, form)

    assert where(caught.value) == {
        *("price-1", "tiers-1", "amount-3", "way_pct-2", "carriage", "tax_line", "miles", "minimum", "name")
    }
    assert not kit.journal.records()


@pytest.mark.parametrize(
    ("form", "fields"),
    [
        ({"name": "A"}, {"kind-1"}),
        ({"name": "A", **HALVES, "kind-1": "moon dust", "amount-1": "nine"}, {"kind-1"}),
        ({"name": "A", **HALVES, "tiers-1": "250: nothing"}, {"tiers-1"}),
        ({"name": "A", **HALVES, "way_fee-1": "3"}, {"way-1"}),
        ({"name": "A" * 81, **HALVES}, {"name"}),
    ],
)
def test_a_fault_of_an_offer_is_told_once(kit: Kit, form: dict[str, str], fields: set[str]) -> None:
    with pytest.raises(Faults) as caught:
        read_offer_form(kit, form)

    assert where(caught.value) == fields
    assert len(caught.value.faults) == len(fields)


def test_a_new_offer_does_not_write_over_another(kit: Kit) -> None:
    put_offer(kit, {"name": "A", **HALVES}, new=True)

    with pytest.raises(Faults, match="already"):
        put_offer(kit, {"name": " A ", **HALVES}, new=True)
    put_offer(kit, {"name": "A", **HALVES, "price-1": "24x"})
    assert offer_named(kit, "A").lines[0].said == "24x"


REFINER = {
    "name": "Quarry Street refiner",
    "what-1": "90",
    "bid-1": "spot",
    "what-4": "household",
    "bid-4": "90% of melt",
    "basis": "scale",
    "payable_pct": "95",
    "treatment": "0.30",
    "treatment_least": "75",
    "costs": "48",
    "parcels_count": "2",
    "parcels_fee": "0.40",
    "minimum": "50 ozt",
    "days": "21",
}


def test_a_way_out_is_read_and_filled_in_again(kit: Kit) -> None:
    put_exit(kit, REFINER)

    way = exit_named(kit, "")
    assert [(bid.what, bid.said) for bid in way.bids] == [("90", "spot"), ("household", "90% of melt")]
    assert way.treatment is not None
    assert (way.treatment.minimum, way.costs, way.days) == (D(75), D(48), 21)
    assert read_exit_form(kit, exit_fields(way)) == way
    assert exit_fields(way)["parcels_postage"] == ""


def test_a_bid_may_name_a_kind_in_plain_words(kit: Kit) -> None:
    way = read_exit_form(kit, {"name": "shop", "what-1": "1943 S war nickel", "bid-1": "1.10 each"})

    assert way.bids[0].what == "us-five-cent-wartime"


def test_every_fault_of_a_way_out_stands_at_its_field(kit: Kit) -> None:
    put_exit(kit, {"name": "shop", "what-1": "90", "bid-1": "22x"}, new=True)
    form = REFINER | {"name": "shop", "bid-1": "plenty", "what-4": "moon dust", "payable_pct": "195"}
    form |= {"parcels_face": "500", "days": "soon", "fee_pct": "-3", "treatment": "a lot"}

    with pytest.raises(Faults) as caught:
        put_exit(kit, form, new=True)

    assert where(caught.value) == {
        *("name", "bid-1", "what-4", "payable_pct", "parcels_count", "days", "fee_pct", "treatment")
    }
    with pytest.raises(Faults) as caught:
        read_exit_form(kit, {"name": "N" * 81})
    assert where(caught.value) == {"name", "what-1"}
    with pytest.raises(Faults) as caught:
        read_exit_form(kit, {"name": "N", "what-2": "90", "bid-2": "22x", "what-3": "90%", "bid-3": "21x"})
    assert where(caught.value) == {"what-2"}


def test_rows_are_numbered_as_they_are_counted_and_only_where_something_was_typed() -> None:
    """Ten comes after two; a blank field is no row, a small raised 2 no number, and asked stems leave others out."""
    form = {"on": "2026-03-02", "kind-10": "90", "kind-2": "90", "heap-7": "L1", "kind-3": " ", "kind-\u00b2": "90"}

    assert numbers_of(form) == ["2", "7", "10"]
    assert numbers_of(form, "kind", "amount") == ["2", "10"]
