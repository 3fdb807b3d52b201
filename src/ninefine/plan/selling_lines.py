"""Sums of unknowns, and unknowns that stand for a sum rounded to the cent."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from math import ceil, floor

from ninefine.plan.model import Model

_HALF = Fraction(1, 2)


@dataclass(frozen=True, slots=True)
class Line:
    """A sum of unknowns, each times a factor, and something fixed."""

    terms: Mapping[int, Fraction] = field(default_factory=dict)
    fixed: Fraction = Fraction(0)

    def plus(self, other: "Line") -> "Line":
        """Both together."""
        terms = dict(self.terms)
        for at, factor in other.terms.items():
            whole = terms.get(at, Fraction(0)) + factor
            if whole:
                terms[at] = whole
            else:
                terms.pop(at, None)
        return Line(terms, self.fixed + other.fixed)

    def minus(self, other: "Line") -> "Line":
        """This less another."""
        return self.plus(other.times(Fraction(-1)))

    def times(self, factor: Fraction) -> "Line":
        """This so many times."""
        if not factor:
            return Line()
        return Line({at: each * factor for at, each in self.terms.items()}, self.fixed * factor)

    @property
    def whole(self) -> bool:
        """Whether it is whole for whole unknowns."""
        return self.fixed.denominator == 1 and all(factor.denominator == 1 for factor in self.terms.values())


def rounded_line(model: Model, exact: Line, most: Fraction, loose: Fraction, *, whole: bool = True) -> Line:
    """A line rounded to whole cents; itself where it is whole anyhow.

    Args:
        model: where an unknown is made for it.
        exact: the line before rounding; zero or more.
        most: the most that it can come to.
        loose: how far beyond half a cent the rounding may go.
        whole: whether the unknown is a whole number; else it is only kept near the line.
    """
    if exact.whole and not loose:
        return exact
    at = model.unknown(max(0, ceil(most + loose)) + 1, name="cents", follows=not whole)
    return _kept_near(model, at, exact, loose)


def summed(lines: Iterable[Line]) -> Line:
    """All of some lines together."""
    whole = Line()
    for line in lines:
        whole = whole.plus(line)
    return whole


def most_of(model: Model, line: Line) -> Fraction:
    """The most that a line can come to."""
    ends = ((factor * model.unknowns[at].low, factor * model.unknowns[at].high) for at, factor in line.terms.items())
    return line.fixed + sum(map(max, ends), Fraction(0))


def unknown_line(model: Model, exact: Line, loose: Fraction, *, whole: bool = True) -> Line:
    """As `rounded_line`, of a line that may come to anything, below zero too."""
    if exact.whole and not loose:
        return exact
    low = high = exact.fixed
    for at, factor in exact.terms.items():
        one = model.unknowns[at]
        low += min(factor * one.low, factor * one.high)
        high += max(factor * one.low, factor * one.high)
    made = model.unknown(ceil(high + loose) + 1, low=floor(low - loose) - 1, name="cents", follows=not whole)
    return _kept_near(model, made, exact, loose)


def _kept_near(model: Model, at: int, exact: Line, loose: Fraction) -> Line:
    made = Line({at: Fraction(1)})
    off = made.minus(exact)
    off_by = _HALF + loose
    model.row(off.terms, least=-off_by - off.fixed, most=off_by - off.fixed, because="half up to the cent")
    return made
