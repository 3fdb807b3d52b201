"""Exits in a browser: a way out set down, put right, looked into and struck, with scripts and without."""

from datetime import date

import pytest

from browser.conftest import Opener, Served
from browser.stages import DRESSES, Axe, Dress, Serve, opened, serve_book, stands_well, unfolded
from ninefine.desk.kit import Kit
from ninefine.testing import kit_in_memory
from web.told import a_book

pytestmark = pytest.mark.browser


@pytest.fixture(scope="module")
def kit() -> Kit:
    made = kit_in_memory(today=date(2025, 3, 4))
    a_book(made)
    return made


@pytest.fixture(scope="module")
def house(serve: Serve, kit: Kit) -> Served:
    return serve_book(serve, kit)


@pytest.mark.parametrize("scripts", [True, False], ids=["scripts", "no scripts"])
def test_a_way_out_is_set_down_and_struck(house: Served, kit: Kit, open_page: Opener, *, scripts: bool) -> None:
    name, before = f"the refiner {scripts}", len(kit.journal.records())
    page = opened(open_page, house, "/exits", scripts=scripts)
    page.click("text=Set a way out down")
    page.fill("#name", name)
    page.fill("#what-1", "silver")
    page.fill("#bid-1", "plenty")
    page.click("summary:has-text('What it takes off')")
    page.fill("#costs", "48")
    page.click("text=Set it down")

    assert page.locator("#bid-1-fault").is_visible()
    page.fill("#bid-1", "95% of melt")
    page.click("text=Set it down")

    assert f"Set down the exit '{name}'" in page.inner_text(".said")
    page.locator(f"tr:has-text('{name}') + tr summary").click()
    assert "flat costs" in page.locator(f"tr:has-text('{name}') + tr").inner_text()
    page.click(f"a:has-text('{name}')")
    page.click("text=Strike it off")
    assert "Struck the exit" in page.inner_text(".said")
    assert len(kit.journal.records()) == before + 2


@DRESSES
@pytest.mark.parametrize("path", ["/exits", "/exits/lot?lot=L1", "/exits/new", "/exits/change?name=Brook+Street"])
def test_each_page_stands_well(house: Served, open_page: Opener, axe: Axe, path: str, dress: Dress) -> None:
    assert stands_well(unfolded(open_page, house, path, dress), axe) == []
