"""First page: what is held, what waits and where it is done; the way through for who has nothing yet."""

from datetime import date

import pytest

from ninefine.desk import arrivals, purchase, sorting
from ninefine.desk.kit import Kit
from ninefine.testing import kit_in_memory
from ninefine.web import frame
from ninefine.web.pages.first import STAGES
from web.conftest import Caller
from web.told import AppCaller, a_book, house_of, text_of


@pytest.fixture
def kit() -> Kit:
    return kit_in_memory(today=date(2025, 3, 4))


@pytest.fixture
def house(kit: Kit, app_caller: AppCaller) -> Caller:
    return house_of(kit, app_caller)


def test_an_empty_book_shows_the_way_and_offers_the_demo(house: Caller) -> None:
    page = text_of(house.get("/").text)

    assert "This book is empty" in page
    assert "ninefine demo" in page
    assert "What waits" not in page
    for stop in (*frame.STAGES[1:], *frame.BESIDE):
        assert STAGES[stop[1]] in page


def test_the_page_opens_with_what_is_held_and_its_ounce_basis(kit: Kit, house: Caller) -> None:
    a_book(kit)
    page = text_of(house.get("/").text)

    assert "You hold 178.75 ozt trade of fine silver, 100% of it constitutional" in page
    assert "it cost 5,000.00, the constitutional coin 20.00 a face dollar" in page
    assert "Another 71.50 ozt trade is on its way" in page
    assert "32.00 USD an ozt of silver, spot, the shop's screen, 4 March 2025" in page


def test_each_thing_that_waits_leads_to_where_it_is_done(kit: Kit, house: Caller) -> None:
    a_book(kit)
    html = house.get("/").text

    assert "On its way from Cattail Post" in html
    assert 'href="/arrivals/count?parcel=4">Count it in' in html
    arrivals.receive(kit, {"lot-1": "L2", "counted-1": "98 face", "claim": "49.20"})
    html = house.get("/").text
    assert "not paid: 49.20" in html
    assert 'href="/arrivals/credit?lot=L2">Book the credit' in html
    assert 'href="/sorting/heap?heap=L1%2Fus-90%40A1">Sort' in html
    number = sorting.begin(kit, "L1")
    assert f'href="/sorting/tallies/{number}">Sort' in house.get("/").text


def test_many_things_of_one_stage_are_told_by_their_number(kit: Kit, house: Caller) -> None:
    for number in range(9):
        purchase.buy(
            kit,
            {"on": "2024-01-05", "kind-1": "90%", "amount-1": f"{number + 1} face", "price-1": "20x", "arrived": "no"},
        )
    html = house.get("/").text

    assert html.count(">Count it in</a>") == 4
    assert '<span class="coin">5</span><span class="words">more parcels and claims' in html
    assert 'href="/arrivals">See them all' in html
    assert "look at this first" in html


def test_what_was_booked_is_said_and_nonsense_is_not(kit: Kit, house: Caller) -> None:
    a_book(kit)

    assert "Entry 1 was booked. Read a spot price of silver" in text_of(house.get("/?booked=1").text)
    for nonsense in ("0", "99", "-1", "x", "\u0661", "1" * 40):
        assert "was booked" not in house.get(f"/?booked={nonsense}").text
