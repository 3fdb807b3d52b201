"""Rates of return where there is none, where there are several, and where floats could run away."""

from datetime import date, timedelta
from decimal import Decimal

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from ninefine.worth.rate import Flow, money_weighted, net_present

D = Decimal
DAY = date(2020, 1, 1)


def on(day: int, amount: str) -> Flow:
    return DAY + timedelta(days=day), D(amount)


@pytest.mark.parametrize(
    "flows",
    [
        [],
        [on(0, "-100")],
        [on(0, "-100"), on(0, "110")],  # all on one day
        [on(0, "-100"), on(365, "-110")],  # nothing came back
        [on(0, "100"), on(365, "110")],  # nothing was put in
        [on(0, "-100"), on(0, "100"), on(9, "0")],  # it cancels out
        [on(0, "-100"), on(1, "110")],  # a tenth in a day is 1.3e15 a year: no yearly rate
    ],
)
def test_there_is_no_rate(flows: list[Flow]) -> None:
    assert money_weighted(flows) is None


def test_a_year_is_365_days_even_in_a_leap_year() -> None:
    rate = money_weighted([on(0, "-100"), on(365, "108")])

    assert rate is not None
    assert (rate.yearly, rate.days, rate.others) == (D("0.08"), 365, ())


def test_flows_of_one_day_are_one_flow() -> None:
    apart = money_weighted([on(0, "-60"), on(0, "-40"), on(365, "108")])

    assert apart == money_weighted([on(0, "-100"), on(365, "108")])


def test_several_rates_are_all_told_and_the_nearest_to_none_comes_first() -> None:
    """-1000, 2500, -1540 a year apart: x**2 - 2.5 x + 1.54 is (x - 1.1)(x - 1.4), so 10% and 40%."""
    rate = money_weighted([on(0, "-1000"), on(365, "2500"), on(730, "-1540")])

    assert rate is not None
    assert (rate.yearly, rate.others) == (D("0.1"), (D("0.4"),))


def test_all_but_everything_may_be_lost() -> None:
    rate = money_weighted([on(0, "-10000"), on(3650, "0.01")])

    assert rate is not None
    assert float(rate.yearly) == pytest.approx((0.01 / 10000) ** 0.1 - 1, abs=1e-10)


@given(
    st.floats(-0.7, 3.0),
    st.lists(st.tuples(st.integers(0, 9000), st.integers(100, 900_000)), min_size=1, max_size=20),
    st.integers(9001, 12000),
)
def test_money_that_grew_at_a_rate_has_that_rate(yearly: float, bought: list[tuple[int, int]], end: int) -> None:
    """What was put in is carried to the end at a rate; the flows then have that rate and no other."""
    worth = sum(cents / 100 * (1 + yearly) ** ((end - day) / 365) for day, cents in bought)
    assume(worth >= 0.01)  # less than the smallest coin is nothing, and has no rate
    flows = [on(day, str(D(-cents) / 100)) for day, cents in bought]
    rate = money_weighted([*flows, (DAY + timedelta(days=end), D(worth))])

    if rate is None:  # grown by more than e**40 over all its days; what shrinks by as much is left out above
        assert worth > 1e12
    else:
        assert float(rate.yearly) == pytest.approx(yearly, abs=1e-7)
        assert rate.others == ()


def test_a_present_value_is_of_the_first_day() -> None:
    assert net_present([on(365, "110"), on(0, "-100")], 0.1) == pytest.approx(0.0, abs=1e-12)
