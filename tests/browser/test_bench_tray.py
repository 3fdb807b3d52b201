"""The tray in a real browser: a picture sent, its strip walked at the board by keys, and all of it without scripts."""

import re
from datetime import date
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from browser.conftest import Opener, Served
from browser.stages import Axe, Serve, opened, serve_book, stands_well
from ninefine.desk import purchase, sorting
from ninefine.desk.kit import Kit
from ninefine.testing import kit_in_memory

pytestmark = pytest.mark.browser

SCAN = Path(__file__).resolve().parents[2] / "examples" / "tray-scan.jpg"
#: A picture is read in a second or two; a machine at work with other things may take its time.
PATIENCE = 60_000


@pytest.fixture(scope="module")
def kit() -> Kit:
    made = kit_in_memory(today=date(2026, 11, 25))
    purchase.buy(made, {"on": "2026-02-01", "kind-1": "us-90", "amount-1": "100 face", "price-1": "2000"})
    sorting.begin(made, "L1")
    return made


@pytest.fixture(scope="module")
def served(serve: Serve, kit: Kit) -> Served:
    return serve_book(serve, kit)


def read_scan(page: Page) -> None:
    page.set_input_files("input[name=picture]", SCAN)
    page.get_by_role("button", name="Read the picture").click()
    expect(page.get_by_text("14 pieces: 6 dimes")).to_be_visible(timeout=PATIENCE)


def test_the_strip_is_walked_by_keys_at_the_board(open_page: Opener, served: Served, kit: Kit, axe: Axe) -> None:
    page = open_page(served, "/bench/tray")
    assert stands_well(page, axe) == []
    read_scan(page)
    page.wait_for_load_state("networkidle")
    assert stands_well(page, axe) == []

    page.get_by_role("button", name="Lay it beside").click()
    page.wait_for_selector("#board[data-ready]")
    number, picture = page.locator("#strip-number"), page.locator("#strip-picture")
    expect(number).to_contain_text("Piece 1 of 14.")
    first = picture.get_attribute("src")
    page.keyboard.press("ArrowRight")
    page.keyboard.press("ArrowRight")
    assert picture.evaluate("one => one.style.transform") == "rotate(30deg)"
    page.keyboard.press("ArrowLeft")
    assert picture.evaluate("one => one.style.transform") == "rotate(15deg)"

    page.keyboard.type("64d")
    expect(number).to_contain_text("Piece 2 of 14.")
    assert picture.get_attribute("src") != first
    page.keyboard.press("Backspace")
    expect(number).to_contain_text("Piece 1 of 14.")
    page.keyboard.type("22d")  # never struck: the board refuses it, and the strip stays at this piece
    expect(page.locator("#refused")).to_contain_text("Not marked")
    expect(number).to_contain_text("Piece 1 of 14.")
    page.keyboard.press("ArrowDown")
    expect(number).to_contain_text("Piece 2 of 14.")
    assert stands_well(page, axe) == []
    page.reload()
    expect(number).to_contain_text("Piece 2 of 14.")
    assert kit.running(1).last > 0


def test_without_scripts_the_strip_is_numbered_pictures(open_page: Opener, served: Served) -> None:
    page = opened(open_page, served, "/bench/tray", scripts=False)
    read_scan(page)
    page.get_by_role("button", name="Lay it beside").click()

    expect(page).to_have_url(re.compile("/sorting/tallies/1$"))
    expect(page.locator("#strip-one")).to_be_hidden()
    pictures = page.locator("#strip-all img")
    expect(pictures).to_have_count(14)
    expect(pictures.nth(13)).to_have_attribute("alt", "Piece 14")
    expect(page.get_by_role("textbox", name="Coin")).to_be_visible()
