"""Papers in a browser: shown as a reader may see them, saved, and what they rest on set down; with scripts or none."""

from datetime import date
from pathlib import Path

import pytest
from playwright.sync_api import Browser

from browser.conftest import Opener, Served
from browser.stages import DRESSES, Axe, Dress, Serve, opened, serve_book, stands_well, unfolded
from ninefine.desk.demo import build_demo
from ninefine.desk.kit import Kit
from ninefine.desk.papers import PAPERS, file_of, make_paper
from ninefine.papers.as_pdf import Sheet
from ninefine.testing import kit_in_memory

pytestmark = pytest.mark.browser


@pytest.fixture(scope="module")
def kit() -> Kit:
    made = kit_in_memory(today=date(2026, 11, 25))
    build_demo(made)
    return made


@pytest.fixture(scope="module")
def house(serve: Serve, kit: Kit) -> Served:
    return serve_book(serve, kit)


@pytest.mark.parametrize("scripts", [True, False], ids=["scripts", "no scripts"])
def test_a_paper_is_shown_without_what_its_reader_need_not_know_and_saved(
    house: Served, open_page: Opener, tmp_path: Path, *, scripts: bool
) -> None:
    page = opened(open_page, house, "/papers", scripts=scripts)
    page.click("text=Letter for the family")
    assert "Quick sale" in page.inner_text("main")

    page.check("input[value=values]")
    page.click("text=Show it so")
    with page.expect_download() as saved:
        page.click("text=PDF, A4")
    file = tmp_path / saved.value.suggested_filename
    saved.value.save_as(file)

    assert "Left out for this reader: values." in page.inner_text("main")
    assert "Replacement" not in page.inner_text("main")
    assert file.name == "letter-2026-11-25.pdf"
    assert file.read_bytes().startswith(b"%PDF")


@pytest.mark.parametrize("scripts", [True, False], ids=["scripts", "no scripts"])
def test_what_papers_rest_on_is_set_down_and_struck(
    house: Served, kit: Kit, open_page: Opener, *, scripts: bool
) -> None:
    before = len(kit.journal.records())
    page = opened(open_page, house, "/papers/rest/place", scripts=scripts)
    page.fill("#key", "Z9")
    page.fill("#limit", "heavy")
    page.click("text=Set it down")
    assert page.locator("#limit-fault").is_visible()

    page.fill("#limit", "25 kg")
    page.click("text=Set it down")
    assert "Set down the place 'Z9'" in page.inner_text(".said")
    page.click("a:has-text('Z9')")
    page.click("text=Strike it off")

    assert "Struck the place 'Z9'" in page.inner_text(".said")
    assert len(kit.journal.records()) == before + 2


@pytest.mark.parametrize("width", [360, 1280])
def test_the_card_works_on_a_phone_without_a_network(kit: Kit, browser: Browser, tmp_path: Path, width: int) -> None:
    """Opened from a file with the network off: no script, nothing asked for, no sideways scroll."""
    name, _, data = file_of(make_paper(kit, "card", {}), "html", Sheet.LETTER)
    file = tmp_path / name
    file.write_bytes(data)
    context = browser.new_context(viewport={"width": width, "height": 740}, offline=True)
    page, asked = context.new_page(), list[str]()
    page.on("request", lambda request: asked.append(request.url))

    page.goto(file.as_uri())

    assert "90% dimes, quarters and halves" in page.inner_text("body")
    assert page.evaluate("document.documentElement.scrollWidth <= window.innerWidth")
    assert page.evaluate("document.scripts.length") == 0
    assert asked == [file.as_uri()]
    context.close()


@DRESSES
@pytest.mark.parametrize(
    "path", ["/papers", "/papers/rest", "/papers/rest/ask", *(f"/papers/of/{name}" for name in PAPERS)]
)
def test_each_page_stands_well(house: Served, open_page: Opener, axe: Axe, path: str, dress: Dress) -> None:
    assert stands_well(unfolded(open_page, house, path, dress), axe) == []
