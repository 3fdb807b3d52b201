"""Sharing out on a page: the sentence with its payments, who gets what, faults under their fields."""

from datetime import date

import pytest

from ninefine.desk import purchase, records
from ninefine.desk.kit import Kit
from ninefine.testing import kit_in_memory
from web.conftest import Caller
from web.told import AppCaller, column_of, entries, faults_of, foreign, house_of, text_of

ASK = {"people": "Ada 1/2\nBen 1/2", "wishes": "", "first": "least-cash", "value": "melt", "most_cash": ""}
MORE = {"lots": "", "whole": "", "worths": "", "spot": ""}


@pytest.fixture
def kit() -> Kit:
    made = kit_in_memory(today=date(2026, 6, 12))
    purchase.buy(made, {"kind-1": "90% halves", "amount-1": "3", "price-1": "30", "lot-1": "H"})
    purchase.buy(made, {"kind-1": "1 oz round", "amount-1": "2", "price-1": "60", "lot-1": "R"})
    records.price(made, {"on": "2026-06-12", "per_ozt": "60.00", "whose": "the shop's screen"})
    return made


@pytest.fixture
def house(kit: Kit, app_caller: AppCaller) -> Caller:
    return house_of(kit, app_caller)


def test_the_form_stands(house: Caller) -> None:
    assert "Say among whom, and what each would like" in text_of(house.get("/plans/divide").text)


def test_the_odd_half_is_evened_out_in_cash(kit: Kit, house: Caller) -> None:
    """Three halves melt at 21.45 each and two rounds at 60: one has a half more, so 10.72 or 10.73 moves."""
    before = entries(kit)
    answer = house.post("/plans/divide", {**ASK, **MORE})
    page = text_of(answer.text)

    assert answer.status_code == 200
    assert "in cash evens it out" in page
    assert sorted(column_of(answer.text, "Due, USD")) == ["92.17", "92.18"]
    assert sorted(column_of(answer.text, "In pieces, USD")) == ["102.90", "81.45"]
    assert "Nobody said a wish" in page
    assert entries(kit) == before


def test_envy_is_said_by_name(house: Caller) -> None:
    ask = {**ASK, **MORE, "wishes": "Ada: R 100\nBen: R 100", "whole": "R", "first": "no-envy"}
    page = text_of(house.post("/plans/divide", ask).text)

    assert "would sooner have what" in page
    assert "lot R" in page


@pytest.mark.parametrize(
    ("changed", "fields"),
    [
        ({"people": ""}, {"people"}),
        ({"wishes": "Ada R 40"}, {"wishes"}),
        ({"lots": "L9", "whole": "L8"}, {"lots", "whole"}),
        ({"worths": "R"}, {"worths"}),
        ({"most_cash": "some"}, {"most_cash"}),
    ],
)
def test_each_fault_stands_under_its_field(house: Caller, changed: dict[str, str], fields: set[str]) -> None:
    answer = house.post("/plans/divide", {**ASK, **MORE, **changed})

    assert answer.status_code == 400
    assert faults_of(answer.text) == fields


def test_too_little_cash_says_so(house: Caller) -> None:
    page = text_of(house.post("/plans/divide", {**ASK, **MORE, "most_cash": "5"}).text)

    assert "nobody can be given their due" in page


def test_a_form_with_a_foreign_key_is_refused(house: Caller) -> None:
    assert foreign(house, "/plans/divide", {**ASK, **MORE}) == 403
