"""A tally kept up mark by mark against one added up anew, and the pace of hands against a plain reckoning."""

from collections.abc import Sequence
from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ninefine.sorting.pace import OF_LATE, PAUSE, Pace, Work
from ninefine.sorting.tally import FROM_TABLE, RunningTally, tally_of
from ninefine.testing import ListMark

START = datetime(2026, 3, 1, 19, 0, tzinfo=UTC)

#: What two windows do: mark, take back the last, take back any; how many pieces; how many seconds later.
STEPS = st.lists(
    st.tuples(
        st.sampled_from(["mark", "mark", "mark", "undo", "undo any"]),
        st.sampled_from([("a", "1964-D"), ("a", "1964-P"), ("b", "")]),
        st.integers(-3, 9).filter(bool),
        st.integers(0, 90),
        st.integers(0, 60),
    ),
    max_size=60,
)


def marks_of(steps: Sequence[tuple[str, tuple[str, str], int, int, int]]) -> list[ListMark]:
    """The marks of a tally as a book keeps them."""
    marks: list[ListMark] = []
    standing: list[ListMark] = []
    moment = START
    for what, (kind, issue), delta, wait, at in steps:
        moment += timedelta(seconds=wait)
        if what == "mark" or not standing:
            mark = ListMark(seq=len(marks) + 1, kind=kind, issue=issue, delta=delta, said_at=moment)
            standing.append(mark)
        else:
            gone = standing.pop(-1 if what == "undo" else at % len(standing))
            mark = ListMark(
                seq=len(marks) + 1, kind=gone.kind, issue=gone.issue, delta=0, cancels=gone.seq, said_at=moment
            )
        marks.append(mark)
    return marks


def plainly(marks: Sequence[ListMark]) -> dict[tuple[str, str], int]:
    """What a tally holds, reckoned without anything of the program."""
    cancelled = {mark.cancels for mark in marks}
    counts: dict[tuple[str, str], int] = {}
    for mark in marks:
        if mark.cancels is None and mark.seq not in cancelled:
            counts[mark.kind, mark.issue] = counts.get((mark.kind, mark.issue), 0) + mark.delta
    return {key: count for key, count in counts.items() if count}


@given(STEPS, st.lists(st.integers(0, 60), max_size=6))
def test_a_running_tally_is_the_tally_of_all_its_marks_at_every_step(
    steps: list[tuple[str, tuple[str, str], int, int, int]], cuts: list[int]
) -> None:
    """However the marks come in pieces, and whatever other windows marked or took back between."""
    marks = marks_of(steps)
    running = RunningTally()
    at = 0
    for cut in [*sorted(min(cut, len(marks)) for cut in cuts), len(marks)]:
        running.add(marks[at:cut])
        at = cut
        whole = tally_of(marks[:at])

        assert running.now() == whole
        assert {(row.kind, row.issue): row.count for row in whole.rows} == plainly(marks[:at])
        assert whole.pieces == sum(plainly(marks[:at]).values())
        assert running.last == at


@given(STEPS, st.randoms(use_true_random=False))
def test_the_order_in_which_marks_are_read_does_not_matter(
    steps: list[tuple[str, tuple[str, str], int, int, int]], chance: object
) -> None:
    marks = marks_of(steps)
    mixed = list(marks)
    chance.shuffle(mixed)  # type: ignore[attr-defined]
    running = RunningTally()
    for mark in mixed:
        running.add([mark])

    assert running.now(latest=99) == tally_of(marks, latest=99)


@given(STEPS, st.integers(0, 70))
def test_what_changed_since_a_mark_is_all_whose_count_may_differ(
    steps: list[tuple[str, tuple[str, str], int, int, int]], after: int
) -> None:
    marks = marks_of(steps)
    running = RunningTally()
    running.add(marks)
    before, now = plainly(marks[:after]), plainly(marks)
    differs = {key for key in {*before, *now} if before.get(key) != now.get(key)}

    assert differs <= running.changed(after)
    assert running.changed(after) == {(mark.kind, mark.issue) for mark in marks[after:]}


def test_marks_are_found_by_their_slips_and_by_whose_they_are() -> None:
    running = RunningTally()
    running.add(
        [
            ListMark(seq=1, kind="a", issue="", delta=1, note="left.1"),
            ListMark(seq=2, kind="b", issue="", delta=1, note="right.1"),
            ListMark(seq=3, kind="b", issue="", delta=0, note="right.2", cancels=2),
        ]
    )

    assert (running.noted("left.1"), running.noted("left.2")) == (running.last_of(lambda _: True), None)
    assert [running.stands(seq) for seq in (1, 2, 3)] == [True, False, False]
    assert running.last_of(lambda mark: mark.note.startswith("right")) is None


def test_pace_leaves_pauses_out_and_takes_back_what_was_taken_back() -> None:
    """Five coins ten seconds apart, a pause, two more, one taken back: 5 counted pieces in 60 seconds of work."""
    work = Work()
    moment = START
    for wait, pieces in [(0, 1), (10, 1), (10, 1), (10, 1), (10, 1), (PAUSE.seconds + 1, 1), (10, 2), (10, -1)]:
        moment += timedelta(seconds=wait)
        work.add(moment, pieces)

    assert (work.pace.pieces, work.pace.worked) == (5, timedelta(seconds=60))
    assert (work.pace.an_hour, work.pace.late_an_hour) == (300, 300)
    assert work.pace.time_for(10) == timedelta(seconds=120)


def test_the_pace_of_late_forgets_how_it_began() -> None:
    work = Work()
    for at in range(20):
        work.add(START + timedelta(seconds=30 * at), 1)
    for at in range(OF_LATE):
        work.add(START + timedelta(seconds=30 * 19 + 3 * (at + 1)), 1)

    assert work.pace.late_an_hour == 1200
    assert work.pace.an_hour == 3600 * (19 + OF_LATE) // (30 * 19 + 3 * OF_LATE)


def test_no_pace_is_made_up() -> None:
    """Before a second coin, and for pieces read from a table, none is known."""
    assert (Pace().an_hour, Pace().late_an_hour, Pace().time_for(3)) == (None, None, None)
    running = RunningTally()
    running.add(
        ListMark(seq=seq, kind="a", issue="", delta=500, note=f"{FROM_TABLE}1", said_at=START + timedelta(seconds=seq))
        for seq in (1, 2, 3)
    )

    assert running.now().pieces == 1500
    assert running.pace == Pace()


@pytest.mark.parametrize("pieces", [-1, -500])
def test_more_told_than_was_there_leaves_no_time(pieces: int) -> None:
    assert Pace(late_pieces=3, late_worked=timedelta(seconds=9)).time_for(pieces) is None
