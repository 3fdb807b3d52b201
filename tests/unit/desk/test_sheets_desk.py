"""Guide sheets through the desk: read with a look before, mapped, replaced, stale, asked."""

from datetime import date
from decimal import Decimal

import pytest

from ninefine.catalog.shelf import load_catalog
from ninefine.desk.judging import put_judging
from ninefine.desk.kit import Kit
from ninefine.desk.records import set_down
from ninefine.desk.sheets import (
    TABLE,
    ask,
    at_table,
    columns_read,
    put_sheet,
    read_sheet_form,
    sheet_fields,
    sheet_lines,
    sheet_named,
)
from ninefine.errors import Faults, NotFoundError
from ninefine.testing import kit_in_memory

D = Decimal
TODAY = date(2026, 11, 25)
CATALOG = load_catalog()
ROWS = "kind, issue, grade, low, high\nus-dime-mercury, 1921-D, G4, 45, 50\nus-dime-mercury, 1921-D, F12, 80, 98"
SHEET = {"name": "the spring show", "on": "2026-06-01", "source": "a show", "note": "Invented.", "table": ROWS}


@pytest.fixture
def kit() -> Kit:
    return kit_in_memory(today=TODAY, catalog=CATALOG)


def test_a_sheet_is_one_entry_of_the_book_and_answers(kit: Kit) -> None:
    """VG8 lies halfway from G4 to F12: the square roots of 45 x 80 and of 50 x 98."""
    put_sheet(kit, SHEET)

    price = ask(kit, {"what": "merc dime 1921-D", "grade": "VG8"}).price

    assert len(kit.journal.records()) == 1
    assert (price.worth.low, price.worth.mid, price.worth.high) == (D("60.00"), D("65.00"), D("70.00"))
    assert (price.age, price.stale) == (177, False)


def test_looking_writes_nothing(kit: Kit) -> None:
    assert len(read_sheet_form(kit, SHEET).rows) == 2
    assert kit.journal.records() == ()


def test_the_newest_sheet_wins_and_a_stale_one_says_so(kit: Kit) -> None:
    old = {**SHEET, "name": "an old list", "on": "2024-01-01", "table": ROWS.replace("45, 50", "10, 12")}
    put_sheet(kit, SHEET)
    put_sheet(kit, old)
    put_judging(kit, {"stale_after": "400"})

    lines = {line.sheet.name: line for line in sheet_lines(kit)}

    assert ask(kit, {"what": "merc dime 1921-D", "grade": "G4"}).price.worth.low == D(45)
    assert (lines["the spring show"].newest, lines["an old list"].newest) == (1, 0)
    assert (lines["the spring show"].stale, lines["an old list"].stale) == (False, True)
    set_down(kit, TABLE, "the spring show", None)
    price = ask(kit, {"what": "merc dime 1921-D", "grade": "G4"}).price
    assert price.stale
    assert any("your limit is 400 days" in words for words in price.cautions)


def test_a_sheet_of_the_same_name_is_replaced_and_its_form_reads_back(kit: Kit) -> None:
    put_sheet(kit, SHEET)
    form = sheet_fields(sheet_named(kit, "the spring show"))

    put_sheet(kit, {**form, "table": form["table"].replace("98", "99")})

    (line,) = sheet_lines(kit)
    assert line.serial == 2
    assert line.sheet.rows[1].high == D(99)
    assert read_sheet_form(kit, form) == read_sheet_form(kit, SHEET)


def test_every_fault_is_told_with_its_line_and_nothing_is_kept(kit: Kit) -> None:
    table = ROWS + "\nus-dime-mercury, 1922-P, G4, 1, 2\nmoon dust, , G4, 1, 2\nus-dime-mercury, , VG9, 0, x"

    with pytest.raises(Faults) as error:
        put_sheet(kit, {**SHEET, "table": table})

    told = [str(fault) for fault in error.value.faults]
    assert {words.split(",")[0] for words in told} == {"line 4", "line 5", "line 6"}
    assert len([words for words in told if words.startswith("line 6")]) == 3
    (fault,) = at_table(error.value).faults
    assert fault.where == "table"
    assert fault.wrong.count("\n") == len(told) - 1
    assert kit.journal.records() == ()


def test_the_head_of_a_sheet_is_checked_before_its_table(kit: Kit) -> None:
    with pytest.raises(Faults) as error:
        read_sheet_form(kit, {"name": "", "on": "2027-01-01", "table": "", "kind": "moon dust"})

    assert {fault.where for fault in error.value.faults} == {"name", "on", "table", "kind"}


def test_columns_are_named_by_the_person_where_their_headings_hide_them(kit: Kit) -> None:
    table = "Coin; Yr; MM; VG8; Remarks; Zoo\nus-dime-mercury; 1921; D; 60-70; nice; 4"
    form = {**SHEET, "table": table}

    before = {one.heading: one.name for one in columns_read(form)}
    mapped = {"head-1": "Yr", "col-1": "year", "head-2": "Zoo", "col-2": "-"}

    assert before == {"Coin": "kind", "Yr": "", "MM": "mint", "VG8": "VG8", "Remarks": "-", "Zoo": ""}
    assert {one.heading: one.name for one in columns_read({**form, **mapped})} == {**before, "Yr": "year", "Zoo": "-"}
    (row,) = read_sheet_form(kit, {**form, **mapped, "head-3": "VG8", "col-3": "VG8"}).rows
    assert (row.kind, row.issue, str(row.grade), row.high) == ("us-dime-mercury", "1921-D", "VG8", D(70))


def test_lines_may_leave_the_kind_to_the_head(kit: Kit) -> None:
    read = read_sheet_form(kit, {**SHEET, "kind": "mercury dime", "table": "issue, grade, price\n1921-D, G4, 60"})

    assert read.rows[0].kind == "us-dime-mercury"


def test_what_no_sheet_can_answer_is_told_at_the_grade(kit: Kit) -> None:
    put_sheet(kit, SHEET)

    for grade, words in (("MS65", "MS65 is outside"), ("AU50 cleaned", "sound pieces")):
        with pytest.raises(Faults, match=words) as error:
            ask(kit, {"what": "merc dime 1921-D", "grade": grade})
        assert {fault.where for fault in error.value.faults} == {"grade"}
    with pytest.raises(Faults, match="No sheet of yours lists us-dollar-morgan"):
        ask(kit, {"what": "morgan dollar 1881-S", "grade": "MS63"})
    with pytest.raises(NotFoundError, match="the spring show"):
        sheet_named(kit, "autumn")
