"""Days as typed."""

from datetime import date

import pytest

from ninefine.errors import RangeError, UnreadableError
from ninefine.measure.days import read_day


def test_a_day_is_year_month_day() -> None:
    assert read_day(" 2024-02-29 ") == date(2024, 2, 29)
    assert read_day("1700-01-01") < read_day("2199-12-31")


@pytest.mark.parametrize("text", ["", "2026-02-30", "12-31", "1/2/2024", "tomorrow", "x" * 9000])
def test_what_is_no_day_is_refused_with_one(text: str) -> None:
    with pytest.raises(UnreadableError, match="is not a date") as refused:
        read_day(text)
    assert len(str(refused.value)) < 120


@pytest.mark.parametrize("text", ["0001-01-01", "0024-03-01", "1699-12-31", "2200-01-01", "9999-12-31"])
def test_a_day_of_no_household_is_refused(text: str) -> None:
    """A slip of the hand; and a year later than 9999 could not be reckoned."""
    with pytest.raises(RangeError, match="is in the year"):
        read_day(text)
