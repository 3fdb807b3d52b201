"""Helpers of the browser tests of stages: a served book, and what must hold of every page of it."""

from collections.abc import Callable

import pytest
from playwright.sync_api import Page
from starlette.types import ASGIApp

from browser.conftest import Maker, Opener, Served
from ninefine.desk.kit import Kit
from ninefine.web.app import make_app
from ninefine.web.keys import Keys

#: Serves an application, as the fixture of that name does.
Serve = Callable[[Maker], Served]
#: A window's width and the ground's scheme.
Dress = tuple[int, str]
#: A desk's width on paper, and a phone's on slate.
DRESSES = pytest.mark.parametrize("dress", [(1280, "light"), (360, "dark")], ids=["desk on paper", "phone on slate"])
#: Asks the accessibility engine about a page, as the fixture of that name does.
Axe = Callable[[Page], list[str]]


def serve_book(serve: Serve, kit: Kit) -> Served:
    """The whole application over a book."""

    def make(keys: Keys, authority: str, report: list[str]) -> ASGIApp:
        return make_app(lambda: kit, keys, authority=authority, report=report.append)

    return serve(make)


def stands_well(page: Page, axe: Axe) -> list[str]:
    """What the engine finds wrong with a page as it stands, and whether it is wider than its window."""
    found = axe(page)
    width = page.evaluate("[document.documentElement.scrollWidth, innerWidth]")
    return found if width[0] <= width[1] else [*found, f"{width[0]} wide in a window of {width[1]}"]


def opened(open_page: Opener, served: Served, path: str, *, scripts: bool = True) -> Page:
    """A page, with scripts or without."""
    return open_page(served, path, java_script_enabled=scripts)


def drawn(page: Page, pictures: str) -> list[int]:
    """How wide each of a page's pictures is by itself, in pixels, once all has come; nought where one did not come."""
    page.wait_for_load_state("load")  # a page can be read before its pictures have come
    widths: list[int] = page.locator(pictures).evaluate_all("all => all.map(one => one.naturalWidth)")
    assert widths, f"no picture at {pictures}"
    return widths


def unfolded(open_page: Opener, served: Served, path: str, dress: Dress) -> Page:
    """A page in a dress, everything on it unfolded."""
    width, scheme = dress
    page = open_page(served, path, width=width, color_scheme=scheme)
    page.evaluate("document.querySelectorAll('details').forEach(one => { one.open = true })")
    return page
