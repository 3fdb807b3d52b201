"""Finding the best plan of selling, and proving it: the best bound first, every answer reckoned exactly.

The model of a node is worth at least what any plan within it is worth. Its best answer is reckoned exactly; where the
two agree the node is done, else it is parted, until no node promises more than the best plan found. So what is proven
is proven to the cent, and where time runs out the distance that is left is told.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from heapq import heappop, heappush
from itertools import count
from math import isfinite
from time import monotonic

from ninefine.book.term import Term
from ninefine.plan.selling import Goal, Need, Outcome, Problem, Takes, Trip, counts_short, fits, reckon
from ninefine.plan.selling_first import first_plans
from ninefine.plan.selling_model import Aim, Node, SellingModel, worth_of
from ninefine.plan.selling_sales import Offered, offered, taken_share
from ninefine.plan.selling_tax import regions_of
from ninefine.plan.taxed import Region

#: Seconds that a search takes at most, and nodes that it looks into.
SECONDS = 10.0
MOST_NODES = 2000
#: Solvers reckon in floating point: this much of a cent (or of a millionth ounce) is no difference.
_NEAR = 1e-3
#: Where only so many cents are left between the best plan and the bound, this many more plans are told apart.
_PENNIES, _MOST_TOLD = 2, 6
_HALF = Fraction(1, 2)


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """What a search found.

    Attributes:
        outcome: the best plan; none where no plan fits.
        first_proven: no plan is better by what comes first. proven: nor by what decides among equals, to the cent; or,
            without a plan, none fits.
        short_of: how much better another could at most be, in the aim's unit; zero where proven, none where not known.
    """

    outcome: Outcome | None
    proven: bool
    first_proven: bool = True
    short_of: Fraction | None = Fraction(0)


def aims_of(need: Need) -> tuple[Aim, ...]:
    """What a need's goal asks for, the first first; the second decides among plans that are equal in the first."""
    if need.goal is Goal.MOST_MONEY:
        return (Aim.CASH,) if need.after_tax else (Aim.MONEY,)
    first = {Goal.LEAST_SILVER: Aim.SILVER_KEPT, Goal.FEWEST_TRIPS: Aim.FEW_TRIPS, Goal.MOST_OF_AMOUNT: Aim.AMOUNT}
    return (first[need.goal], Aim.LEFT_OVER) if need.goal in first else (Aim.LEFT_OVER,)


def best_plan(problem: Problem, *, seconds: float = SECONDS) -> Found:
    """The best plan for a need.

    Args:
        problem: what there is, and what is needed.
        seconds: how long to look at most.
    """
    can = offered(problem)
    until = monotonic() + seconds
    pinned: dict[Aim, int] = {}
    found = Found(outcome=None, proven=True)
    if not can.prices:
        return found
    for place, aim in enumerate(aims_of(problem.need)):
        found = _Search(problem, can, aim, pinned, until, found).run()
        if found.outcome is None or not found.proven:
            return replace(found, first_proven=found.proven or place > 0)
        pinned[aim] = int(worth_of(aim, problem, can, found.outcome))
    return found


