"""Sheets of prices from tables: long or wide, mapped, and every fault at its line and column. Prices are invented."""

from collections.abc import Mapping
from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ninefine.catalog.shelf import load_catalog
from ninefine.errors import Faults
from ninefine.intake.sheet_csv import SheetHead, read_sheet_csv
from ninefine.worth.read_sheet import sheet_from
from ninefine.worth.sheet import Sheet

CATALOG = load_catalog()
TODAY = date(2026, 11, 25)
HEAD = SheetHead(name="spring", on=date(2026, 6, 1), source="a show", note="invented")


def read(text: str, head: SheetHead = HEAD, columns: Mapping[str, str] | None = None) -> Sheet:
    return read_sheet_csv(text, head, CATALOG, columns=columns, today=TODAY)


def told(sheet: Sheet) -> list[str]:
    return [f"{row.kind} {row.issue} {row.grade} {row.low} {row.high}" for row in sheet.rows]


def faults(text: str, head: SheetHead = HEAD, columns: Mapping[str, str] | None = None) -> dict[str, str]:
    with pytest.raises(Faults) as caught:
        read(text, head, columns)
    return {fault.where: fault.wrong for fault in caught.value.faults}


def test_a_long_table_has_a_price_to_a_line() -> None:
    sheet = read(
        "kind,year,mint,variety,grade,low,high,source,date\n"
        "Mercury dime,1921,D,,VF20,160,180,the club,2026-05-01\n"
        "us-dime-mercury,1942,,2 over 1,XF40,$500,,,\n"
        "\n"
        "# a remark\n"
        "us-dime-mercury,,,,VF20,4,5,,\n"
    )

    assert told(sheet) == [
        "us-dime-mercury 1921-D VF20 160 180",
        "us-dime-mercury 1942-P:2 over 1 EF40 500 500",
        "us-dime-mercury  VF20 4 5",
    ]
    assert [(row.source, row.on) for row in sheet.rows][:2] == [
        ("the club", date(2026, 5, 1)),
        ("a show", date(2026, 6, 1)),
    ]
    assert (sheet.name, sheet.note) == ("spring", "invented")


@pytest.mark.parametrize("mark", [",", ";", "\t"])
def test_a_wide_table_has_a_column_for_each_grade(mark: str) -> None:
    lines = ["kind,issue,G4,F12,VF20,notes", "Mercury dime,1921-D,60-75,$105.50,160 to 180,mine", "Mercury dime,,-,,4,"]

    assert told(read("\n".join(lines).replace(",", mark))) == [
        "us-dime-mercury 1921-D G4 60 75",
        "us-dime-mercury 1921-D F12 105.5 105.5",
        "us-dime-mercury 1921-D VF20 160 180",
        "us-dime-mercury  VF20 4 4",
    ]


def test_thousands_marks_read_in_quotes_and_in_tabs() -> None:
    assert told(read('kind,grade,price\nMorgan dollar,MS65,"1,200-1,500"')) == ["us-dollar-morgan  MS65 1200 1500"]
    assert told(read("kind\tgrade\tlow\thigh\nMorgan dollar\tMS65\t1,200\t$1,500.50")) == [
        "us-dollar-morgan  MS65 1200 1500.50"
    ]


def test_headings_may_be_mapped_and_columns_left_out() -> None:
    text = "Series;Date;MM;Cond.;Lo;Hi;Pop\nMercury dime;1921;D;VF20;160;180;77\n"
    mapped = read(text, columns={"date": "year", "COND.": "grade", "lo": "low", "hi": "high", "Pop": "-"})

    assert told(mapped) == ["us-dime-mercury 1921-D VF20 160 180"]


def test_a_heading_may_be_mapped_to_a_grade() -> None:
    head = SheetHead(name="x", on=TODAY, kind="us-dime-mercury")

    assert told(read("issue,worn,nice\n1921-D,45,160", head, {"worn": "G4", "nice": "VF20"})) == [
        "us-dime-mercury 1921-D G4 45 45",
        "us-dime-mercury 1921-D VF20 160 160",
    ]


def test_what_was_read_is_what_the_plain_reader_reads() -> None:
    sheet = read("kind,issue,G4,VF20\nMercury dime,1921-D,60-75,160-180\n")

    assert sheet_from(sheet.as_dict(), catalog=CATALOG) == sheet


def test_every_fault_of_the_lines_comes_out_at_once() -> None:
    found = faults(
        "kind,issue,grade,low,high,date\n"
        "Mercury dim,1921-D,VF,160,x,\n"
        "Mercury dime,1964-D,VF20,5,3,\n"
        "Mercury dime,1921-D,VF20,0,,2027-01-01\n"
        ",1921-D,VF20,5,,\n"
        'Mercury dime,"1921,VF20\n'
        "Mercury dime,1920-S,VF20,5,6,,7\n"
        "Mercury dime,1931-D,VF20,5,6,\n"
        "Mercury dime,1931-D,VF-20,5,6,\n"
    )

    assert set(found) == {
        "line 2, grade",
        "line 2, high",
        "line 3, issue",
        "line 3, high",
        "line 4, low",
        "line 4, date",
        "line 5, kind",
        "line 6",
        "line 7",
        "line 9, grade",
    }
    assert "Struck in 1964: Roosevelt dime" in found["line 3, issue"]
    assert found["line 9, grade"] == "us-dime-mercury 1931-D in VF20 stands here twice."


