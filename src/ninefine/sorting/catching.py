"""How well a bag of a size catches picking: exact binomial power of counting the pieces that searchers take.

Searchers take a part of some dates. With p their share of an unpicked mix and f the part that is gone, what is left of
them is q = p(1 - f) / (1 - pf). Counting them calls a bag odd where so few are found that an unpicked bag shows it less
often than the level; the power is how often a picked bag falls there. Both are binomial sums, so this holds for rare
dates too, where chi-square does not.
"""

from ninefine.errors import RangeError
from ninefine.sorting.effect import LEVEL, POWER
from ninefine.sorting.oddity import Number

#: The highest count that is tried as the one from which a bag is called odd; beyond it no bag is large enough.
_MOST_FOUND = 5_000


def left_share(share: Number, gone: Number) -> float:
    """The share of some dates after a part of them is gone.

    Raises:
        RangeError: a share that is not between 0 and 1, or a part outside 0 to 1.
    """
    p, f = float(share), float(gone)
    if not (0 < p < 1 and 0 <= f <= 1):
        raise RangeError("No such picking.", expected="A share between 0 and 1, and a part gone from 0 to 1.")
    return p * (1 - f) / (1 - p * f)


def odd_count(share: Number, pieces: int, *, level: float = LEVEL) -> int | None:
    """The most that may be found and still be odd; none where even none would not be odd."""
    from ninefine.sorting import arrays  # noqa: PLC0415 - heavy: numpy and scipy, loaded when a chance is asked for

    p = float(share)
    low, high = -1, pieces
    while high - low > 1:
        middle = (low + high) // 2
        if float(arrays.at_most(middle, pieces, p)) < level:
            low = middle
        else:
            high = middle
    return low if low >= 0 else None


def power_to_catch(share: Number, gone: Number, pieces: int, *, level: float = LEVEL) -> float:
    """How often a bag of so many pieces is called odd when a part of some dates is gone from the mix.

    Raises:
        RangeError: a share that is not between 0 and 1, or a part outside 0 to 1.
    """
    from ninefine.sorting import arrays  # noqa: PLC0415 - heavy: as above

    left = left_share(share, gone)
    most = odd_count(share, pieces, level=level)
    return 0.0 if most is None else float(arrays.at_most(most, pieces, left))


def gone_to_tell(share: Number, pieces: int, *, power: float = POWER, level: float = LEVEL) -> float | None:
    """What part of some dates must be gone before so many pieces tell it so often; none where not even all of it.

    Args:
        share: of the dates in an unpicked mix.
        pieces: of the bag.
        power: how often it is to be told.
        level: how often an unpicked bag is called odd.

    Raises:
        RangeError: a share that is not between 0 and 1.
    """
    from ninefine.sorting import arrays  # noqa: PLC0415 - heavy: as above

    most = odd_count(share, pieces, level=level)
    left_share(share, 1)
    if most is None:
        return None
    low, high = 0.0, 1.0
    while high - low > 1e-9:
        middle = (low + high) / 2
        if float(arrays.at_most(most, pieces, left_share(share, middle))) < power:
            low = middle
        else:
            high = middle
    return high


def pieces_to_catch(share: Number, gone: Number, *, power: float = POWER, level: float = LEVEL) -> int | None:
    """The fewest pieces that tell, so often, that a part of some dates is gone; none where no bag is large enough.

    For each count c in turn, the fewest pieces n at which finding c is odd; the first whose power is enough. Between
    such n the power falls, for the count that is odd stays while more are to be found.

    Args:
        share: of the dates in an unpicked mix.
        gone: the part of them that is gone.
        power: how often it is to be told.
        level: how often an unpicked bag is called odd.

    Raises:
        RangeError: a share that is not between 0 and 1, or a part outside 0 to 1.
    """
    from ninefine.sorting import arrays  # noqa: PLC0415 - heavy: as above

    p, left = float(share), left_share(share, gone)
    pieces = 0
    for count in range(_MOST_FOUND):
        pieces = _fewest(count, p, level, above=pieces)
        if float(arrays.at_most(count, pieces, left)) >= power:
            return pieces
    return None


def _fewest(count: int, share: float, level: float, *, above: int) -> int:
    """The fewest pieces, above some number, among which finding so many or fewer is odd."""
    from ninefine.sorting import arrays  # noqa: PLC0415 - heavy: as above

    low, high = above, max(2 * above, count + 1, 2)
    while float(arrays.at_most(count, high, share)) >= level:
        low, high = high, 2 * high
    while high - low > 1:
        middle = (low + high) // 2
        if float(arrays.at_most(count, middle, share)) < level:
            high = middle
        else:
            low = middle
    return high
