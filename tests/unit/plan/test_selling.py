"""Plans of selling: equal to trying every plan, to the cent; and to another solver on large ones."""

from fractions import Fraction

import pytest

from ninefine.catalog.catalog import Catalog
from ninefine.catalog.shelf import load_catalog
from ninefine.plan.selling import Goal, Outcome, Problem
from ninefine.plan.selling_model import Aim, worth_of
from ninefine.plan.selling_sales import offered
from ninefine.plan.selling_search import best_plan
from unit.plan.selling_brute import best_by_trying
from unit.plan.selling_cases import a_problem


@pytest.fixture(scope="module")
def catalog() -> Catalog:
    return load_catalog()


def value_of(problem: Problem, outcome: Outcome) -> tuple[Fraction, ...]:
    """What a plan comes to by the problem's goal, in the order of its aims."""
    can = offered(problem)
    first = {Goal.LEAST_SILVER: (Aim.SILVER_KEPT,), Goal.FEWEST_TRIPS: (Aim.FEW_TRIPS,)}
    return tuple(worth_of(aim, problem, can, outcome) for aim in (*first.get(problem.need.goal, ()), Aim.LEFT_OVER))


@pytest.mark.parametrize("seeds", [range(start, start + 60) for start in range(0, 300, 60)], ids=str)
def test_the_best_plan_is_the_best_of_all_plans(catalog: Catalog, seeds: range) -> None:
    """Three hundred small problems, every plan of each tried in whole cents: equal to the cent, and proven."""
    for seed in seeds:
        problem = a_problem(catalog, seed)
        tried = best_by_trying(problem)
        found = best_plan(problem)

        assert found.proven, seed
        if tried is None:
            assert found.outcome is None, seed
        else:
            assert found.outcome is not None, seed
            assert value_of(problem, found.outcome) == tried, seed