class _Search:
    """One search for one aim, with the aims before it pinned to what they came to."""

    def __init__(
        self, problem: Problem, can: Offered, aim: Aim, pinned: Mapping[Aim, int], until: float, before: Found
    ) -> None:
        self._problem, self._can, self._aim, self._pinned, self._until = problem, can, aim, dict(pinned), until
        self._best = before.outcome
        self._worth = None if before.outcome is None else worth_of(aim, problem, can, before.outcome)
        if before.outcome is None:
            self._begin()
        self._open: list[tuple[float, int, Node, Takes | None]] = []
        self._order = count()

    def _begin(self) -> None:
        """Begin with a plan that was filled in by merit, so that there is one whatever time is left."""
        for outcome in first_plans(self._problem, self._can):
            worth = worth_of(self._aim, self._problem, self._can, outcome)
            if self._worth is None or worth > self._worth:
                self._best, self._worth = outcome, worth

    def run(self) -> Found:
        """Look until nothing better can be, or time is up."""
        for node in self._first():
            self._push(float("inf"), node, None)
        for _ in range(MOST_NODES):
            if not self._open or self._settled(-self._open[0][0]):
                return Found(outcome=self._best, proven=True)
            bound, _, node, takes = heappop(self._open)
            if self._only_pennies(-bound) and len(node.barred) > _MOST_TOLD:
                heappush(self._open, (bound, next(self._order), node, takes))
                break
            if takes is None:
                self._solve(-bound, node)
            else:
                self._part(-bound, node, takes)
            if monotonic() > self._until:
                break
        return self._unproven()

    def _first(self) -> list[Node]:
        """One node where tax does not matter, else one for each region in which the year's gains may end."""
        taxed = self._aim.taxed or (self._problem.need.sum is not None and self._problem.need.after_tax)
        rates = self._problem.rates
        if not taxed or not (rates.short or rates.long):
            return [Node()]
        return [Node(region=region) for region in regions_of(self._problem, self._can)]

    def _only_pennies(self, bound: float) -> bool:
        """Whether what is left to prove are roundings alone, of which a long sale has too many to tell apart."""
        return self._aim.taxed and self._worth is not None and bound <= float(self._worth) + _PENNIES

    def _settled(self, bound: float) -> bool:
        return self._worth is not None and isfinite(bound) and bound <= float(self._worth) + _near(bound)

    def _push(self, bound: float, node: Node, takes: Takes | None) -> None:
        if not self._settled(bound):
            heappush(self._open, (-bound, next(self._order), node, takes))

    def _solve(self, above: float, node: Node) -> None:
        from ninefine.plan.highs import Ended, call  # noqa: PLC0415 - scipy is slow to load and only plans need it

        model = SellingModel(self._problem, self._can, node, self._pinned)
        line = model.worth(self._aim)
        if self._worth is not None:
            model.model.row(line.terms, least=self._worth - line.fixed, because="no worse than a plan in hand")
        left = max(0.05, self._until - monotonic())
        # rows as they are: what the solver makes simpler beforehand has now and then ruled out the best
        least = {at: -float(factor) for at, factor in line.terms.items()}
        answer = call(model.model, least, left, presolve=False)
        if answer.ended is Ended.INFEASIBLE:
            return
        bound = above if answer.bound is None else min(above, -answer.bound + float(line.fixed))
        if answer.values is None:
            self._push(bound, node, None)  # out of time with nothing better: no plan of the node beats the bound
            return
        takes = model.takes(answer.values)
        worth = self._judge(takes)
        if worth is not None and bound <= float(worth) + _near(bound):
            return  # the node promises no more than this very plan keeps
        self._push(bound, node, takes)

    def _judge(self, takes: Takes) -> Fraction | None:
        """Reckon a plan exactly, keep it if it fits and is better; what it is worth, or none where it does not fit."""
        if not takes:
            return None
        outcome = reckon(self._problem, takes)
        if not fits(self._problem, outcome) or not self._keeps_pins(outcome):
            return None
        worth = worth_of(self._aim, self._problem, self._can, outcome)
        if self._worth is None or worth > self._worth:
            self._best, self._worth = outcome, worth
        return worth

    def _keeps_pins(self, outcome: Outcome) -> bool:
        return all(worth_of(aim, self._problem, self._can, outcome) >= value for aim, value in self._pinned.items())

    def _part(self, bound: float, node: Node, takes: Takes) -> None:
        """Part a node that promises more than its plan keeps."""
        for child in self._halves(node, takes) or [node.without(takes)]:
            self._push(bound, child, None)

    def _halves(self, node: Node, takes: Takes) -> list[Node]:
        """Two nodes parted at the plan's own share of short term, where a flat fee is shared by both terms."""
        rates = self._problem.rates
        if node.region is not Region.BOTH_GAIN or not takes:
            return []
        apart = abs(Fraction(rates.short - rates.long))  # cents of tax on a dollar of fee that is shared otherwise
        for trip in reckon(self._problem, takes).trips:
            place = self._problem.ways.index(trip.way)
            short = sum((Fraction(part.proceeds) for part in trip.parts if self._short(part.term)), Fraction(0))
            low, high = node.shares.get(place, (Fraction(0), Fraction(1)))
            share = short / Fraction(trip.gross)
            if share in {0, 1} or _flat(trip) * (high - low) * apart < _HALF:
                continue
            at = share.limit_denominator(100_000)
            if not low < at < high:
                at = (low + high) / 2
            return [replace(node, shares={**node.shares, place: side}) for side in ((low, at), (at, high))]
        return []

    def _short(self, term: Term) -> bool:
        return counts_short(term, self._problem.rates)

    def _unproven(self) -> Found:
        if self._best is None or self._worth is None:
            return Found(outcome=None, proven=False)
        most = max((-entry[0] for entry in self._open), default=float(self._worth))
        short_of = max(Fraction(most) - self._worth, Fraction(0)) if isfinite(most) else None
        return Found(outcome=self._best, proven=False, short_of=short_of)


def _flat(trip: Trip) -> Fraction:
    """What a way out takes off whatever is paid, about."""
    return Fraction(trip.fees) - Fraction(trip.gross) * taken_share(trip.way)


def _near(value: float) -> float:
    return max(_NEAR, abs(value) * 1e-9)
