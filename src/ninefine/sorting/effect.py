"""How large a difference is, apart from whether it can be chance; and how many coins it takes to tell."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from ninefine.errors import RangeError
from ninefine.sorting.oddity import Number

#: A fair bag is called odd this often; a difference is to be told this often.
LEVEL = 0.05
POWER = 0.80

#: Cohen's words for w (Statistical Power Analysis for the Behavioral Sciences, 2nd ed., 1988, ch. 7).
_WORDS = ((0.5, "large"), (0.3, "middling"), (0.1, "small"))
#: No bag holds more pieces; a difference that would take more is not to be told.
MOST_PIECES = 10**9


@dataclass(frozen=True, slots=True, kw_only=True)
class Effect:
    """How far a mix lies from what was expected.

    Attributes:
        w: Cohen's w, the root of chi-square over the pieces: as seen, chance included.
        less_chance: the same with what a fair bag shows on average taken off; 0 where it showed no more than that.
    """

    w: float
    less_chance: float

    @property
    def words(self) -> str:
        """The size, less chance, in a word."""
        return next((word for least, word in _WORDS if self.less_chance >= least), "slight")


def effect_of(chi_square: float, freedom: int, pieces: int) -> Effect:
    """The effect that a chi-square over so many pieces shows. A fair bag's chi-square is on average its freedom."""
    return Effect(w=math.sqrt(chi_square / pieces), less_chance=math.sqrt(max(0.0, chi_square - freedom) / pieces))


def effect_between(expected: Sequence[Number], true: Sequence[Number]) -> float:
    """Cohen's w of a true mix against an expected one, shares each.

    Raises:
        RangeError: lists of unequal length, or an expected share of nothing.
    """
    if len(expected) != len(true) or min(float(share) for share in expected) <= 0:
        raise RangeError("The mixes do not fit each other.", expected="Give a share above zero for each cell.")
    total, other = sum(float(share) for share in expected), sum(float(share) for share in true)
    pairs = ((float(share) / total, float(new) / other) for share, new in zip(expected, true, strict=True))
    return math.sqrt(math.fsum((new - share) ** 2 / share for share, new in pairs))


def thinned(shares: Sequence[Decimal], picked: Sequence[bool], gone: Decimal) -> tuple[Decimal, ...]:
    """A mix after a part of the picked cells was taken out, as shares of what is left.

    Args:
        shares: of each cell.
        picked: whether searchers take the cell.
        gone: the part of the picked pieces that they took, 0 to 1.

    Raises:
        RangeError: a part outside 0 to 1, or nothing left.
    """
    if not 0 <= gone <= 1:
        raise RangeError(f"A part of {gone} cannot be gone.", expected="From 0 to 1.")
    left = [share * (1 - gone) if taken else share for share, taken in zip(shares, picked, strict=True)]
    whole = sum(left, Decimal(0))
    if not whole:
        raise RangeError("Nothing is left of the mix.", expected="Some cells must stay.")
    return tuple(share / whole for share in left)


def power_of(w: float, pieces: int, freedom: int, *, level: float = LEVEL) -> float:
    """How often chi-square calls a bag odd whose true mix lies at w from the expected (noncentral chi-square)."""
    from ninefine.sorting import arrays  # noqa: PLC0415 - heavy: numpy and scipy, loaded when a chance is asked for

    return arrays.noncentral_above(arrays.chi_square_at(level, freedom), freedom, pieces * w * w)


def pieces_to_tell(w: float, freedom: int, *, power: float = POWER, level: float = LEVEL) -> int | None:
    """The fewest pieces that tell a difference of w so often; none where no bag is large enough.

    Args:
        w: Cohen's w of the true mix.
        freedom: degrees of freedom of the test.
        power: how often it is to be told, above the level and below 1.
        level: how often a fair bag is called odd.
    """
    needed = _noncentrality(freedom, power, level)
    if w <= 0 or needed > MOST_PIECES * w * w:
        return None
    return math.ceil(needed / (w * w) - 1e-9)


def least_told(pieces: int, freedom: int, *, power: float = POWER, level: float = LEVEL) -> float:
    """The smallest w that so many pieces tell so often."""
    return math.sqrt(_noncentrality(freedom, power, level) / pieces)


def _noncentrality(freedom: int, power: float, level: float) -> float:
    """The noncentrality at which chi-square is passed with a power: halved to within 1e-10 of its size."""
    from ninefine.sorting import arrays  # noqa: PLC0415 - heavy: as above

    if freedom < 1 or not 0 < level < power < 1:
        raise RangeError("No such test.", expected="One degree of freedom or more, and 0 < level < power < 1.")
    point = arrays.chi_square_at(level, freedom)
    low, high = 0.0, 1.0
    while arrays.noncentral_above(point, freedom, high) < power:
        low, high = high, high * 2
    while high - low > 1e-10 * high:
        middle = (low + high) / 2
        if arrays.noncentral_above(point, freedom, middle) < power:
            low = middle
        else:
            high = middle
    return high
