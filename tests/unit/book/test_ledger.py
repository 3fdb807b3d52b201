"""The ledger: one more entry costs one more step, and nothing refused leaves a trace."""

from datetime import date

import pytest

from ninefine.book.chain import Stored
from ninefine.book.entries import Listed, Mended, Withdrawn
from ninefine.book.fold import fold
from ninefine.book.ledger import Ledger
from ninefine.book.working import Working
from ninefine.errors import BookError, BrokenLawError, NotEnoughError
from short_entries import DAY, book, bought, moved, ref, sold


def filled(records: list[Stored]) -> Ledger:
    ledger = Ledger()
    for record in records:
        ledger.add(record)
    return ledger


def test_an_entry_being_said_is_not_named_in_its_own_refusal() -> None:
    records = book(bought("L1", count=3), sold(ref("L1"), count=5))
    ledger = filled(records[:1])

    with pytest.raises(NotEnoughError, match=r"^Lot L1"):
        ledger.add(records[1])
    assert ledger.serial == 1


def test_a_backdated_entry_that_is_refused_is_not_named_but_one_that_it_upsets_is() -> None:
    start = (bought("L1", count=3, on=date(2026, 3, 1)), sold(ref("L1"), count=3, on=DAY))
    too_early = book(*start, sold(ref("L1"), on=date(2026, 2, 1), count=1))
    upsetting = book(*start, sold(ref("L1"), on=date(2026, 3, 1), count=1))

    with pytest.raises(BookError, match=r"^There is no lot 'L1' on that date"):
        filled(too_early[:2]).add(too_early[2])
    with pytest.raises(NotEnoughError, match=r"^Entry 2 \(sold, 2026-03-02\): Lot L1, us-dime-90 holds 2 pieces"):
        filled(upsetting[:2]).add(upsetting[2])


def test_a_refusal_half_way_through_an_entry_leaves_no_half_of_it() -> None:
    records = book(bought("L1", count=3), sold(ref("L1"), count=2))
    two_lines = sold(ref("L1"), count=2)
    bad = book(bought("L1", count=3), type(two_lines)(on=DAY, lines=two_lines.lines * 2))
    ledger = filled(records[:1])

    with pytest.raises(NotEnoughError):
        ledger.add(bad[1])
    ledger.add(records[1])
    assert ledger.holdings() == fold(records)


def test_records_must_follow_one_another() -> None:
    records = book(bought("L1"), bought("L2"), bought("L3"))
    ledger = filled(records[:1])

    with pytest.raises(BrokenLawError, match="Entry 2 is missing"):
        ledger.add(records[2])
    with pytest.raises(BrokenLawError, match="Entry 2 is missing"):
        ledger.extend([records[2]])


def test_a_book_with_an_entry_that_no_longer_counts_can_be_put_right() -> None:
    """As when a later ninefine has grown stricter: reading says which entry, and a correction heals it."""
    records = book(
        bought("L1", count=3), sold(ref("L1"), count=9), bought("L2"), Withdrawn(on=DAY, serial=2), bought("L4")
    )
    ledger = Ledger("USD", records[:2])

    with pytest.raises(NotEnoughError, match="Entry 2"):
        ledger.holdings()
    with pytest.raises(NotEnoughError, match="Entry 2"):
        ledger.add(records[2])
    healed = book(bought("L1", count=3), sold(ref("L1"), count=9), Withdrawn(on=DAY, serial=2))
    ledger.add(healed[2])
    assert ledger.holdings().lots["L1"].heaps[0].count == 3


def test_entries_of_another_window_are_counted_on_top(monkeypatch: pytest.MonkeyPatch) -> None:
    records = book(bought("L1"), moved(ref("L1"), "A1"), bought("L2"))
    ledger = Ledger("USD", records[:1])
    made: list[Working] = []
    monkeypatch.setattr("ninefine.book.ledger.Working", made.append)

    ledger.extend(records[1:])

    assert ledger.holdings() == fold(records)
    assert made == []


def test_entries_in_the_order_of_their_dates_never_count_the_book_anew(monkeypatch: pytest.MonkeyPatch) -> None:
    records = book(*(bought(f"L{number}", on=date(2026, 1, 1 + number // 20)) for number in range(400)))
    ledger, anew = Ledger(), 0

    def counting(_: list[Stored]) -> list[object]:
        nonlocal anew
        anew += 1
        return []

    monkeypatch.setattr("ninefine.book.ledger.standing", counting)
    for record in records:
        ledger.add(record)

    assert (len(ledger.holdings().lots), anew) == (400, 0)


def test_holdings_of_a_date_after_everything_are_those_of_now() -> None:
    records = book(bought("L1"))
    held = Ledger("USD", records).holdings(date(2030, 1, 1))

    assert held == fold(records, on=date(2030, 1, 1))


def test_rising_dates_walk_through_the_book_once(monkeypatch: pytest.MonkeyPatch) -> None:
    records = book(*(bought(f"L{day}", on=date(2026, 1, day)) for day in range(1, 29)))
    ledger = Ledger("USD", records)
    counted: list[int] = []

    def counting(_: Working, facts: list[tuple[date, int, object]]) -> None:
        counted.extend(fact[1] for fact in facts)

    monkeypatch.setattr("ninefine.book.ledger.apply_all", counting)
    for day in range(1, 28):
        ledger.holdings(date(2026, 1, day))
        ledger.holdings(date(2026, 1, day))

    assert counted == list(range(1, 28))


def test_an_earlier_date_after_a_later_one_is_counted_from_the_start() -> None:
    records = book(*(bought(f"L{day}", on=date(2026, 1, day)) for day in range(1, 9)))
    ledger = Ledger("USD", records)

    for day in (5, 2, 7, 1):
        assert ledger.holdings(date(2026, 1, day)) == fold(records, on=date(2026, 1, day))


def test_a_mend_reaches_back_into_past_dates() -> None:
    records = book(
        bought("L1", "900"), bought("L2", on=date(2026, 4, 1)), Mended(on=DAY, serial=1, instead=bought("L1", "90"))
    )
    ledger = filled(records[:2])
    assert ledger.holdings(DAY).lots["L1"].cost == 900

    ledger.add(records[2])

    assert ledger.holdings(DAY).lots["L1"].cost == 90


def test_a_table_read_before_a_row_changed_is_read_anew() -> None:
    rows = [Listed(on=DAY, table="exit", key="shop", body=body) for body in ({"fee": 1}, {"fee": 2}, None)]
    ledger, seen = Ledger(), []

    for record in book(*rows):
        ledger.add(record)
        seen.append(ledger.holdings().tables)

    assert seen == [{"exit": {"shop": {"fee": 1}}}, {"exit": {"shop": {"fee": 2}}}, {}]
