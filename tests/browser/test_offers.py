"""Offers in a browser: entered with faults and put right, weighed, booked; a quote said another way."""

from datetime import date

import pytest

from browser.conftest import Opener, Served
from browser.stages import DRESSES, Axe, Dress, Serve, opened, serve_book, stands_well, unfolded
from ninefine.desk.exit_form import put_exit
from ninefine.desk.kit import Kit
from ninefine.desk.offer_form import put_offer
from ninefine.desk.records import price
from ninefine.testing import kit_in_memory

pytestmark = pytest.mark.browser
OFFER = {"name": "the bag", "kind-1": "90", "amount-1": "100 face", "price-1": "23.90x", "tiers-1": "250: 23.50x"}


@pytest.fixture(scope="module")
def kit() -> Kit:
    made = kit_in_memory(today=date(2025, 3, 4))
    price(made, {"on": "2025-03-04", "per_ozt": "32", "whose": "the shop's screen"})
    put_exit(made, {"name": "the shop", "what-1": "90", "bid-1": "22x"})
    put_offer(made, {**OFFER, "way-1": "check", "way-2": "card", "way_pct-2": "4"})
    return made


@pytest.fixture(scope="module")
def house(serve: Serve, kit: Kit) -> Served:
    return serve_book(serve, kit)


@pytest.mark.parametrize("scripts", [True, False], ids=["scripts", "no scripts"])
def test_an_offer_is_entered_put_right_and_booked(house: Served, kit: Kit, open_page: Opener, *, scripts: bool) -> None:
    name, before = f"halves {scripts}", len(kit.journal.records())
    page = opened(open_page, house, "/offers/new", scripts=scripts)
    page.fill("#name", name)
    page.fill("#amount-1", "50 face")
    page.fill("#kind-1", "90% halves")
    page.fill("#price-1", "24.60q")
    page.click("summary:has-text('Carriage')")
    page.fill("#carriage", "9.95")
    page.click("text=Put it on the table")

    assert page.locator("#price-1-fault").is_visible()
    assert page.input_value("#carriage") == "9.95"
    page.fill("#price-1", "24.60x")
    page.click("text=Put it on the table")

    assert f"Set down the offer '{name}'" in page.inner_text(".said")
    page.click(f"a:has-text('{name}')")
    assert "1,239.95" in page.inner_text(".answer")
    page.click("text=Book it as bought")
    page.check("input[value=no]")
    page.click("button:text-is('Book it')")

    assert page.inner_text("h1") == "Arrivals"
    assert "on its way" in page.inner_text(".said")
    assert len(kit.journal.records()) == before + 2


def test_one_more_line_of_goods_comes_without_losing_what_was_typed(house: Served, open_page: Opener) -> None:
    page = opened(open_page, house, "/purchase", scripts=False)
    page.fill("#seller", "the Tuesday shop")
    page.click("text=One more line of goods")

    assert page.input_value("#seller") == "the Tuesday shop"
    assert page.locator("#kind-2").is_visible()


def test_a_price_typed_beside_the_offers_is_said_in_every_other_way(house: Served, open_page: Opener) -> None:
    page = opened(open_page, house, "/offers")
    page.fill("#quote", "4% over")
    page.click("text=Say it in every other way")

    assert "23.80 a face dollar" in page.inner_text(".answer")


def test_the_working_of_an_offer_opens(house: Served, open_page: Opener) -> None:
    page = opened(open_page, house, "/offers")
    row = page.locator(".worked").first
    row.locator("summary").click()

    assert "landed, in all" in row.inner_text()


@DRESSES
@pytest.mark.parametrize(
    "path",
    [
        "/offers/one?name=the+bag&budget=3000",
        "/offers/new",
        "/offers/change?name=the+bag",
        "/offers/book?name=the+bag",
        "/quote?quote=49x&amount=60+face,+1461+g",
        "/purchase",
    ],
)
def test_each_page_stands_well(house: Served, open_page: Opener, axe: Axe, path: str, dress: Dress) -> None:
    assert stands_well(unfolded(open_page, house, path, dress), axe) == []
