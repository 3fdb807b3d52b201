"""Money in and out, day by day, and the same money otherwise."""

from collections.abc import Sequence
from datetime import date
from decimal import Decimal

import pytest

from ninefine.book.entries import Amount, Entry, Inherited, InheritedLine
from ninefine.book.fold import fold
from ninefine.book.standing import standing
from ninefine.errors import NotFoundError, RangeError
from ninefine.market.read_quote import read_quote
from ninefine.market.series import PriceIndex
from ninefine.worth.beside import Rounds, deflated, in_constant, rounds_instead
from ninefine.worth.flows import Flows, MoneyFlow, Moved, flows_of
from short_entries import (
    DAY,
    amount,
    book,
    bought,
    credited,
    given,
    inherited,
    lost,
    moved,
    opened,
    ref,
    refined,
    sold,
    swapped,
)

D = Decimal
BEFORE = date(2019, 5, 4)


def melt_on(on: date, kind: str, much: Amount) -> Decimal | None:
    """Two dollars a piece, one in 2019; nothing is known of before."""
    if on.year < 2019:
        return None
    return None if not kind else D(much.count or 0) * (1 if on.year == 2019 else 2)


def flows(*entries: Entry) -> Flows:
    records = book(*entries)
    return flows_of(standing(records), fold(records).disposals, melt_on)


def told(found: Flows) -> list[tuple[date, Decimal, Moved, bool]]:
    return [(flow.on, flow.amount, flow.what, flow.estimated) for flow in found.flows]


def test_money_moves_when_silver_is_bought_paid_back_sold_swapped_and_melted() -> None:
    found = flows(
        bought("L1", "100", count=10, other_costs={"carriage": "5"}),
        credited("4", "L1", on=date(2026, 3, 3)),
        sold(ref("L1"), "30", count=2, fees="1.50", on=date(2026, 3, 4)),
        moved(ref("L1"), "A1", on=date(2026, 3, 4)),
        swapped(ref("L1", place="A1"), "240", "R1", cash="15", costs="8", on=date(2026, 3, 5)),
        lost(ref("R1", "round-1oz"), "stolen", paid="20", count=1, on=date(2026, 3, 6)),
        refined((ref("R1", "round-1oz"), "1"), proceeds="190", fees="12", on=date(2026, 3, 7)),
    )

    assert [flow.amount for flow in found.flows] == [D(-105), D(4), D("28.50"), D(7), D(20), D(178)]
    assert [flow.what for flow in found.flows] == [
        Moved.BOUGHT,
        Moved.CREDITED,
        Moved.SOLD,
        Moved.SWAPPED,
        Moved.PAID,
        Moved.REFINED,
    ]
    assert (found.put_in, found.taken_out, found.estimated, found.uncounted) == (D(105), D("237.50"), (), ())


def test_what_was_lost_for_nothing_is_no_flow() -> None:
    assert len(flows(bought("L1"), lost(ref("L1"))).flows) == 1


def test_silver_that_came_without_money_is_taken_in_at_its_worth() -> None:
    estate = inherited("L3", "60", died=BEFORE)
    later = Inherited(
        on=DAY,
        died=BEFORE,
        valued_on=date(2019, 11, 4),
        lines=(InheritedLine(lot="L4", kind="us-dime-90", amount=amount(3), value=D(70)),),
    )
    found = flows(given("L1", "5", "80"), given("L2", "5"), estate, later, inherited("L5", None, died=BEFORE, count=4))

    assert told(found) == [
        (BEFORE, D(-60), Moved.INHERITED, False),
        (date(2019, 11, 4), D(-70), Moved.INHERITED, False),
        (DAY, D(-80), Moved.GIVEN, False),
        (DAY, D(-20), Moved.GIVEN, True),  # ten pieces at the melt of the day
        (DAY, D(-8), Moved.INHERITED, True),
    ]


