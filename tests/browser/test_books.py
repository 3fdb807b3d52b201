"""The books in a browser: an entry shown, changed and booked; a report beside the gains; every page of them."""

from datetime import date

import pytest

from browser.conftest import Opener, Served
from browser.stages import Axe, Dress, Serve, opened, serve_book, stands_well, unfolded
from ninefine.desk import purchase, records, sale
from ninefine.desk.demo import EARLIEST, build_demo
from ninefine.desk.kit import Kit
from ninefine.testing import kit_in_memory

pytestmark = pytest.mark.browser

DESK, PHONE = (1280, "light"), (360, "dark")


@pytest.fixture(scope="module")
def kit() -> Kit:
    """A hundred face of halves, of which thirty were sold; spot 44."""
    made = kit_in_memory(today=date(2026, 6, 12))
    form = {"on": "2024-03-05", "amount-1": "100 face", "kind-1": "90% halves", "price-1": "2000", "place": "A1"}
    purchase.buy(made, form)
    records.price(made, {"per_ozt": "44.00", "whose": "the shop's screen"})
    sale.sell(made, sale.read_sale(made, {"heap-1": "L1", "amount-1": "30 face", "price": "900", "fees": "9"}))
    return made


@pytest.fixture(scope="module")
def house(serve: Serve, kit: Kit) -> Served:
    return serve_book(serve, kit)


@pytest.fixture(scope="module")
def demo(serve: Serve) -> Served:
    made = kit_in_memory(today=EARLIEST)
    build_demo(made)
    return serve_book(serve, made)


@pytest.mark.parametrize("scripts", [True, False], ids=["scripts", "no scripts"])
def test_a_swap_is_shown_changed_and_booked_from_its_lot(
    house: Served, kit: Kit, open_page: Opener, *, scripts: bool
) -> None:
    before = len(kit.journal.records())
    page = opened(open_page, house, "/holdings/lots/L1", scripts=scripts)
    page.click("text=swapped for other silver")
    page.fill("#out-1", "10 face")
    page.fill("#for-1", "300")
    page.fill("#amount-1", "6")
    page.fill("#kind-1", "1 oz round")
    page.click("text=Show what would be booked")

    assert "counted for 300.00" in page.inner_text(".answer")
    assert "+100.00" in page.inner_text("main")
    page.click("text=Change it")
    assert page.input_value("#out-1") == "10 face"
    page.fill("#for-1", "280")
    page.click("text=Show what would be booked")
    page.click("text=Book it")

    assert page.inner_text("h1").startswith("Lot L")
    assert "was booked. Swapped" in page.inner_text(".said")
    assert len(kit.journal.records()) == before + 1


def test_a_report_is_set_down_beside_the_gains(house: Served, kit: Kit, open_page: Opener) -> None:
    before = len(kit.journal.records())
    page = opened(open_page, house, "/gains", scripts=False)
    page.click("text=Set the report down")
    assert page.locator("[aria-invalid=true]").count() == 2
    page.fill("#on", "2026-06-12")
    page.fill("#proceeds", "900")
    page.fill("#broker", "Quay Coin")
    page.click("text=Set the report down")

    assert "was booked" in page.inner_text(".said")
    assert "before fees; agrees" in page.inner_text("#reports")
    assert len(kit.journal.records()) == before + 1


@pytest.mark.parametrize(
    ("path", "dress"),
    [
        ("/gains", DESK),
        ("/gains", PHONE),
        ("/returns", DESK),
        ("/returns", PHONE),
        ("/entries", PHONE),
        ("/entries/given", DESK),
        ("/entries/swap?lot=L22", PHONE),
        ("/entries/loss?lot=L27", DESK),
        ("/settings", PHONE),
        ("/reminders", PHONE),
    ],
)
def test_each_page_stands_well(demo: Served, open_page: Opener, axe: Axe, path: str, dress: Dress) -> None:
    assert stands_well(unfolded(open_page, demo, path, dress), axe) == []


def test_a_preview_stands_well(demo: Served, open_page: Opener, axe: Axe) -> None:
    page = unfolded(open_page, demo, "/entries/refined?lot=L6", PHONE)
    assert stands_well(page, axe) == []
    page.check("input[name=take-1]")
    for name, text in {"melted": "400 g", "assay": ".92", "payable": "94", "per_ozt": "61", "proceeds": "690"}.items():
        page.fill(f"#{name}", text)
    page.click("text=Show what would be booked")

    assert page.inner_text("h1") == "As it would stand"
    assert "The statement is off by" in page.inner_text("main")
    assert stands_well(page, axe) == []
