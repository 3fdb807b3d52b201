"""The demo's book: an invented household that shows every stage, whole on any day from late November 2026 on."""

import struct
import time
import zlib
from datetime import date, timedelta
from decimal import Decimal
from pathlib import Path
from typing import get_args

import pytest

from ninefine import wire
from ninefine.assay.verdict import Finding
from ninefine.book.entries import Bought, Entry, Noted
from ninefine.book.how import How, Left
from ninefine.book.laws import broken_laws
from ninefine.catalog.kinds import Basis, Form
from ninefine.desk.bench import all_benches
from ninefine.desk.demo import EARLIEST, build_demo, steps
from ninefine.desk.demo_papers import draw
from ninefine.desk.exits import worth
from ninefine.desk.gains import gains
from ninefine.desk.holdings import summary
from ninefine.desk.journal import journal
from ninefine.desk.kit import Kit
from ninefine.desk.offers import weigh
from ninefine.desk.say import holdings_sentence, worth_sentence
from ninefine.desk.sorting import board
from ninefine.desk.tables import exits
from ninefine.desk.waiting import Stage, waiting
from ninefine.errors import NotFoundError
from ninefine.market.series import monthly
from ninefine.testing import kit_in_memory

TRADE_OZT_PER_FACE = Decimal("0.715")  # common practice, no source


def told(today: date) -> Kit:
    """A book in memory with the demo's story in it, told on a day."""
    kit = kit_in_memory(today=today)
    build_demo(kit)
    return kit


@pytest.fixture(scope="module")
def kit() -> Kit:
    """The demo as it stands on the first day on which it can be told."""
    return told(EARLIEST)


def test_the_laws_of_the_book_hold_now_and_at_every_year_end(kit: Kit) -> None:
    assert kit.journal.faults() == ()
    for year in range(2019, 2026):
        assert broken_laws(kit.journal.records(), on=date(year, 12, 31)) == ()


def test_every_kind_of_entry_is_there(kit: Kit) -> None:
    said = {type(stored.entry).__name__ for stored in kit.journal.records()}

    assert said == {kind.__name__ for kind in get_args(Entry)}


def test_the_bench_has_something_of_every_verdict_but_the_unsettled(kit: Kit) -> None:
    found = {one.piece: one.verdict.finding for one in all_benches(kit)}

    assert found["the dull one, 1962"] is Finding.SET_ASIDE
    assert found["the soft-looking 1922"] is Finding.NOTHING_AGAINST
    assert len(found) == 4


def test_what_came_otherwise_keeps_its_past(kit: Kit) -> None:
    """A gift at less than its giver paid has a basis of its own for losses (26 CFR 1.1015-1(a)); unknown stays so."""
    lots = kit.holdings().lots

    assert (lots["G1"].cost, lots["G1"].loss_cost, lots["G1"].acquired) == (
        Decimal(384),
        Decimal(248),
        date(2026, 1, 24),
    )
    assert (lots["H1"].acquired, lots["H1"].how) == (date(2026, 8, 30), How.INHERITED)
    assert lots["H1"].cost + lots["table"].cost == 1240
    assert lots["table"].own_use
    assert not lots["T1"].cost_known
    assert lots["T1"].heaps[0].face == 15
    assert lots["S1"].cost == Decimal("190.00"), "ten halves counted for 186.00 of rounds and 4.00 in cash"


def test_the_years_gains_hold_a_sale_a_swap_a_refining_and_a_loss_apart(kit: Kit) -> None:
    table = gains(kit, 2026)

    assert {line.row.disposal.left for line in table.lines} == {Left.SOLD, Left.SWAPPED, Left.REFINED}
    assert [line.row.disposal.left for line in table.apart] == [Left.LOST]
    assert table.whole.gain == Decimal("1251.23")
    assert [match.agrees for match in table.reports.matches] == [True]


def test_the_book_is_kept_in_order_of_time_and_nothing_lies_ahead(kit: Kit) -> None:
    days = [stored.entry.on for stored in kit.journal.records()]

    assert days == sorted(days)
    assert days[0] == date(2019, 3, 2)
    assert days[-1] < EARLIEST


