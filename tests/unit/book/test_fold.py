"""The fold as a whole: dates, tables, prices, notes, and how errors name entries. Its laws are in tests/laws."""

from datetime import date
from decimal import Decimal

import pytest

from ninefine.book.entries import Amount, Bought, BoughtLine, Listed, Noted, Priced
from ninefine.book.fold import fold
from ninefine.errors import BookError, NotEnoughError
from short_entries import DAY, book, bought, held, ref, sold


def listed(key: str, **body: object) -> Listed:
    return Listed(on=DAY, table="exit", key=key, body=body or None)


def test_an_empty_book_holds_nothing() -> None:
    holdings = fold([])

    assert (holdings.serial, dict(holdings.lots), holdings.disposals, holdings.heaps) == (0, {}, (), ())


def test_a_date_counts_everything_that_happened_on_it() -> None:
    records = book(bought("L1", on=date(2026, 3, 1)), bought("L2", on=DAY), bought("L3", on=date(2026, 3, 3)))

    assert list(fold(records, on=DAY).lots) == ["L1", "L2"]
    assert fold(records, on=DAY).on == DAY
    assert fold(records, on=DAY).serial == 3


def test_rows_of_tables_stand_as_last_set_down_and_are_struck_with_no_body() -> None:
    holdings = held(listed("shop", fee=1), listed("club", fee=2), listed("shop", fee=3), listed("club"))

    assert holdings.tables == {"exit": {"shop": {"fee": 3}}}


def test_a_table_whose_rows_were_all_struck_is_gone() -> None:
    assert held(listed("shop", fee=1), listed("shop"), listed("never")).tables == {}


def test_nothing_in_holdings_can_be_changed() -> None:
    holdings = held(bought("L1"), listed("shop", fee=1))

    with pytest.raises(TypeError):
        holdings.lots["L2"] = holdings.lots["L1"]  # type: ignore[index]
    with pytest.raises(TypeError):
        holdings.tables["exit"]["shop"]["fee"] = 2  # type: ignore[index]
    with pytest.raises(AttributeError):
        holdings.lots["L1"].cost = Decimal(0)  # type: ignore[misc]


def test_prices_are_kept_in_the_order_of_their_dates() -> None:
    late = Priced(on=date(2026, 3, 9), per_ozt=Decimal("31.5"), whose="Quay Coin")
    early = Priced(on=DAY, at="14:30", per_ozt=Decimal("31.2"), side="bid")
    marks = held(late, early).prices

    assert [(mark.serial, mark.on, mark.per_ozt, mark.side, mark.at) for mark in marks] == [
        (2, DAY, Decimal("31.2"), "bid", "14:30"),
        (1, date(2026, 3, 9), Decimal("31.5"), "spot", ""),
    ]


def test_a_note_changes_nothing_that_is_held_and_may_name_another_entry() -> None:
    with_note = held(bought("L1"), Noted(on=DAY, text="dented", about=1, lots=("L1",)))

    assert with_note.lots == held(bought("L1")).lots


@pytest.mark.parametrize("about", [2, 3])
def test_a_note_about_itself_or_about_nothing_is_refused(about: int) -> None:
    with pytest.raises(BookError, match=f"There is no other entry {about}"):
        held(bought("L1"), Noted(on=DAY, about=about))


def test_an_error_names_its_entry_and_keeps_its_kind_and_facts() -> None:
    with pytest.raises(NotEnoughError) as caught:
        held(bought("L1", count=3), sold(ref("L1"), count=5))

    assert str(caught.value).startswith("Entry 2 (sold, 2026-03-02): Lot L1, us-dime-90 holds 3 pieces;")
    assert (caught.value.held, caught.value.asked) == ("3 pieces", "5 pieces")


def test_a_yen_book_has_no_cents() -> None:
    line = BoughtLine(lot="L1", kind="jp-yen", amount=Amount(count=3), price=Decimal(1000))
    holdings = held(Bought(on=DAY, lines=(line,)), sold(ref("L1", "jp-yen"), count=1), currency="JPY")

    assert holdings.disposals[0].basis == 333
