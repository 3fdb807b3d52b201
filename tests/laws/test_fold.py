"""Laws of the fold: pure, replayable, correctable, conserving. Journals are drawn by `strategies_book`."""

from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal

import msgspec
import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from ninefine.book.chain import Stored, store, verify_chain
from ninefine.book.codec import decode, encode
from ninefine.book.entries import Entry, Fact, Mended, Noted, Withdrawn
from ninefine.book.fold import fold
from ninefine.book.holdings import Holdings
from ninefine.book.laws import broken_in, broken_laws, uphold
from ninefine.book.ledger import Ledger
from ninefine.errors import BookError, BrokenLawError
from strategies_book import SAID_AT, days, facts, journals, record_all

quick = settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow])


def entries_of(records: list[Stored]) -> list[Entry]:
    return [record.entry for record in records]


def held_or_refused(entries: list[Entry]) -> Holdings | None:
    """What the entries come to, or none where the book refuses them; the last serial left out of the comparison."""
    try:
        return replace(fold(record_all(entries)), serial=0)
    except BookError:
        return None


class TestReplay:
    """The same entries give the same holdings, however and whenever they are counted."""

    @quick
    @given(journals())
    def test_a_ledger_that_grew_entry_by_entry_holds_what_one_fold_of_all_gives(self, records: list[Stored]) -> None:
        grown = Ledger()
        for number, record in enumerate(records, start=1):
            grown.add(record)
            assert grown.holdings() == fold(records[:number])

        assert grown.holdings() == Ledger("USD", records).holdings()

    @quick
    @given(journals(), st.lists(days, min_size=1, max_size=5))
    def test_what_was_asked_before_changes_no_answer(self, records: list[Stored], asked: list[date]) -> None:
        used, on = Ledger(), asked[-1]
        for record in records:
            used.add(record)
            for day in asked:
                used.holdings(day)

        assert used.holdings(on) == fold(records, on=on)

    @quick
    @given(journals(corrections=False), days)
    def test_a_date_is_held_as_if_nothing_later_had_been_said(self, records: list[Stored], on: date) -> None:
        silent = Noted(on=date(1999, 1, 1))
        until: list[Entry] = [entry if entry.on <= on else silent for entry in entries_of(records)]

        assert replace(fold(records, on=on), on=None) == fold(record_all(until))

    @quick
    @given(journals(), days)
    def test_a_refused_entry_leaves_the_ledger_as_it_was(self, records: list[Stored], on: date) -> None:
        ledger = Ledger("USD", records)
        before, past = ledger.holdings(), ledger.holdings(on)

        with pytest.raises(BookError):
            ledger.add(store(Withdrawn(on=on, serial=999), said_at=SAID_AT, after=ledger.last))

        assert (ledger.holdings(), ledger.holdings(on), list(ledger.records)) == (before, past, records)

    @quick
    @given(journals())
    def test_nothing_frozen_changes_when_the_book_grows(self, records: list[Stored]) -> None:
        ledger = Ledger()
        seen: list[tuple[Holdings, str]] = []
        for record in records:
            ledger.add(record)
            held = ledger.holdings()
            seen.append((held, repr(held)))

        assert all(repr(held) == first for held, first in seen)


