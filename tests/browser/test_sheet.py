"""Every part of the look in a real browser: both grounds, a desk's width and a phone's, with and without scripts."""

from collections.abc import Callable

import pytest
from playwright.sync_api import Page

from browser.conftest import Opener, Served

pytestmark = pytest.mark.browser

GROUNDS = pytest.mark.parametrize("scheme", ["light", "dark"])
WIDTHS = pytest.mark.parametrize("width", [1280, 360])


@GROUNDS
@WIDTHS
@pytest.mark.parametrize("path", ["/sheet", "/arrivals", "/refuse/faults"])
def test_a_page_is_open_to_everyone(
    sheet: Served, open_page: Opener, axe: Callable[[Page], list[str]], path: str, width: int, scheme: str
) -> None:
    """No violation of WCAG 2.2 AA or of good practice that the engine can see."""
    page = open_page(sheet, path, width=width, color_scheme=scheme)

    assert axe(page) == []


@GROUNDS
@WIDTHS
def test_a_refused_form_is_open_to_everyone(
    sheet: Served, open_page: Opener, axe: Callable[[Page], list[str]], width: int, scheme: str
) -> None:
    page = open_page(sheet, "/sheet", width=width, color_scheme=scheme)
    page.fill("#price", "23.4q")
    page.click("text=Put in the offer")
    page.wait_for_load_state()

    assert page.input_value("#price") == "23.4q"
    assert page.locator("#price-fault").is_visible()
    assert axe(page) == []


@pytest.mark.parametrize("path", ["/sheet", "/arrivals", "/refuse/faults"])
def test_no_page_is_wider_than_its_window(sheet: Served, open_page: Opener, path: str) -> None:
    """WCAG 2.2, 1.4.10 asks for 320 pixels; a wide table scrolls inside itself."""
    page = open_page(sheet, path)

    for width in (1280, 1024, 900, 768, 600, 360, 320):
        page.set_viewport_size({"width": width, "height": 900})
        assert page.evaluate("document.documentElement.scrollWidth") <= width


def test_figures_stand_on_the_decimal_point(sheet: Served, open_page: Opener) -> None:
    """In every column of figures the points of all rows share one place, whatever the basis beside them."""
    page = open_page(sheet, "/sheet")

    points = page.evaluate("""() => [...document.querySelectorAll('.ledger table')].map(table => {
        const columns = {};
        for (const cell of table.querySelectorAll('tbody td.num')) {
            const text = cell.querySelector('.n')?.firstChild;
            const at = text ? text.data.indexOf('.') : -1;
            if (at < 0) continue;
            const range = document.createRange();
            range.setStart(text, at); range.setEnd(text, at + 1);
            (columns[cell.cellIndex] ??= []).push(range.getBoundingClientRect().left);
        }
        return Object.values(columns).filter(one => one.length > 1).map(one => Math.max(...one) - Math.min(...one));
    }).flat()""")

    assert len(points) >= 6
    # bold totals are a hair wider than plain rows
    assert max(points) < 1.5


def test_the_page_s_own_fonts_are_in_use(sheet: Served, open_page: Opener) -> None:
    page = open_page(sheet, "/sheet")

    loaded = page.evaluate("[...document.fonts].filter(f => f.status === 'loaded').map(f => f.family)")

    assert {"Vollkorn", "Alegreya Sans"} <= {family.strip('"') for family in loaded}


@WIDTHS
def test_what_is_pressed_is_large_enough_for_a_thumb(sheet: Served, open_page: Opener, width: int) -> None:
    """44 pixels high: WCAG 2.2, 2.5.5 (enhanced)."""
    page = open_page(sheet, "/sheet", width=width)

    pressed = (
        ".press, .choices label, label.tick, form.sheet select, form.sheet textarea, "
        "form.sheet input:not([type=hidden], [type=radio], [type=checkbox])"
    )
    heights = page.locator(pressed).evaluate_all("all => all.map(one => one.getBoundingClientRect().height)")

    assert len(heights) >= 10
    assert min(heights) >= 43.9


