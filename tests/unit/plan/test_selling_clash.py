"""Where nothing fits: the limits that clash are as few as will do, and the nearest keeps every limit."""

from dataclasses import replace
from itertools import islice

import pytest

from ninefine.catalog.catalog import Catalog
from ninefine.catalog.shelf import load_catalog
from ninefine.plan.selling import Goal, Problem, fits
from ninefine.plan.selling_beside import by_one_way, oldest_first
from ninefine.plan.selling_clash import clash_of, limits_of
from ninefine.plan.selling_search import best_plan
from unit.plan.selling_brute import best_by_trying
from unit.plan.selling_cases import a_problem


@pytest.fixture(scope="module")
def catalog() -> Catalog:
    return load_catalog()


@pytest.fixture(scope="module")
def unmet(catalog: Catalog) -> tuple[Problem, ...]:
    """Eight problems that no plan meets, as trying every plan says."""
    problems = (a_problem(catalog, seed) for seed in range(300))
    return tuple(islice((one for one in problems if one.need.sum is not None and best_by_trying(one) is None), 8))


def can_without(problem: Problem, lifted: tuple[str, ...]) -> bool:
    """Whether a need can be met with some limits lifted, as trying every plan says."""
    limits = limits_of(problem)
    for name in lifted:
        problem = limits[name](problem)
    return best_by_trying(problem) is not None


def test_the_clash_is_as_small_as_can_be_and_lifting_any_of_it_helps(unmet: tuple[Problem, ...]) -> None:
    """With only the clashing limits in force it cannot be met; with any one of them lifted too, it can."""
    told = 0
    for problem in unmet:
        clash, every = clash_of(problem), tuple(limits_of(problem))
        if not clash.limits:
            assert not can_without(problem, every)
            continue
        told += 1
        others = tuple(name for name in every if name not in clash.limits)
        assert not can_without(problem, others)
        for name in clash.limits:
            assert can_without(problem, (*others, name))
    assert told >= 3


def test_the_nearest_keeps_every_limit_and_no_plan_brings_more(unmet: tuple[Problem, ...]) -> None:
    for problem in unmet:
        clash = clash_of(problem)
        most = replace(problem, need=replace(problem.need, sum=None, goal=Goal.MOST_MONEY, after_tax=False))
        tried = best_by_trying(most)
        if problem.need.after_tax:
            continue
        if clash.nearest is None:
            assert tried is None
        else:
            assert fits(most, clash.nearest)
            assert tried is not None
            assert clash.nearest.net * 100 == tried[0]


def test_the_days_by_which_it_could_be_had_are_the_fewest(unmet: tuple[Problem, ...]) -> None:
    for problem in unmet:
        clash = clash_of(problem)
        if problem.need.days is None:
            assert clash.in_days is None
            continue
        later = sorted({way.days for way in problem.ways if way.days is not None and way.days > problem.need.days})
        could = [day for day in later if best_by_trying(replace(problem, need=replace(problem.need, days=day)))]
        assert clash.in_days == (could[0] if could else None)


def test_the_oldest_first_sells_as_much_of_each_kind_by_each_way(catalog: Catalog) -> None:
    """The same ounces by the same ways; and one way alone never leaves more than the plan, where that is the goal."""
    met = 0
    for seed in range(20):
        problem = a_problem(catalog, seed)
        found = best_plan(problem).outcome
        if found is None:
            continue
        beside = oldest_first(problem, found)
        assert beside.ozt == found.ozt
        assert [trip.way.name for trip in beside.trips] == [trip.way.name for trip in found.trips]
        met += beside.takes != found.takes
        alone = [by_one_way(problem, way.name).outcome for way in problem.ways]
        if problem.need.goal is Goal.MOST_KEPT and problem.bother == 0:
            assert all(one is None or one.left_over <= found.left_over for one in alone)
    assert met >= 2