class TestCorrections:
    """A mend reads as if the first wording had never been wrong, a withdrawal as if it had never been said."""

    @quick
    @given(journals(corrections=False), st.data())
    def test_mended_is_never_wrong(self, records: list[Stored], data: st.DataObject) -> None:
        assume(records)
        serial = data.draw(st.integers(1, len(records)))
        instead: Fact = data.draw(facts(fold(records), data.draw(days), 77))
        never_wrong = entries_of(records)
        mended: list[Entry] = [*never_wrong, Mended(on=date(2030, 1, 1), serial=serial, instead=instead)]
        never_wrong[serial - 1] = instead

        assert held_or_refused(mended) == held_or_refused(never_wrong)

    @quick
    @given(journals(corrections=False), st.data())
    def test_withdrawn_is_never_said(self, records: list[Stored], data: st.DataObject) -> None:
        assume(records)
        serial = data.draw(st.integers(1, len(records)))
        never_said = entries_of(records)
        withdrawn: list[Entry] = [*never_said, Withdrawn(on=date(1990, 1, 1), serial=serial)]
        never_said[serial - 1] = Noted(on=date(2024, 1, 1))

        assert held_or_refused(withdrawn) == held_or_refused(never_said)

    @quick
    @given(journals(corrections=False), st.data())
    def test_the_last_mend_wins_whichever_serial_it_names(self, records: list[Stored], data: st.DataObject) -> None:
        assume(records)
        serial, on = data.draw(st.integers(1, len(records))), date(2030, 1, 1)
        held = fold(records)
        first, last = data.draw(facts(held, data.draw(days), 77)), data.draw(facts(held, data.draw(days), 78))
        start: list[Entry] = [*entries_of(records), Mended(on=on, serial=serial, instead=first)]
        by_first = held_or_refused([*start, Mended(on=on, serial=serial, instead=last)])
        by_mend = held_or_refused([*start, Mended(on=on, serial=len(start), instead=last)])
        once = held_or_refused([*entries_of(records), Mended(on=on, serial=serial, instead=last)])

        assert by_first == by_mend == once

    @quick
    @given(journals(corrections=False), st.data())
    def test_a_withdrawn_mend_lets_the_first_wording_stand(self, records: list[Stored], data: st.DataObject) -> None:
        assume(records)
        serial, on = data.draw(st.integers(1, len(records))), date(2030, 1, 1)
        instead = data.draw(facts(fold(records), data.draw(days), 77))
        mend = Mended(on=on, serial=serial, instead=instead)
        taken_back: list[Entry] = [*entries_of(records), mend, Withdrawn(on=on, serial=len(records) + 1)]

        assert held_or_refused(taken_back) == held_or_refused(entries_of(records))


class TestConservation:
    """Cents, pieces and face: what came is held or was sold, on every date."""

    @settings(quick, max_examples=100)
    @given(journals(), st.none() | days)
    def test_every_law_holds(self, records: list[Stored], on: date | None) -> None:
        assert broken_laws(records, on=on) == ()

    @quick
    @given(journals(), st.sampled_from([Decimal("0.01"), Decimal("-0.01")]))
    def test_a_cent_astray_is_found(self, records: list[Stored], cent: Decimal) -> None:
        held = fold(records)
        assume(held.lots)
        name, lot = next(iter(held.lots.items()))
        astray = replace(held, lots={**held.lots, name: msgspec.structs.replace(lot, cost=lot.cost + cent)})

        assert any(name in sentence for sentence in broken_in(astray))


class TestChain:
    """No entry, moment or serial can be changed, dropped or put elsewhere unseen."""

    @quick
    @given(journals())
    def test_an_entry_is_read_back_as_it_was_written(self, records: list[Stored]) -> None:
        for record in records:
            body = encode(record.entry)
            assert decode(body) == record.entry
            assert encode(decode(body)) == body

    @quick
    @given(journals(), st.data())
    def test_a_flipped_bit_is_found(self, records: list[Stored], data: st.DataObject) -> None:
        assume(records)
        index = data.draw(st.integers(0, len(records) - 1))
        digest = bytearray(records[index].digest)
        digest[data.draw(st.integers(0, 31))] ^= 1 << data.draw(st.integers(0, 7))
        changed = [*records]
        changed[index] = msgspec.structs.replace(records[index], digest=bytes(digest))

        with pytest.raises(BrokenLawError):
            verify_chain(changed)

    @quick
    @given(journals(), st.data())
    def test_another_entry_another_moment_or_a_gap_is_found(self, records: list[Stored], data: st.DataObject) -> None:
        assume(records)
        index = data.draw(st.integers(0, len(records) - 1))
        record, changed = records[index], [*records]
        other = data.draw(st.sampled_from(["entry", "moment", "gap", "swap"]))
        if other == "entry":
            changed[index] = msgspec.structs.replace(record, entry=Noted(on=date(2024, 1, 1), text="never said"))
        elif other == "moment":
            changed[index] = msgspec.structs.replace(record, said_at=record.said_at + timedelta(microseconds=1))
        elif other == "gap":
            assume(index < len(records) - 1)  # a journal cut short at its end is whole, only shorter
            del changed[index]
        else:
            assume(index > 0)
            changed[index - 1], changed[index] = changed[index], changed[index - 1]

        with pytest.raises(BrokenLawError):
            uphold(changed)
