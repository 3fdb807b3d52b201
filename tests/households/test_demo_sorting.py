"""The demo's sheet, set, pieces and triage: all of it invented, and one decision taken."""

from datetime import date
from decimal import Decimal

import pytest

from ninefine.book.entries import Sorted
from ninefine.desk.demo import EARLIEST, build_demo
from ninefine.desk.kit import Kit
from ninefine.desk.mix import mix, sources
from ninefine.desk.pieces import Where, laid
from ninefine.desk.sets import set_named, view
from ninefine.desk.sheets import sheet_lines
from ninefine.desk.triage import answer
from ninefine.sorting.reading import Verdict as Mixed
from ninefine.testing import kit_in_memory
from ninefine.worth.verdict import Verdict


@pytest.fixture(scope="module")
def kit() -> Kit:
    made = kit_in_memory(today=EARLIEST)
    build_demo(made)
    return made


def test_the_one_sheet_says_that_it_is_invented(kit: Kit) -> None:
    (line,) = sheet_lines(kit)

    assert line.sheet.on == date(2026, 6, 20)
    assert "nvented" in line.sheet.note
    assert "invented" in line.sheet.source
    assert not line.stale


def test_one_piece_was_pulled_for_a_reason_and_one_is_kept_for_a_set(kit: Kit) -> None:
    pulled, kept = laid(kit)

    assert (pulled.where, kept.where) == (Where.PULLED, Where.TABLE)
    assert pulled.held is not None
    assert (pulled.held.place, pulled.held.count) == ("E1-1", 1)
    entry = kit.journal.records()[(pulled.pulled_by or 1) - 1].entry
    assert isinstance(entry, Sorted)
    assert "the threshold is 5.00" in entry.note
    found = answer(kit, kept.label).found
    assert found is not None
    assert found.verdict is Verdict.KEEP
    assert "the Mercury album keeps it" in found.reason


def test_the_pulled_dollar_took_its_share_of_what_twelve_cost(kit: Kit) -> None:
    """12 at 21.50 and 8 at 19.75 with 8.40 of travel, shared by price: 263.21 on the twelve, 21.93 a piece."""
    lot = kit.holdings().lots["L2"]

    assert lot.cost == Decimal("263.21")
    assert {(heap.count, heap.basis) for heap in lot.heaps} == {(11, Decimal("241.28")), (1, Decimal("21.93"))}


def test_the_album_lacks_what_was_never_found(kit: Kit) -> None:
    seen = view(kit, set_named(kit, "the Mercury album"))

    assert len(seen.wants) == 77
    assert len(seen.state.kept) + len(seen.state.lacks) == 77
    assert "1916-D" in {lack.want.label for lack in seen.state.lacks}


def test_both_a_lot_and_an_open_tally_can_be_read(kit: Kit) -> None:
    assert [one.key for one in sources(kit)] == ["tally 2", "L17"]
    assert mix(kit, {"of": "tally 2"}).reading.verdict is Mixed.SEARCHED