def test_an_opening_balance_counts_from_its_own_day_where_all_is_known_and_else_at_the_melt_of_its_counting() -> None:
    known, undated, uncosted = opened("L1", "7", acquired=BEFORE), opened("L2", "7"), opened("L3", None, count=6)

    assert told(flows(known, undated, uncosted)) == [
        (BEFORE, D(-7), Moved.HELD, False),
        (DAY, D(-20), Moved.HELD, True),
        (DAY, D(-12), Moved.HELD, True),
    ]


def test_what_was_given_away_is_taken_out_at_its_worth() -> None:
    found = flows(bought("L1", "100", count=10), lost(ref("L1"), "given away", count=3))

    assert told(found)[1] == (DAY, D(6), Moved.GIVEN_AWAY, True)


def test_what_has_no_price_is_said() -> None:
    found = flows(given("L1", "5", on=date(2018, 1, 1)), bought("L2"))

    assert (found.uncounted, len(found.flows)) == ((1,), 1)


def flow(day: date, amount_: str) -> MoneyFlow:
    return MoneyFlow(on=day, amount=D(amount_), what=Moved.BOUGHT, serial=1)


def spot_on(day: date) -> Decimal | None:
    return {2024: D(25), 2025: D(40), 2026: D(50)}.get(day.year)


def rounds(money: Sequence[MoneyFlow], ask: str = "spot+3", bid: str = "spot-1") -> Rounds:
    return rounds_instead(money, ask=read_quote(ask), bid=read_quote(bid), spot_on=spot_on, today=date(2026, 6, 12))


def test_the_same_money_in_rounds_by_hand() -> None:
    """280 at 28 is 10 rounds; 78 taken out at 39 sells 2; 8 rounds at a bid of 49 are 392."""
    found = rounds([flow(date(2024, 1, 1), "-280"), flow(date(2025, 1, 1), "78")])

    assert (found.ounces, found.bought, found.sold, found.worth) == (D(8), D(10), D(2), D(392))
    assert (found.lowest, found.unpriced) == (D(0), ())


def test_more_taken_out_than_rounds_would_have_yielded_is_said() -> None:
    found = rounds([flow(date(2024, 1, 1), "-28"), flow(date(2025, 1, 1), "78")])

    assert (found.ounces, found.lowest, found.worth) == (D(-1), D(-1), D(-49))


def test_rules_in_per_cent_and_days_without_a_price() -> None:
    found = rounds([flow(date(2023, 1, 1), "-280"), flow(date(2024, 1, 1), "-275")], ask="10% over", bid="98% of melt")

    assert (found.ounces, found.unpriced) == (D(10), (date(2023, 1, 1),))
    assert found.worth == D("490.00")


def test_a_rule_that_comes_to_nothing_is_refused() -> None:
    with pytest.raises(RangeError, match="A price is above zero"):
        rounds([flow(date(2024, 1, 1), "-280")], ask="spot-26")
    with pytest.raises(RangeError, match="No price of silver is known today"):
        rounds_instead([], ask=read_quote("spot"), bid=read_quote("spot"), spot_on=lambda _: None, today=DAY)


INDEX = PriceIndex(name="x", source="x", means={2019: D(100), 2020: D(110), 2021: D(121)})


def test_constant_dollars_year_by_year() -> None:
    found = in_constant([(date(2019, 3, 1), D(100)), (date(2020, 3, 1), D(-10))], INDEX)

    assert (found.amount, found.year, found.stood_in) == (D("110.00"), 2021, ())


def test_a_year_without_an_index_takes_its_neighbours_and_says_so() -> None:
    found = in_constant([(date(2026, 3, 1), D(100)), (date(2010, 3, 1), D(1))], INDEX, year=2020)

    assert (found.amount, found.stood_in) == (D("92.01"), (2010, 2026))  # 100 x 110 / 121 = 90.91, 1 x 110 / 100
    assert deflated([(date(2026, 3, 1), D(121))], INDEX, 2020) == [(date(2026, 3, 1), D(110))]
    with pytest.raises(NotFoundError, match="no consumer price index for 2026"):
        in_constant([(DAY, D(1))], INDEX, year=2026)