@GROUNDS
@WIDTHS
def test_pictures_are_drawn_in_the_dress_of_the_ground_and_the_width(
    sheet: Served, open_page: Opener, width: int, scheme: str
) -> None:
    page = open_page(sheet, "/sheet", width=width, color_scheme=scheme)

    drawn = page.evaluate(
        "[...document.querySelectorAll('.onscreen img')].map(e => [e.currentSrc, e.naturalWidth, e.width])"
    )

    assert len(drawn) == 6
    for address, natural, shown in drawn:
        assert natural == (340 if width == 360 else natural)
        assert 0 < shown <= natural
        ink = "#16233f" if scheme == "light" else "#efeadd"
        assert ink in page.request.get(address).text()


def test_the_ground_is_chosen_without_scripts_and_kept(sheet: Served, open_page: Opener) -> None:
    page = open_page(sheet, "/sheet", java_script_enabled=False)
    # without scripts a page cannot be asked for computed colours, so a second one with scripts shares its cookies
    page.click("button:text-is('slate')")
    assert page.url.endswith("/sheet")
    judge = page.context.browser
    assert judge is not None
    seeing = judge.new_context(storage_state=page.context.storage_state())
    other = seeing.new_page()
    other.goto(page.url)
    ground = other.evaluate("getComputedStyle(document.body).backgroundColor")
    pressed = other.locator("button[aria-pressed=true]").inner_text()
    seeing.close()

    assert ground == "rgb(32, 41, 47)"
    assert pressed == "slate"


def test_a_form_works_without_scripts(sheet: Served, open_page: Opener) -> None:
    page = open_page(sheet, "/sheet", java_script_enabled=False)

    page.fill("#price", "abc")
    page.set_input_files("#receipt", {"name": "a.txt", "mimeType": "text/plain", "buffer": b"x" * 1000})
    page.click("text=Put in the offer")

    assert page.locator("#price-fault").is_visible()
    assert page.input_value("#price") == "abc"


def test_how_a_figure_was_worked_out_opens_from_the_keyboard(sheet: Served, open_page: Opener) -> None:
    page = open_page(sheet, "/sheet")

    assert not page.locator(".worked ol").is_visible()
    page.locator(".worked summary").focus()
    page.keyboard.press("Enter")

    assert page.locator(".worked ol").is_visible()
    assert "120.00 face x 0.7150" in page.locator(".worked ol").inner_text()


def test_the_first_key_leads_past_the_frame(sheet: Served, open_page: Opener) -> None:
    page = open_page(sheet, "/sheet")

    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.className") == "skip"
    page.keyboard.press("Enter")
    assert page.evaluate("document.activeElement.id") == "leaf"


def test_a_page_prints_black_on_white_without_the_screen_s_tools(sheet: Served, open_page: Opener) -> None:
    page = open_page(sheet, "/sheet", color_scheme="dark")

    page.emulate_media(media="print")
    colours = page.evaluate("(({backgroundColor, color}) => [backgroundColor, color])(getComputedStyle(document.body))")
    assert colours == ["rgb(255, 255, 255)", "rgb(0, 0, 0)"]
    for tool in (".way", ".beside", "form.sheet", ".foot form", ".plate .onscreen"):
        assert not page.locator(tool).first.is_visible(), tool
    assert page.locator(".plate .printed").first.is_visible()
    for paper in ("A4", "Letter"):
        assert page.pdf(format=paper, prefer_css_page_size=True).startswith(b"%PDF")


def test_an_address_without_the_start_key_is_closed(sheet: Served, open_page: Opener) -> None:
    page = open_page(sheet, "/sheet")
    stranger = page.context.browser
    assert stranger is not None
    context = stranger.new_context()
    other = context.new_page()

    answer = other.goto(sheet.address + "/sheet")

    assert answer is not None
    assert answer.status == 403
    assert "closed to this browser" in other.inner_text("h1")
    context.close()


def test_nothing_unexpected_happened_in_all_of_this(sheet: Served, open_page: Opener) -> None:
    open_page(sheet, "/sheet")

    assert sheet.report == []
