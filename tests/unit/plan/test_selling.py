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
