"""A year's gains as a page: in the order of the form, summed by term, brokers' reports beside the book, its papers."""

from datetime import date
from decimal import Decimal

import pytest

from ninefine.book.came import Opened, OpenedLine
from ninefine.book.entries import Amount
from ninefine.desk import book_settings, gains, purchase, sale, went
from ninefine.desk.kit import Kit
from ninefine.desk.papers import make_paper
from ninefine.desk.reminders import reminders, silence
from ninefine.testing import kit_in_memory
from web.conftest import Caller
from web.told import AppCaller, column_of, entries, faults_of, foreign, house_of, text_of

D = Decimal
#: Harbor Lane, the published household: four lots of 90% coin, of which 400 face are sold, highest basis first.
LOTS: tuple[tuple[str, str, str, dict[str, str]], ...] = (
    ("2019-03-11", "300", "11.20x", {}),
    ("2020-03-23", "100", "14.90x", {"carriage": "18.00"}),
    ("2021-02-08", "200", "24.10x", {"surcharge": "168.70"}),
    ("2025-11-14", "150", "38.50x", {}),
)
SALE = {"kind": "90%", "amount": "400 face", "rule": "highest-basis", "price": "44.83x", "fees": "12.00"}
REPORT = {"on": "2026-06-15", "proceeds": "17932", "gross": "yes", "broker": "Quay Coin", "basis": "", "entry": ""}


@pytest.fixture
def kit() -> Kit:
    made = kit_in_memory(today=date(2026, 6, 12))
    for on, face, price, more in LOTS:
        purchase.buy(made, {"on": on, "kind-1": "90%", "amount-1": f"{face} face", "price-1": price, **more})
    sale.sell(made, sale.read_sale(made, {**SALE, "on": "2026-06-12"}))
    return made


@pytest.fixture
def house(kit: Kit, app_caller: AppCaller) -> Caller:
    return house_of(kit, app_caller)


def test_an_empty_book_teaches_and_offers_the_demo(app_caller: AppCaller) -> None:
    page = text_of(house_of(kit_in_memory(today=date(2026, 6, 12)), app_caller).get("/gains").text)

    assert "Nothing left the book in 2026." in page
    assert "ninefine demo" in page


def test_the_year_stands_in_the_order_of_the_form_and_by_its_parts(house: Caller) -> None:
    """Harbor Lane, scenario 3: 949.50 short, 3,977.30 and 1,487.50 long, less 12.00 of fees shared by proceeds."""
    html = house.get("/gains").text
    page = text_of(html)

    assert "In 2026 3 disposals made a gain of 6,402.30: 945.00 short term, 5,457.30 long term." in page
    assert page.index("Part I, short term") < page.index("Part II, long term")
    for head in (
        "(a) Description", "(b) Acquired", "(c) Sold", "(d) Proceeds", "(e) Cost or basis", "(f) Code",
        "(g) Adjustment", "(h) Gain or loss",
    ):  # fmt: skip
        assert head in page
    assert column_of(html, "(d) Proceeds, USD") == ["6,720.00", "6,720.00", "8,960.00", "2,240.00", "11,200.00"]
    assert column_of(html, "(e) Cost or basis, USD") == ["5,775.00", "5,775.00", "4,988.70", "754.00", "5,742.70"]
    assert column_of(html, "(h) Gain or loss, USD")[-1] == "+5,457.30"
    assert column_of(html, "Gain, USD") == ["+945.00", "+5,457.30", "+6,402.30"]
    assert column_of(html, "(b) Acquired") == ["2025-11-14", "2021-02-08", "2020-03-23"]


def test_each_line_tells_how_its_pieces_were_named_and_its_box(house: Caller) -> None:
    page = text_of(house.get("/gains").text)

    assert "highest basis first, written down on 2026-01-01" in page
    assert "lot L4, entry 4" in page
    assert "box of the form" in page


