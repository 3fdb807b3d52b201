"""Plans of selling, what if, sharing out and swaps in a browser: one is made and booked, with scripts and without."""

from datetime import date

import pytest

from browser.conftest import Opener, Served
from browser.stages import DRESSES, Axe, Dress, Serve, opened, serve_book, stands_well, unfolded
from ninefine.desk import purchase, records
from ninefine.desk.exit_form import put_exit
from ninefine.desk.kit import Kit
from ninefine.testing import kit_in_memory

pytestmark = pytest.mark.browser


@pytest.fixture(scope="module")
def kit() -> Kit:
    made = kit_in_memory(today=date(2026, 6, 12))
    for on, face, price in (("2019-03-11", "300", "11.20x"), ("2025-11-14", "150", "38.50x")):
        purchase.buy(made, {"on": on, "kind-1": "90%", "amount-1": f"{face} face", "price-1": price})
    records.price(made, {"on": "2026-06-12", "per_ozt": "66.00", "whose": "the shop's screen"})
    put_exit(made, {"name": "the shop", "what-1": "90", "bid-1": "44.83x", "days": "0"})
    return made


@pytest.fixture(scope="module")
def house(serve: Serve, kit: Kit) -> Served:
    return serve_book(serve, kit)


@pytest.mark.parametrize("scripts", [True, False], ids=["scripts", "no scripts"])
def test_a_plan_is_made_and_its_sale_booked(house: Served, kit: Kit, open_page: Opener, *, scripts: bool) -> None:
    before = len(kit.journal.records())
    page = opened(open_page, house, "/plans/sell", scripts=scripts)
    page.fill("#sum", "1000")
    page.click("text=Make the plan")

    assert "Sell 23 face of 90% silver coin" in page.inner_text(".answer")  # 1,000 / 44.83 is 22.3
    page.click("text=Look at it first")
    assert page.inner_text("h1") == "A sale"
    page.click("text=Book this sale")

    assert "Sold" in page.inner_text(".said")
    assert len(kit.journal.records()) == before + 1


@DRESSES
@pytest.mark.parametrize(
    "asked",
    [
        ("/plans/sell", {"sum": "900", "short_rate": "32", "long_rate": "28"}, "Make the plan"),
        ("/plans/divide", {"people": "Ada 1/2\nBen 1/2", "wishes": "Ada: L1 100"}, "Share it out"),
        ("/plans/swap", {"amount": "100 face", "take": "xau-us-eagle-1-10oz", "other_spot": "3960"}, "Work it out"),
        ("/plans/what-if?paths=40", {}, ""),
        ("/plans/steady?monthly=500", {}, ""),
    ],
    ids=["sell", "divide", "swap", "what if", "steady"],
)
def test_each_page_stands_well_with_its_answer(
    house: Served, open_page: Opener, axe: Axe, asked: tuple[str, dict[str, str], str], dress: Dress
) -> None:
    path, fields, press = asked
    page = unfolded(open_page, house, path, dress)
    if press:
        for name, text in fields.items():
            page.fill(f"#{name}", text)
        page.click(f"text={press}")
        assert page.inner_text(".answer") != ""
        page.evaluate("document.querySelectorAll('details').forEach(one => { one.open = true })")

    assert stands_well(page, axe) == []
