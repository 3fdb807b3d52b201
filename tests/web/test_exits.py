"""Exits: the stack and one lot by every way out, line by line; a way out set down, changed and struck."""

from datetime import date
from decimal import Decimal

import pytest

from ninefine.desk import purchase
from ninefine.desk.exit_form import put_exit
from ninefine.desk.kit import Kit
from ninefine.desk.tables import exit_named
from ninefine.testing import kit_in_memory
from web.conftest import Caller
from web.told import AppCaller, a_book, column_of, entries, faults_of, foreign, house_of, text_of

REFINER = {
    "name": "the refiner",
    "what-1": "silver",
    "bid-1": "spot",
    "basis": "scale",
    "payable_pct": "95",
    "treatment": "0.30",
    "treatment_least": "75",
    "costs": "48",
    "days": "21",
}


@pytest.fixture
def kit() -> Kit:
    return kit_in_memory(today=date(2025, 3, 4))


@pytest.fixture
def house(kit: Kit, app_caller: AppCaller) -> Caller:
    return house_of(kit, app_caller)


def test_an_empty_page_teaches_and_offers_the_demo(house: Caller) -> None:
    page = text_of(house.get("/exits").text)

    assert "Nothing lies here that could be sold" in page
    assert "ninefine demo" in page


def test_the_stack_is_shown_by_every_way_out_with_its_lines(kit: Kit, house: Caller) -> None:
    """250 face at 22.00 is 5,500.00; the refiner: 0.95 x 178.75 x 32.00 less 75.00 and 48.00 is 5,311.00."""
    a_book(kit)
    put_exit(kit, REFINER)
    put_exit(kit, {"name": "bars only", "what-1": "ozt", "bid-1": "spot"})
    html = house.get("/exits").text
    page = text_of(html)

    assert "Melt is 5,720.00 by trade count; Brook Street would pay the most, 5,500.00, 96.15% of the melt" in page
    assert "250 face of 90% silver coin, mixed dimes, quarters and halves at 22x" in page
    assert column_of(html, "Would pay, USD") == ["5,500.00", "5,720.00", "0.00"]
    assert column_of(html, "Net, USD") == ["5,500.00", "5,311.00", "0.00"]
    assert "95% of assayed silver is paid for" in page
    assert "no bid for 90%" in page
    assert "as set down by entry" in page
    assert html.count('class="onscreen"') == 1
    assert "ask a licensed preparer" in page


def test_another_spot_may_be_tried(kit: Kit, house: Caller) -> None:
    a_book(kit)

    assert "Melt is 11,797.50" in text_of(house.get("/exits?spot=66").text)
    refused = house.get("/exits?spot=high")
    assert (refused.status_code, faults_of(refused.text)) == (400, {"spot"})
    assert "Melt is 5,720.00" in text_of(refused.text)


def test_a_limit_of_the_best_way_out_stands_beside_it(kit: Kit, house: Caller) -> None:
    a_book(kit)
    put_exit(kit, {"name": "the club", "what-1": "90", "bid-1": "23x", "capacity": "100 face"})

    assert "the club takes at once no more than 100 face; this is 250." in text_of(house.get("/exits").text)


def test_one_lot_says_where_it_is_even(kit: Kit, house: Caller) -> None:
    """Lot L1 cost 20.00 a face dollar; a bid of 22.00 at 32.00 keeps its share, so it is even at 29.091."""
    a_book(kit)
    page = text_of(house.get("/exits/lot?lot=L1").text)

    assert "cost 5,000.00. Brook Street would pay 5,500.00, 500.00 more than that" in page
    assert "29.091" in page
    assert "+500.00" in page
    assert house.get("/exits/lot?lot=L9").status_code == 404


def test_a_way_out_is_set_down_by_one_entry(kit: Kit, house: Caller) -> None:
    assert house.get("/exits/new").status_code == 200
    answer = house.post("/exits/new", REFINER)

    assert answer.status_code == 303
    assert entries(kit) == 1
    assert exit_named(kit, "the refiner").days == 21
    assert "Set down the exit 'the refiner'" in text_of(house.get(answer.headers["location"]).text)
    more = house.post("/exits/new", {**REFINER, "more": "bids"})
    assert 'id="what-3"' in more.text
    assert entries(kit) == 1


def test_every_fault_of_a_way_out_stands_under_its_field(kit: Kit, house: Caller) -> None:
    put_exit(kit, REFINER)
    typed = {**REFINER, "bid-1": "plenty", "payable_pct": "195", "treatment": "a lot", "parcels_count": "2"}
    typed |= {
        "parcels_face": "500",
        "days": "soon",
        "fee_pct": "-3",
        "capacity": "a cart",
        "what-2": "moon",
        "bid-2": "1x",
    }
    answer = house.post("/exits/new", typed)

    assert answer.status_code == 400
    assert faults_of(answer.text) == {
        *("name", "bid-1", "what-2", "payable_pct", "treatment", "parcels_count", "days", "fee_pct", "capacity")
    }
    assert entries(kit) == 1


def test_a_way_out_is_changed_and_struck(kit: Kit, house: Caller) -> None:
    put_exit(kit, REFINER)
    assert 'value="0.3' in house.get("/exits/change?name=the+refiner").text
    changed = house.post("/exits/change", {**REFINER, "costs": "60"})
    refused = house.post("/exits/change", {**REFINER, "costs": "sixty"})
    costs = exit_named(kit, "the refiner").costs
    struck = house.post("/exits/strike", {"name": "the refiner"})

    assert (changed.status_code, costs) == (303, Decimal(60))
    assert (refused.status_code, faults_of(refused.text)) == (400, {"costs"})
    assert struck.status_code == 303
    assert kit.holdings().tables.get("exit", {}) == {}
    assert entries(kit) == 3


def test_prices_stand_with_whose_they_are_and_how_stale(kit: Kit, house: Caller, app_caller: AppCaller) -> None:
    a_book(kit)
    later = kit_in_memory(today=date(2026, 7, 20))
    a_book(later)
    purchase.buy(later, {"on": "2026-07-01", "kind-1": "gold eagle 1 oz", "amount-1": "1", "price-1": "4000"})

    assert "32.00 USD an ozt of silver, spot, the shop's screen, 4 March 2025" in text_of(house.get("/exits").text)
    page = text_of(house_of(later, app_caller).get("/exits").text)
    assert "monthly average, not the day's price; World Bank Pink Sheet" in page
    assert "20 days old, stale" in page


@pytest.mark.parametrize("path", ["/exits/new", "/exits/change", "/exits/strike"])
def test_a_form_with_a_foreign_key_is_refused(kit: Kit, house: Caller, path: str) -> None:
    put_exit(kit, REFINER)

    assert foreign(house, path, REFINER) == 403
    assert entries(kit) == 1
