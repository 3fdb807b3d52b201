"""By ear in a browser: a microphone that plays a file is recorded; without scripts a file is sent; pages stand well."""

import os
from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest
import soundfile
from playwright.sync_api import Browser, sync_playwright

from browser.conftest import _FLAGS, Opener, Served
from browser.stages import DRESSES, Axe, Dress, Serve, drawn, opened, serve_book, stands_well, unfolded
from ninefine.desk.kit import Kit
from ninefine.desk.ring import listen
from ninefine.desk.ring_bank import bank, keep_ring
from ninefine.testing import kit_in_memory

pytestmark = pytest.mark.browser

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"
DOLLAR, OTHER = EXAMPLES / "ring-dollar-a.flac", EXAMPLES / "ring-dollar-b.flac"


@pytest.fixture(scope="module")
def browser(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Browser]:
    """A chromium whose microphone plays the second dollar, over and over, and is allowed at once."""
    chromium = os.environ.get("NINEFINE_BROWSER", "")
    if not chromium:
        pytest.skip("no browser: run ./check --browser, or name a chromium in NINEFINE_BROWSER")
    played = tmp_path_factory.mktemp("microphone") / "strikes.wav"
    soundfile.write(played, *soundfile.read(OTHER), subtype="PCM_16")
    ear = [
        "--use-fake-device-for-media-stream",
        "--use-fake-ui-for-media-stream",
        f"--use-file-for-fake-audio-capture={played}",
    ]
    with sync_playwright() as playwright:
        launched = playwright.chromium.launch(executable_path=chromium, args=[*_FLAGS, *ear])
        yield launched
        launched.close()


@pytest.fixture(scope="module")
def kit() -> Kit:
    made = kit_in_memory(today=date(2026, 11, 25))
    heard = listen(DOLLAR.read_bytes(), DOLLAR.name)
    known = {"label": "the 1921", "kind": "us-dollar-morgan", "is": "sound", "known_by": "weight, gravity"}
    keep_ring(made, heard, known)
    return made


@pytest.fixture(scope="module")
def house(serve: Serve, kit: Kit) -> Served:
    return serve_book(serve, kit)


def test_the_microphone_is_recorded_read_and_booked(house: Served, kit: Kit, open_page: Opener) -> None:
    """What the microphone plays comes back within half a hertz, through the page's own WAV."""
    before = len(kit.journal.records())
    page = opened(open_page, house, "/bench/ring")
    page.select_option("#kind", "us-dollar-morgan")
    page.click("#record")
    page.get_by_text("Recorded. Listen to it, or record again.").wait_for(timeout=30_000)
    assert page.evaluate("document.getElementById('recording').files[0].name") == "strike.wav"
    page.click("button:has-text('Listen to it')")
    page.wait_for_selector("text=Its partials", timeout=30_000)

    assert "It rings as your known piece of Morgan dollar does" in page.inner_text(".answer")
    heard = [float(cell.split(" ")[0].replace(",", "")) for cell in page.locator("tbody th").all_inner_texts()[:4]]
    for hz in (4531, 4552, 8011, 10772):
        assert min(abs(one - hz) for one in heard) < 0.5, heard
    assert len(kit.journal.records()) == before
    page.fill("#piece", "from the microphone")
    page.check("input[name=attach]")
    page.click("button:has-text('Book it')")
    assert "Tested from the microphone: ring passed" in page.inner_text(".said")
    assert len(kit.journal.records()) == before + 1


def test_a_file_is_sent_and_kept_as_known_without_scripts(house: Served, kit: Kit, open_page: Opener) -> None:
    page = opened(open_page, house, "/bench/ring", scripts=False)
    assert not page.is_visible("#record")
    page.select_option("#kind", "us-dollar-morgan")
    page.set_input_files("#recording", OTHER)
    page.click("button:has-text('Listen to it')")
    page.wait_for_selector("text=Its partials", timeout=30_000)
    page.fill("#label", "the second")
    page.fill("#known_by", "weight")
    page.click("button:has-text('Keep it as known')")

    assert "Set down the ring 'the second'." in page.inner_text(".said")
    assert "the second" in [one.label for one in bank(kit)]


@DRESSES
def test_its_pages_are_whole_and_readable(house: Served, open_page: Opener, axe: Axe, dress: Dress) -> None:
    page = unfolded(open_page, house, "/bench/ring", dress)
    assert stands_well(page, axe) == []

    page.select_option("#kind", "us-dollar-morgan")
    page.set_input_files("#recording", OTHER)
    page.click("button:has-text('Listen to it')")
    page.wait_for_selector("text=Its partials", timeout=30_000)
    page.evaluate("document.querySelectorAll('details').forEach(one => { one.open = true })")
    page.wait_for_load_state("networkidle")
    assert min(drawn(page, "main figure img")) > 0
    assert stands_well(page, axe) == []
