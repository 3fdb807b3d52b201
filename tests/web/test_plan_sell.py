"""Planning a sale on a page: the sentence, the reason for each line, one press books; faults under their fields."""

import re
from datetime import date
from html import unescape

import pytest

from ninefine.book.entries import Sold
from ninefine.desk import purchase, records
from ninefine.desk.exit_form import put_exit
from ninefine.desk.kit import Kit
from ninefine.testing import kit_in_memory
from web.conftest import Caller
from web.told import AppCaller, column_of, entries, faults_of, foreign, house_of, text_of

ASK = {"sum": "5000", "amount": "", "by": "", "goal": "least-silver", "short_rate": "32", "long_rate": "28"}


@pytest.fixture
def kit() -> Kit:
    """Two of Harbor Lane's lots, and a shop that pays at once."""
    made = kit_in_memory(today=date(2026, 6, 12))
    for on, face, price in (("2019-03-11", "300", "11.20x"), ("2025-11-14", "150", "38.50x")):
        purchase.buy(made, {"on": on, "kind-1": "90%", "amount-1": f"{face} face", "price-1": price})
    records.price(made, {"on": "2026-06-12", "per_ozt": "66.00", "whose": "the shop's screen"})
    put_exit(made, {"name": "the shop", "what-1": "90", "bid-1": "44.83x", "days": "0"})
    return made


@pytest.fixture
def house(kit: Kit, app_caller: AppCaller) -> Caller:
    return house_of(kit, app_caller)


def test_the_form_stands_and_teaches(house: Caller) -> None:
    page = text_of(house.get("/plans/sell").text)

    assert "Say how much money is needed, or how much is to be sold" in page
    assert "ask a licensed preparer" in page


def test_the_plan_is_a_sentence_and_a_reason_for_each_line(kit: Kit, house: Caller) -> None:
    """Question 39: 5,000 / 44.83 takes 112 face; the young lot has the smaller gain, 708.96 at 32% is 226.87."""
    before = entries(kit)
    answer = house.post("/plans/sell", ASK)
    page = text_of(answer.text)

    assert answer.status_code == 200
    assert "Sell 112 face of 90% silver coin" in page
    assert "5,020.96 in hand, 4,794.09 after tax; 80.08 ozt trade go" in page
    assert "gains 708.96, short term at 32%; 59.87 an ounce is kept" in page
    assert column_of(answer.text, "Tax on it, USD") == ["226.87"]
    assert column_of(answer.text, "Kept, USD") == ["4,794.09", "3,966.32"]  # first in: 3,766.56 at 28%
    assert "38 face" in page
    assert entries(kit) == before


def test_one_press_books_the_sale_of_the_plan(kit: Kit, house: Caller) -> None:
    before = entries(kit)
    html = house.post("/plans/sell", ASK).text
    form = html.partition('action="/sale"')[2].partition("</form>")[0]
    sent = {unescape(n): unescape(v) for n, v in re.findall(r'type="hidden" name="([^"]+)" value="([^"]*)"', form)}
    answer = house.post("/sale", {**{n: v for n, v in sent.items() if n != "form_key"}, "do": "book"})

    assert answer.status_code == 303
    assert entries(kit) == before + 1
    entry = kit.journal.records()[-1].entry
    assert isinstance(entry, Sold)
    assert [(line.heap.lot, str(line.proceeds)) for line in entry.lines] == [("L2", "5020.96")]


def test_one_press_books_all_sales_of_a_plan_or_none(kit: Kit, house: Caller) -> None:
    """The shop takes 60 face and the post the rest; a book that has changed meanwhile takes neither."""
    put_exit(kit, {"name": "the shop", "what-1": "90", "bid-1": "44.83x", "days": "0", "capacity": "60 face"})
    put_exit(kit, {"name": "by post", "what-1": "90", "bid-1": "44x", "days": "10"})
    html = house.post("/plans/sell", ASK).text
    form = html.partition('action="/plans/sell/book"')[2].partition("</form>")[0]
    found = {unescape(n): unescape(v) for n, v in re.findall(r'type="hidden" name="([^"]+)" value="([^"]*)"', form)}
    sent = {name: text for name, text in found.items() if name != "form_key"}
    before = entries(kit)

    changed = house.post("/plans/sell/book", sent | {"serial": str(int(sent["serial"]) - 1)})
    assert changed.status_code == 409
    assert "The book has changed since this plan was made." in text_of(changed.text)
    broken = house.post("/plans/sell/book", sent | {"2.exit": "nobody"})
    assert broken.status_code == 409
    assert entries(kit) == before

    assert house.post("/plans/sell/book", sent).status_code == 303
    booked = [stored.entry for stored in kit.journal.records()[before:]]
    assert [entry.exit for entry in booked if isinstance(entry, Sold)] == ["the shop", "by post"]


def test_what_clashes_is_the_sentence(kit: Kit, house: Caller) -> None:
    put_exit(kit, {"name": "the shop", "what-1": "90", "bid-1": "44.83x", "days": "0", "capacity": "60 face"})
    page = text_of(house.post("/plans/sell", ASK).text)

    assert "5,000.00 cannot be had with this limit: the shop takes no more than 60 face." in page
    assert "The nearest that fits: 60 face of" in page


@pytest.mark.parametrize(
    ("changed", "fields"),
    [
        ({"sum": "lots"}, {"sum"}),
        ({"sum": ""}, {"sum"}),
        ({"amount": "40 face"}, {"amount"}),
        ({"by": "never"}, {"by"}),
        ({"short_rate": "x", "long_rate": "-1"}, {"short_rate", "long_rate"}),
    ],
)
def test_each_fault_stands_under_its_field(kit: Kit, house: Caller, changed: dict[str, str], fields: set[str]) -> None:
    before = entries(kit)
    answer = house.post("/plans/sell", {**ASK, **changed})

    assert answer.status_code == 400
    assert faults_of(answer.text) == fields
    assert entries(kit) == before


def test_without_a_way_out_the_page_says_what_to_do(app_caller: AppCaller) -> None:
    page = text_of(house_of(kit_in_memory(), app_caller).get("/plans/sell").text)

    assert "No way out has been set down yet" in page


def test_a_form_with_a_foreign_key_is_refused(house: Caller) -> None:
    assert foreign(house, "/plans/sell", ASK) == 403
