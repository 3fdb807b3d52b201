"""Offers: all on one ruler, one offer closely, entering, changing, striking, booking; a purchase without one."""

from datetime import date
from decimal import Decimal

import pytest

from ninefine.book.entries import Bought
from ninefine.desk.exit_form import put_exit
from ninefine.desk.kit import Kit
from ninefine.desk.offer_form import put_offer
from ninefine.desk.records import price, set_down
from ninefine.desk.tables import offer_named
from ninefine.testing import kit_in_memory
from web.conftest import Caller
from web.told import AppCaller, column_of, entries, faults_of, foreign, house_of, text_of

D = Decimal
FORM = {"name": "halves by post", "kind-1": "90% halves", "amount-1": "100 face", "price-1": "24.60x"}
#: Elm Hollow, the published household: four offers at a spot of 32.00 and a shop that pays 22.00 times face.
ELM_HOLLOW = (
    {
        "name": "A",
        "seller": "Cattail Post",
        "kind-1": "halves",
        "amount-1": "100 face",
        "price-1": "24.60x",
        "way-1": "check",
        "way-2": "card",
        "way_pct-2": "4",
        "carriage": "9.95",
    },
    {
        "name": "B",
        "kind-1": "90",
        "amount-1": "100 face",
        "price-1": "23.90x",
        "tax_rate": "6",
        "taxed": "under",
        "tax_line": "1500",
        "tax_read": "2025-03-04",
    },
    {
        "name": "C",
        "kind-1": "90",
        "amount-1": "60 face, 1461 g",
        "price-1": "22.50x",
        "miles": "18",
        "per_mile": "0.70",
    },
    {"name": "D", "kind-1": "ozt", "amount-1": "90", "price-1": "spot + 2.10", "carriage": "14"},
)


@pytest.fixture
def kit() -> Kit:
    return kit_in_memory(today=date(2025, 3, 4))


@pytest.fixture
def house(kit: Kit, app_caller: AppCaller) -> Caller:
    return house_of(kit, app_caller)


def elm_hollow(kit: Kit) -> None:
    price(kit, {"on": "2025-03-04", "at": "10:15", "per_ozt": "32.00", "whose": "the shop's screen"})
    put_exit(kit, {"name": "Brook Street", "what-1": "90", "bid-1": "22.00x", "what-2": "ozt", "bid-2": "spot-0.90"})
    for offer in ELM_HOLLOW:
        put_offer(kit, offer)


def test_an_empty_table_teaches_and_offers_the_demo(house: Caller) -> None:
    page = house.get("/offers")

    assert page.status_code == 200
    assert "No offers are on the table" in page.text
    assert "ninefine demo" in page.text
    assert 'href="/offers/new"' in page.text


def test_offers_rank_every_way_to_pay_with_every_printed_figure(kit: Kit, house: Caller) -> None:
    """Elm Hollow, scenario 1 of the trade's practice: C, B, D, A by check, A by card."""
    elm_hollow(kit)
    html = house.get("/offers").text
    page = text_of(html)

    assert "The cheapest silver is C: 32.23 a fine ounce by scale, 0.72% over spot 32.00" in page
    places = [page.index(name) for name in ("1. C", "2. B", "3. D", "4. A by check", "5. A by card")]
    assert places == sorted(places)
    assert column_of(html, "Landed, USD") == ["1,362.60", "2,390.00", "3,083.00", "2,469.95", "2,568.35"]
    assert column_of(html, "Would pay, USD") == ["1,320.00", "2,200.00", "2,799.00", "2,200.00", "2,200.00"]
    for figure in (
        "1,362.60",
        "2,390.00",
        "3,083.00",
        "2,469.95",
        "2,568.35",
        "42.2750 ozt scale",
        "71.5000 ozt trade",
    ):
        assert figure in page
    for cost, over in (("32.232", "+0.72%"), ("33.427", "+4.46%"), ("34.256", "+7.05%"), ("35.921", "+12.25%")):
        assert cost in page
        assert over in page
    for lost, even in (("42.60", "33.033"), ("190.00", "34.764"), ("284.00", "35.156"), ("269.95", "35.927")):
        assert lost in page
        assert even in page
    assert "18 miles at 0.7" in page
    assert "as set down by entry" in page
    assert html.count('class="onscreen"') == 1
    assert "the shop's screen" in page


def test_another_spot_and_another_way_out_may_be_tried(kit: Kit, house: Caller) -> None:
    elm_hollow(kit)
    put_exit(kit, {"name": "the club", "what-1": "90", "bid-1": "99% of melt"})
    page = text_of(house.get("/offers?spot=66&exit=the+club").text)

    assert "spot 66.00" in page
    assert "Sold back to the club today" in page
    assert "the club has no bid for these goods" in page
    assert entries(kit) == 7


