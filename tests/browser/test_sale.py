"""Selling in a browser: shown, changed, shown again and booked, with scripts and without."""

from datetime import date

import pytest

from browser.conftest import Opener, Served
from browser.stages import DRESSES, Axe, Dress, Serve, opened, serve_book, stands_well, unfolded
from ninefine.desk import purchase
from ninefine.desk.kit import Kit
from ninefine.testing import kit_in_memory
from web.told import a_book

pytestmark = pytest.mark.browser


@pytest.fixture(scope="module")
def kit() -> Kit:
    made = kit_in_memory(today=date(2025, 3, 4))
    a_book(made)
    purchase.buy(made, {"on": "2024-11-05", "kind-1": "90%", "amount-1": "100 face", "price-1": "25x"})
    return made


@pytest.fixture(scope="module")
def house(serve: Serve, kit: Kit) -> Served:
    return serve_book(serve, kit)


@pytest.mark.parametrize("scripts", [True, False], ids=["scripts", "no scripts"])
def test_a_sale_is_shown_changed_and_booked(house: Served, kit: Kit, open_page: Opener, *, scripts: bool) -> None:
    before = len(kit.journal.records())
    page = opened(open_page, house, "/sale", scripts=scripts)
    page.fill("#amount", "30 face")
    page.fill("#kind", "90%")
    page.check("input[value=highest-basis]")
    page.click("text=Show the sale")

    assert "so the loss is 90.00. First in, first out, the gain would be 60.00." in page.inner_text(".answer")
    page.click("text=Change it")
    assert page.input_value("#amount") == "30 face"
    page.fill("#amount", "20 face")
    page.click("text=Show the sale")
    page.click("text=Book this sale")

    assert "highest basis first" in page.inner_text(".said")
    assert len(kit.journal.records()) == before + 1


def test_heaps_are_picked_by_box_or_by_amount(house: Served, kit: Kit, open_page: Opener) -> None:
    before = len(kit.journal.records())
    page = opened(open_page, house, "/sale?how=chosen", scripts=False)
    page.fill("#amount-1", "10 face")
    page.click("text=Show the sale")

    assert "220.00" in page.inner_text(".answer")
    assert len(kit.journal.records()) == before


@DRESSES
@pytest.mark.parametrize("path", ["/sale", "/sale?how=chosen"])
def test_each_page_stands_well(house: Served, open_page: Opener, axe: Axe, path: str, dress: Dress) -> None:
    page = unfolded(open_page, house, path, dress)
    assert stands_well(page, axe) == []

    page.fill("#amount-1" if "chosen" in path else "#amount", "10 face")
    if "chosen" not in path:
        page.fill("#kind", "90%")
    page.click("text=Show the sale")
    assert page.inner_text("h1") == "A sale"
    assert stands_well(page, axe) == []
