"""Guide sheets and sets, as pages."""

import io
import re
from datetime import date
from html import unescape

import pytest
import xlsxwriter

from ninefine.desk.demo import build_demo
from ninefine.desk.kit import Kit
from ninefine.desk.say_sorting import set_sentence
from ninefine.desk.sets import set_named, sets, view
from ninefine.desk.sheets import sheet_named, sheets
from ninefine.testing import kit_in_memory
from web.conftest import OWN, Caller
from web.told import AppCaller, entries, faults_of, foreign, house_of, text_of

TABLE = "kind, issue, grade, low, high\nus-dime-mercury, 1921-D, G4, 45, 50\nus-dime-mercury, 1921-D, F12, 80, 98"
SHEET = {"name": "the spring show", "on": "2026-06-01", "source": "a show", "note": "", "kind": "", "table": TABLE}


@pytest.fixture
def kit() -> Kit:
    made = kit_in_memory(today=date(2026, 11, 25))
    build_demo(made)
    return made


@pytest.fixture
def house(kit: Kit, app_caller: AppCaller) -> Caller:
    return house_of(kit, app_caller)


@pytest.mark.parametrize("path", ["/sorting/sheets", "/sorting/sets"])
def test_an_empty_book_is_taught(app_caller: AppCaller, path: str) -> None:
    page = house_of(kit_in_memory(today=date(2026, 11, 25)), app_caller).get(path)

    assert page.status_code == 200
    assert "What goes here" in page.text


def test_the_demo_s_sheet_says_that_it_is_invented(house: Caller) -> None:
    page = text_of(house.get("/sorting/sheets").text)

    assert "You have 1 sheet with 17 prices" in page
    assert "Invented, like all of this book" in page
    assert "158days" in page


def test_the_sheets_answer_with_how_it_was_worked_out(house: Caller) -> None:
    page = text_of(house.get("/sorting/sheets?what=merc+dime+1921-D&grade=VG8").text)
    wrong = house.get("/sorting/sheets?what=merc+dime+1921-D&grade=MS65")

    assert "is worth 78.99 to 88.99 by Alder Ferry club, summer 2026 of 20 June 2026." in page
    assert "VG8 lies 4 of 8 points from G4 (60 to 66) to F12 (104 to 120)" in page
    assert "entry 58 of the book" in page
    assert faults_of(wrong.text) == {"grade"}


def test_a_table_is_looked_at_before_it_is_set_down(kit: Kit, house: Caller) -> None:
    before = entries(kit)

    looked = house.post("/sorting/sheets", {**SHEET, "do": "look"})
    assert (looked.status_code, entries(kit)) == (200, before)
    page = text_of(looked.text)
    assert "2 prices would be set down as the spring show of 1 June 2026. Nothing is written yet." in page
    assert "Columns as they are read" in page
    assert "Set it down" in page

    kept = house.post("/sorting/sheets", {**SHEET, "do": "put"})
    assert kept.status_code == 303
    assert entries(kit) == before + 1
    assert "2 prices of 1 issue" in text_of(house.get(kept.headers["location"]).text)


def test_every_fault_stands_under_the_table_with_its_line(kit: Kit, house: Caller) -> None:
    before = entries(kit)
    table = TABLE + "\nus-dime-mercury, 1922-P, G4, 1, 2\nmoon dust, , G4, 1, 2"

    refused = house.post("/sorting/sheets", {**SHEET, "table": table, "do": "put"})

    assert (refused.status_code, entries(kit)) == (400, before)
    assert faults_of(refused.text) == {"table"}
    page = text_of(refused.text)
    assert "line 4, issue:" in page
    assert "line 5, kind:" in page
    assert "us-dime-mercury, 1922-P, G4, 1, 2" in refused.text, "what was typed is kept"
    assert foreign(house, "/sorting/sheets", {**SHEET, "do": "put"}) == 403


def test_columns_are_named_by_hand(kit: Kit, house: Caller) -> None:
    table = "Coin,Yr,MM,Grade,Price,Zoo\nus-dime-mercury,1921,D,G4,45-50,x"
    first = house.post("/sorting/sheets", {**SHEET, "table": table, "do": "look"})
    assert first.status_code == 400
    assert "'Yr' is not a column here" in text_of(first.text)
    assert 'name="head-2" value="Yr"' in first.text

    named = {"head-1": "Coin", "col-1": "kind", "head-2": "Yr", "col-2": "year", "head-6": "Zoo", "col-6": "-"}
    kept = house.post("/sorting/sheets", {**SHEET, "table": table, **named, "do": "put"})

    assert kept.status_code == 303
    assert sheet_named(kit, "the spring show").rows[0].issue == "1921-D"


