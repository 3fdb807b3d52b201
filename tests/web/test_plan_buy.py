"""Plans, and planning a purchase: the answer in words, the reason for each line, wishes that clash, booking it all."""

from datetime import date
from decimal import Decimal

import pytest

from ninefine.book.entries import Bought
from ninefine.desk.exit_form import put_exit
from ninefine.desk.kit import Kit
from ninefine.desk.offer_form import put_offer
from ninefine.desk.records import price
from ninefine.testing import kit_in_memory
from web.conftest import Caller
from web.told import AppCaller, entries, faults_of, foreign, house_of, text_of

#: Elm Hollow's sellers B and C, the published household: the shop, and a meet-up with its miles.
OFFERS = (
    {
        "name": "B",
        "kind-1": "90",
        "amount-1": "100 face",
        "price-1": "23.90x",
        "tax_rate": "6",
        "taxed": "under",
        "tax_line": "1500",
    },
    {
        "name": "C",
        "kind-1": "90",
        "amount-1": "60 face, 1461 g",
        "price-1": "22.50x",
        "miles": "18",
        "per_mile": "0.70",
    },
)


@pytest.fixture
def kit() -> Kit:
    kit = kit_in_memory(today=date(2025, 3, 4))
    price(kit, {"on": "2025-03-04", "at": "10:15", "per_ozt": "32.00", "whose": "the shop's screen"})
    put_exit(kit, {"name": "Brook Street", "what-1": "90", "bid-1": "22.00x"})
    for offer in OFFERS:
        put_offer(kit, offer)
    return kit


@pytest.fixture
def house(kit: Kit, app_caller: AppCaller) -> Caller:
    return house_of(kit, app_caller)


def test_plans_lead_to_each_kind_of_plan(house: Caller) -> None:
    page = house.get("/plans")

    assert page.status_code == 200
    assert "2 offers on the table and 1 way out" in text_of(page.text)
    assert 'href="/plans/buy"' in page.text
    assert 'href="/plans/sell"' in page.text


def test_with_nothing_to_plan_with_the_pages_teach(app_caller: AppCaller) -> None:
    house = house_of(kit_in_memory(today=date(2025, 3, 4)), app_caller)

    assert 'href="/offers/new"' in house.get("/plans").text
    page = text_of(house.get("/plans/buy").text)
    assert "No offers are on the table" in page


def test_the_plan_is_said_with_its_reasons(house: Caller) -> None:
    """Elm Hollow's budget, B whole: 3,077.60 is spent, and one face dollar more of C would overspend by 0.10."""
    answer = house.get("/plans/buy?budget=3100&whole=B")
    page = text_of(answer.text)

    assert answer.status_code == 200
    assert "3,077.60 buys 92.6375 fine ounces (71.5000 trade, 21.1375 scale) by 2 offers" in page
    assert "No basket within these wishes holds more: proven." in page
    assert "22.40 of the budget is left" in page
    assert "one step more would overspend by 0.10" in page
    assert "taken whole, as you said" in page
    assert answer.text.count('class="onscreen"') == 1


def test_what_stands_beside_is_worked_out_when_asked_for(house: Caller) -> None:
    page = text_of(house.get("/plans/buy?budget=3100&whole=B&beside=yes").text)

    assert "if every offer could be parted" in page
    assert "1.2321 fine ounces more" in page
    assert "without C" in page


def test_wishes_that_clash_are_named_with_what_would_fit(house: Caller, kit: Kit) -> None:
    before = entries(kit)
    page = text_of(house.get("/plans/buy?budget=1500&weight=60&goal=money").text)

    assert "No basket keeps all of these at once: the budget and the weight wanted." in page
    assert "A budget of 1,995.95 would do." in page
    assert "As much as 45.8813 fine ounces (5.7200 trade, 40.1613 scale) can be had." in page
    assert "Book these purchases" not in page
    assert entries(kit) == before


@pytest.mark.parametrize(
    ("asked", "field"),
    [
        ("goal=silver", "budget"),
        ("goal=loss&budget=100", "weight"),
        ("budget=-3", "budget"),
        ("budget=100&whole=nobody", "whole"),
        ("budget=100&share_least=140", "share_least"),
        ("budget=100&sellers=1.5", "sellers"),
    ],
)
def test_each_fault_stands_at_its_field(house: Caller, asked: str, field: str) -> None:
    answer = house.get(f"/plans/buy?{asked}")

    assert answer.status_code == 400
    assert faults_of(answer.text) == {field}


def test_one_press_books_each_offer_of_the_plan(house: Caller, kit: Kit) -> None:
    """Two entries: the shop's goods, and the meet-up's with its miles; together what the plan spends."""
    before = entries(kit)
    answer = house.post("/plans/buy/book", {"budget": "3100", "whole": "B", "spend": "3077.60", "place": "A1"})

    assert answer.status_code == 303
    booked = [stored.entry for stored in kit.journal.records()[before:]]
    assert [type(entry) for entry in booked] == [Bought, Bought]
    one, other = [entry for entry in booked if isinstance(entry, Bought)]
    assert (one.lines[0].amount.face, one.lines[0].price) == (Decimal(100), Decimal("2390.00"))
    assert not one.other_costs
    assert (other.lines[0].amount.face, other.lines[0].price) == (Decimal(30), Decimal("675.00"))
    assert dict(other.other_costs) == {"travel": Decimal("12.60")}
    assert other.lines[0].amount.gross_g == Decimal("730.5")
    assert "was booked" in text_of(house.get(answer.headers["location"]).text)


def test_a_plan_that_has_changed_is_not_booked(house: Caller, kit: Kit) -> None:
    """A price put up since it was shown: the press books nothing and says so."""
    put_offer(kit, {**OFFERS[0], "price-1": "23.95x"})
    before = entries(kit)
    answer = house.post("/plans/buy/book", {"budget": "3100", "whole": "B", "spend": "3077.60"})

    assert answer.status_code == 400
    assert "an offer or a price has changed" in text_of(answer.text)
    assert entries(kit) == before


def test_a_day_to_come_is_a_fault_and_nothing_is_booked(house: Caller, kit: Kit) -> None:
    before = entries(kit)
    answer = house.post("/plans/buy/book", {"budget": "3100", "whole": "B", "spend": "3077.60", "on": "2025-03-05"})

    assert answer.status_code == 400
    assert faults_of(answer.text) == {"on"}
    assert entries(kit) == before


def test_a_foreign_form_is_refused(house: Caller, kit: Kit) -> None:
    before = entries(kit)

    assert foreign(house, "/plans/buy/book", {"budget": "3100", "spend": "1"}) == 403
    assert entries(kit) == before
