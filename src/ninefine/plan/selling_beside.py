"""What a plan of selling is held against: the same sales with the oldest pieces first, and one way out alone."""

from dataclasses import replace

from ninefine.book.term import no_later_than
from ninefine.plan.selling import Outcome, Problem, reckon
from ninefine.plan.selling_search import SECONDS, Found, best_plan


def oldest_first(problem: Problem, outcome: Outcome) -> Outcome:
    """The same amounts of each kind by the same ways out, but first in, first out.

    A date that nobody knows counts as the day on which the silver came. What can only go whole stays as it is.
    """
    left = {at: stock.steps for at, stock in enumerate(problem.stocks)}
    takes: dict[tuple[int, int], int] = {}
    for place in range(len(problem.ways)):
        wanted: dict[tuple[str, str], int] = {}
        for (way, at), steps in outcome.takes.items():
            if way != place:
                continue
            if problem.stocks[at].step is None:
                takes[place, at] = steps
                left[at] -= steps
            else:
                wanted[_sort(problem, at)] = wanted.get(_sort(problem, at), 0) + steps
        for at in sorted(left, key=lambda at: _age(problem, at)):
            steps = min(left[at], wanted.get(_sort(problem, at), 0))
            if steps and problem.stocks[at].step is not None:
                takes[place, at] = steps
                left[at] -= steps
                wanted[_sort(problem, at)] -= steps
    return reckon(problem, takes)


def by_one_way(problem: Problem, name: str, *, seconds: float = SECONDS) -> Found:
    """The best plan for the same need with one way out alone."""
    return best_plan(replace(problem, ways=tuple(way for way in problem.ways if way.name == name)), seconds=seconds)


def _sort(problem: Problem, at: int) -> tuple[str, str]:
    """What is sold alike: a kind, and in what steps it goes."""
    stock = problem.stocks[at]
    return stock.kind.slug, repr(stock.step)


def _age(problem: Problem, at: int) -> tuple[int, int]:
    lot = problem.stocks[at].lot
    return no_later_than(lot).toordinal(), lot.serial
