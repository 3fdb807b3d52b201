"""Short and long term by the calendar, against printed examples.

The rule (IRS Publications 544 and 550): counting starts on the day after acquisition and includes the day of disposal;
long term is more than one year. Month ends: J. K. Lasser's Your Income Tax 2013, section 5.9.
"""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ninefine.book.term import is_long, long_from
from ninefine.errors import BookError


@pytest.mark.parametrize(
    ("acquired", "first_long"),
    [
        (date(2005, 1, 1), date(2006, 1, 2)),  # an education column of 2005: 1 January short, 2 January long
        (date(2012, 9, 19), date(2013, 9, 20)),  # Lasser 2013, section 5.9: long from 20 September 2013
        (date(2012, 11, 30), date(2013, 12, 1)),  # Lasser 2013, section 5.9, month ends; this clause follows from it
        # leap days follow from the rule of month ends; no printed example was found
        (date(2011, 2, 28), date(2012, 3, 1)),
        (date(2012, 2, 29), date(2013, 3, 1)),
        (date(2012, 2, 28), date(2013, 3, 1)),
        (date(2023, 12, 31), date(2025, 1, 1)),
    ],
)
def test_long_term_begins_on_the_day_that_the_sources_print(acquired: date, first_long: date) -> None:
    assert long_from(acquired) == first_long
    assert is_long(acquired, first_long)
    assert not is_long(acquired, first_long - timedelta(days=1))


@given(st.dates(date(1900, 1, 1), date(2100, 1, 1)))
def test_no_year_is_too_short_or_too_long(acquired: date) -> None:
    assert timedelta(days=366) <= long_from(acquired) - acquired <= timedelta(days=367)


@given(st.dates(date(1900, 1, 1), date(2100, 1, 1)))
def test_what_is_bought_later_turns_long_no_sooner(acquired: date) -> None:
    assert long_from(acquired + timedelta(days=1)) >= long_from(acquired)


def test_a_sale_before_the_purchase_is_refused() -> None:
    with pytest.raises(BookError, match="Sold on 2026-03-01, before it was acquired on 2026-03-02"):
        is_long(date(2026, 3, 2), date(2026, 3, 1))
