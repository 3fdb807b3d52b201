"""How am I doing: the sentence, the same money otherwise, cost by form, gain by way out, worth through time."""

from datetime import date, timedelta
from decimal import Decimal

import pytest

from ninefine.book.came import Opened, OpenedLine
from ninefine.book.entries import Amount
from ninefine.desk import purchase, records, sale
from ninefine.desk.book_settings import settle
from ninefine.desk.exit_form import put_exit
from ninefine.desk.kit import Kit
from ninefine.desk.performance import performance
from ninefine.testing import kit_in_memory
from web.conftest import Caller
from web.told import AppCaller, column_of, entries, faults_of, house_of, text_of

D = Decimal
LOTS: tuple[tuple[str, str, str, dict[str, str]], ...] = (
    ("2019-03-11", "300", "11.20x", {}),
    ("2020-03-23", "100", "14.90x", {"carriage": "18.00"}),
    ("2021-02-08", "200", "24.10x", {"surcharge": "168.70"}),
    ("2025-11-14", "150", "38.50x", {}),
)


@pytest.fixture
def kit() -> Kit:
    """Harbor Lane, the published household, before its sale."""
    made = kit_in_memory(today=date(2026, 6, 12))
    for on, face, price, more in LOTS:
        purchase.buy(made, {"on": on, "kind-1": "90%", "amount-1": f"{face} face", "price-1": price, **more})
    records.price(made, {"on": "2026-06-12", "per_ozt": "66.00", "whose": "the shop's screen"})
    put_exit(made, {"name": "the shop", "what-1": "90", "bid-1": "95% of melt"})
    return made


@pytest.fixture
def house(kit: Kit, app_caller: AppCaller) -> Caller:
    return house_of(kit, app_caller)


def test_an_empty_book_teaches_and_offers_the_demo(app_caller: AppCaller) -> None:
    page = text_of(house_of(kit_in_memory(), app_caller).get("/returns").text)

    assert "No silver has come into the book yet." in page
    assert "ninefine demo" in page


def test_what_is_on_its_way_is_said_to_be_counted_or_left_out(kit: Kit, house: Caller) -> None:
    """Another 10 face at 40x is paid and on its way: 7.15 ounces more at 66.00 by melt, nothing more by a way out."""
    purchase.buy(kit, {"on": "2026-06-11", "kind-1": "90%", "amount-1": "10 face", "price-1": "40x", "arrived": "no"})

    assert "what is held or on its way is worth 35,864.40 by melt" in text_of(house.get("/returns").text)
    page = text_of(house.get("/returns?by=the+shop").text)
    assert "what is held, without what is on its way, is worth 33,622.88 by what the shop would pay" in page


def test_the_page_opens_with_what_was_put_in_and_what_it_is_worth(kit: Kit, house: Caller) -> None:
    """750 face x 0.715 x 66.00 = 35,392.50 against 15,631.70 paid; the rate is the desk's own."""
    page = text_of(house.get("/returns").text)
    rate = performance(kit).rate

    assert "You put in 15,631.70 and took out 0.00; what is held is worth 35,392.50 by melt: 19,760.80 more" in page
    assert rate is not None
    assert f"{rate.yearly * 100:.2f}% a year over 7.3 years" in page
    assert "66.00 USD an ozt of silver, spot, the shop's screen, 12 June 2026" in page
    assert "no tax basis" in page


def test_every_figure_of_the_sentence_can_be_opened(house: Caller) -> None:
    page = text_of(house.get("/returns").text)

    assert "35,392.50 + 0.00 - 15,631.70" in page
    assert "4 flows of the book" in page
    assert "money-weighted: years of 365 days" in page


def test_cost_an_ounce_by_form_and_what_nobody_knows(kit: Kit, house: Caller) -> None:
    """15,631.70 for 536.25 ozt: 29.15 an ounce; ten face of which nobody knows the cost change nothing of it."""
    html = house.get("/returns").text
    assert column_of(html, "Cost an ounce, USD") == ["29.15"]
    assert "Cost not known of" not in html
    line = OpenedLine(lot="old", kind="us-90", amount=Amount(face=D(10)))
    kit.journal.append(Opened(on=date(2026, 6, 1), lines=(line,)))

    html = house.get("/returns").text
    assert column_of(html, "Cost an ounce, USD") == ["29.15"]
    assert column_of(html, "Cost not known of") == ["7.1500"]
    assert "1 of the flows is silver that came or went without money" in text_of(html)


def test_the_gain_by_way_out_and_the_spot_at_which_it_is_even(house: Caller) -> None:
    """95% of 35,392.50 is 33,622.88: 17,991.18 gained; even at 15,631.70 / (0.95 x 536.25) = 30.68."""
    html = house.get("/returns").text

    assert column_of(html, "Would pay, USD") == ["33,622.88"]
    assert column_of(html, "Gain, USD") == ["+17,991.18"]
    assert column_of(html, "Even at a spot of, USD") == ["30.68"]


def test_valued_by_a_way_out_and_at_another_spot(house: Caller) -> None:
    """750 x 0.715 x 30 x 0.95 = 15,283.13, which is 348.57 less than was paid."""
    page = text_of(house.get("/returns?by=the+shop&spot=30").text)

    assert "worth 15,283.13 by what the shop would pay: 348.57 less than all in cash" in page
    assert "the shop's screen, 12 June 2026" not in page, "the price is the one that was asked for"


