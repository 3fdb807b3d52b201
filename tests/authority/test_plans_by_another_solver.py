"""The best basket held against CP-SAT of OR-Tools (Apache 2.0), which works in whole numbers alone.

The model below is written apart from the program's: whole cents, tiers by implication, tax by whole division. CP-SAT is
given little time; so its best must be no better than ours, its bound no worse, and where it ends with proof, equal.
"""

from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest
from ortools.sat.python import cp_model

from baskets_made import SPOT, large_offers
from ninefine.market.content import content
from ninefine.market.offers import Offer, OfferLine
from ninefine.market.quote import per_unit
from ninefine.plan.buying import broken_wishes
from ninefine.plan.buying_plan import best_basket, market
from ninefine.plan.solver import Proof
from ninefine.plan.wishes import Wishes

#: Thousandths of an ounce: 0.715, 0.765 and 0.295 ozt a face dollar are whole in them.
SCALE = 1000
#: How much CP-SAT may work on one problem, in its own measure of work, so that what it comes to does not hang on what
#: else the machine does; not all problems are closed in it.
PATIENCE = 0.1
#: CP-SAT tells whole numbers as floats.
NEAR = Fraction(1, 10**6)


def cents(line: OfferLine, start: int) -> int:
    """Whole cents for a unit of a line in a basket of so many units."""
    quote = next((tier.quote for tier in reversed(line.tiers) if tier.start <= start), line.quote)
    price = per_unit(quote, line.goods(content).terms(SPOT)) * 100
    assert price.denominator == 1
    return int(price)


class Exact:
    """The same question for CP-SAT."""

    def __init__(self, offers: list[Offer], budget: Decimal) -> None:
        self.model = cp_model.CpModel()
        costs: list[Any] = []
        ounces: list[Any] = []
        for offer in offers:
            cost, held = self.add(offer)
            costs.append(cost)
            ounces.append(held)
        self.model.add(sum(costs) <= int(budget * 100))
        self.model.maximize(sum(ounces))

    def add(self, offer: Offer) -> tuple[Any, Any]:
        """One offer: its cost in cents, and its thousandths of an ounce."""
        model, top = self.model, 10**7
        amounts = [model.new_int_var(0, int(line.goods(content).units), "") for line in offer.lines]
        used = model.new_bool_var("")
        model.add(sum(amounts) >= 1).only_enforce_if(used)
        model.add(sum(amounts) == 0).only_enforce_if(used.negated())
        goods = model.new_int_var(0, top, "")
        # face and pieces are baskets of their own: a stretch of each
        stretches = []
        for faced in (True, False):
            places = [at for at, line in enumerate(offer.lines) if (line.face is not None) is faced]
            if places:
                stretches.append(self.stretch(offer, amounts, places))
        model.add(goods == sum(stretches))
        assert offer.carriage is not None
        assert offer.carriage.free_from is not None
        free = model.new_bool_var("")
        line = int(offer.carriage.free_from * 100)
        model.add(goods >= line).only_enforce_if(free)
        model.add(goods < line).only_enforce_if(free.negated())
        paid = model.new_bool_var("")
        model.add_bool_and([used, free.negated()]).only_enforce_if(paid)
        model.add_bool_or([used.negated(), free]).only_enforce_if(paid.negated())
        total = goods + int(offer.carriage.flat * 100) * paid + (self.tax(offer, goods) if offer.tax else 0)
        held = sum(
            int(line.goods(content).content.trade_ozt * SCALE) * amount
            for line, amount in zip(offer.lines, amounts, strict=True)
        )
        return total, held

    def stretch(self, offer: Offer, amounts: list[Any], places: list[int]) -> Any:
        """What the lines of one kind of counting come to, at the tier that they reach together."""
        model, top = self.model, 10**7
        starts = sorted({0, *(int(tier.start) for at in places for tier in offer.lines[at].tiers)})
        cost = model.new_int_var(0, top, "")
        count = sum(amounts[at] for at in places)
        on = [model.new_bool_var("") for _ in starts]
        model.add_exactly_one(on)
        for place, (start, taken) in enumerate(zip(starts, on, strict=True)):
            model.add(count >= start).only_enforce_if(taken)
            if place + 1 < len(starts):
                model.add(count < starts[place + 1]).only_enforce_if(taken)
            price = sum(cents(offer.lines[at], start) * amounts[at] for at in places)
            model.add(cost == price).only_enforce_if(taken)
        return cost

    def tax(self, offer: Offer, goods: Any) -> Any:
        """Half up to the cent, under the line alone."""
        model, top = self.model, 10**7
        assert offer.tax is not None
        assert offer.tax.threshold is not None
        rate = int(offer.tax.rate_pct * 100)
        full, tax, taxed = model.new_int_var(0, top, ""), model.new_int_var(0, top, ""), model.new_bool_var("")
        model.add_division_equality(full, goods * rate + 5000, 10_000)
        line = int(offer.tax.threshold * 100)
        model.add(goods < line).only_enforce_if(taxed)
        model.add(goods >= line).only_enforce_if(taxed.negated())
        model.add(tax == full).only_enforce_if(taxed)
        model.add(tax == 0).only_enforce_if(taxed.negated())
        return tax


def asked_of_both(seed: int, sellers: int, lines: int, budget: Decimal, work: float) -> tuple[Fraction, int, Any]:
    """Thousandths of an ounce by the program, proven; how CP-SAT ended, and its answer."""
    offers = large_offers(seed, sellers, lines)
    wishes = Wishes(budget=budget)
    plan = best_basket(market(offers, SPOT), wishes)
    assert plan.proof is Proof.PROVEN
    assert plan.basket is not None
    assert not broken_wishes(plan.basket, wishes)
    other = cp_model.CpSolver()
    other.parameters.max_deterministic_time = work
    other.parameters.num_workers = 1
    status = other.solve(Exact(offers, budget).model)
    return plan.basket.ozt * SCALE, int(status), other


@pytest.mark.parametrize("seed", range(50))
def test_another_solver_finds_nothing_better(seed: int) -> None:
    """Six sellers, three lines, three tiers: no answer of CP-SAT is better, and its bound does not shut ours out."""
    ours, status, other = asked_of_both(seed, 6, 3, Decimal(600), PATIENCE)

    assert ours <= Fraction(other.best_objective_bound) + NEAR
    if status in {cp_model.OPTIMAL, cp_model.FEASIBLE}:
        assert Fraction(other.objective_value) <= ours + NEAR
    if status == cp_model.OPTIMAL:
        assert abs(Fraction(other.objective_value) - ours) < NEAR


@pytest.mark.parametrize("seed", range(100, 106))
def test_where_the_other_solver_proves_its_answer_it_is_ours(seed: int) -> None:
    """Two sellers of two lines, which CP-SAT closes: the same ounces, to the thousandth."""
    ours, status, other = asked_of_both(seed, 2, 2, Decimal(250), 20)

    assert status == cp_model.OPTIMAL
    assert abs(Fraction(other.objective_value) - ours) < NEAR
