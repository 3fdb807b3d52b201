"""A purchase planned in a browser: wishes typed, the plan read, all of it booked by one press; scripts or none."""

from datetime import date

import pytest

from browser.conftest import Opener, Served
from browser.stages import Serve, opened, serve_book
from ninefine.desk.exit_form import put_exit
from ninefine.desk.kit import Kit
from ninefine.desk.offer_form import put_offer
from ninefine.desk.records import price
from ninefine.testing import kit_in_memory

pytestmark = pytest.mark.browser


@pytest.fixture(scope="module")
def kit() -> Kit:
    made = kit_in_memory(today=date(2025, 3, 4))
    price(made, {"on": "2025-03-04", "per_ozt": "32", "whose": "the shop's screen"})
    put_exit(made, {"name": "Brook Street", "what-1": "90", "bid-1": "22x"})
    put_offer(made, {"name": "B", "kind-1": "90", "amount-1": "100 face", "price-1": "23.90x"})
    meet_up = {"amount-1": "60 face, 1461 g", "price-1": "22.50x", "miles": "18", "per_mile": "0.70"}
    put_offer(made, {"name": "C", "kind-1": "90", **meet_up})
    return made


@pytest.fixture(scope="module")
def house(serve: Serve, kit: Kit) -> Served:
    return serve_book(serve, kit)


@pytest.mark.parametrize("scripts", [True, False], ids=["scripts", "no scripts"])
def test_a_purchase_is_planned_and_booked(house: Served, kit: Kit, open_page: Opener, *, scripts: bool) -> None:
    before = len(kit.journal.records())
    page = opened(open_page, house, "/plans", scripts=scripts)
    page.click("a:has-text('Plan: buy')")
    page.fill("#budget", "all of it")
    page.click("button:text-is('Plan it')")

    assert page.locator("#budget-fault").is_visible()
    page.fill("#budget", "3100")
    page.click("summary:has-text('Offers, one by one')")
    page.fill("#whole", "B")
    page.click("button:text-is('Plan it')")

    assert "3,077.60 buys 92.6375 fine ounces" in page.inner_text(".answer")
    assert page.locator("text=one step more would overspend by 0.10").is_visible()
    page.fill("#place", "A1")
    page.click("button:text-is('Book these purchases')")

    assert page.inner_text("h1") == "Offers"
    assert "was booked" in page.inner_text(".said")
    assert len(kit.journal.records()) == before + 2
