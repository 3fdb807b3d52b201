"""The bench in a browser: a piece tested, kept and gone on with; every page whole and readable, faults told."""

from datetime import date

import pytest

from browser.conftest import Opener, Served
from browser.stages import Axe, Dress, Serve, drawn, opened, serve_book, stands_well, unfolded
from ninefine.assay.verdict import Finding
from ninefine.desk.bench import all_benches
from ninefine.desk.demo import build_demo
from ninefine.desk.instruments import put_scale
from ninefine.desk.kit import Kit
from ninefine.testing import kit_in_memory

pytestmark = pytest.mark.browser


@pytest.fixture(scope="module")
def kit() -> Kit:
    made = kit_in_memory(today=date(2026, 11, 25))
    build_demo(made)
    put_scale(made, {"name": "pocket", "step": "0.01 g", "check": "100 g", "within": "0.01 g", "shown": "99.98 g"})
    return made


@pytest.fixture(scope="module")
def house(serve: Serve, kit: Kit) -> Served:
    return serve_book(serve, kit)


@pytest.mark.parametrize("scripts", [True, False], ids=["scripts", "no scripts"])
def test_a_piece_is_tested_kept_and_gone_on_with(house: Served, kit: Kit, open_page: Opener, *, scripts: bool) -> None:
    name, before = f"a quarter, {scripts}", len(kit.journal.records())
    page = opened(open_page, house, "/bench", scripts=scripts)
    page.click("main a:has-text('One piece')")
    page.fill("#other", "us-quarter-washington-silver")
    page.fill("#weight", "5.70, 5.71 g")
    page.click("button[value=show]")

    assert "Washington quarter, 90% silver: Set aside." in page.inner_text(".answer")
    assert min(drawn(page, "main figure img")) > 0
    assert len(kit.journal.records()) == before
    page.fill("#piece", name)
    page.click("button[value=book]")
    assert f"Tested {name}: weight failed; set aside." in page.inner_text(".said")
    assert len(kit.journal.records()) == before + 1
    page.click("text=Weigh it in water")
    assert page.input_value("#piece") == name
    page.fill("#weight", "5.70 g")
    page.fill("#wet", "5.06 g")
    page.click("button[value=show]")
    assert "Density 8.8" in page.inner_text(".answer")
    page.click("button[value=book]")
    (one,) = [bench for bench in all_benches(kit) if bench.piece == name]
    assert [line.test for line in one.verdict.evidence] == ["weight", "gravity"]
    assert one.verdict.finding is Finding.SET_ASIDE


#: What is typed on a page before its form is worked out; nothing where the page is looked at as it opens.
DOLLAR = {"#other": "us-dollar-morgan", "#weight": "26.70 g"}
ON_A_DESK: tuple[tuple[str, dict[str, str]], ...] = (
    ("/bench", {}),
    ("/bench/instruments?scale=pocket", {}),
    ("/bench/roll", {"#other": "us-quarter-90", "#weight": "246.5 g", "#amount": "1 roll"}),
    ("/bench/piece", {"#other": "moon", "#weight": "heavy"}),
)
ON_A_PHONE: tuple[tuple[str, dict[str, str]], ...] = (
    ("/bench/piece", {**DOLLAR, "#diameter": "38.1"}),
    ("/bench/water", {**DOLLAR, "#wet": "24.12 g"}),
    ("/bench/ware", {"#mark": "STERLING WEIGHTED", "#weight": "274 g"}),
)


@pytest.mark.parametrize(
    ("dress", "pages"),
    [((1280, "light"), ON_A_DESK), ((360, "dark"), ON_A_PHONE)],
    ids=["desk on paper", "phone on slate"],
)
def test_pages_stand_well(
    house: Served, open_page: Opener, axe: Axe, dress: Dress, pages: tuple[tuple[str, dict[str, str]], ...]
) -> None:
    """No fault that an accessibility engine finds, and nothing wider than its window, as opened and as answered."""
    for path, fields in pages:
        page = unfolded(open_page, house, path, dress)
        for field, typed in fields.items():
            page.fill(field, typed)
        if fields:
            page.click("button[value=show]")
        assert stands_well(page, axe) == [], (path, fields)
