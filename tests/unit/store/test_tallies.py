"""Tallies: kept mark by mark, cancelled but never rewritten."""

from pathlib import Path

import pytest

from ninefine.book.entries import Noted
from ninefine.errors import BookError, NotFoundError, RangeError
from ninefine.sorting.tally import tally_of
from ninefine.store.file import open_book
from ninefine.store.journal import BookFile

DIME = "us-dime-90"


@pytest.fixture
def number(book: BookFile) -> int:
    return book.start_tally("L1/us-dime-90@A1", "90% dimes, lot L1, at A1")


def test_marks_are_numbered_and_kept(book: BookFile, path: Path, number: int) -> None:
    assert [book.mark(number, DIME, "1964", 3), book.mark(number, DIME, "1921-D", 1, "worn, look again")] == [1, 2]

    with open_book(path, None) as again:
        marks = again.marks(number)
        assert [(mark.seq, mark.kind, mark.issue, mark.delta, mark.note) for mark in marks] == [
            (1, DIME, "1964", 3, ""),
            (2, DIME, "1921-D", 1, "worn, look again"),
        ]
        (tally,) = again.open_tallies()
        assert (tally.number, tally.heap, tally.title) == (number, "L1/us-dime-90@A1", "90% dimes, lot L1, at A1")


def test_undo_cancels_the_last_standing_mark_each_time(book: BookFile, number: int) -> None:
    for issue in ("1964", "1963", "1962"):
        book.mark(number, DIME, issue, 1)

    assert (book.undo(number), book.undo(number)) == (3, 2)
    book.mark(number, DIME, "1961", 1)
    assert (book.undo(number), book.undo(number), book.undo(number)) == (6, 1, None)

    assert [mark.cancels for mark in book.marks(number)] == [None, None, None, 3, 2, None, 6, 1]
    assert tally_of(book.marks(number)).pieces == 0


def test_taking_pieces_back_is_a_mark_too(book: BookFile, number: int) -> None:
    book.mark(number, DIME, "1964", 5)
    book.mark(number, DIME, "1964", -2)

    assert tally_of(book.marks(number)).count(DIME, "1964") == 3


def test_a_mark_of_nothing_is_refused(book: BookFile, number: int) -> None:
    with pytest.raises(RangeError, match="no pieces"):
        book.mark(number, DIME, "1964", 0)


def test_tallies_do_not_mix(book: BookFile, number: int) -> None:
    other = book.start_tally("L2", "halves")
    book.mark(number, DIME, "1964", 1)
    book.mark(other, "us-half-90", "1963", 1)

    assert [mark.seq for mark in book.marks(other)] == [1]
    assert book.undo(other) == 1
    assert tally_of(book.marks(number)).pieces == 1


def test_a_booked_tally_is_closed_to_marks_and_kept(book: BookFile, number: int) -> None:
    book.mark(number, DIME, "1964", 1)
    stored = book.append(Noted(on=book._clock().date()))
    book.close_tally(number, stored.serial)

    ended = r"Tally 1 .* was already booked by entry 1"
    with pytest.raises(BookError, match=ended):
        book.mark(number, DIME, "1964", 1)
    with pytest.raises(BookError, match=ended):
        book.undo(number)
    with pytest.raises(BookError, match=ended):
        book.close_tally(number, None)
    assert len(book.marks(number)) == 1
    tally = book.tally(number)
    assert (tally.open, tally.serial) == (False, 1)
    assert book.open_tallies() == ()


def test_a_tally_may_be_put_aside(book: BookFile, number: int) -> None:
    book.close_tally(number, None)

    assert (book.tally(number).open, book.tally(number).serial) == (False, None)
    with pytest.raises(BookError, match="was already put aside"):
        book.mark(number, DIME, "1964", 1)


def test_what_is_not_there_is_said(book: BookFile, number: int) -> None:
    with pytest.raises(NotFoundError, match=r"no tally 9\. Try: 1"):
        book.marks(9)
    with pytest.raises(NotFoundError, match="no tally 9"):
        book.mark(9, DIME, "1964", 1)
    with pytest.raises(NotFoundError, match="no entry 5"):
        book.close_tally(number, 5)


def test_an_undo_in_another_window_cancels_once(book: BookFile, path: Path, number: int) -> None:
    book.mark(number, DIME, "1964", 1)
    book.mark(number, DIME, "1963", 1)
    with open_book(path, None) as other:
        assert other.undo(number) == 2
        assert book.undo(number) == 1
        assert other.undo(number) is None


def test_a_named_mark_is_taken_back_once(book: BookFile, number: int) -> None:
    for issue in ("1964", "1963", "1962"):
        book.mark(number, DIME, issue, 1)

    assert (book.undo(number, 2, "left.7"), book.undo(number, 2), book.undo(number, 4), book.undo(number)) == (
        2, None, None, 3
    )  # fmt: skip
    assert [mark.note for mark in book.marks(number)] == ["", "", "", "left.7", ""]
    assert [(row.issue, row.count) for row in tally_of(book.marks(number)).rows] == [("1964", 1)]


def test_several_marks_are_kept_together_or_not_at_all(book: BookFile, number: int) -> None:
    with pytest.raises(RangeError, match="no pieces"):
        book.mark_all(number, [(DIME, "1964", 3), (DIME, "1963", 0)], "table 1")
    assert book.marks(number) == ()

    book.mark_all(number, [(DIME, "1964", 3), (DIME, "1963", 4)], "table 1")
    assert [(mark.delta, mark.note) for mark in book.marks(number)] == [(3, "table 1"), (4, "table 1")]


def test_marks_are_read_from_any_point_with_their_moments(book: BookFile, number: int) -> None:
    for _ in range(4):
        book.mark(number, DIME, "1964", 1)
    marks = book.marks(number)

    assert book.marks(number, 2) == marks[2:]
    assert book.marks(number, 9) == ()
    moments = [mark.said_at for mark in marks]
    assert None not in moments
    assert moments == sorted(moment for moment in moments if moment is not None)
