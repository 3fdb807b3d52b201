"""Plans of selling: equal to trying every plan, to the cent; and to another solver on large ones."""

from decimal import Decimal
from fractions import Fraction

import pytest

from ninefine.catalog.catalog import Catalog
from ninefine.catalog.shelf import load_catalog
from ninefine.market.exits import Bid, Exit
from ninefine.market.read_quote import read_quote
from ninefine.plan.selling import Goal, Need, Outcome, Problem, reckon
from ninefine.plan.selling_model import Aim, worth_of
from ninefine.plan.selling_sales import offered
from ninefine.plan.selling_search import best_plan
from ninefine.plan.taxed import Rates
from unit.plan.selling_brute import best_by_trying
from unit.plan.selling_cases import DAY, SPOT, a_problem, a_problem_with_gifts, a_shared_fee, a_stock


@pytest.fixture(scope="module")
def catalog() -> Catalog:
    return load_catalog()


def value_of(problem: Problem, outcome: Outcome) -> tuple[Fraction, ...]:
    """What a plan comes to by the problem's goal, in the order of its aims."""
    can = offered(problem)
    first = {Goal.LEAST_SILVER: (Aim.SILVER_KEPT,), Goal.FEWEST_TRIPS: (Aim.FEW_TRIPS,)}
    return tuple(worth_of(aim, problem, can, outcome) for aim in (*first.get(problem.need.goal, ()), Aim.LEFT_OVER))


@pytest.mark.parametrize("seeds", [range(start, start + 60) for start in range(0, 420, 60)], ids=str)
def test_the_best_plan_is_the_best_of_all_plans(catalog: Catalog, seeds: range) -> None:
    """Three hundred small problems, every plan of each tried in whole cents: equal to the cent, and proven.

    In a hundred and twenty more lots are gifts worth less than they had cost: gain over the cost, loss under the value
    at the gift, between them nothing (26 CFR 1.1015-1(a)).
    """
    for seed in seeds:
        gifts = seed >= 300
        problem = a_problem_with_gifts(catalog, seed) if gifts else a_problem(catalog, seed)
        tried = best_by_trying(problem)
        found = best_plan(problem)

        assert found.proven, seed
        if tried is None:
            assert found.outcome is None, seed
        else:
            assert found.outcome is not None, seed
            assert value_of(problem, found.outcome) == tried, seed


@pytest.mark.parametrize("seed", [6, 16, 41, 110, 151, 167, 192, 223])
def test_a_fee_shared_by_both_terms_is_parted_until_it_is_told(catalog: Catalog, seed: int) -> None:
    """Here the first answer of the bounding model is not the best plan; only parting its promise finds that."""
    problem = a_shared_fee(catalog, seed)
    found = best_plan(problem)

    assert found.proven
    assert found.outcome is not None
    assert value_of(problem, found.outcome) == best_by_trying(problem)


def test_a_heap_sold_from_thrice_leaves_with_all_that_it_cost(catalog: Catalog) -> None:
    """Three pieces cost 10.00: sale by sale 3.33, half of the 6.67 that is left, 3.34, and the last 3.33."""
    stock = a_stock(catalog, "L1", "us-half-90", 3, Decimal("10.00"))
    bids = (Bid(what="90", quote=read_quote("44.83x")),)
    ways = tuple(Exit(name=name, bids=bids) for name in ("first", "second", "third"))
    problem = Problem(stocks=(stock,), ways=ways, spot=SPOT, on=DAY, need=Need(sum=Decimal(1)))
    found = reckon(problem, {(0, 0): 1, (1, 0): 1, (2, 0): 1})

    assert [part.basis for trip in found.trips for part in trip.parts] == [
        Decimal("3.33"),
        Decimal("3.34"),
        Decimal("3.33"),
    ]


def test_a_loss_past_the_limit_is_rounded_as_the_year_is(catalog: Catalog) -> None:
    """A limit of 10.50 at 37% is 3.885: 3.89 before the sale and after it, so the sale is not taxed.

    2.25 face at 21.10 less 13.25% is 41.19, the very sum needed; half a face dollar and two more would be too much.
    """
    pieces = (("us-half-90", 2), ("us-90", 2), ("us-quarter-90", 2))
    stocks = tuple(a_stock(catalog, kind, kind, steps, Decimal(60)) for kind, steps in pieces)
    way = Exit(name="w", bids=(Bid(what="90", quote=read_quote("21.10x")),), fee_pct=Decimal("13.25"))
    rates = Rates(short=Decimal(37), long=Decimal(28), loss_limit=Decimal("10.50"), before_short=Decimal(-500))
    need = Need(sum=Decimal("41.19"), after_tax=True)
    problem = Problem(stocks=stocks, ways=(way,), spot=SPOT, on=DAY, need=need, rates=rates)
    found = best_plan(problem)

    assert found.proven
    assert found.outcome is not None
    assert (found.outcome.takes, found.outcome.kept) == ({(0, 1): 2, (0, 2): 1}, Decimal("41.19"))
    assert value_of(problem, found.outcome) == best_by_trying(problem)