def test_what_cannot_be_weighed_by_is_said_at_its_field(kit: Kit, house: Caller) -> None:
    elm_hollow(kit)
    answer = house.get("/offers?spot=-3&exit=nowhere")

    assert answer.status_code == 400
    assert faults_of(answer.text) == {"spot", "exit"}
    assert "1. C" in text_of(answer.text)


def test_without_a_price_of_silver_the_page_says_so(app_caller: AppCaller) -> None:
    kit = kit_in_memory(today=date(2025, 3, 4), currency="EUR")
    put_offer(kit, FORM)

    page = text_of(house_of(kit, app_caller).get("/offers").text)

    assert "No price of silver is on record" in page


def test_an_offer_that_cannot_be_priced_is_told_apart(kit: Kit, house: Caller) -> None:
    elm_hollow(kit)
    row = dict(kit.holdings().tables["offer"]["D"])
    set_down(kit, "offer", "D", row | {"goods": [{"kind": "gone", "count": "1", "quote": "5 each"}]})
    page = text_of(house.get("/offers").text)

    assert "1. C" in page
    assert "Nothing is said of these until they are put right" in page


def test_one_offer_shows_its_lines_its_bases_and_what_lies_ahead(kit: Kit, house: Caller) -> None:
    elm_hollow(kit)
    put_offer(
        kit,
        {**FORM, "name": "E", "amount-1": "50 face", "tiers-1": "100: 24x", "carriage": "10", "carriage_free": "1500"},
    )
    page = text_of(house.get("/offers/one?name=A").text)
    ahead = text_of(house.get("/offers/one?name=E").text)

    assert (
        "A by check costs 2,469.95 for 71.5000 ozt trade: 34.545 a fine ounce by trade, 7.95% over spot 32.00" in page
    )
    for figure in ("72.3392ozt unworn", "34.144", "+6.70%", "2,200.00", "269.95", "By each way to pay"):
        assert figure in page
    assert "reach free carriage" in ahead
    assert "reach the next tier" in ahead
    assert house.get("/offers/one?name=Z").status_code == 404


def test_a_budget_rounds_down_and_never_overspends(kit: Kit, house: Caller) -> None:
    """Elm Hollow, step 7: 710.00 buys 30 face of C, not 31, and leaves 22.40."""
    elm_hollow(kit)
    page = text_of(house.get("/offers/one?name=C&budget=710").text)

    assert "710.00 buys 30 face, and leaves 22.40" in page
    assert "does not reach for one whole unit" in text_of(house.get("/offers/one?name=C&budget=5").text)
    refused = house.get("/offers/one?name=C&budget=lots")
    assert refused.status_code == 400
    assert faults_of(refused.text) == {"budget"}


def test_an_offer_is_entered_by_one_entry_and_said(kit: Kit, house: Caller) -> None:
    assert house.get("/offers/new").status_code == 200
    answer = house.post("/offers/new", FORM)

    assert answer.status_code == 303
    assert entries(kit) == 1
    assert offer_named(kit, "halves by post").lines[0].face == 100
    again = house.post("/offers/new", {**FORM, "price-1": "20x"})
    assert (again.status_code, faults_of(again.text)) == (400, {"name"})
    assert entries(kit) == 1
    said = text_of(house.get(answer.headers["location"]).text)
    assert "Entry 1 was booked. Set down the offer 'halves by post'." in said


def test_every_fault_of_an_offer_stands_under_its_field_and_nothing_is_booked(kit: Kit, house: Caller) -> None:
    typed = {**FORM, "name": "", "price-1": "24.60q", "tiers-1": "cheap", "way-1": "", "way_pct-1": "104"}
    typed |= {"carriage": "free", "tax_rate": "lots", "miles": "far", "minimum": "1 barrel", "discount_pct": "-1"}
    answer = house.post("/offers/new", typed)

    assert answer.status_code == 400
    assert faults_of(answer.text) == {
        *("name", "price-1", "tiers-1", "way-1", "way_pct-1", "carriage", "tax_rate", "miles", "minimum"),
        "discount_pct",
    }
    assert 'value="24.60q"' in answer.text
    assert entries(kit) == 0


def test_one_more_row_keeps_what_was_typed_and_books_nothing(kit: Kit, house: Caller) -> None:
    answer = house.post("/offers/new", {**FORM, "way-1": "check", "more": "ways"})

    assert answer.status_code == 200
    assert 'id="way-3"' in answer.text
    assert 'id="kind-2"' not in answer.text
    assert 'value="halves by post"' in answer.text
    assert 'id="kind-2"' in house.post("/offers/new", {**FORM, "more": "goods"}).text
    assert entries(kit) == 0


