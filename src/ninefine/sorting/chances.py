"""Plain chances, exact where whole numbers allow: rare finds, draws with and without putting back, and their words."""

import math
from collections.abc import Sequence
from decimal import ROUND_CEILING, Decimal
from fractions import Fraction

from ninefine.errors import RangeError
from ninefine.measure.numbers import EXACT, to_places

#: A quotient this near to a whole number is one: the logarithms carry 40 digits.
_LOG_PLACES = 25
_HALF = Decimal("0.5")


def none_when_expected(expected: Decimal | float) -> float:
    """The chance of finding none where so many were expected and each is rare: e to the minus m.

    Raises:
        RangeError: an expectation below zero.
    """
    if expected < 0:
        raise RangeError(f"{expected} cannot be expected.", expected="An expectation is zero or more.")
    return math.exp(-float(expected))


def none_of(share: Decimal, pieces: int) -> float:
    """The chance that none of so many pieces is of an issue, each with its share: (1 - p) to the power n."""
    _check_share(share)
    _check_pieces(pieces)
    return 1.0 if not pieces else math.exp(pieces * _log_other(share))


def at_least_one(share: Decimal, pieces: int) -> float:
    """The chance of one or more of an issue among so many pieces."""
    _check_share(share)
    _check_pieces(pieces)
    return 0.0 if not pieces else -math.expm1(pieces * _log_other(share))


def pieces_until(share: Decimal, chance: Decimal) -> int:
    """The fewest pieces among which one of an issue is found with a chance: ln(1 - q) / ln(1 - p), rounded up.

    Args:
        share: p, the part of all pieces that are of the issue; above 0.
        chance: q, from 0 to below 1: 0.5 for as likely as not.

    Raises:
        RangeError: a share that is not above 0 or a chance that is not below 1.
    """
    _check_share(share)
    if not share:
        raise RangeError("A share of nothing is never found.", expected="The share must be above zero.")
    if not 0 <= chance < 1:
        raise RangeError(
            f"A chance of {chance} cannot be waited for.", expected="From 0 to below 1.", instead=("0.5", "0.95")
        )
    if share == 1:
        return 1 if chance else 0
    one = Decimal(1)
    ratio = EXACT.divide(EXACT.subtract(one, chance).ln(EXACT), EXACT.subtract(one, share).ln(EXACT))
    return int(to_places(ratio, _LOG_PLACES).to_integral_value(rounding=ROUND_CEILING))


def drawn(bag: int, marked: int, draw: int, found: int) -> Fraction:
    """The chance of exactly so many marked pieces in a draw from a bag that holds so many, none put back (exact).

    Raises:
        RangeError: more marked or drawn than the bag holds, or a count below zero.
    """
    if min(bag, marked, draw, found) < 0 or marked > bag or draw > bag:
        raise RangeError(
            f"{draw} cannot be drawn from {bag} with {marked} marked.", expected="Neither may pass what the bag holds."
        )
    if found > marked or draw - found > bag - marked:
        return Fraction(0)
    return Fraction(math.comb(marked, found) * math.comb(bag - marked, draw - found), math.comb(bag, draw))


def drawn_at_most(bag: int, marked: int, draw: int, found: int) -> Fraction:
    """The chance of so many marked pieces or fewer in a draw without putting back (exact)."""
    return sum((drawn(bag, marked, draw, count) for count in range(found + 1)), Fraction(0))


def hand(bag: Sequence[int], taken: Sequence[int]) -> Fraction:
    """The chance that a draw without putting back holds exactly so many of each sort of a bag (exact).

    Args:
        bag: pieces of each sort.
        taken: pieces of each sort in the draw, in the same order.

    Raises:
        RangeError: lists of unequal length, or a count below zero.
    """
    if len(bag) != len(taken) or min(*bag, *taken) < 0:
        raise RangeError("The draw does not fit the bag.", expected="Give a count from zero up for each sort.")
    ways = math.prod(math.comb(held, count) for held, count in zip(bag, taken, strict=True))
    return Fraction(ways, math.comb(sum(bag), sum(taken))) if sum(taken) <= sum(bag) else Fraction(0)


def split(counts: Sequence[int], shares: Sequence[Fraction]) -> Fraction:
    """The chance that pieces of given shares fall out in exactly these counts (multinomial, exact).

    Raises:
        RangeError: lists of unequal length, a count below zero, or shares that do not sum to one.
    """
    if len(counts) != len(shares) or min(counts) < 0 or sum(shares, Fraction(0)) != 1:
        raise RangeError("The counts do not fit the shares.", expected="A count for each share; shares sum to one.")
    ways = math.factorial(sum(counts)) // math.prod(math.factorial(count) for count in counts)
    return ways * math.prod((share**count for share, count in zip(shares, counts, strict=True)), start=Fraction(1))


def say_chance(chance: float) -> str:
    """A chance as a person says it: `34%`, `2.1%`, `about 1 in 400`, `less than 1 in 10,000`."""
    if chance < 1e-4:
        return "less than 1 in 10,000"
    if chance < 0.01:
        return f"about 1 in {_two_figures(1 / chance):,}"
    places = 1 if chance < 0.0995 else 0
    return "over 99%" if chance > 0.995 else f"{chance * 100:.{places}f}%"


def _two_figures(value: float) -> int:
    scale = 10 ** max(0, math.floor(math.log10(value)) - 1)
    return int(round(value / scale) * scale)


def _log_other(share: Decimal) -> float:
    """The logarithm of one less a share, exact at either end; minus infinity where the share is all."""
    if share < _HALF:
        return math.log1p(-float(share))
    return math.log(EXACT.subtract(Decimal(1), share)) if share < 1 else -math.inf


def _check_share(share: Decimal) -> None:
    if not 0 <= share <= 1:
        raise RangeError(f"A share of {share} cannot be.", expected="A share is a part of one, from 0 to 1.")


def _check_pieces(pieces: int) -> None:
    if pieces < 0:
        raise RangeError(f"{pieces} pieces cannot be.", expected="Count from zero up.")
