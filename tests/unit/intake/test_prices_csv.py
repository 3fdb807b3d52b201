"""The person's own dated prices from a table: all of it or nothing, every fault on its line."""

from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ninefine.errors import Faults
from ninefine.intake.prices_csv import MOST_LINES, read_prices

TODAY = date(2024, 4, 1)
GOOD = "date,price,whose\n2024-03-01,22.90,the shop\n2024-03-04,23.10,the shop\n"


def test_a_table_with_names() -> None:
    """Dates, exact prices, whose."""
    one, other = read_prices(GOOD, today=TODAY)
    assert (one.on, str(one.per_ozt), one.whose) == (date(2024, 3, 1), "22.90", "the shop")
    assert (other.on, other.metal, other.side, other.at) == (date(2024, 3, 4), "XAG", "spot", "")


def test_a_table_without_names_is_taken_in_order() -> None:
    """Date, price, whose; a remark and an empty line are passed over."""
    (one,) = read_prices("# typed from my notebook\n\n2024-03-01, $22.90, notebook\n")
    assert (one.per_ozt, one.whose) == (Decimal("22.90"), "notebook")


def test_every_column_under_other_names_and_marks() -> None:
    """Semicolons, a byte mark, a quoted thousands mark, gold, a bid at a time of day."""
    text = (
        '\N{ZERO WIDTH NO-BREAK SPACE}Day;Time;Metal;Side;Spot;Source\n2024-03-01;9:05;gold;bid;"2,040.50";the bank\n'
    )
    (one,) = read_prices(text)
    assert (one.at, one.metal, one.side, one.per_ozt, one.whose) == (
        "09:05",
        "XAU",
        "bid",
        Decimal("2040.50"),
        "the bank",
    )


def test_tabs_part_columns_too() -> None:
    """As copied out of a sheet."""
    assert [str(price.per_ozt) for price in read_prices("2024-03-01\t22.90\n2024-03-02\t22.95")] == ["22.90", "22.95"]


BAD = {
    "nothing": ("", "", "There is no price in it"),
    "names alone": ("date,price\n", "", "There is no price in it"),
    "remarks alone": ("# nothing yet\n", "", "There is no price in it"),
    "another order of the date": ("date,price\n03/01/2024,22.90\n", "line 2, date", "Write year, month, day."),
    "a date in words": ("date,price\nMarch 1,22.90\n", "line 2, date", "is not a date"),
    "a date without a day": ("2024-03,22.90\n", "line 1, date", "is not a date"),
    "a day that never was": ("2023-02-29,22.90\n", "line 1, date", "is not a date"),
    "a day to come": ("2024-04-02,22.90\n", "line 1, date", "has not come yet"),
    "no date": ("date,price\n,22.90\n", "line 2, date", "is not a date"),
    "no price": ("2024-03-01,\n", "line 1, price", "is not a price"),
    "a price in words": ("2024-03-01,about 23\n", "line 1, price", "is not a price"),
    "a price of nothing": ("2024-03-01,0\n", "line 1, price", "more than zero"),
    "a price below zero": ("2024-03-01,-22.90\n", "line 1, price", "more than zero"),
    "a decimal comma": ('2024-03-01,"22,90"\n', "line 1, price", "is not a price"),
    "a price not finite": ("2024-03-01,nan\n", "line 1, price", "is not a price"),
    "a column unknown": ("date,price,colour\n2024-03-01,22.90,blue\n", "line 1", "'colour' is not a column"),
    "a column missing": ("date,whose\n2024-03-01,the shop\n", "line 1", "one column named price"),
    "a column twice": ("date,price,spot\n2024-03-01,22,23\n", "line 1", "one column named price"),
    "a cell too many": ("date,price\n2024-03-01,22.90,the shop\n", "line 2", "3 cells stand in 2 columns"),
    "a quotation mark left open": ('2024-03-01,"22.90\n', "line 1", "cannot be told apart"),
    "a time of day that is none": ("date,price,time\n2024-03-01,22.90,25:00\n", "line 2, time", "not a time of day"),
    "a metal unknown": ("date,price,metal\n2024-03-01,22.90,tin\n", "line 2, metal", "not a metal held here"),
    "a side unknown": ("date,price,side\n2024-03-01,22.90,middle\n", "line 2, side", "not a side of the market"),
    "the same time twice": (
        "2024-03-01,22.90\n2024-03-01,22.95\n",
        "line 2",
        "Line 1 has a price of this time already",
    ),
    "a file far too long": ("\n" * (MOST_LINES + 1), "", "more than 100000 lines"),
}


@pytest.mark.parametrize("name", BAD)
def test_a_bad_table_says_where_and_what(name: str) -> None:
    """The first fault stands on its line."""
    text, where, wrong = BAD[name]
    with pytest.raises(Faults) as caught:
        read_prices(text, "prices.csv", today=TODAY)
    first = caught.value.faults[0]
    assert first.where == where
    assert wrong in first.wrong


def test_one_bad_line_keeps_all_out_and_all_faults_come_at_once() -> None:
    """Two of three lines at fault, one of them twice."""
    with pytest.raises(Faults) as caught:
        read_prices("2024-03-01,22.90\n2024-3-2,x\n2024-03-03,-1\n")
    assert [fault.where for fault in caught.value.faults] == ["line 2, date", "line 2, price", "line 3, price"]


@given(st.text(max_size=120))
def test_no_text_breaks_the_reader(text: str) -> None:
    """Whatever the file holds, there are faults in words or there are prices."""
    try:
        answer = str(read_prices(text, today=TODAY))
    except Faults as error:
        answer = str(error)
    assert answer


@given(
    st.lists(
        st.tuples(st.dates(date(1990, 1, 1), TODAY), st.decimals(min_value="0.01", max_value=9999, places=4)),
        min_size=1,
        max_size=20,
        unique_by=lambda row: row[0],
    )
)
def test_what_was_written_is_read(rows: list[tuple[date, Decimal]]) -> None:
    """Any dates and prices come back exactly, in their order."""
    text = "\n".join(f"{on},{price}" for on, price in rows)
    assert [(price.on, price.per_ozt) for price in read_prices(text, today=TODAY)] == rows
