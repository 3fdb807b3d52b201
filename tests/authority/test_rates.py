"""Rates of return against published values and against an independent library, pyxirr.

Convention: years of 365 days always, counted from the first date; dates in any order (ECMA-376 part 4, XIRR;
OpenFormula from memory). Values are read in the named pages or printed by pyxirr 0.10.8, as said beside each.
"""

import random
from datetime import date, timedelta
from decimal import Decimal

import pytest
import pyxirr

from ninefine.worth.rate import Flow, money_weighted, net_present

#: What a published rate may differ by.
RATE = 1e-8
#: And a sum of money.
MONEY = 1e-6

D = Decimal
FIVE: list[Flow] = [
    (date(2008, 1, 1), D(-10000)),
    (date(2008, 3, 1), D(2750)),
    (date(2008, 10, 30), D(4250)),
    (date(2009, 2, 15), D(3250)),
    (date(2009, 4, 1), D(2750)),
]


def yearly(flows: list[Flow]) -> float:
    rate = money_weighted(flows)
    assert rate is not None
    return float(rate.yearly)


def test_a_rate_of_three_flows() -> None:
    """Apache OpenOffice wiki, Calc function XIRR: about 0.124; pyxirr prints 0.12363109590403286."""
    flows = [(date(2008, 2, 5), D(-2750)), (date(2008, 7, 5), D(1000)), (date(2009, 1, 5), D(2000))]

    assert yearly(flows) == pytest.approx(0.12363109590403286, abs=RATE)
    assert round(yearly(flows), 3) == 0.124


def test_a_rate_of_five_flows_in_any_order() -> None:
    """Vendors' pages of the function give 0.373362535 (from memory); pyxirr prints 0.3733625335095556."""
    assert yearly(FIVE) == pytest.approx(0.3733625335095556, abs=RATE)
    assert yearly(FIVE[::-1]) == yearly(FIVE)


def test_a_present_value_at_nine_per_cent() -> None:
    """The same flows: 2,086.65 (vendors' pages, from memory); pyxirr prints 2086.6476020315363."""
    assert net_present(FIVE, 0.09) == pytest.approx(2086.6476020315363, abs=MONEY)


def test_a_rate_of_equal_years() -> None:
    """A database's function manual prints 0.2809484211599611 for -100, 39, 59, 55, 20 at equal periods."""
    flows = [
        (date(2001, 1, 1) + timedelta(days=365 * year), D(amount)) for year, amount in enumerate((-100, 39, 59, 55, 20))
    ]

    assert yearly(flows) == pytest.approx(0.2809484211599611, abs=RATE)


def test_days_are_counted_as_actual_over_365() -> None:
    """2008-01-01 to 2009-04-01 is 456 days; 100 that grew to 110 then grew by 1.1 ** (365 / 456) - 1 a year."""
    flows = [(date(2008, 1, 1), D(-100)), (date(2009, 4, 1), D(110))]
    rate = money_weighted(flows)

    assert rate is not None
    assert rate.days == 456
    assert float(rate.yearly) == pytest.approx(1.1 ** (365 / 456) - 1, abs=RATE)


def test_two_hundred_random_savings_against_pyxirr() -> None:
    """Bought on up to sixty days over twenty years, some of it sold again, the rest worth something at the end."""
    chance = random.Random(714)
    for _ in range(200):
        flows = savings(chance)

        assert yearly(flows) == pytest.approx(pyxirr.xirr([(day, float(sum_)) for day, sum_ in flows]), abs=RATE)


def savings(chance: random.Random) -> list[Flow]:
    """Flows whose running sum turns once from below to above nothing: they have one rate (Norstrom's condition)."""
    start = date(2000, 1, 1) + timedelta(days=chance.randrange(3000))
    bought = [
        (start + timedelta(days=chance.randrange(5000)), D(-chance.randrange(5_000, 900_000)) / 100)
        for _ in range(chance.randrange(1, 60))
    ]
    last = max(day for day, _ in bought)
    paid = -sum((amount for _, amount in bought), D(0))
    sold = [(last + timedelta(days=number), paid * chance.randrange(1, 10) / 100) for number in range(3)]
    worth = paid * chance.randrange(30, 400) / 100
    return [*bought, *sold, (last + timedelta(days=chance.randrange(30, 2500)), worth)]


@pytest.mark.parametrize("seed", range(60))
def test_whatever_pyxirr_finds_in_wild_flows_is_among_the_rates_found(seed: int) -> None:
    """Flows of both signs in any order may have several rates; each that is answered brings the flows to nothing."""
    chance = random.Random(seed)
    start = date(2000, 1, 1)
    flows = [
        (start + timedelta(days=chance.randrange(9000)), D(chance.randrange(-500_000, 300_000)) / 100)
        for _ in range(chance.randrange(2, 30))
    ]
    flows.append((start + timedelta(days=9200), D(chance.randrange(1, 3_000_000)) / 100))
    rate = money_weighted(flows)
    theirs = pyxirr.xirr([(day, float(amount)) for day, amount in flows], silent=True)
    # beyond e**40 over the whole time nothing is looked for
    if theirs is not None and 9200 / 365 * abs(theirs) < 30 and rate is not None:
        found = [float(one) for one in (rate.yearly, *rate.others)]
        assert any(one == pytest.approx(theirs, abs=RATE) for one in found)
    if rate is not None:
        largest = max(abs(float(amount)) for _, amount in flows)
        for one in (rate.yearly, *rate.others):
            last = max(day for day, _ in flows)
            carried = sum(float(amount) * (1 + float(one)) ** ((last - day).days / 365) for day, amount in flows)
            size = sum(abs(float(amount)) * (1 + float(one)) ** ((last - day).days / 365) for day, amount in flows)
            assert abs(carried) <= 1e-8 * max(size, largest)
