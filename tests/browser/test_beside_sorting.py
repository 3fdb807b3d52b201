"""The pages beside the sorting table in a browser: a sheet looked at and kept, a piece pulled, a mix read anew."""

from datetime import date

import pytest

from browser.conftest import Opener, Served
from browser.stages import DRESSES, Axe, Dress, Serve, drawn, opened, serve_book, stands_well, unfolded
from ninefine.desk.collectors import put_grader
from ninefine.desk.demo import build_demo
from ninefine.desk.kit import Kit
from ninefine.desk.pieces import Where, laid_named
from ninefine.testing import kit_in_memory

pytestmark = pytest.mark.browser

TABLE = "Coin,Yr,MM,VG8\nmercury dime,1926,S,24-27\nmercury dime,1921,D,90-100"
PATHS = (
    "/sorting/mix?of=L17&loss=1",
    "/sorting/mix?of=L17&first=soon",
    "/sorting/search?what=half&worth=1921-D+%3D+120",
    "/sorting/search/paid?lot=L17",
    "/sorting/sets?what=peace+dollar",
    "/sorting/sets/one?name=the+Mercury+album",
    "/sorting/sheets?what=merc+dime+1921-D&grade=MS65",
    "/sorting/sheets/one?name=Alder+Ferry+club%2C+summer+2026",
    "/sorting/sheets/change?name=Alder+Ferry+club%2C+summer+2026",
    "/sorting/triage/piece?label=E1-2",
    "/sorting/triage/back?heap=L17/us-dime-mercury/1944-P@A3",
    "/sorting/triage/collectors/change?name=the+club+table",
    "/sorting/triage/graders/new",
    "/sorting/triage/grading?piece=E1-1&declared=120&outcomes=MS61%3A+80%25%0AMS60+details%3A+20%25",
)


@pytest.fixture(scope="module")
def kit() -> Kit:
    made = kit_in_memory(today=date(2026, 11, 25))
    build_demo(made)
    put_grader(made, {"name": "a grader", "tiers": "300: 22\nany: 90", "parcel": "36"})
    return made


@pytest.fixture(scope="module")
def house(serve: Serve, kit: Kit) -> Served:
    return serve_book(serve, kit)


@pytest.mark.parametrize("scripts", [True, False], ids=["scripts", "no scripts"])
def test_a_sheet_is_mapped_looked_at_and_kept(house: Served, kit: Kit, open_page: Opener, *, scripts: bool) -> None:
    name, before = f"a list {scripts}", len(kit.journal.records())
    page = opened(open_page, house, "/sorting/sheets", scripts=scripts)
    page.click("text=Set a sheet down")
    page.fill("#name", name)
    page.fill("#table", TABLE)
    page.click("text=Look at it")

    assert "'Yr' is not a column here" in page.inner_text("#table-fault")
    page.select_option("#col-2", "year")
    page.click("text=Look at it")
    assert "2 prices would be set down" in page.inner_text(".answer")
    assert len(kit.journal.records()) == before
    page.click("button:has-text('Set it down')")

    assert f"Set down the sheet '{name}'" in page.inner_text(".said")
    assert len(kit.journal.records()) == before + 1
    page.click("text=Strike it off >> nth=-1")


@pytest.mark.parametrize("scripts", [True, False], ids=["scripts", "no scripts"])
def test_a_piece_is_laid_aside_and_pulled(house: Served, kit: Kit, open_page: Opener, *, scripts: bool) -> None:
    label = f"E2-{int(scripts)}"
    page = opened(open_page, house, "/sorting/triage", scripts=scripts)
    page.click("text=Lay a piece aside")
    page.fill("#label", label)
    page.fill("#heap", "L17/us-dime-roosevelt-silver/1964-D@A3")
    page.fill("#band", "lovely")
    page.click("button:has-text('Lay it aside')")

    assert page.locator("#band-fault").is_visible()
    page.fill("#band", "VF20")
    page.click("button:has-text('Lay it aside')")
    assert page.inner_text(".answer").startswith("Back to the heap.")
    page.click("button:has-text('Pull it')")

    assert "Sorted Roosevelt dime, 90% silver 1964-D" in page.inner_text(".said")
    assert laid_named(kit, label).where is Where.PULLED


@pytest.mark.parametrize("scripts", [True, False], ids=["scripts", "no scripts"])
def test_another_assumption_is_read_and_kept(house: Served, kit: Kit, open_page: Opener, *, scripts: bool) -> None:
    before = len(kit.journal.records())
    page = opened(open_page, house, "/sorting/mix?of=L17", scripts=scripts)
    page.click("summary:has-text('Assumed survival')")
    page.fill("#loss", "2")
    page.click("text=Read it so")
    assert "2% of the pieces left are lost each year" in page.inner_text(".answer")
    assert 0 not in drawn(page, "main picture img")
    page.click("text=Keep this assumption")

    assert "Set down the setting 'survival'" in page.inner_text(".said")
    assert len(kit.journal.records()) == before + 1


@DRESSES
@pytest.mark.parametrize("path", PATHS)
def test_each_page_stands_well(house: Served, open_page: Opener, axe: Axe, path: str, dress: Dress) -> None:
    assert stands_well(unfolded(open_page, house, path, dress), axe) == []


def test_pictures_are_drawn_and_keep_their_places(house: Served, open_page: Opener) -> None:
    page = opened(open_page, house, "/sorting/mix?of=L17")
    page.wait_for_load_state("networkidle")

    sizes = page.evaluate("[...document.querySelectorAll('picture img')].map(one => [one.naturalWidth, one.width])")

    assert len(sizes) == 3
    assert all(natural == 720 and shown <= 720 for natural, shown in sizes)
