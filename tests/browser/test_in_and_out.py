"""A list brought in and a copy taken out in a browser, with scripts and without."""

from datetime import date
from pathlib import Path

import pytest

from browser.conftest import Opener, Served
from browser.stages import DRESSES, Axe, Dress, Serve, opened, serve_book, stands_well, unfolded
from ninefine.desk.kit import Kit
from ninefine.testing import kit_in_memory

pytestmark = pytest.mark.browser

HEADS = "Date,Item,Qty,Price,Dealer"


@pytest.fixture(scope="module")
def kit() -> Kit:
    return kit_in_memory(today=date(2026, 11, 25))


@pytest.fixture(scope="module")
def house(serve: Serve, kit: Kit) -> Served:
    return serve_book(serve, kit)


@pytest.mark.parametrize("scripts", [True, False], ids=["scripts", "no scripts"])
def test_a_file_is_handed_in_put_right_and_booked(
    house: Served, kit: Kit, open_page: Opener, tmp_path: Path, *, scripts: bool
) -> None:
    before = len(kit.journal.records())
    list_ = tmp_path / "mine.csv"
    heads = HEADS if scripts else HEADS.replace("Date", "Day")  # of another make, so that nothing is remembered
    list_.write_text(f"{heads}\n03/04/2021,the shiny ones,5,20.00,Elm Coins {scripts}\nTotal,,,20.00,\n")
    page = opened(open_page, house, "/book/bring", scripts=scripts)
    page.set_input_files("#file", list_)
    page.click("text=Look at it")

    assert "3 faults keep mine.csv from being booked as purchases" in page.inner_text(".answer")
    page.select_option("#days", "month-day-year")
    page.select_option("#col-4", "each")
    page.fill("#means-1", "90% dimes")
    page.click("text=Look again")
    assert "1 line of mine.csv would be booked as purchases" in page.inner_text(".answer")
    assert len(kit.journal.records()) == before
    page.click("text=Book all of it")

    assert f"Entry {before + 1} was booked from mine.csv." in page.inner_text(".said")
    lot = list(kit.holdings().lots.values())[-1]
    assert (lot.came, str(lot.cost), lot.seller) == (date(2021, 3, 4), "100.00", f"Elm Coins {scripts}")


@DRESSES
@pytest.mark.parametrize("path", ["/book/bring", "/book/copies"])
def test_the_pages_stand_well(house: Served, open_page: Opener, axe: Axe, dress: Dress, path: str) -> None:
    assert stands_well(unfolded(open_page, house, path, dress), axe) == []


@DRESSES
def test_a_list_at_fault_stands_well(house: Served, open_page: Opener, axe: Axe, dress: Dress) -> None:
    page = unfolded(open_page, house, "/book/bring", dress)
    page.fill("#table", f"{HEADS},Mood\n03/04/2021,the shiny ones,5,20.00,Elm,glad\n2021-03-05,dimes,1,2,Elm,\n")
    page.click("text=Look at it")

    assert page.locator("#col-6").count() == 1
    assert stands_well(page, axe) == []


def test_everything_written_out_is_handed_over(house: Served, open_page: Opener) -> None:
    page = opened(open_page, house, "/book/copies")
    with page.expect_download() as waited:
        page.click("text=Write everything out")

    assert waited.value.suggested_filename == "silver-2026-11-25.zip"
