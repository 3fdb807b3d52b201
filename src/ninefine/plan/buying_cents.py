"""Sums of cents among the unknowns: rounded by unknowns of their own, put into rows that shut no truth out."""

from collections.abc import Mapping
from fractions import Fraction
from math import ceil, floor, lcm

from ninefine.plan.buying_bill import HALF, Sum
from ninefine.plan.model import Model

#: A fraction of a cent finer than this is cut off, on the side that shuts nothing out; a judge sees to the rest.
FINEST = 10**6
#: Rounding is said exactly only where whole numbers up to this are enough for it.
WIDEST = 10**9


class TooFineError(Exception):
    """A sum of fractions so fine that its rounding cannot be said in whole numbers of a fit size."""


def lowest(amount: Sum) -> Sum:
    """No more than a sum can be: its margin taken off, what is finer than a millionth cut off."""
    return Sum(
        terms={at: Fraction(floor(factor * FINEST), FINEST) for at, factor in amount.terms.items()},
        fixed=Fraction(floor((amount.fixed - amount.below) * FINEST), FINEST),
    )


def highest(amount: Sum) -> Sum:
    """No less than a sum can be."""
    return Sum(
        terms={at: Fraction(ceil(factor * FINEST), FINEST) for at, factor in amount.terms.items()},
        fixed=Fraction(ceil((amount.fixed + amount.above) * FINEST), FINEST),
    )


def terms_of(amount: Sum, taken: int | None) -> dict[int, Fraction]:
    """A sum as the terms of a row: what is fixed counts where its stretch is taken."""
    terms = dict(amount.terms)
    if taken is not None and amount.fixed:
        terms[taken] = terms.get(taken, Fraction(0)) + amount.fixed
    return terms


def most_of(amount: Sum, model: Model) -> int:
    """No less than the cents that a sum can come to."""
    reach = sum(
        (max(factor * model.unknowns[at].high, factor * model.unknowns[at].low) for at, factor in amount.terms.items()),
        Fraction(0),
    )
    return max(0, ceil(reach + max(amount.fixed, Fraction(0)) + amount.above) + 1)


def whole_cents(model: Model, amount: Sum, taken: int, *, up: bool = False) -> Sum:
    """An unknown of whole cents that is no less than a sum said roughly can be (`up`: no more than it can be)."""
    if amount.whole:
        return amount
    cents = model.unknown(most_of(amount, model), name="cents")
    if up:
        model.row({**_negative(terms_of(highest(amount), taken)), cents: 1}, most=0, because="rounding")
    else:
        model.row({**_negative(terms_of(lowest(amount), taken)), cents: 1}, least=0, because="rounding")
    return Sum(terms={cents: Fraction(1)})


class Exactly:
    """Rounds half up by an unknown of its own: the one whole number of cents from half under to half over."""

    def __init__(self, model: Model, taken: int) -> None:
        self._model = model
        self._taken = taken

    def __call__(self, amount: Sum) -> Sum:
        """A rounded sum.

        Raises:
            TooFineError: its fractions are too fine to be said in whole numbers.
        """
        if amount.whole:
            return amount
        scale = 2 * lcm(*(part.denominator for part in (amount.fixed, *amount.terms.values())))
        if scale > WIDEST or amount.below or amount.above:
            raise TooFineError
        cents = self._model.unknown(most_of(amount, self._model), name="cents")
        line = _negative(terms_of(amount, None))
        # cents <= sum + 1/2, and cents > sum - 1/2, where sums go by steps of 1 / scale
        over, under = amount.fixed + HALF, amount.fixed - HALF + Fraction(1, scale)
        self._model.row({**line, cents: 1, self._taken: -over}, most=0, because="rounding")
        self._model.row({**line, cents: 1, self._taken: -under}, least=0, because="rounding")
        return Sum(terms={cents: Fraction(1)})


def _negative(terms: Mapping[int, Fraction]) -> dict[int, Fraction]:
    return {at: -factor for at, factor in terms.items()}