def test_the_first_entry_says_that_all_is_invented(kit: Kit) -> None:
    first = kit.journal.records()[0].entry

    assert isinstance(first, Noted)
    assert first.text.startswith("All of this is invented")


def test_something_waits_at_every_stage_that_can_wait(kit: Kit) -> None:
    words: dict[Stage, list[str]] = {}
    for item in waiting(kit):
        words.setdefault(item.stage, []).append(item.words)

    assert set(words) == {Stage.OFFERS, Stage.ARRIVALS, Stage.SORTING, Stage.PRICES, Stage.HOLDINGS}
    assert [line.split()[0] for line in words[Stage.ARRIVALS]] == ["On", "Claimed"]
    assert any(line.startswith("A tally is open") for line in words[Stage.SORTING])
    assert any(line.startswith("Not sorted, not weighed: 150 face") for line in words[Stage.SORTING])
    assert "stale" in words[Stage.PRICES][0]
    assert words[Stage.HOLDINGS] == ["Held over a year from 2026-12-16: lot L26."]


@pytest.mark.parametrize("today", [date(2026, 12, 31), date(2028, 2, 29), date(2031, 7, 1)])
def test_it_is_told_on_any_later_day_and_the_same_things_wait(kit: Kit, today: date) -> None:
    later = told(today)

    assert later.journal.faults() == ()
    assert all(stored.entry.on < today for stored in later.journal.records())
    assert {item.stage for item in waiting(later)} == {item.stage for item in waiting(kit)}
    assert len(later.journal.records()) == len(kit.journal.records())


def test_only_what_waits_is_dated_back_from_the_day_of_building() -> None:
    month = timedelta(days=30)
    early, late = ({str(step): on for on, step in steps(day)} for day in (EARLIEST, EARLIEST + month))

    moved = {words for words, on in late.items() if on != early[words]}

    assert {late[words] - early[words] for words in moved} == {month}
    assert moved == {words for words in late if "days_back" in words}
    assert len(moved) == 8


def test_on_an_earlier_day_it_is_told_as_of_the_first_day_it_can_be() -> None:
    early = told(date(2026, 1, 1))

    assert early.journal.records()[-1].entry.on == EARLIEST - timedelta(days=2)


def test_the_holdings_say_what_is_held_and_shares_come_to_the_whole(kit: Kit) -> None:
    now = summary(kit)
    forms = now.here.by_form()

    assert {share.name for share in forms} == {form.value for form in Form if form is not Form.NO_SILVER}
    for shares in (forms, now.here.by_place(), now.here.by_kind()):
        assert abs(sum((share.part for share in shares), Decimal(-1))) < Decimal("1e-25")
        assert abs(sum((share.ozt for share in shares), -now.here.ozt())) < Decimal("1e-20")
    melts = [share.melt for metal in now.here.metals for share in now.here.by_form(metal)]
    assert sum(melt for melt in melts if melt is not None) == now.here.melt()
    sentence = holdings_sentence(now)
    assert f"{round(now.here.ozt(), 2)} ozt of fine silver by trade count" in sentence
    assert "ozt of gold" in sentence
    assert "is on its way" in sentence


def test_what_is_held_is_what_was_bought_less_what_was_sold(kit: Kit) -> None:
    """Face of constitutional coin, added up by hand: 1,178.25 of small coin came, 40.10 was sold; 40 dollars came."""
    assert summary(kit).face_90 == Decimal("1178.25") - Decimal("40.10") + 40


def test_a_short_parcel_was_claimed_and_credited_and_another_still_waits(kit: Kit) -> None:
    lots = kit.holdings().lots

    assert (lots["L17"].cost, lots["L17"].claim) == (Decimal("4079.50"), Decimal(0))
    assert lots["L29"].claim == Decimal("21.45")


def test_a_mend_and_a_withdrawal_count(kit: Kit) -> None:
    assert kit.holdings().lots["L21"].cost == Decimal("1080.00")
    assert "L23" not in kit.holdings().lots
    lines = journal(kit, most=100)
    assert [line.name for line in lines if line.mended_by or line.withdrawn_by] == ["bought", "bought"]


