"""Planning a swap on a page: the sentence, the sums, faults at their fields."""

from datetime import date

import pytest

from ninefine.desk import purchase, records
from ninefine.desk.exit_form import put_exit
from ninefine.desk.kit import Kit
from ninefine.testing import kit_in_memory
from ninefine.web.format import MINUS
from web.conftest import Caller
from web.told import AppCaller, column_of, entries, faults_of, foreign, house_of, text_of

ASK = {
    "amount": "100 face",
    "kind": "90%",
    "take": "1 oz round",
    "rule": "highest-basis",
    "exit": "the shop",
    "price": "",
    "ask": "spot+2",
    "bid": "spot-1",
    "again": "50x",
    "short_rate": "32",
    "long_rate": "28",
}


@pytest.fixture
def kit() -> Kit:
    made = kit_in_memory(today=date(2026, 6, 12))
    purchase.buy(made, {"on": "2019-03-11", "kind-1": "90%", "amount-1": "300 face", "price-1": "40x"})
    records.price(made, {"on": "2026-06-12", "per_ozt": "66.00", "whose": "the shop's screen"})
    records.price(made, {"on": "2026-06-12", "per_ozt": "3960.00", "metal": "gold", "whose": "the shop's screen"})
    put_exit(made, {"name": "the shop", "what-1": "90", "bid-1": "44.83x", "days": "0"})
    return made


@pytest.fixture
def house(kit: Kit, app_caller: AppCaller) -> Caller:
    return house_of(kit, app_caller)


def test_the_form_stands(house: Caller) -> None:
    assert "Say what would be given and what would come for it" in text_of(house.get("/plans/swap").text)


def test_coin_for_rounds(kit: Kit, house: Caller) -> None:
    """4,483.00 less tax of 135.24 (483.00 at 28%) is 4,347.76: 63 rounds at 68.00 are 4,284.00, 63.76 left over."""
    before = entries(kit)
    answer = house.post("/plans/swap", ASK)
    page = text_of(answer.text)

    assert answer.status_code == 200
    assert "become 63 of Generic silver round, 1 troy oz" in page
    assert "with 63.76 left over" in page
    sums = [text.replace(MINUS, "-") for text in column_of(answer.text, "Sum, USD")]
    assert sums[:5] == ["4,719.00", "4,483.00", "-135.24", "-4,284.00", "63.76"]
    assert "It has paid once the new form brings" in page
    assert entries(kit) == before


def test_silver_for_gold_names_the_ratio(house: Caller) -> None:
    page = text_of(house.post("/plans/swap", {**ASK, "take": "xau-us-eagle-1-10oz", "ask": "", "bid": ""}).text)

    assert "Gold stands at 60 times silver" in page
    assert "that is the past, not a forecast" in page
    assert "Not typed, and so taken at spot itself: the ask, the bid on going back" in page


@pytest.mark.parametrize(
    ("changed", "fields"),
    [
        ({"amount": ""}, {"amount"}),
        ({"take": "moon"}, {"take"}),
        ({"ask": "dear", "bid": "cheap"}, {"ask", "bid"}),
        ({"exit": "", "price": ""}, {"exit"}),
        ({"long_rate": "x"}, {"long_rate"}),
    ],
)
def test_each_fault_stands_under_its_field(house: Caller, changed: dict[str, str], fields: set[str]) -> None:
    answer = house.post("/plans/swap", {**ASK, **changed})

    assert answer.status_code == 400
    assert faults_of(answer.text) == fields


def test_a_form_with_a_foreign_key_is_refused(house: Caller) -> None:
    assert foreign(house, "/plans/swap", ASK) == 403