def test_a_past_day_counts_only_what_was_there_in_dollars_of_its_year(house: Caller) -> None:
    """31 December 2020: 400 face cost 4,868.00; in dollars of 2020, 3,360 x 258.811 / 255.6574 + 1,508 (CPI-U)."""
    html = house.get("/returns?on=2020-12-31").text
    page = text_of(html)

    assert "as of 31 December 2020" in page
    assert "You put in 4,868.00" in page
    assert "In dollars of 2020, 4,909.4" in page
    assert "2026" not in column_of(html, "Melt, with what is on its way, USD")


def test_the_same_money_in_rounds_needs_a_rule_and_takes_the_books_own(kit: Kit, house: Caller) -> None:
    assert "For one-ounce rounds say above what they cost" in text_of(house.get("/returns").text)
    asked = house.get("/returns?ask=spot%2B2.50&bid=spot-1.50").text
    settle(kit, {"ask": "spot+2.50", "bid": "spot-1.50"})
    settled = house.get("/returns").text
    ahead = column_of(asked, "The silver is ahead by, USD")

    assert ahead == column_of(settled, "The silver is ahead by, USD")
    assert len(ahead) == 3
    found = performance(kit)
    assert found.rounds is not None
    assert found.over_rounds == D("35392.50") - found.rounds.worth


def test_a_tenth_more_of_spot_moves_a_tenth_of_the_melt(house: Caller) -> None:
    html = house.get("/returns").text

    assert column_of(html, "Moves by, USD")[-1] == "+3,539.25"  # a tenth of 35,392.50
    assert column_of(html, "At 72.60, USD")[0] == "38,931.75"


def test_worth_through_time_is_a_picture_with_its_table_a_year_at_a_time(house: Caller) -> None:
    """31 December 2023, step 7 of the published household: 10,243.66 by the month's average, at a cost of 9,856.70."""
    html = house.get("/returns").text
    assert 'alt="From 31 March 2019 to 12 June 2026, month by month' in html
    assert len(column_of(html, "Melt, with what is on its way, USD")) == 12
    older = house.get("/returns?months=24").text

    assert "2023-12-31" in text_of(older)
    assert "10,243.66" in column_of(older, "Melt, with what is on its way, USD")
    assert "9,856.70" in column_of(older, "Cost, USD")
    assert "monthly average" in text_of(older)
    assert 'href="/returns?months=12#months"' in older
    assert 'href="/returns?months=36#months"' in older


def test_money_in_and_out_is_listed_with_its_entries(kit: Kit, house: Caller) -> None:
    sale.sell(kit, sale.read_sale(kit, {"kind": "90%", "amount": "100 face", "exit": "the shop"}))
    html = house.get("/returns").text

    assert column_of(html, "In and out, USD")[0] == "+4,483.05"
    assert column_of(html, "In and out, USD")[-1] == "\N{MINUS SIGN}3,360.00"
    assert 'href="/book/1"' in html


@pytest.mark.parametrize(
    ("asked", "field"),
    [("on=2027-01-01", "on"), ("spot=cheap", "spot"), ("ask=dear", "ask"), ("bid=dear", "bid"), ("on=then", "on")],
)
def test_what_cannot_be_read_is_said_at_its_field(house: Caller, asked: str, field: str) -> None:
    answer = house.get(f"/returns?{asked}")

    assert answer.status_code == 400
    assert faults_of(answer.text) == {field}
    assert "You put in 15,631.70" in text_of(answer.text), "the usual is shown all the same"


def test_a_way_out_that_is_not_there_is_said(house: Caller) -> None:
    answer = house.get("/returns?by=the+moon")

    assert answer.status_code == 400
    assert "There is no way out 'the moon'" in text_of(answer.text)


def test_a_lot_says_what_it_cost_in_constant_dollars(house: Caller) -> None:
    """Step 8 of the published household: 3,360.00 x 321.943 / 255.6574 = 4,231.16 (CPI-U)."""
    assert "In dollars of 2025 it cost 4,231.16." in text_of(house.get("/holdings/lots/L1").text)
    assert "In dollars of" not in text_of(house.get("/holdings/lots/L4").text), "bought in that very year"


def test_holdings_exits_and_book_lead_here_and_to_what_belongs_to_it(house: Caller) -> None:
    assert 'href="/returns"' in house.get("/holdings").text
    assert 'href="/gains"' in house.get("/exits").text
    book = house.get("/book").text
    for path in ("/entries", "/settings", "/reminders"):
        assert f'href="{path}"' in book


def test_looking_changes_nothing_and_a_long_list_is_turned(kit: Kit, house: Caller) -> None:
    for number in range(60):
        on = (date(2022, 1, 3) + timedelta(days=number)).isoformat()
        purchase.buy(kit, {"on": on, "kind-1": "1 oz round", "amount-1": "1", "price-1": "25"})
    before = entries(kit)
    page = house.get("/returns").text

    assert len(column_of(page, "In and out, USD")) == 50
    assert 'href="/returns?flows=50#flows"' in page
    assert len(column_of(house.get("/returns?flows=50").text, "In and out, USD")) == 14
    assert entries(kit) == before
