"""Average cost: pools, what leaves them, and the cent that stays.

Sources: HMRC Capital Gains Manual CG51624 (read): half of 10,000 shares that cost 100,000 takes 50,000 of the pool.
Canada Revenue Agency, guide T4037, identical properties (from memory; the arithmetic is checked).
"""

from datetime import date
from decimal import Decimal

import pytest
from hypothesis import HealthCheck, given, settings

from ninefine.book.chain import Stored
from ninefine.book.entries import Entry
from ninefine.book.fold import fold
from ninefine.catalog.shelf import load_catalog
from ninefine.errors import NotFoundError
from ninefine.measure.numbers import to_places
from ninefine.worth.pool import Averages, after, averages, pool_of
from short_entries import book, bought, moved, opened, ref, row, sold, sorted_out, used
from strategies_book import journals

D = Decimal
CATALOG = load_catalog()
ROUND = "xag-generic-round-1oz"
#: Kinds of the random journals that the catalog knows by another name.
NAMES = {"round-1oz": ROUND, "us-nickel-35": "us-five-cent-wartime"}
DAYS = [date(2020 + number, 1, 2) for number in range(8)]


def averaged(*entries: Entry) -> Averages:
    return averages(book(*entries), CATALOG.kind)


def lot(name: str, count: int, price: str, on: date) -> Entry:
    return bought(name, price, kind=ROUND, count=count, on=on)


def sale(name: str, count: int, on: date) -> Entry:
    return sold(ref(name, ROUND), "1", count=count, on=on)


def test_half_of_a_pool_takes_half_its_cost() -> None:
    found = averaged(lot("L1", 10000, "100000", DAYS[0]), sale("L1", 5000, DAYS[1]))

    assert found.basis == {0: D(50000)}
    assert found.pools["ozt"].cost == 50000


def test_an_average_that_moves_with_each_purchase() -> None:
    """100 at 15 and 150 at 20 average 18; 200 sold leave 50 at 18; 350 more at 21 average 20.625."""
    story = [
        lot("L1", 100, "1500", DAYS[0]),
        lot("L2", 150, "3000", DAYS[1]),
        sale("L1", 100, DAYS[2]),
        sale("L2", 100, DAYS[2]),
    ]
    before = averaged(*story).pools["ozt"]
    found = averaged(*story, lot("L3", 350, "7350", DAYS[3])).pools["ozt"]

    assert averaged(*story).basis == {0: D(1800), 1: D(1800)}
    assert (before.ozt, before.cost, before.per_ozt) == (D(50), D(900), D(18))
    assert (found.ozt, found.cost, found.per_ozt) == (D(400), D(8250), D("20.625"))


def test_what_came_within_the_day_counts_before_what_left_on_it() -> None:
    found = averaged(lot("L1", 10, "100", DAYS[0]), sale("L1", 5, DAYS[1]), lot("L2", 10, "200", DAYS[1]))

    assert found.basis == {0: D(75)}


def test_the_last_piece_takes_what_is_left() -> None:
    found = averaged(lot("L1", 3, "100", DAYS[0]), *[sale("L1", 1, DAYS[1])] * 3)

    assert [found.basis[place] for place in range(3)] == [D("33.33"), D("33.34"), D("33.33")]
    assert found.pools == {}


def test_small_coin_is_one_pool_told_apart_or_not_and_dollars_are_another() -> None:
    names = {slug: pool_of(CATALOG.kind(slug)) for slug in ("us-90", "us-dime-mercury", "us-half-90")}

    assert set(names.values()) == {"90"}
    assert pool_of(CATALOG.kind("us-dollar-morgan")) == "dollars"
    assert pool_of(CATALOG.kind("us-half-40")) == "40"
    assert pool_of(CATALOG.kind(ROUND)) == "ozt"
    assert pool_of(CATALOG.kind("us-quarter-clad")) == ""


def test_sorting_and_moving_change_no_average() -> None:
    story: list[Entry] = [
        bought("L1", "1000", kind="us-90", face="10", on=DAYS[0]),
        bought("L2", "3000", kind="us-90", face="10", on=DAYS[0]),
        sorted_out(
            ref("L2", "us-90"), row("", "1", kind="us-dime-90", face="4"), row("", "9", kind="us-half-90", face="6"),
            on=DAYS[1],
        ),
        moved(ref("L1", "us-90"), "B2", on=DAYS[1]),
        sold(ref("L2", "us-half-90"), "1", face="5", on=DAYS[2]),
    ]  # fmt: skip

    assert averaged(*story).basis == {0: D(1000)}


def test_unknown_costs_and_own_use_are_in_no_pool() -> None:
    story = [
        lot("L1", 10, "100", DAYS[0]),
        opened("L2", None, kind=ROUND, on=DAYS[0]),
        lot("L3", 10, "900", DAYS[0]),
        used("L3", on=DAYS[0]),
        sale("L2", 5, DAYS[1]),
        sale("L3", 5, DAYS[1]),
        sale("L1", 5, DAYS[1]),
    ]
    found = averaged(*story)

    assert found.basis == {2: D(50)}
    assert set(found.pools) == {"ozt"}


