"""Losses against gains, term by term, at typed rates: worked by hand, and against a netting written apart.

The order of netting is that of U.S. Schedule D (Form 1040), lines 7, 15, 16 and 21, from memory; the yearly limit of 21
is 3,000 there (26 U.S.C. 1211(b)), and is typed here.
"""

from decimal import Decimal
from fractions import Fraction
from itertools import product

import pytest

from ninefine.plan.taxed import Rates, Region, added_tax, region_of, slope_of, year_tax

D = Decimal
RATES = Rates(short=D(32), long=D(28), loss_limit=D(3000))


@pytest.mark.parametrize(
    ("short", "long", "region", "tax"),
    [
        ("949.50", "5464.80", Region.BOTH_GAIN, "1833.98"),  # Harbor Lane: 303.84 and 1,530.14
        ("-400", "1000", Region.SHORT_LOSS, "168.00"),  # 600 left at 28%
        ("1000", "-400", Region.LONG_LOSS, "192.00"),  # 600 left at 32%
        ("-500", "-700", Region.LOSS, "-384.00"),  # 1,200 against other income at 32%
        ("1000", "-4000", Region.LOSS, "-960.00"),  # just the limit
        ("-5000", "0", Region.DEEP_LOSS, "-960.00"),  # 2,000 are carried on
        ("0", "0", Region.BOTH_GAIN, "0.00"),
    ],
)
def test_a_years_tax_by_hand(short: str, long: str, region: Region, tax: str) -> None:
    assert region_of(D(short), D(long), RATES.loss_limit) is region
    assert year_tax(D(short), D(long), RATES) == D(tax)


def test_what_a_sale_adds_is_the_year_with_it_less_the_year_without() -> None:
    """A loss of 100 on the books already shelters the first 100 of a long-term gain."""
    before = Rates(short=D(32), long=D(28), before_short=D(-100))

    assert added_tax(D(0), D(250), before) == D("42.00")
    assert added_tax(D(0), D(50), before) == D("0.00")
    assert added_tax(D(0), D(250), Rates(short=D(32), long=D(28))) == D("70.00")


def test_within_each_region_tax_is_the_line_that_is_said() -> None:
    """On a grid that crosses every region, the slope of the region comes to the tax but for rounding."""
    for short, long in product(range(-6000, 6001, 375), repeat=2):
        region = region_of(D(short), D(long), RATES.loss_limit)
        slope = slope_of(region, RATES)
        line = slope.short * short + slope.long * long + slope.fixed

        assert abs(line - Fraction(year_tax(D(short), D(long), RATES))) <= Fraction(1, 100)


def test_more_gain_never_means_less_tax() -> None:
    """What the plans' bounds rest on: tax rises, or stands, with every dollar of gain."""
    for short, long in product(range(-5000, 5001, 250), repeat=2):
        here = year_tax(D(short), D(long), RATES)
        assert year_tax(D(short + 250), D(long), RATES) >= here
        assert year_tax(D(short), D(long + 250), RATES) >= here


def test_without_a_limit_a_loss_counts_against_gains_alone() -> None:
    assert year_tax(D(-500), D(0), Rates(short=D(32), long=D(28))) == 0
    assert region_of(D(-500), D(0), D(0)) is Region.DEEP_LOSS
