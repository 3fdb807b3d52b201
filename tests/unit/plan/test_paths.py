"""Paths of spot, a steady sum, and the stack along them: held against what can be worked out by hand."""

from dataclasses import replace
from datetime import date
from decimal import Decimal
from fractions import Fraction

import numpy as np
import pytest

from ninefine.errors import InputError, RangeError, UnreadableError
from ninefine.market.content import content
from ninefine.market.read_quote import read_quote
from ninefine.market.series import Point, PriceSeries, monthly
from ninefine.plan.paths import CUTS, Drawing, drawn, history, read_path, shock
from ninefine.plan.steady import Habit, all_windows, over

D = Decimal
ROUNDS = Habit(content=content("ozt"), ask=read_quote("spot"), monthly=D(100))


def months(*prices: str) -> tuple[Point, ...]:
    """Months of 2001 on at some prices."""
    return tuple(
        Point(
            first=date(2001 + at // 12, at % 12 + 1, 1),
            last=date(2001 + at // 12, at % 12 + 1, 28),
            per_ozt=D(price),
            source="invented",
        )
        for at, price in enumerate(prices)
    )


def test_a_past_that_always_rose_by_a_hundredth_draws_that_very_line() -> None:
    """Whatever blocks are strung together, 1.01 to the power of 24 is 1.269735."""
    past = months(*(f"{1.01**at:.12f}" for at in range(60)))
    fan = drawn(past, D(100), Drawing(months=24, paths=50, block=5))

    assert fan.rows[0] == (D(100),) * len(CUTS)
    assert set(fan.rows[24]) == {D("126.97")}
    assert set(fan.rows[12]) == {D("112.68")}


def test_one_block_as_long_as_the_path_is_a_stretch_of_the_real_past() -> None:
    """With blocks of 12 months a path of 12 months is one real stretch; its end is one of the past's own moves."""
    points = history(monthly("XAG"), Drawing(first_year=1975, last_year=2000))
    fan = drawn(points, D(50), Drawing(months=12, paths=4000, block=12, seed=7))
    ends = sorted(50 * float(b.per_ozt) / float(a.per_ozt) for a, b in zip(points, points[12:], strict=False))

    for cut, value in zip(CUTS, fan.rows[12], strict=True):
        # four thousand draws of some three hundred stretches: the cut lies within two per cent of ranks of the true one
        low, high = np.percentile(ends, [max(0, cut - 2), min(100, cut + 2)], method="inverted_cdf")
        assert low - 0.01 <= float(value) <= high + 0.01


def test_the_same_seed_draws_the_same_and_another_does_not() -> None:
    points = history(monthly("XAG"), Drawing())
    one, again = (drawn(points, D(66), Drawing(months=6, paths=100, seed=3)) for _ in range(2))
    other = drawn(points, D(66), Drawing(months=6, paths=100, seed=4))

    assert one == again
    assert one.rows != other.rows
    assert "seed 3" in one.words
    assert all(list(row) == sorted(row) for row in one.rows)


def test_a_shock_and_a_path_of_ones_own() -> None:
    assert [row[0] for row in shock(D("66.00"), D(-20)).rows] == [D("66.00"), D("52.80")]
    assert read_path(" 66, $60; 55.50 ") == (D(66), D(60), D("55.50"))
    with pytest.raises(RangeError):
        shock(D(66), D(-100))
    with pytest.raises(UnreadableError):
        read_path("66, soon")
    with pytest.raises(RangeError):
        read_path(" , ")


def test_too_short_a_past_and_too_many_paths_are_refused() -> None:
    with pytest.raises(RangeError, match="12 months are too few"):
        history(monthly("XAG"), Drawing(first_year=2000, last_year=2000, block=12))
    with pytest.raises(InputError, match="cannot be drawn"):
        drawn(months("1", "2", "3"), D(1), Drawing(paths=10**6, block=1))


def test_a_steady_sum_buys_whole_pieces_and_carries_its_change() -> None:
    """Question 11: floor(100/30) = 3 and 10 left; (10 + 100)/40 = 2 and 30 left; (30 + 100)/20 = 6 and 10 left."""
    found = over(ROUNDS, months("30", "40", "20"))

    assert [(one.units, one.carried) for one in found.steady.months] == [(3, D(10)), (2, D(30)), (6, D(10))]
    assert (found.steady.units, found.steady.spent, found.steady.change) == (11, D(290), D(10))
    assert found.steady.per_ozt == pytest.approx(D(290) / 11)
    assert (found.lump.units, found.lump.spent, found.lump.change) == (10, D(300), D(0))
    assert (found.steady.worth, found.lump.worth) == (D(220), D(200))


def test_an_ask_over_spot_and_coin_by_face() -> None:
    """At 30.00, `4% over` on 0.715 ozt is 22.308, asked 22.31 a face dollar: 100 buys 4 face, 2.86 ozt by trade."""
    habit = replace(ROUNDS, content=content("90"), ask=read_quote("4% over"))
    found = over(habit, months("30"))

    assert found.steady.months[0].price == D("22.31")
    assert (found.steady.units, found.steady.ozt, found.steady.change) == (4, D("2.86"), D("10.76"))


def test_every_window_counts_as_it_does_by_itself() -> None:
    """The quick count over all windows is the ledger's own, window by window."""
    points = monthly("XAG").points[-90:]
    habit = replace(ROUNDS, monthly=D("275.50"), ask=read_quote("spot+2.35"))
    found = all_windows(habit, points, 12)
    each = [over(habit, points[start : start + 12]) for start in range(len(points) - 11)]
    ahead = sorted(Fraction(one.steady.units, one.lump.units) for one in each)

    assert found.count == len(each) == 79
    assert found.steady_ahead == sum(one > 1 for one in ahead)
    for cut, value in zip(CUTS, found.ahead, strict=True):
        exact = np.percentile([float(one) for one in ahead], cut, method="inverted_cdf")
        assert float(value) == pytest.approx(float(exact), abs=1e-4)


def test_a_sum_that_never_buys_a_piece_and_windows_that_are_not_there() -> None:
    with pytest.raises(RangeError, match="never buys"):
        all_windows(replace(ROUNDS, monthly=D(1)), months("30", "40"), 2)
    with pytest.raises(RangeError, match="no window"):
        all_windows(ROUNDS, months("30"), 2)
    with pytest.raises(RangeError, match="no months"):
        over(ROUNDS, ())


def test_a_series_without_that_metal_is_too_short() -> None:
    short = PriceSeries(metal="XAG", step="month", points=months("1", "2", "3"))
    with pytest.raises(RangeError):
        history(short, Drawing())
