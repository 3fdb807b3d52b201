"""Large plans of selling and of sharing out, held against OR-Tools' CP-SAT, which reckons in whole numbers throughout.

The other solver is given each problem anew, written for it alone, and a short time. Whatever it finds may not be better
than a plan that was proven best, and its own bound may not rule that plan out.
"""

from decimal import Decimal
from fractions import Fraction
from math import ceil, floor
from random import Random
from typing import Any

import pytest
from ortools.sat.python import cp_model

from ninefine.catalog.catalog import Catalog
from ninefine.catalog.shelf import load_catalog
from ninefine.market.exits import Exit
from ninefine.plan.division import Estate, Person, Thing
from ninefine.plan.division_search import share_out
from ninefine.plan.selling import Problem
from ninefine.plan.selling_sales import offered
from ninefine.plan.selling_search import best_plan
from ninefine.plan.selling_stock import ozt_per_step, per_step, price_per_step
from unit.plan.selling_cases import a_large_problem

#: Its expressions of whole numbers; its own types for them are many, and say nothing here.
Whole = Any
#: Seconds that the other solver is given for each problem.
SECONDS = 0.15
CENT = Decimal("0.01")


@pytest.fixture(scope="module")
def catalog() -> Catalog:
    return load_catalog()


def asked(model: Whole) -> tuple[float | None, float]:
    """The least that the other solver found (none where nothing), and its bound."""
    solver: Whole = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = SECONDS
    solver.parameters.num_workers = 2
    ended = solver.solve(model)
    found = solver.objective_value if ended in {cp_model.OPTIMAL, cp_model.FEASIBLE} else None
    return found, solver.best_objective_bound


class _Counter:
    """A selling problem for the other solver: steps, cents rounded half up by whole division, the fewest ounces."""

    def __init__(self, problem: Problem) -> None:
        self.model: Whole = cp_model.CpModel()
        self._problem = problem
        self.steps: dict[tuple[int, int], Whole] = {}
        nets = [self._way(place, way) for place, way in enumerate(problem.ways)]
        for at, stock in enumerate(problem.stocks):
            self.model.add(sum(step for (_, of), step in self.steps.items() if of == at) <= stock.steps)
        assert problem.need.sum is not None
        self.model.add(sum(nets) >= ceil(Fraction(problem.need.sum) * 100))
        micro = [round(ozt_per_step(stock) * 1_000_000) for stock in problem.stocks]
        self.model.minimize(sum(micro[at] * step for (_, at), step in self.steps.items()))

    def _way(self, place: int, way: Exit) -> Whole:
        model, used = self.model, self.model.new_bool_var("")
        mine: list[tuple[int, Whole]] = []
        brings: list[Whole] = []
        worth: list[Fraction] = []
        for at, stock in enumerate(self._problem.stocks):
            price = price_per_step(way, stock, self._problem.spot)
            if price is None:
                continue
            step = self.steps[place, at] = model.new_int_var(0, stock.steps, "")
            model.add(step == 0).only_enforce_if(used.negated())
            mine.append((at, step))
            worth.append(price * 100 * stock.steps)
            brings.append(self._half_up(step, price * 100, stock.steps))
        if not mine:
            return 0
        model.add(sum(step for _, step in mine) >= 1).only_enforce_if(used)
        gross = sum(brings)
        most = sum(ceil(each) for each in worth) + len(mine)
        fees: Whole = 0
        if way.fee_pct:
            fees = fees + self._half_up(gross, Fraction(way.fee_pct) / 100, most)
        assert way.payable_pct is None
        costs = [Fraction(way.costs)] + ([Fraction(way.travel.cost)] if way.travel is not None else [])
        fees = fees + used * sum(floor(cost * 100 + Fraction(1, 2)) for cost in costs)
        if way.parcels is not None:
            fees = fees + self._parcels(way, mine, used)
        self._limits(way, mine, gross, used)
        return gross - fees

    def _half_up(self, whole: Whole, rate: Fraction, most: int) -> Whole:
        """Some whole number times a rate, rounded half up: floor of (2 n x + d) over 2 d."""
        over, under = rate.numerator, rate.denominator
        found = self.model.new_int_var(0, ceil(rate * most) + 1, "")
        self.model.add(2 * under * found <= 2 * over * whole + under)
        self.model.add(2 * under * found > 2 * over * whole - under)
        return found

    def _parcels(self, way: Exit, mine: list[tuple[int, Whole]], used: Whole) -> Whole:
        assert way.parcels is not None
        each = int((way.parcels.fee + way.parcels.postage) * 100)
        if way.parcels.count is not None:
            return used * (each * way.parcels.count)
        size, faces = (
            Fraction(way.parcels.face or 1),
            {at: per_step(self._problem.stocks[at], "face") for at, _ in mine},
        )
        scale = 1000
        many = self.model.new_int_var(0, 100_000, "")
        filled = sum(int(faces[at] * scale) * step for at, step in mine)
        self.model.add(many * int(size * scale) >= filled)
        self.model.add(many >= used)
        return each * many

    def _limits(self, way: Exit, mine: list[tuple[int, Whole]], gross: Whole, used: Whole) -> None:
        for limit, least in ((way.minimum, True), (way.capacity, False)):
            if limit is None:
                continue
            if limit.unit == "money":
                held, amount = gross, int(limit.amount * 100)
            else:
                scale = 10**7
                held = sum(int(per_step(self._problem.stocks[at], limit.unit) * scale) * step for at, step in mine)
                amount = int(limit.amount * scale)
            if least:
                self.model.add(held >= amount).only_enforce_if(used)
            else:
                self.model.add(held <= amount)