def test_an_offer_is_changed_under_its_name(kit: Kit, house: Caller) -> None:
    elm_hollow(kit)
    before = entries(kit)
    form = house.get("/offers/change?name=A").text
    answer = house.post("/offers/change", {**ELM_HOLLOW[0], "price-1": "23.10x"})

    assert 'value="24.60x"' in form
    assert 'value="card"' in form
    assert answer.status_code == 303
    assert entries(kit) == before + 1
    assert offer_named(kit, "A").lines[0].said == "23.10x"
    assert house.post("/offers/change", {**FORM, "name": "nobody's"}).status_code == 404
    refused = house.post("/offers/change", {**ELM_HOLLOW[0], "amount-1": ""})
    assert (refused.status_code, faults_of(refused.text)) == (400, {"amount-1"})


def test_an_offer_is_struck_off_the_table(kit: Kit, house: Caller) -> None:
    elm_hollow(kit)
    answer = house.post("/offers/strike", {"name": "A"})

    assert answer.status_code == 303
    assert "A" not in kit.holdings().tables["offer"]
    assert house.post("/offers/strike", {"name": "A"}).status_code == 404


def test_an_offer_is_booked_as_bought_with_all_that_was_added(kit: Kit, house: Caller) -> None:
    elm_hollow(kit)
    before = entries(kit)
    assert 'value="card"' in house.get("/offers/book?name=A").text
    typed = {"name": "A", "on": "2025-03-04", "way": "card", "arrived": "no"}
    answer = house.post("/offers/book", typed)

    assert answer.status_code == 303
    assert answer.headers["location"].startswith("/arrivals")
    assert entries(kit) == before + 1
    entry = kit.journal.records()[-1].entry
    assert isinstance(entry, Bought)
    assert entry.other_costs == {"carriage": D("9.95"), "surcharge": D("98.40")}
    assert kit.holdings().lots["L1"].cost == D("2568.35")


def test_a_booking_that_cannot_be_read_books_nothing(kit: Kit, house: Caller) -> None:
    elm_hollow(kit)
    before = entries(kit)
    answer = house.post("/offers/book", {"name": "A", "on": "soon", "spot": "x", "way": "check", "arrived": "yes"})
    ahead = house.post("/offers/book", {"name": "A", "on": "2025-03-05", "way": "check", "arrived": "yes"})
    wrong_way = house.post("/offers/book", {"name": "A", "on": "2025-03-04", "way": "shells", "arrived": "yes"})

    assert (answer.status_code, faults_of(answer.text)) == (400, {"on", "spot"})
    assert faults_of(ahead.text) == {"on"}
    assert "cannot be paid by" in text_of(wrong_way.text)
    assert entries(kit) == before


def test_a_purchase_without_an_offer_is_booked(kit: Kit, house: Caller) -> None:
    assert house.get("/purchase").status_code == 200
    typed = {"on": "2024-03-05", "seller": "the Tuesday shop", "arrived": "yes", "carriage": "9.95"}
    typed |= {"kind-1": "90% halves", "amount-1": "100 face", "price-1": "24.60x"}
    answer = house.post("/purchase", typed | {"kind-3": "10 oz bar", "amount-3": "1", "price-3": "330"})

    assert answer.status_code == 303
    assert entries(kit) == 1
    assert sum((lot.cost for lot in kit.holdings().lots.values()), D(0)) == D("2799.95")
    assert "Entry 1 was booked. Bought of the Tuesday shop" in text_of(house.get(answer.headers["location"]).text)


def test_every_fault_of_a_purchase_stands_under_its_field(kit: Kit, house: Caller) -> None:
    typed = {"on": "2025-04-01", "arrived": "yes", "tax": "-1", "kind-1": "moon dust", "amount-1": "1", "price-1": "1"}
    answer = house.post("/purchase", typed | {"kind-2": "90% dimes", "amount-2": "ten", "price-2": "1"})
    more = house.post("/purchase", typed | {"more": "goods"})

    assert answer.status_code == 400
    assert faults_of(answer.text) == {"on", "tax", "kind-1", "amount-2"}
    assert more.status_code == 200
    assert 'id="kind-2"' in more.text
    assert entries(kit) == 0


@pytest.mark.parametrize("path", ["/offers/new", "/offers/change", "/offers/strike", "/offers/book", "/purchase"])
def test_a_form_with_a_foreign_key_is_refused(kit: Kit, house: Caller, path: str) -> None:
    elm_hollow(kit)
    before = entries(kit)

    assert foreign(house, path, {**ELM_HOLLOW[0], "on": "2025-03-04", "arrived": "yes"}) == 403
    assert entries(kit) == before
