"""First page in a browser: from what waits to where it is done, with scripts and without."""

from datetime import date

import pytest

from browser.conftest import Opener, Served
from browser.stages import DRESSES, Axe, Dress, Serve, opened, serve_book, stands_well, unfolded
from ninefine.testing import kit_in_memory
from web.told import a_book

pytestmark = pytest.mark.browser
TODAY = date(2025, 3, 4)


@pytest.fixture(scope="module")
def house(serve: Serve) -> Served:
    kit = kit_in_memory(today=TODAY)
    a_book(kit)
    return serve_book(serve, kit)


@pytest.fixture(scope="module")
def empty(serve: Serve) -> Served:
    return serve_book(serve, kit_in_memory(today=TODAY))


@pytest.mark.parametrize("scripts", [True, False], ids=["scripts", "no scripts"])
def test_what_waits_leads_to_where_it_is_done(house: Served, open_page: Opener, *, scripts: bool) -> None:
    page = opened(open_page, house, "/", scripts=scripts)

    page.click("text=Count it in")

    assert page.inner_text("h1") == "Count it in"
    assert "parcel=4" in page.url


@DRESSES
def test_the_page_stands_well_full_and_empty(
    house: Served, empty: Served, open_page: Opener, axe: Axe, dress: Dress
) -> None:
    assert stands_well(unfolded(open_page, house, "/", dress), axe) == []
    page = unfolded(open_page, empty, "/", dress)
    assert "This book is empty" in page.inner_text(".answer")
    assert stands_well(page, axe) == []
    page.click("text=Enter an offer")
    assert page.inner_text("h1") == "Enter an offer"
