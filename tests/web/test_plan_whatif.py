"""What if on a page: the sentence, the fan and its table; a steady sum; faults under their fields."""

from datetime import date

import pytest

from ninefine.desk import purchase, records
from ninefine.desk.exit_form import put_exit
from ninefine.desk.kit import Kit
from ninefine.testing import kit_in_memory
from web.conftest import Caller
from web.told import AppCaller, column_of, faults_of, house_of, text_of


@pytest.fixture
def kit() -> Kit:
    made = kit_in_memory(today=date(2026, 6, 12))
    purchase.buy(made, {"on": "2020-01-05", "kind-1": "90%", "amount-1": "100 face", "price-1": "24x"})
    records.price(made, {"on": "2026-06-12", "per_ozt": "66.00", "whose": "the shop's screen"})
    put_exit(made, {"name": "the shop", "what-1": "90", "bid-1": "95% of melt", "days": "0"})
    return made


@pytest.fixture
def house(kit: Kit, app_caller: AppCaller) -> Caller:
    return house_of(kit, app_caller)


def test_a_shock_is_a_sentence_and_a_table(house: Caller) -> None:
    """71.5 x 66 x 0.95 = 4,483.05, and 3,586.44 a fifth lower."""
    answer = house.get("/plans/what-if?shock=-20")
    page = text_of(answer.text)

    assert answer.status_code == 200
    assert "The shop pays 4,483.05 today, and would pay 3,586.44." in page
    assert column_of(answer.text, "Even at spot, USD") == ["35.33"]
    assert "This is no forecast" in page


def test_drawn_paths_show_where_they_come_from(house: Caller) -> None:
    page = text_of(house.get("/plans/what-if?paths=60&seed=5").text)

    assert "nine paths of ten end between" in page
    assert "60 paths drawn from January 1960" in page
    assert "seed 5" in page


@pytest.mark.parametrize(
    ("asked", "fields"),
    [("path=66,x", {"path"}), ("months=0", {"months"}), ("seed=x&first_year=y", {"seed", "first_year"})],
)
def test_each_fault_stands_under_its_field(house: Caller, asked: str, fields: set[str]) -> None:
    answer = house.get(f"/plans/what-if?{asked}")

    assert answer.status_code == 400
    assert faults_of(answer.text) == fields


def test_an_empty_book_says_what_to_do(app_caller: AppCaller) -> None:
    page = text_of(house_of(kit_in_memory(), app_caller).get("/plans/what-if?spot=66").text)

    assert "No silver lies here yet" in page


def test_a_steady_sum_is_asked_for_and_answered(house: Caller) -> None:
    form = text_of(house.get("/plans/steady").text)
    answer = house.get("/plans/steady?monthly=500&ask=spot%2B3&since=2011-04&until=2020-03")

    assert "Say a sum for each month" in form
    assert "500.00 a month from April 2011 to March 2020 would have bought" in text_of(answer.text)
    assert len(column_of(answer.text, "Left over, USD")) == 2
    assert faults_of(house.get("/plans/steady?monthly=x&since=y").text) == {"monthly", "since"}