def test_the_basis_of_pieces_about_to_be_sold() -> None:
    pools = averaged(lot("L1", 3, "100", DAYS[0])).pools

    assert after(pools, [("ozt", D(1)), ("ozt", D(2))]) == [D("33.33"), D("66.67")]
    with pytest.raises(NotFoundError, match="no pool of 90"):
        after(pools, [("90", D(1))])


def test_what_goes_to_own_use_leaves_at_the_average_and_comes_back_at_that() -> None:
    """10 at 10 and 10 at 30 average 20; 5 sold leave 15 for 300. The dear ten leave for 200, and come back for it."""
    story = [
        lot("L1", 10, "100", DAYS[0]),
        lot("L2", 10, "300", DAYS[0]),
        sale("L1", 5, DAYS[1]),
        used("L2", on=DAYS[2]),
    ]
    away, back = averaged(*story), averaged(*story, sale("L1", 1, DAYS[3]), used("L2", own=False, on=DAYS[4]))

    assert (away.basis, away.pools["ozt"].cost) == ({0: D(100)}, D(100))
    assert (back.basis, back.pools["ozt"].cost) == ({0: D(100), 1: D(20)}, D(280))


def test_what_is_sorted_into_another_pool_goes_over_at_the_average() -> None:
    """10 at 10 and 10 at 30 average 20. Four of the dear ten are dollars: they cost 80 there, not 120."""
    dollar = "us-dollar-morgan"
    story = [
        lot("L1", 10, "100", DAYS[0]),
        lot("L2", 10, "300", DAYS[0]),
        sorted_out(ref("L2", ROUND), row("", "6", kind=ROUND, count=6), row("", "4", kind=dollar, count=4), on=DAYS[1]),
        lot("L3", 4, "400", DAYS[2]),
        sold(ref("L2", dollar), "1", count=1, on=DAYS[3]),
        sale("L2", 5, DAYS[3]),
    ]
    found = averaged(*story)

    assert found.basis == {0: D(20), 1: D(180)}  # a fourth of 80; a fourth of 320 and 400
    assert {name: pool.cost for name, pool in found.pools.items()} == {"dollars": D(60), "ozt": D(540)}


def test_a_pool_sorted_away_whole_leaves_no_cost_behind() -> None:
    """The cheap half was sold at the average, 200 of 400; the dear half takes the other 200 along, not its own 300."""
    story = [
        lot("L1", 10, "100", DAYS[0]),
        lot("L2", 10, "300", DAYS[0]),
        sale("L1", 10, DAYS[1]),
        sorted_out(ref("L2", ROUND), row("", "1", kind="us-dollar-morgan", count=10), on=DAYS[1]),
    ]

    assert {name: pool.cost for name, pool in averaged(*story).pools.items()} == {"dollars": D(200)}


def test_own_use_counts_what_came_before_it_and_not_what_came_after() -> None:
    """Two tens average 20, with the third, at 80, they average 40; a fourth came later. The second leaves at 40."""
    story = [
        lot("L2", 10, "300", DAYS[0]),
        lot("L1", 10, "100", DAYS[0]),
        lot("L3", 10, "800", DAYS[1]),
        used("L2", on=DAYS[2]),
        lot("L4", 10, "4000", DAYS[3]),
    ]

    assert averaged(*story).pools["ozt"].cost == 800 + 4000


@settings(max_examples=80, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(journals(longest=24, across=True))
def test_no_cent_is_lost_where_heaps_are_sorted_from_pool_to_pool(records: list[Stored]) -> None:
    """All pools together and all that left them are what was paid, after any journal without own use."""
    found = averages(records, lambda slug: CATALOG.kind(NAMES.get(slug, slug)))
    cost = sum((lot_.cost for lot_ in fold(records).lots.values() if lot_.cost_known), D(0))
    held = sum((pool.cost for pool in found.pools.values()), D(0))

    assert held + sum(found.basis.values(), D(0)) == cost
    assert all(basis >= 0 for basis in found.basis.values())
    assert all(pool.cost >= 0 for pool in found.pools.values())
    assert all(to_places(pool.cost, 2) == pool.cost for pool in found.pools.values())


@settings(max_examples=30, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(journals())
def test_what_pools_hold_and_what_left_them_is_what_was_paid(records: list[Stored]) -> None:
    """Cents are conserved: what is in no pool apart, the averages of what left and of what stays sum to all costs."""
    whole = fold(records)
    found = averages(records, lambda slug: CATALOG.kind(NAMES.get(slug, slug)))
    apart = {name for name, lot_ in whole.lots.items() if not lot_.cost_known or lot_.own_use} | {
        one.lot for one in whole.disposals if one.own_use
    }
    cost = sum((lot_.cost for lot_ in whole.lots.values() if lot_.cost_known), D(0))
    if not apart:
        held = sum((pool.cost for pool in found.pools.values()), D(0))
        assert held + sum(found.basis.values(), D(0)) == cost
    assert all(basis >= 0 for basis in found.basis.values())
    assert all(pool.cost >= 0 for pool in found.pools.values())
    assert all(to_places(pool.cost, 2) == pool.cost for pool in found.pools.values())
