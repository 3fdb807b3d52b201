"""Ways that another betters: just those, against the rule written out pair by pair."""

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from ninefine.plan.buying_better import undominated

#: Mark, cents, ounces in hundredths, surely stands. Small ranges, so that many are equal.
WAYS = st.lists(st.tuples(st.integers(0, 2), st.integers(0, 12), st.integers(0, 6), st.booleans()), min_size=1)


def betters(one: tuple[int, int, int, bool], other: tuple[int, int, int, bool], doubt: int) -> bool:
    """Whether one way costs no more and holds no less than another that is the same to all else, and not its equal."""
    mark, cost, ozt, sure = one
    if not sure or mark != other[0] or ozt < other[2]:
        return False
    return cost < other[1] - doubt or (doubt == 0 and cost == other[1] and ozt > other[2])


@given(ways=WAYS, doubt=st.integers(0, 3))
def test_what_is_left_out_is_bettered_and_what_stays_is_not(ways: list[tuple[int, int, int, bool]], doubt: int) -> None:
    """Of equals one stays at the least; a way that another betters by the rule does not; a way that none does stays."""
    marks = np.array([[mark] for mark, *_ in ways], dtype=np.intp)
    cost = np.array([cents / 100 for _, cents, *_ in ways])
    ozt = np.array([hundredths / 100 for *_, hundredths, _ in ways])
    sure = np.array([stands for *_, stands in ways])

    kept = undominated(marks, cost, ozt, sure, doubt / 100)

    for at, way in enumerate(ways):
        bettered = any(betters(other, way, doubt) for other in ways)
        equal = any(other == (*way[:3], True) for where, other in enumerate(ways) if where != at)
        if bettered:
            assert not kept[at]
        elif not equal:
            assert kept[at]
    for way in set(ways):
        if not any(betters(other, way, doubt) for other in ways):
            assert any(kept[at] for at, other in enumerate(ways) if other[:3] == way[:3])