def test_one_tally_was_finished_with_a_find_and_another_is_half_way(kit: Kit) -> None:
    (open_tally,) = kit.tallies.open_tallies()
    now = board(kit, open_tally.number)
    found = [sold for sold in kit.holdings().disposals if sold.issue == "1921-D"]

    assert now.pieces_left is not None
    assert 0 < now.tally.pieces < 524
    assert now.pieces_left + now.tally.pieces == 524
    assert [sold.proceeds for sold in found] == [Decimal("64.00")]
    assert any(heap.issue == "1926-S" for heap in kit.holdings().lots["L17"].heaps)


def test_sales_were_made_by_a_rule_and_by_choice(kit: Kit) -> None:
    assert {sold.rule for sold in kit.holdings().disposals} == {"first in, first out", "chosen"}


def test_six_ways_out_and_four_offers_can_be_reckoned(kit: Kit) -> None:
    now = worth(kit)

    assert exits(kit)[0].name == "Linden Street counter"
    assert len(now.ways) == 6
    assert all(way.net > 0 for way in now.ways)
    assert now.ways[0].exit.name in worth_sentence(now)
    assert {row.landed.offer.name for row in weigh(kit).ranked} == {
        "halves by post",
        "quarters from a neighbour",
        "a bag at the counter",
        "rounds by post",
    }


def test_the_scale_has_spoken_of_some_of_it(kit: Kit) -> None:
    by_scale = summary(kit, basis=Basis.SCALE).here

    assert 0 < by_scale.unweighed_ozt < by_scale.ozt()


def test_prices_paid_lean_on_the_months_averages(kit: Kit) -> None:
    """Times-face prices lie within a rush's premium and a glut's discount of the World Bank's monthly averages."""
    averages = monthly("XAG")
    seen = {}
    for stored in kit.journal.records():
        entry = stored.entry
        if isinstance(entry, Bought):
            average = averages.before(entry.on)
            assert average is not None
            for line in entry.lines:
                if line.quote.endswith("x") and line.kind != "us-half-40" and line.amount.face is not None:
                    melt = line.amount.face * TRADE_OZT_PER_FACE * average.per_ozt
                    seen[entry.on.year, line.lot] = line.price / melt

    assert len(seen) > 12
    assert all(Decimal("0.80") < share < Decimal("1.60") for share in seen.values())
    assert max(share for (year, _), share in seen.items() if year == 2026) < 1
    assert min(share for (year, _), share in seen.items() if year == 2020) > Decimal("1.40")


def test_receipts_and_photos_are_whole_files(kit: Kit) -> None:
    """The picture is a PNG that unpacks to as many pixels as it says (ISO/IEC 15948)."""
    kept = [
        (file, kit.journal.attachment(file.sha256))
        for stored in kit.journal.records()
        if isinstance(stored.entry, Noted)
        for file in stored.entry.attachments
    ]

    assert [file.media for file, _ in kept] == ["image/png", "image/png", "text/plain"]
    picture = kept[0][1]
    width, height = struct.unpack(">II", picture[16:24])
    at = picture.index(b"IDAT")
    (size,) = struct.unpack(">I", picture[at - 4 : at])
    assert len(zlib.decompress(picture[at + 4 : at + 4 + size])) == height * (1 + 3 * width)
    assert b"1,080.00" in kept[2][1]
    with pytest.raises(NotFoundError, match="coin"):
        draw("a house")


def test_it_is_built_in_under_a_second() -> None:
    told(EARLIEST)  # the catalog's index is made once for a process
    before = time.process_time()

    told(EARLIEST)

    assert time.process_time() - before < 1


def test_it_is_built_into_a_file_that_holds(tmp_path: Path) -> None:
    path = tmp_path / "demo.ninefine"

    wire.build_demo(path)

    built = wire.open_kit(path, None)
    assert built.journal.faults() == ()
    assert len(built.tallies.open_tallies()) == 1
    assert len(built.journal.records()) == len(steps(EARLIEST)) - 1, "all steps but the open tally make an entry"