def test_a_report_of_proceeds_before_fees_stands_as_reported_and_the_fees_with_code_e(kit: Kit, house: Caller) -> None:
    """As Form 8949 has it: (d) as reported, (g) the fees below zero, (h) the same; the paper says the same."""
    before = entries(kit)
    answer = house.post("/gains/reported", REPORT)

    assert answer.status_code == 303
    assert entries(kit) == before + 1
    html = house.get(answer.headers["location"]).text
    assert f"Entry {before + 1} was booked." in text_of(html)
    assert "before fees; agrees" in text_of(html)
    assert column_of(html, "(d) Proceeds, USD")[0] == "6,724.50"
    assert column_of(html, "(f) Code") == ["CE", "CE", "CE"]
    assert column_of(html, "(g) Adjustment, USD")[0] == "\N{MINUS SIGN}4.50"
    assert column_of(html, "(h) Gain or loss, USD")[0] == "+945.00"
    assert column_of(html, "Proceeds, USD")[-1] == "17,932.00"
    short = make_paper(kit, "gains", {}).main[0].rows[0].cells
    assert short[3:8] == (D("6724.50"), D("5775.00"), "CE", D("-4.50"), D("945.00"))
    assert "B" in text_of(html).partition("box of the form")[2][:4], "reported, its basis not: box B"


def test_a_report_that_differs_is_looked_at_and_one_of_no_sale_says_so(kit: Kit, house: Caller) -> None:
    gains.report(kit, REPORT | {"entry": "5", "proceeds": "17900", "basis": "11000", "to_authority": "yes"})
    gains.report(kit, REPORT | {"proceeds": "55", "broker": "nobody"})
    html = house.get("/gains").text
    page = text_of(html)

    assert column_of(html, "Off by, USD") == ["\N{MINUS SIGN}32.00", ""]
    assert column_of(html, "Basis off by, USD") == ["\N{MINUS SIGN}517.70", ""]
    assert "none fits" in page
    assert "No sale of 55 lies within 10 days" in page
    assert html.count('class="look') >= 2


def test_a_report_can_be_struck_off(kit: Kit, house: Caller) -> None:
    gains.report(kit, REPORT | {"name": "the one"})
    before = entries(kit)
    assert '<option value="the one"' in house.get("/gains").text
    answer = house.post("/gains/reported/strike", {"line": "the one"})

    assert answer.status_code == 303
    assert entries(kit) == before + 1
    assert "the one" not in house.get("/gains").text
    assert house.post("/gains/reported/strike", {"line": "the one"}).status_code == 400


def test_sales_without_a_report_are_named(house: Caller) -> None:
    page = text_of(house.get("/gains").text)

    assert "No report of that year has been set down." in page
    assert "No report is held of entry 5" in page


def test_average_cost_is_shown_and_papers_go_by_the_books_own_method(kit: Kit, house: Caller) -> None:
    """All 750 face cost 15,631.70: 400 of them 8,336.90 (to the cent, line by line)."""
    page = text_of(house.get("/gains?method=average").text)

    assert "Cost is counted by average cost of all that is quoted alike" in page
    assert "made a gain of 9,583.10" in page
    assert "By each lot's own cost the gain would be 6,402.30" in page
    assert "Papers go by the book's own method" in page
    book_settings.settle(kit, {"method": "average"})
    assert "made a gain of 9,583.10" in text_of(house.get("/gains").text)
    document = make_paper(kit, "gains", {})
    assert sum(ledger.totals()[7] or D(0) for ledger in document.main) == D("9583.10")


def test_a_plain_table_has_no_codes(kit: Kit, house: Caller) -> None:
    book_settings.settle(kit, {"form": "plain"})
    page = text_of(house.get("/gains").text)

    assert "Description" in page
    assert "(a) Description" not in page
    assert "Code" not in page
    assert "box of the form" not in page


