"""Prices in a browser: one set down with a fault and put right, with scripts and without; other metals and years."""

from datetime import date

import pytest

from browser.conftest import Opener, Served
from browser.stages import DRESSES, Axe, Dress, Serve, opened, serve_book, stands_well, unfolded
from ninefine.desk.kit import Kit
from ninefine.testing import kit_in_memory

pytestmark = pytest.mark.browser


@pytest.fixture(scope="module")
def kit() -> Kit:
    return kit_in_memory(today=date(2026, 6, 12))


@pytest.fixture(scope="module")
def house(serve: Serve, kit: Kit) -> Served:
    return serve_book(serve, kit)


@pytest.mark.parametrize("scripts", [True, False], ids=["scripts", "no scripts"])
def test_a_price_is_set_down(house: Served, kit: Kit, open_page: Opener, *, scripts: bool) -> None:
    before = len(kit.journal.records())
    page = opened(open_page, house, "/prices", scripts=scripts)
    page.fill("#per_ozt", "sixty")
    page.fill("#whose", "the shop's screen")
    page.click("text=Set it down")

    assert page.locator("#per_ozt-fault").is_visible()
    assert page.input_value("#whose") == "the shop's screen"
    page.fill("#per_ozt", "66.00")
    page.click("text=Set it down")

    assert "Silver stands at 66.00" in page.inner_text(".answer")
    assert "was booked" in page.inner_text(".said")
    assert len(kit.journal.records()) == before + 1


def test_other_years_and_metals_are_a_step_away(house: Served, open_page: Opener) -> None:
    page = opened(open_page, house, "/prices")
    page.click("text=1980s")
    assert "1980 to 1989" in page.inner_text("#averages")
    page.click("nav >> text=platinum")
    assert "No averages of platinum are packaged" in page.inner_text("#averages")


@DRESSES
@pytest.mark.parametrize("path", ["/prices?span=all", "/prices?metal=XPD"])
def test_each_page_stands_well(house: Served, open_page: Opener, axe: Axe, path: str, dress: Dress) -> None:
    assert stands_well(unfolded(open_page, house, path, dress), axe) == []
