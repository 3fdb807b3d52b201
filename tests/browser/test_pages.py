"""Every stage of the demo book in a real browser: open to everyone, never wider than its window, silent consoles."""

from collections.abc import Callable
from datetime import date
from typing import Literal

import pytest
from playwright.sync_api import Page
from starlette.types import ASGIApp

from browser.conftest import Maker, Opener, Served
from ninefine.desk.demo import build_demo
from ninefine.testing import kit_in_memory
from ninefine.web.app import make_app
from ninefine.web.keys import Keys

pytestmark = pytest.mark.browser

PATHS = (
    "/",
    "/offers",
    "/arrivals",
    "/sorting",
    "/sorting/mix?of=L17",
    "/sorting/search?what=us-dime-mercury&grade=G4&hour=12",
    "/sorting/search/paid?lot=L17&hours=4",
    "/sorting/sets",
    "/sorting/sets/one?name=the+Mercury+album",
    "/sorting/sheets?what=merc+dime+1921-D&grade=VG8",
    "/sorting/sheets/new",
    "/sorting/triage",
    "/sorting/triage/piece?label=E1-1",
    "/sorting/triage/lay",
    "/sorting/triage/figures",
    "/sorting/triage/grading",
    "/holdings",
    "/holdings/lots/L1",
    "/exits",
    "/prices",
    "/reference?words=merc+dime+1921-D",
    "/reference/kinds/us-five-cent-wartime",
    "/reference/kinds/us-dollar-morgan",
    "/reference/kinds/household-sterling-925",
    "/book",
    "/book/2",
)


@pytest.fixture(scope="module")
def demo(serve: Callable[[Maker], Served]) -> Served:
    kit = kit_in_memory(today=date(2026, 11, 25))
    build_demo(kit)

    def make(keys: Keys, authority: str, report: list[str]) -> ASGIApp:
        return make_app(lambda: kit, keys, authority=authority, report=report.append)

    return serve(make)


@pytest.mark.parametrize("path", PATHS)
def test_a_stage_is_open_to_everyone_and_no_wider_than_its_window(
    demo: Served, open_page: Opener, axe: Callable[[Page], list[str]], path: str
) -> None:
    """WCAG 2.2 AA and good practice, as far as the engine sees, on both grounds; at a desk's width and a phone's."""
    page = open_page(demo, path)

    for width in (1280, 768, 360, 320):
        page.set_viewport_size({"width": width, "height": 900})
        assert page.evaluate("document.documentElement.scrollWidth") <= width, f"{path} at {width}"
    dresses: tuple[tuple[int, Literal["dark", "light"]], ...] = ((360, "dark"), (1280, "light"))
    for width, scheme in dresses:
        page.emulate_media(color_scheme=scheme)
        page.set_viewport_size({"width": width, "height": 900})
        assert axe(page) == [], f"{path} at {width}, {scheme}"