def test_what_was_lost_stands_apart_and_what_nobody_knows_is_in_no_sum(kit: Kit, house: Caller) -> None:
    line = OpenedLine(lot="old", kind="us-90", amount=Amount(face=D(10)))
    kit.journal.append(Opened(on=date(2026, 1, 1), lines=(line,)))
    sale.sell(kit, sale.read_sale(kit, {"heap-1": "old", "price": "400"}))
    went.lose(kit, {"heap-1": "L1", "amount-1": "10 face", "why": "stolen", "paid-1": "100"})
    html = house.get("/gains").text
    page = text_of(html)

    assert "4 disposals made a gain of 6,402.30" in page
    assert "Of 1 nobody knows the cost: they are in no sum." in page
    assert "Term not known" in page
    assert "Not for money, and in no sum" in page
    assert column_of(html, "Paid for it, USD") == ["100.00"]
    assert column_of(html, "(b) Acquired")[-1] == "not known"


def test_years_can_be_turned_and_a_long_one_is_shown_a_page_at_a_time(kit: Kit, house: Caller) -> None:
    for number in range(60):
        form = {"heap-1": "L1", "amount-1": "1 face", "price": f"{40 + number}", "on": "2024-05-06"}
        sale.sell(kit, sale.read_sale(kit, form))
    page = house.get("/gains?year=2024").text

    assert 'href="/gains?year=2026"' in page
    assert len(column_of(page, "(f) Code")) == 50
    assert 'href="/gains?year=2024&amp;long=50"' in page
    later = house.get("/gains?year=2024&long=50").text
    assert len(column_of(later, "(f) Code")) == 10
    assert column_of(later, "(d) Proceeds, USD")[-1] == column_of(page, "(d) Proceeds, USD")[-1] == "4,170.00"


@pytest.mark.parametrize("asked", ["year=soon", "method=guess"])
def test_what_cannot_be_read_is_said_at_its_field(house: Caller, asked: str) -> None:
    answer = house.get(f"/gains?{asked}")

    assert answer.status_code == 400
    assert faults_of(answer.text) == {asked.partition("=")[0]}
    assert "made a gain of 6,402.30" in text_of(answer.text)


@pytest.mark.parametrize(
    ("changed", "fields"),
    [
        ({"on": "", "proceeds": ""}, {"on", "proceeds"}),
        ({"on": "soon", "basis": "x", "entry": "two"}, {"on", "basis", "entry"}),
        ({"to_authority": "yes"}, {"basis"}),
    ],
)
def test_each_fault_of_a_report_stands_under_its_field(
    kit: Kit, house: Caller, changed: dict[str, str], fields: set[str]
) -> None:
    before = entries(kit)
    answer = house.post("/gains/reported", REPORT | changed)

    assert answer.status_code == 400
    assert faults_of(answer.text) == fields
    assert entries(kit) == before
    assert 'value="Quay Coin"' in answer.text


def test_the_year_can_be_had_as_files(house: Caller) -> None:
    page = house.get("/gains").text

    for kind, start in (("csv", b"\xef\xbb\xbf"), ("xlsx", b"PK"), ("pdf", b"%PDF")):
        path = f"/papers/of/gains/{kind}?year=2026"
        assert f'href="{path}" download' in page
        assert house.get(path).content.startswith(start)


def test_reminders_about_sales_are_said_and_a_silenced_one_is_not(kit: Kit, house: Caller) -> None:
    page = text_of(house.get("/gains").text)
    assert "A gain is reported by the seller" in page
    assert "Form 8300" not in page, "that one is about purchases"
    silence(kit, "a gain belongs on the return")

    page = text_of(house.get("/gains").text)
    assert "A gain is reported by the seller" not in page
    assert "ninefine reminds, it never decides" in page
    assert any(one.off for one in reminders(kit))


def test_foreign_forms_are_refused(kit: Kit, house: Caller) -> None:
    before = entries(kit)

    assert foreign(house, "/gains/reported", REPORT) == 403
    assert foreign(house, "/gains/reported/strike", {"line": "x"}) == 403
    assert entries(kit) == before
