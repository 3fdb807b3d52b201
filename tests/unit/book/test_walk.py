"""A walk from date to date tells, stop by stop, what a fold of each date holds."""

from datetime import date

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from ninefine.book.chain import Stored
from ninefine.book.fold import fold
from ninefine.book.holdings import Disposal, Lot
from ninefine.book.walk import walk
from short_entries import DAY, book, bought, moved, ref, sold
from strategies_book import days, journals


@settings(max_examples=30, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(journals(), st.lists(days, min_size=1, max_size=6))
def test_the_changes_up_to_a_stop_make_the_holdings_of_that_date(records: list[Stored], stops: list[date]) -> None:
    lots: dict[str, Lot] = {}
    left: list[Disposal] = []
    for step in walk(records, sorted(stops)):
        lots |= step.changed
        left += step.left
        then = fold(records, on=step.on)

        assert lots == then.lots
        assert tuple(left) == then.disposals


def test_only_what_changed_is_told() -> None:
    records = book(
        bought("L1"), bought("L2"), moved(ref("L2"), "B2", on=date(2026, 4, 1)), sold(ref("L1"), on=date(2026, 5, 1))
    )

    steps = list(walk(iter(records), [DAY, date(2026, 3, 31), date(2026, 4, 1), date(2026, 6, 1)]))

    assert [list(step.changed) for step in steps] == [["L1", "L2"], [], ["L2"], ["L1"]]
    assert [len(step.left) for step in steps] == [0, 0, 0, 1]


def test_nobody_walks_backwards() -> None:
    with pytest.raises(ValueError, match="lies before"):
        list(walk(book(bought("L1")), [date(2026, 6, 1), DAY]))
