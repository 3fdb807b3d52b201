"""Arrivals in a browser: a parcel compared, counted in and weighed, with scripts and without."""

from datetime import date

import pytest

from browser.conftest import Opener, Served
from browser.stages import DRESSES, Axe, Dress, Serve, opened, serve_book, stands_well, unfolded
from ninefine.desk import purchase
from ninefine.desk.kit import Kit
from ninefine.testing import kit_in_memory
from web.told import a_book

pytestmark = pytest.mark.browser
PARCEL = {"on": "2025-02-20", "kind-1": "90% halves", "amount-1": "100 face", "price-1": "24.60x", "arrived": "no"}


@pytest.fixture(scope="module")
def kit() -> Kit:
    made = kit_in_memory(today=date(2025, 3, 4))
    a_book(made)
    for _ in range(2):
        purchase.buy(made, PARCEL)
    return made


@pytest.fixture(scope="module")
def house(serve: Serve, kit: Kit) -> Served:
    return serve_book(serve, kit)


@pytest.mark.parametrize("scripts", [True, False], ids=["scripts", "no scripts"])
def test_a_parcel_is_compared_counted_in_and_weighed(
    house: Served, kit: Kit, open_page: Opener, *, scripts: bool
) -> None:
    before = len(kit.journal.records())
    page = opened(open_page, house, "/arrivals", scripts=scripts)
    page.locator("text=Count it in").last.click()
    page.fill("#counted-1", "98 face")
    page.click("text=Compare first")

    assert "short by 2.00 face, which cost 49.20" in page.inner_text(".matter")
    assert page.input_value("#counted-1") == "98 face"
    page.fill("#claim", "49.20")
    page.fill("#place", "A2")
    page.click("text=Book it as counted")

    assert "Received lot" in page.inner_text(".said")
    page.click("text=Weigh heaps")
    page.fill("#weight-1", "heavy")
    page.click("text=Book the weights")
    assert page.locator("#weight-1-fault").is_visible()
    page.fill("#weight-1", "2436 g")
    page.click("text=Book the weights")

    assert "Weighed" in page.inner_text(".said")
    assert "−0.57%" in page.inner_text("#wear")  # noqa: RUF001 - a true minus, as the page writes it
    assert len(kit.journal.records()) == before + 2


@DRESSES
@pytest.mark.parametrize(
    "path", ["/arrivals", "/arrivals/count?parcel=4", "/arrivals/weigh", "/arrivals/credit?lot=L1"]
)
def test_each_page_stands_well(house: Served, open_page: Opener, axe: Axe, path: str, dress: Dress) -> None:
    assert stands_well(unfolded(open_page, house, path, dress), axe) == []