def test_a_workbook_is_handed_in_and_looked_at(kit: Kit, house: Caller) -> None:
    out = io.BytesIO()
    book = xlsxwriter.Workbook(out, {"in_memory": True})
    paper = book.add_worksheet()
    for number, line in enumerate(TABLE.splitlines()):
        for place, cell in enumerate(line.split(", ")):
            paper.write(number, place, cell)
    book.close()
    before = entries(kit)
    data = {"form_key": house.keys.form_key, **SHEET, "table": "", "do": "put"}

    answer = house.send(
        "POST",
        "/sorting/sheets",
        data=data,
        files={"file": ("prices.xlsx", out.getvalue())},
        headers={**house.cookie, **OWN},
    )
    refused = house.send(
        "POST", "/sorting/sheets", data=data, files={"file": ("x.xlsx", b"no")}, headers={**house.cookie, **OWN}
    )

    assert (answer.status_code, entries(kit)) == (200, before)
    assert "2 prices would be set down" in text_of(answer.text)
    assert "1921-D\tF12\t80\t98" in answer.text, "its text stands in the table, to be sent with the next press"
    assert refused.status_code == 400
    assert "cannot be read as a workbook" in text_of(refused.text)


def test_a_sheet_is_changed_and_struck(kit: Kit, house: Caller) -> None:
    name = "Alder Ferry club, summer 2026"
    form = house.get("/sorting/sheets/change?name=Alder+Ferry+club%2C+summer+2026").text
    assert "us-dime-mercury, 1921-D, G4, 60, 66" in form
    assert "17 prices" in text_of(house.get("/sorting/sheets/one?name=Alder+Ferry+club%2C+summer+2026").text)

    struck = house.post("/sorting/sheets/strike", {"name": name})

    assert struck.status_code == 303
    assert sheets(kit) == ()
    assert house.get("/sorting/sheets/one?name=nothing").status_code == 404


def test_where_a_sheet_falls_as_the_grade_rises_is_said_before_it_is_kept(house: Caller) -> None:
    table = TABLE.replace("80, 98", "40, 42")

    page = text_of(house.post("/sorting/sheets", {**SHEET, "table": table, "do": "look"}).text)

    assert "1921-D falls from G4 to F12." in page


def test_a_kept_set_says_what_it_lacks_and_what_may_go_back(kit: Kit, house: Caller) -> None:
    html = house.get("/sorting/sets/one?name=the+Mercury+album").text
    page = text_of(html)

    assert set_sentence(view(kit, set_named(kit, "the Mercury album"))) in page
    assert "1 set" in text_of(house.get("/sorting/sets").text)
    assert 'alt="Mercury (Winged Liberty) dime, by year: 17 places filled of 77.' in html
    assert "Put back" in page


def test_a_set_is_asked_about_without_being_kept(kit: Kit, house: Caller) -> None:
    before = entries(kit)

    asked = house.post("/sorting/sets", {"name": "", "what": "peace dollar", "by": "year", "do": "ask"})
    page = house.get(asked.headers["location"])

    assert (asked.status_code, page.status_code, entries(kit)) == (303, 200, before)
    assert "form_key" not in asked.headers["location"]
    assert "Of 10 places, Peace dollar" in text_of(page.text)


def test_a_set_is_kept_changed_and_struck_by_an_entry_each(kit: Kit, house: Caller) -> None:
    before = entries(kit)
    form = {
        "name": "the dollars",
        "what": "peace dollar",
        "by": "year and mint",
        "first": "",
        "last": "",
        "grade": "VF20",
    }

    kept = house.post("/sorting/sets", form)
    assert kept.status_code == 303
    assert "Entry" in text_of(house.get(kept.headers["location"]).text)
    house.post("/sorting/sets", {**form, "grade": "MS60"})
    assert str(set_named(kit, "the dollars").grade) == "MS60"
    house.post("/sorting/sets/strike", {"name": "the dollars"})

    assert entries(kit) == before + 3
    assert [one.name for one in sets(kit)] == ["the Mercury album"]


def test_faults_of_a_set_stand_under_their_fields(kit: Kit, house: Caller) -> None:
    before = entries(kit)
    form = {"name": "", "what": "moon dust", "by": "year", "first": "x", "last": "", "grade": "F12"}

    refused = house.post("/sorting/sets", form)

    assert (refused.status_code, entries(kit)) == (400, before)
    assert faults_of(refused.text) == {"name", "what", "first"}
    assert foreign(house, "/sorting/sets", form) == 403


def test_a_long_list_of_gaps_is_turned_without_touching_the_years_asked_for(house: Caller) -> None:
    """The first year that a set begins with and the row that a page begins with are two things."""
    page = house.get("/sorting/sets?what=morgan+dollar&by=year+and+mint&first=1878&last=1904&grade=VF20")
    further = re.search(r'href="(/sorting/sets\?[^"]*row=\d+)', page.text)
    assert further is not None

    turned = house.get(unescape(further[1]))

    assert turned.status_code == 200
    assert 'name="first" type="text" value="1878"' in turned.text
    assert "row=0" in turned.text
