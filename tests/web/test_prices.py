"""Prices: today's with its age, one's own marks, the packaged averages with their licence, any of four metals."""

from datetime import date
from decimal import Decimal

import pytest

from ninefine.desk.kit import Kit
from ninefine.desk.records import price
from ninefine.market.series import ATTRIBUTION
from ninefine.testing import kit_in_memory
from web.conftest import Caller
from web.told import AppCaller, entries, faults_of, foreign, house_of, text_of

D = Decimal
MARK = {"per_ozt": "66.00", "metal": "XAG", "side": "spot", "on": "2026-06-12", "at": "10:15", "whose": "the screen"}


@pytest.fixture
def kit() -> Kit:
    return kit_in_memory(today=date(2026, 6, 12))


@pytest.fixture
def house(kit: Kit, app_caller: AppCaller) -> Caller:
    return house_of(kit, app_caller)


def test_without_a_mark_an_average_stands_in_and_says_what_it_is(house: Caller) -> None:
    page = text_of(house.get("/prices").text)

    assert "Silver stands at 66.70 USD an ounce, by the monthly average" in page
    assert "This is an average, not a day's price" in page
    assert "You have set no price of this metal down yet" in page


def test_a_price_is_set_down_by_one_entry_and_stands(kit: Kit, house: Caller) -> None:
    answer = house.post("/prices", MARK)

    assert answer.status_code == 303
    assert entries(kit) == 1
    page = text_of(house.get(answer.headers["location"]).text)
    assert "Entry 1 was booked. Read a spot price of silver: 66" in page
    assert "Silver stands at 66.00 USD an ounce." in page
    assert "2026-06-12 10:15" in page
    assert "Where this price comes from" in page


def test_each_fault_of_a_price_stands_under_its_field(kit: Kit, house: Caller) -> None:
    answer = house.post(
        "/prices", {**MARK, "per_ozt": "-1", "metal": "XCU", "side": "odd", "on": "2026-06-13", "at": "late"}
    )

    assert answer.status_code == 400
    assert faults_of(answer.text) == {"per_ozt", "metal", "side", "on", "at"}
    assert entries(kit) == 0


def test_bids_and_asks_stand_in_columns_of_their_own_newest_first(kit: Kit, house: Caller) -> None:
    for day, side, value in (("01", "spot", "70"), ("02", "bid", "69.5"), ("03", "ask", "71.25")):
        price(kit, {"on": f"2026-06-{day}", "per_ozt": value, "side": side})
    html = house.get("/prices").text
    page = text_of(html)

    assert [page.index(day) for day in ("2026-06-03", "2026-06-02", "2026-06-01")] == sorted(
        page.index(day) for day in ("2026-06-03", "2026-06-02", "2026-06-01")
    )
    for head, value in (("Spot", "70.00"), ("Bid", "69.50"), ("Ask", "71.25")):
        assert f'data-head="{head}, USD"><span class="v"><span class="n">{value}' in html
    assert "that is 11 days old, so set a newer one down" not in page  # an average of June stands in
    assert "by the monthly average" in page


def test_a_stale_price_says_how_old_it_is(app_caller: AppCaller) -> None:
    kit = kit_in_memory(today=date(2026, 8, 20))
    price(kit, {"on": "2026-08-01", "per_ozt": "70", "whose": "the screen"})

    page = text_of(house_of(kit, app_caller).get("/prices").text)

    assert "that is 19 days old, so set a newer one down" in page
    assert "a Saturday, so the Friday close" in page
    assert "19 days old, stale" in page


def test_averages_show_their_months_and_their_licence(house: Caller) -> None:
    """World Bank Pink Sheet: 92.06 in January 2026 and 66.7 in June; 20.8040 the mean of 1980; USGS for 1900."""
    latest = text_of(house.get("/prices").text)
    decade = text_of(house.get("/prices?span=1980").text)
    whole = text_of(house.get("/prices?span=all").text)

    assert "92.06" in latest
    assert "Averages by month, 2017 to 2026" in latest
    assert ATTRIBUTION in latest
    assert "Licensed CC BY 4.0" in ATTRIBUTION
    assert "public domain" in latest
    assert "Averages by month, 1980 to 1989" in decade
    assert "Averages by year, 1900 to 2026" in whole
    assert "USGS Data Series 140" in whole
    assert "20.8" in whole


@pytest.mark.parametrize(
    ("metal", "words"),
    [
        ("XAU", "Averages by month"),
        ("gold", "Gold stands at"),
        ("XPT", "No averages of platinum are packaged"),
        ("XPD", "No price of palladium is on record"),
    ],
)
def test_any_of_the_four_metals_may_be_looked_at(house: Caller, metal: str, words: str) -> None:
    answer = house.get(f"/prices?metal={metal}")

    assert answer.status_code == 200
    assert words in text_of(answer.text)


def test_a_price_of_platinum_is_kept_with_its_metal(kit: Kit, house: Caller) -> None:
    answer = house.post("/prices", {**MARK, "metal": "XPT", "per_ozt": "1,400"})

    assert answer.headers["location"].startswith("/prices?metal=XPT")
    assert "Platinum stands at 1,400.00" in text_of(house.get(answer.headers["location"]).text)
    assert kit.stamp(metal="XPT").per_ozt == 1400
    assert house.get("/prices?metal=XCU").status_code == 404


def test_many_marks_are_turned_a_page_at_a_time(kit: Kit, house: Caller) -> None:
    for number in range(60):
        price(kit, {"on": f"2025-{number % 12 + 1:02}-{number // 12 + 1:02}", "per_ozt": str(30 + number)})
    first, second = house.get("/prices").text, house.get("/prices?metal=XAG&first=50").text

    assert first.count(">entry ") == 50
    assert second.count(">entry ") == 10
    assert 'href="/prices?metal=XAG&amp;first=50#marks">Older marks' in first


def test_a_book_in_another_currency_leans_on_no_dollar_average(app_caller: AppCaller) -> None:
    kit = kit_in_memory(today=date(2026, 6, 12), currency="EUR")

    page = text_of(house_of(kit, app_caller).get("/prices").text)

    assert "No price of silver is on record" in page
    assert "these averages stand in for nothing" in page


def test_a_form_with_a_foreign_key_is_refused(kit: Kit, house: Caller) -> None:
    assert foreign(house, "/prices", MARK) == 403
    assert entries(kit) == 0