def test_a_wide_lines_faults_stand_at_their_grade_and_once() -> None:
    with pytest.raises(Faults) as caught:
        read("kind,issue,G4,F12,VF20\nMercury dime,1964-D,60-75-80,0,5-4\nqqqq,,1,2,3\n")

    assert sorted(fault.where for fault in caught.value.faults) == [
        "line 2, F12",
        "line 2, G4",
        "line 2, VF20",
        "line 2, issue",
        "line 3, kind",
    ]


@pytest.mark.parametrize(
    ("text", "wrong"),
    [
        ("kind,grade,low,colour\nx,VF20,1,red", "'colour' is not a column here"),
        ("kind,grade\nMercury dime,VF20", "A price needs columns of its grade and of the price"),
        ("grade,low\nVF20,1", "No column says what kind"),
        ("kind,VF20,low\nMercury dime,1,2", "columns of single grades and columns for any grade"),
        ("kind,grade,price,low\nMercury dime,VF20,1,2", "leave one out"),
        ("kind,issue,year,VF20\nMercury dime,1921-D,1921,2", "leave one out"),
        ("kind,grade,low,from\nMercury dime,VF20,1,2", "Two columns are read as low"),
        ("kind,grade,low\n", "There is no price in it"),
        ("", "No column says what kind"),
    ],
)
def test_columns_that_cannot_say_a_price_are_refused(text: str, wrong: str) -> None:
    with pytest.raises(Faults) as caught:
        read(text)

    assert any(wrong in fault.wrong for fault in caught.value.faults)


@pytest.mark.parametrize(
    ("kind", "wrong"),
    [
        ("Mercury dime 1921", "names a date as well as a kind"),
        ("dime proof", "different kinds"),
        ("qqqq", "No kind is named"),
    ],
)
def test_a_kind_is_taken_by_words_only_where_they_mean_it_alone(kind: str, wrong: str) -> None:
    assert wrong in faults(f"kind,grade,low\n{kind},VF20,5\n")["line 2, kind"]


def test_a_column_that_is_none_of_kinds_is_not_looked_up_for_ever() -> None:
    names = [f"qq{one}{other}zz" for one in "bcdfghjklmnpqrs" for other in "bcdfghjklmnpqrs"][:201]
    found = faults("kind,grade,low\n" + "".join(f"{name},VF20,5\n" for name in names))

    assert "No kind is named" in found["line 201, kind"]
    assert "is not looked up: 200 other names were refused" in found["line 202, kind"]


def test_a_mapping_of_what_is_not_there_is_a_fault() -> None:
    found = faults("kind,grade,low\nMercury dime,VF20,1", columns={"price": "low", "low": "lowest"})

    assert found["line 1"]
    with pytest.raises(Faults) as caught:
        read("kind,grade,low\nMercury dime,VF20,1", columns={"price": "low", "low": "lowest"})
    assert [fault.wrong.partition(";")[0] for fault in caught.value.faults][:2] == [
        "There is no column headed 'price'.",
        "'lowest' is nothing that a column may be",
    ]


def test_a_sheet_of_tomorrow_or_without_a_name_is_refused_with_its_lines() -> None:
    found = faults("kind,grade,low\nMercury dime,VF20,x", SheetHead(name="", on=date(2027, 1, 1)))

    assert set(found) == {"name", "on", "line 2, low"}


def test_nothing_is_read_of_a_file_too_long() -> None:
    with pytest.raises(Faults, match="more than 100000 lines"):
        read("kind,grade,low\n" + "x,VF20,1\n" * 100_000)


cells = st.sampled_from(
    [
        "Mercury dime",
        "us-dime-mercury",
        "1921-D",
        "1964-D",
        "VF20",
        "VF",
        "160",
        "0",
        "5-4",
        "-",
        "",
        "x",
        '"',
        "2026-01-01",
    ]
)


@settings(deadline=None)
@given(
    st.lists(st.lists(cells, max_size=6), max_size=4),
    st.sampled_from(["kind,issue,grade,low,high", "kind,issue,G4,VF20"]),
)
def test_any_table_is_read_whole_or_refused_in_words(rows: list[list[str]], heading: str) -> None:
    """Nothing but the reader's own refusals comes out, and each price that was read is in order."""
    text = "\n".join([heading, *(",".join(row) for row in rows)])
    try:
        sheet = read(text)
    except Faults as error:
        assert error.faults
        assert all(fault.wrong for fault in error.faults)
    else:
        assert all(Decimal(0) < row.low <= row.high for row in sheet.rows)
        assert len({(row.kind, row.issue, row.grade) for row in sheet.rows}) == len(sheet.rows)
