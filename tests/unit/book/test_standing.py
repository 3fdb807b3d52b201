"""Mends and withdrawals: what stands, and what is refused."""

from datetime import date

import pytest

from ninefine.book.entries import Entry, Mended, Noted, Withdrawn
from ninefine.book.fold import fold
from ninefine.book.standing import standing
from ninefine.errors import BookError, NotEnoughError
from short_entries import DAY, book, bought, held, lot_of, ref, sold

LATER = date(2026, 5, 5)


def mended(serial: int, instead: Entry) -> Mended:
    return Mended(on=LATER, serial=serial, instead=instead)  # type: ignore[arg-type]


def withdrawn(serial: int) -> Withdrawn:
    return Withdrawn(on=LATER, serial=serial)


def test_a_mended_entry_counts_at_its_new_date_and_first_serial() -> None:
    right = bought("L1", "90", on=date(2026, 1, 5))
    facts = standing(book(bought("L1", "900"), bought("L2"), mended(1, right)))

    assert [(on, serial) for on, serial, _ in facts] == [(date(2026, 1, 5), 1), (DAY, 2)]
    assert lot_of(held(bought("L1", "900"), mended(1, right))).serial == 1


def test_a_mend_may_make_it_another_fact() -> None:
    holdings = held(bought("L1"), mended(1, Noted(on=DAY, text="only looked at")))

    assert holdings.lots == {}


def test_corrections_count_on_dates_before_they_were_said() -> None:
    records = book(bought("L1", "900"), mended(1, bought("L1", "90")))

    assert fold(records, on=DAY).lots["L1"].cost == 90


def test_an_entry_that_rests_on_the_mended_one_is_named_when_it_no_longer_stands() -> None:
    with pytest.raises(NotEnoughError, match=r"Entry 2 \(sold, 2026-03-02\): Lot L1, us-dime-90 holds 4 pieces; 10"):
        held(bought("L1", count=10), sold(ref("L1"), count=10), mended(1, bought("L1", count=4)))


@pytest.mark.parametrize(
    ("entries", "sentence"),
    [
        ([withdrawn(1)], "Entry 1 would withdraw entry 1, but nothing was said before it"),
        (
            [bought("L1"), mended(2, bought("L1"))],
            "Entry 2 would mend entry 2, but there is no such earlier entry. Name one",
        ),
        ([bought("L1"), mended(7, bought("L1"))], "Entry 2 would mend entry 7.*Name one from 1 to 1"),
        ([bought("L1"), withdrawn(1), withdrawn(1)], "Entry 1 was withdrawn. Say the fact anew"),
        ([bought("L1"), withdrawn(1), mended(1, bought("L1"))], "Entry 1 was withdrawn. Say the fact anew"),
        ([bought("L1"), withdrawn(1), withdrawn(2)], "Entry 2 withdraws another, and cannot be taken back"),
        ([bought("L1"), withdrawn(1), mended(2, bought("L1"))], "Entry 2 withdraws another, and cannot be taken back"),
        ([bought("L1"), mended(1, bought("L1")), withdrawn(2), mended(2, bought("L1"))], "Entry 2 was withdrawn"),
        ([bought("L1"), mended(1, bought("L1")), withdrawn(1), withdrawn(2)], "Entry 1 was withdrawn"),
    ],
)
def test_what_cannot_be_corrected_is_refused(entries: list[Entry], sentence: str) -> None:
    with pytest.raises(BookError, match=sentence):
        standing(book(*entries))


def test_a_mend_of_a_mend_stands_when_the_mend_between_is_withdrawn() -> None:
    holdings = held(bought("L1", "1"), mended(1, bought("L1", "2")), mended(2, bought("L1", "3")), withdrawn(2))

    assert lot_of(holdings).cost == 3


def test_withdrawing_each_mend_in_turn_goes_back_wording_by_wording() -> None:
    entries: list[Entry] = [bought("L1", "1"), mended(1, bought("L1", "2")), mended(1, bought("L1", "3"))]

    costs = [lot_of(held(*entries, *map(withdrawn, gone))).cost for gone in ([], [3], [3, 2], [2])]
    assert costs == [3, 2, 1, 3]
