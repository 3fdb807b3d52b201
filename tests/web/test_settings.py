"""What is settled for the whole book, and the reminders, as pages."""

from datetime import date

import pytest

from ninefine.desk import purchase, sale
from ninefine.desk.book_settings import DefaultRule, GainsForm, Method, settings
from ninefine.desk.kit import Kit
from ninefine.desk.reminders import for_sale, reminders
from ninefine.testing import kit_in_memory
from web.conftest import Caller
from web.told import AppCaller, entries, faults_of, foreign, house_of, text_of

MINE = {"name": "my state", "about": "purchase", "below": "1500", "words": "Taxed below 1,500."}
MINE |= {"source": "the shop", "as_of": "2026-05-01"}


@pytest.fixture
def kit() -> Kit:
    made = kit_in_memory(today=date(2026, 6, 12))
    for on, price in (("2024-01-05", "20x"), ("2025-01-05", "30x")):
        purchase.buy(made, {"on": on, "kind-1": "90%", "amount-1": "100 face", "price-1": price})
    return made


@pytest.fixture
def house(kit: Kit, app_caller: AppCaller) -> Caller:
    return house_of(kit, app_caller)


def test_what_holds_is_said_in_words_before_anything_is_settled(house: Caller) -> None:
    page = text_of(house.get("/settings").text)

    assert "first in, first out; cost is counted by each lot's own cost" in page
    assert "columns in the order of U.S. Form 8949" in page
    assert "No tax rate has been typed" in page


def test_what_is_settled_is_booked_once_and_holds_for_the_next_sale(kit: Kit, house: Caller) -> None:
    before = entries(kit)
    sent = {"rule": "highest-basis", "method": "lots", "form": "8949", "short_rate": "32", "long_rate": "28"}
    answer = house.post("/settings", sent | {"ask": "spot+3", "bid": "", "note": "as advised"})

    assert answer.status_code == 303
    assert entries(kit) == before + 1
    now = settings(kit)
    assert (now.rule, now.method, now.form) == (DefaultRule.HIGHEST_BASIS, Method.LOTS, GainsForm.FORM_8949)
    page = house.get(answer.headers["location"]).text
    assert "highest basis first" in text_of(page)
    assert "32.00% on short-term gains, 28.00% on long-term ones" in text_of(page)
    assert 'value="highest-basis" checked' in page
    plan = sale.read_sale(kit, {"kind": "90%", "amount": "10 face", "price": "40x"})
    assert [row.lot for row in plan.rows] == ["L2"]


def test_the_gain_by_the_other_method_is_shown_before_it_is_chosen(kit: Kit, house: Caller) -> None:
    """100 of 200 face that cost 2,000 and 3,000: 1,500 gained by the first lot, 1,000 by the average of 25.00."""
    sale.sell(kit, sale.read_sale(kit, {"kind": "90%", "amount": "100 face", "price": "35x"}))
    page = text_of(house.get("/settings").text)

    assert "The gain of 2026 is 1,500.00; by average cost of all that is quoted alike it would be 1,000.00." in page


def test_each_fault_of_the_settings_stands_under_its_field(kit: Kit, house: Caller) -> None:
    before = entries(kit)
    answer = house.post("/settings", {"short_rate": "high", "ask": "dear", "rule": "first-in"})

    assert answer.status_code == 400
    assert faults_of(answer.text) == {"short_rate", "ask"}
    assert entries(kit) == before


def test_every_reminder_stands_with_its_source_and_where_it_speaks(house: Caller) -> None:
    page = text_of(house.get("/reminders").text)

    assert "6 reminders may speak up. They remind and never decide." in page
    assert "of constitutional, from 1000 face on" in page
    assert "over 10000, paid in cash" in page
    assert "an example" in page


def test_a_reminder_of_ones_own_is_set_down_and_silenced(kit: Kit, house: Caller) -> None:
    before = entries(kit)
    answer = house.post("/reminders", MINE | {"do": "put"})
    assert answer.status_code == 303
    assert "Taxed below 1,500." in text_of(house.get(answer.headers["location"]).text)
    named = house.get("/reminders?name=my+state").text
    assert 'value="the shop"' in named

    assert house.post("/reminders", {"do": "silence", "which": "my state"}).status_code == 303
    assert entries(kit) == before + 2
    mine = next(one for one in reminders(kit) if one.name == "my state")
    assert mine.off
    assert "my state silenced" in text_of(house.get("/reminders").text)
    assert house.post("/reminders", MINE | {"do": "put"}).status_code == 303
    assert not next(one for one in reminders(kit) if one.name == "my state").off


def test_a_new_reminder_is_dated_today_until_another_day_is_typed(house: Caller) -> None:
    assert 'name="as_of" type="text" value="2026-06-12"' in house.get("/reminders").text


def test_a_silenced_example_no_longer_speaks_at_a_sale(kit: Kit, house: Caller) -> None:
    plan = sale.read_sale(kit, {"kind": "90%", "amount": "10 face", "price": "40x"})
    assert "collectibles" in {one.name for one in for_sale(kit, plan)}

    house.post("/reminders", {"do": "silence", "which": "collectibles"})
    assert "collectibles" not in {one.name for one in for_sale(kit, plan)}


@pytest.mark.parametrize(
    ("changed", "fields"),
    [({"name": ""}, {"name"}), ({"below": "much", "as_of": "then"}, {"below", "as_of"}), ({"words": ""}, {"words"})],
)
def test_each_fault_of_a_reminder_stands_under_its_field(
    kit: Kit, house: Caller, changed: dict[str, str], fields: set[str]
) -> None:
    before = entries(kit)
    answer = house.post("/reminders", {**MINE, **changed, "do": "put"})

    assert answer.status_code == 400
    assert faults_of(answer.text) == fields
    assert entries(kit) == before


def test_foreign_forms_are_refused(kit: Kit, house: Caller) -> None:
    before = entries(kit)

    assert foreign(house, "/settings", {"rule": "highest-basis"}) == 403
    assert foreign(house, "/reminders", MINE) == 403
    assert entries(kit) == before
