"""Sharing money so that the parts sum to the whole, exact to the smallest unit, and none passes its bounds."""

from collections.abc import Sequence
from decimal import ROUND_HALF_UP, Decimal

from ninefine.measure.money import CURRENCIES
from ninefine.measure.numbers import EXACT

ZERO = Decimal(0)
ONE = Decimal(1)


def unit_of(currency: str) -> Decimal:
    """The currency's smallest unit: 0.01 for dollars, 1 for yen."""
    return ONE.scaleb(-CURRENCIES[currency][1])


def rounded(amount: Decimal, unit: Decimal) -> Decimal:
    """Half up to the smallest unit, as an invoice line."""
    if amount.same_quantum(unit):  # nearly all that is booked was said in whole units
        return amount
    return amount.quantize(unit, ROUND_HALF_UP, EXACT)


def share(total: Decimal, weights: Sequence[Decimal], unit: Decimal) -> list[Decimal]:
    """Share whole units by weights, none negative, so that the parts sum to the whole; zero weights share evenly.

    As `measure.money.spread`, what rounding leaves over goes to the largest share; where that is more than one unit,
    the units go one each to the largest shares. So a part of a positive total is never negative, and with weights in
    whole units that sum to no less than the total, no part is more than its weight.
    """
    if len(weights) == 1:
        return [total]
    whole = sum(weights, ZERO)
    if not whole:
        weights, whole = [ONE] * len(weights), Decimal(len(weights))
    multiply, divide = EXACT.multiply, EXACT.divide
    parts = [divide(multiply(total, weight), whole).quantize(unit, ROUND_HALF_UP, EXACT) for weight in weights]
    left = total - sum(parts, ZERO)
    if left:
        step = unit.copy_sign(left)
        by_weight = sorted(range(len(weights)), key=weights.__getitem__, reverse=True)
        for index in by_weight[1 : int(left / step)]:
            parts[index] += step
            left -= step
        parts[by_weight[0]] += left
    return parts


def part_of(whole: Decimal, over: Decimal | int, under: Decimal | int, unit: Decimal) -> Decimal:
    """The share `over / under` of an amount, half up to the unit."""
    return EXACT.divide(EXACT.multiply(whole, over), under).quantize(unit, ROUND_HALF_UP, EXACT)
