"""Where no plan of selling fits: which limits clash with the need, and the nearest that fits."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from decimal import Decimal
from functools import partial

from ninefine.market.goods import Limit
from ninefine.plan.selling import Goal, Outcome, Problem
from ninefine.plan.selling_search import SECONDS, Found, best_plan

ZERO = Decimal(0)
#: Lifts one limit off a problem.
Lift = Callable[[Problem], Problem]


@dataclass(frozen=True, slots=True, kw_only=True)
class Clash:
    """Why a need cannot be met.

    Attributes:
        limits: the limits that clash with it, in words, as few as will do: lift any one of them and it can be met.
            Empty where it cannot be met however many are lifted.
        nearest: the nearest plan that keeps every limit; none where nothing can be sold at all.
        in_days: the days by which the need could be met with the other limits kept; none where no day would do.
        most: with every limit lifted, the plan that comes nearest.
    """

    limits: tuple[str, ...]
    nearest: Outcome | None
    in_days: int | None
    most: Outcome | None


def clash_of(problem: Problem, *, seconds: float = SECONDS) -> Clash:
    """Say which limits clash with a need that no plan meets, and what comes nearest to it."""
    kept = every = limits_of(problem)
    lifted = _lift_all(problem, kept)
    clashing: tuple[str, ...] = ()
    if _can(lifted, seconds):
        for name in list(kept):
            rest = {other: lift for other, lift in kept.items() if other != name}
            off = {other: lift for other, lift in every.items() if other not in rest}
            if not _can(_lift_all(problem, off), seconds):
                kept = rest  # it cannot be met with this limit lifted either: it is no part of the clash
        clashing = tuple(kept)
    return Clash(
        limits=clashing,
        nearest=_nearest(problem, seconds).outcome,
        in_days=_in_days(problem, seconds),
        most=_nearest(lifted, seconds).outcome,
    )


def limits_of(problem: Problem) -> dict[str, Lift]:
    """Every limit of a problem that can be lifted, by its words."""
    limits: dict[str, Lift] = {}
    for limit in dict.fromkeys(one.limit for one in problem.held_back):
        limits[limit] = partial(_let_go, limit=limit)
    for at, way in enumerate(problem.ways):
        if way.minimum is not None:
            limits[f"{way.name} takes no less than {_much(way.minimum, problem.currency)}"] = partial(
                _unbounded, at=at, limit="minimum"
            )
        if way.capacity is not None:
            limits[f"{way.name} takes no more than {_much(way.capacity, problem.currency)}"] = partial(
                _unbounded, at=at, limit="capacity"
            )
    need = problem.need
    if need.most_trips is not None:
        words = f"no more than {need.most_trips} way{'s' if need.most_trips != 1 else ''} out"
        limits[words] = _any_trips
    if need.days is not None:
        limits[_days_words(need.days)] = _any_day
    return limits


def _much(limit: Limit, currency: str) -> str:
    return f"{limit.amount:,.2f} {currency}" if limit.unit == "money" else str(limit)


def _any_trips(problem: Problem) -> Problem:
    return replace(problem, need=replace(problem.need, most_trips=None))


def _any_day(problem: Problem) -> Problem:
    return replace(problem, need=replace(problem.need, days=None))


def _days_words(days: int) -> str:
    return "money on the day itself" if days == 0 else f"money within {days} day{'s' if days != 1 else ''}"


def _let_go(problem: Problem, *, limit: str) -> Problem:
    freed = tuple(one.stock for one in problem.held_back if one.limit == limit)
    rest = tuple(one for one in problem.held_back if one.limit != limit)
    return replace(problem, stocks=(*problem.stocks, *freed), held_back=rest)


def _unbounded(problem: Problem, *, at: int, limit: str) -> Problem:
    ways = list(problem.ways)
    ways[at] = replace(ways[at], minimum=None) if limit == "minimum" else replace(ways[at], capacity=None)
    return replace(problem, ways=tuple(ways))


def _lift_all(problem: Problem, limits: dict[str, Lift]) -> Problem:
    for lift in limits.values():
        problem = lift(problem)
    return problem


def _nearest(problem: Problem, seconds: float) -> Found:
    """The plan that comes nearest to a need: the most money, or the most of an amount that is no more than it."""
    goal = Goal.MOST_MONEY if problem.need.amount is None else Goal.MOST_OF_AMOUNT
    return best_plan(replace(problem, need=replace(problem.need, sum=None, goal=goal)), seconds=seconds)


def _can(problem: Problem, seconds: float) -> bool:
    """Whether some plan meets a need."""
    if problem.need.amount is not None:
        return (
            best_plan(replace(problem, need=replace(problem.need, goal=Goal.MOST_KEPT)), seconds=seconds).outcome
            is not None
        )
    found = _nearest(problem, seconds).outcome
    wanted = problem.need.sum or ZERO
    return found is not None and (found.kept if problem.need.after_tax else found.net) >= wanted


def _in_days(problem: Problem, seconds: float) -> int | None:
    """The fewest days that would do, with every other limit kept."""
    if problem.need.days is None:
        return None
    later = sorted({way.days for way in problem.ways if way.days is not None and way.days > problem.need.days})
    for days in later:
        if _can(replace(problem, need=replace(problem.need, days=days)), seconds):
            return days
    return None