def test_large_sales_are_no_worse_than_another_solvers(catalog: Catalog) -> None:
    """Fifty problems of six lots and two ways out: the fewest ounces for a sum. Both close most of them, and agree."""
    proven = met = 0
    for seed in range(50):
        problem = a_large_problem(catalog, seed)
        found = best_plan(problem, seconds=1.2)
        other, bound = asked(_Counter(problem).model)
        if found.outcome is None:
            assert other is None, seed
            continue
        can = offered(problem)
        ounces = sum(steps * can.micro[at] for (_, at), steps in found.outcome.takes.items())
        assert bound <= ounces + 0.5, seed
        if found.first_proven:
            proven += 1
            assert other is None or other >= ounces - 0.5, seed
            met += other is not None and abs(other - ounces) < 0.5
    # how many are closed in so short a time hangs on the machine; that many are on a slow one
    assert (proven >= 20, met >= 15) == (True, True)


def a_large_estate(seed: int) -> Estate:
    """Three people, eight things of one to nine pieces."""
    draw = Random(seed)
    people = tuple(Person(name=name, share=Fraction(draw.choice((1, 1, 2)))) for name in ("Ada", "Ben", "Cleo"))
    things = tuple(
        Thing(name=f"thing {at}", count=draw.randint(1, 9), worth=draw.choice((448, 2241, 3162, 6450, 64100)) * CENT)
        for at in range(8)
    )
    return Estate(people=people, things=things)


def test_large_sharings_are_no_worse_than_another_solvers() -> None:
    """Fifty estates among three people: the least cash that moves. Both close most of them, and agree."""
    proven = met = 0
    for seed in range(50):
        estate = a_large_estate(seed)
        found = share_out(estate, seconds=0.8)
        other, bound = asked(_estate_for_other(estate))
        assert found is not None, seed
        cash = int(found.moved * 100)
        assert bound <= cash + 0.5, seed
        if found.first_proven:
            proven += 1
            assert other is None or other >= cash - 0.5, seed
            met += other is not None and abs(other - cash) < 0.5
    # how many are closed in so short a time hangs on the machine; that many are on a slow one
    assert (proven >= 25, met >= 15) == (True, True)


def _estate_for_other(estate: Estate) -> Whole:
    model: Whole = cp_model.CpModel()
    due = [int(amount * 100) for amount in estate.due()]
    gets = [[model.new_int_var(0, thing.count, "") for thing in estate.things] for _ in due]
    for at, thing in enumerate(estate.things):
        model.add(sum(row[at] for row in gets) == thing.count)
    paid = []
    for row, mine in zip(gets, due, strict=True):
        cash = model.new_int_var(0, mine, "")
        model.add(
            cash >= mine - sum(int(thing.worth * 100) * step for thing, step in zip(estate.things, row, strict=True))
        )
        paid.append(cash)
    model.minimize(sum(paid))
    return model
