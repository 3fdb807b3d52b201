"""Laws of reading lists: days and numbers are read as they were written, or it is said that they cannot be told."""

from datetime import date
from decimal import Decimal

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from ninefine.errors import Fault, InputError
from ninefine.intake.day_order import DayOrder, decide_order, read_day_in
from ninefine.intake.number_marks import DecimalMark, Placed, decide_mark, read_number

TODAY = date(2026, 11, 25)
days = st.lists(st.dates(date(1927, 1, 1), TODAY), min_size=1, max_size=6)
amounts = st.lists(st.decimals(min_value=0, max_value=2_000_000, places=3), min_size=1, max_size=6)


def written_day(day: date, order: DayOrder, mark: str, *, short: bool, zeros: bool) -> str:
    year = f"{day.year % 100:02}" if short else str(day.year)
    month, number = (f"{day.month:02}", f"{day.day:02}") if zeros else (str(day.month), str(day.day))
    parts = {
        DayOrder.YMD: (year, month, number),
        DayOrder.DMY: (number, month, year),
        DayOrder.MDY: (month, number, year),
    }
    return mark.join(parts[order])


@given(days, st.sampled_from(DayOrder), st.sampled_from("/-."), st.booleans(), st.booleans())
@example([date(2012, 10, 11), date(2011, 12, 10)], DayOrder.YMD, "-", True, True)
def test_days_are_read_as_written_or_refused(
    wanted: list[date],
    order: DayOrder,
    mark: str,
    short: bool,  # noqa: FBT001 - drawn
    zeros: bool,  # noqa: FBT001 - drawn
) -> None:
    texts = [written_day(day, order, mark, short=short, zeros=zeros or short) for day in wanted]
    faults: list[Fault] = []

    decided = decide_order([Placed(f"line {n}", text) for n, text in enumerate(texts, 2)], TODAY, faults)

    if not faults:
        assert [read_day_in(text, decided, TODAY) for text in texts] == wanted
    assert [read_day_in(text, order, TODAY) for text in texts] == wanted, "as the person says"


def written_number(value: Decimal, mark: DecimalMark, thousands: str, places: int) -> str:
    whole, _, rest = f"{value:.{places}f}".partition(".")
    grouped = f"{int(whole):,}".replace(",", thousands)
    return grouped + (("." if mark is DecimalMark.POINT else ",") + rest if rest else "")


@given(amounts, st.sampled_from(DecimalMark), st.sampled_from(["", " ", "'", "other"]), st.integers(0, 3))
@example([Decimal("1234.000")], DecimalMark.POINT, "other", 0)
@example([Decimal("1.234")], DecimalMark.COMMA, "", 3)
def test_numbers_are_read_as_written_or_refused(
    wanted: list[Decimal], mark: DecimalMark, thousands: str, places: int
) -> None:
    group = thousands if thousands != "other" else {DecimalMark.POINT: ",", DecimalMark.COMMA: "."}[mark]
    texts = [written_number(value, mark, group, places) for value in wanted]
    values = [round(value, places) for value in wanted]
    faults: list[Fault] = []

    decided = decide_mark([Placed(f"line {n}", text) for n, text in enumerate(texts, 2)], faults)

    if not faults:
        assert [read_number(text, decided, "USD") for text in texts] == values
    assert [read_number(text, mark, "USD") for text in texts] == values, "as the person says"


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("$1,234.50", "1234.50"), ("(12.50)", "-12.50"), ("12.50-", "-12.50"), ("-$5", "-5"), ("$ -5.00", "-5.00"),
        ("($12.50)", "-12.50"), ("1'234.50", "1234.50"), ("US$ 5", "5"), ("5 usd", "5"), ("12.-", "12"),
        (".50", "0.50"), ("+7", "7"), ("1 234.5", "1234.5"), ("\N{MINUS SIGN}3", "-3"), ("12.--", "12"),
    ],
)  # fmt: skip
def test_signs_brackets_and_currencies(text: str, value: str) -> None:
    """Ways of writing that are common in spreadsheets (common practice, no source)."""
    assert read_number(text, DecimalMark.POINT, "USD") == Decimal(value)


@pytest.mark.parametrize("text", ["1,23,456", "12..5", "1.2.3", "5 apples", "€5", "5 CAD", "1,2345.0", "--5 5", "١٢"])
def test_what_is_no_number_of_this_book_is_refused(text: str) -> None:
    with pytest.raises(InputError):
        read_number(text, DecimalMark.POINT, "USD")


@pytest.mark.parametrize(
    "text",
    [
        "2024-03-05", "2024/3/5", "20240305", "2024.03.05.", "5 Mar 2024", "5-Mar-24", "March 5, 2024", "Mar 5 2024",
        "5th of March 2024", "Tue, 5 Mar 2024", "2024 Mar 5", "2024-03-05T14:30:00", "2024-03-05 14:30", "5 MARCH '24",
    ],
)  # fmt: skip
@pytest.mark.parametrize("order", DayOrder)
def test_days_that_read_one_way_only_do_so_in_every_order(text: str, order: DayOrder) -> None:
    assert read_day_in(text, order, TODAY) == date(2024, 3, 5)


@pytest.mark.parametrize(
    "text", ["Mar-24", "2024", "31/02/2024", "5 Octember 2024", "1/2", "45352", "soon", "1600-01-01"]
)
def test_what_is_no_day_is_refused(text: str) -> None:
    with pytest.raises(InputError):
        read_day_in(text, DayOrder.DMY, TODAY)


def test_a_spreadsheet_s_day_number_is_said_as_a_day() -> None:
    """45,352 days after 30 December 1899 is 1 March 2024 (reckoned: 1900-01-01 is number 1 with a false leap day)."""
    with pytest.raises(InputError, match="Try: 2024-03-01"):
        read_day_in("45352", DayOrder.YMD, TODAY)
    assert date(1899, 12, 30).toordinal() + 45352 == date(2024, 3, 1).toordinal()
