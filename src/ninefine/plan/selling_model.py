"""A problem of selling as whole numbers: one that no plan can beat, so that its best answer bounds them all."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from enum import Enum
from fractions import Fraction

from ninefine.plan.model import Model
from ninefine.plan.selling import Goal, Outcome, Problem
from ninefine.plan.selling_lines import Line
from ninefine.plan.selling_sales import MICRO, Offered, Pair, Sales
from ninefine.plan.selling_stock import per_step
from ninefine.plan.selling_tax import Shares, TaxLines
from ninefine.plan.taxed import Region


class Aim(Enum):
    """What one search makes as much as it can."""

    SILVER_KEPT = "silver kept"
    LEFT_OVER = "left over"
    FEW_TRIPS = "few trips"
    MONEY = "money"
    CASH = "cash after tax"
    AMOUNT = "amount"

    @property
    def taxed(self) -> bool:
        """Whether tax matters to it."""
        return self in {Aim.LEFT_OVER, Aim.CASH}


def worth_of(aim: Aim, problem: Problem, can: Offered, outcome: Outcome) -> Fraction:
    """What a plan is worth by an aim, exactly; the more the better. Money is in cents, ounces in millionths."""
    if aim is Aim.AMOUNT:
        each = _amounts(problem)
        return sum((steps * each[at] for (_, at), steps in outcome.takes.items()), Fraction(0))
    if aim is Aim.CASH:
        return Fraction(outcome.kept) * 100
    if aim is Aim.SILVER_KEPT:
        gone = sum(steps * can.micro[at] for (_, at), steps in outcome.takes.items())
        return Fraction(-gone - outcome.lines * bother_in_ounces(problem))
    if aim is Aim.FEW_TRIPS:
        return Fraction(-len(outcome.trips))
    if aim is Aim.MONEY:
        return Fraction(outcome.net) * 100
    return (outcome.left_over - outcome.lines * Fraction(problem.bother)) * 100


def bother_in_ounces(problem: Problem) -> int:
    """What a line counts as costing, in millionths of an ounce at spot."""
    return round(Fraction(problem.bother) / Fraction(problem.spot) * MICRO)


def _amounts(problem: Problem) -> tuple[Fraction, ...]:
    """A step of each stock in the unit of the amount asked for, in whole millionths."""
    assert problem.need.amount is not None
    unit = problem.need.amount.unit
    return tuple(Fraction(round(per_step(stock, unit) * MICRO)) for stock in problem.stocks)


@dataclass(frozen=True, slots=True, kw_only=True)
class Node:
    """A part of all plans: where the year's gains stand, how much of a sale is short term, which plans are left out.

    `region` is none where tax does not matter.
    """

    region: Region | None = None
    shares: Shares = field(default_factory=dict)
    barred: tuple[Mapping[Pair, int], ...] = ()

    def without(self, takes: Mapping[Pair, int]) -> "Node":
        """The same without one plan, which was reckoned already."""
        return replace(self, barred=(*self.barred, takes))


class SellingModel:
    """The model of a node; aims that went before are pinned to what they came to."""

    def __init__(self, problem: Problem, can: Offered, node: Node, pinned: Mapping[Aim, int]) -> None:
        self.model = Model()
        self._problem, self._can = problem, can
        self._sales = Sales(model=self.model, problem=problem, can=can)
        self._sales.write()
        self._net = self._sales.net()
        self._tax = Line()
        if node.region is not None:
            taxes = TaxLines(model=self.model, problem=problem, sales=self._sales, shares=node.shares)
            self._tax = taxes.added(node.region)
        self._needs()
        for takes in node.barred:
            self._bar(takes)
        for aim, value in pinned.items():
            line = self.worth(aim)
            self.model.row(line.terms, least=value - line.fixed, because=f"no less {aim.value} than can be")

    def takes(self, values: tuple[int, ...]) -> dict[Pair, int]:
        """How many steps of each pair an answer takes."""
        return {pair: values[at] for pair, at in self._sales.steps.items() if values[at]}

    def _bar(self, takes: Mapping[Pair, int]) -> None:
        """No answer is this very plan: one of its lines differs, or there is another."""
        values = [0] * len(self.model.unknowns)
        for pair, steps in takes.items():
            values[self._sales.steps[pair]] = steps
        lines = [self._sales.steps[pair] if pair in takes else at for pair, at in self._sales.chosen.items()]
        self.model.forbid(values, lines)

    def worth(self, aim: Aim) -> Line:
        """The line of an aim; the more the better."""
        if aim is Aim.FEW_TRIPS:
            return Line({sale.used: Fraction(-1) for sale in self._sales.by_way.values()})
        if aim is Aim.MONEY:
            return self._net
        if aim is Aim.CASH:
            return self._net.minus(self._tax)
        if aim is Aim.AMOUNT:
            return self._sales.steps_times(_amounts(self._problem))
        if aim is Aim.SILVER_KEPT:
            kept = self._sales.steps_times(Fraction(-micro) for micro in self._can.micro)
            return kept.minus(self._sales.lines(Fraction(bother_in_ounces(self._problem))))
        spot = Fraction(self._problem.spot) * 100
        left = self._net.minus(self._tax).minus(self._sales.steps_times(ozt * spot for ozt in self._can.ozt))
        return left.minus(self._sales.lines(Fraction(self._problem.bother) * 100))

    def _needs(self) -> None:
        need, stocks = self._problem.need, self._problem.stocks
        if need.sum is not None:
            hand = self._net.minus(self._tax) if need.after_tax else self._net
            self.model.row(hand.terms, least=Fraction(need.sum) * 100 - hand.fixed, because="the sum needed")
        if need.amount is not None:
            unit, exact = need.amount.unit, Fraction(need.amount.amount)
            held = self._sales.steps_times(per_step(stock, unit) for stock in stocks)
            least = None if need.goal is Goal.MOST_OF_AMOUNT else exact
            self.model.row(held.terms, least=least, most=exact, because="the amount to sell")
        if need.most_trips is not None:
            used = {sale.used: 1 for sale in self._sales.by_way.values()}
            self.model.row(used, most=need.most_trips, because="trips")
