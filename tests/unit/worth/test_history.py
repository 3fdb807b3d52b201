"""The stack through time, what exits would gain on it, and what a move of spot moves."""

from datetime import date
from decimal import Decimal

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from ninefine.book.chain import Stored
from ninefine.book.entries import Amount
from ninefine.book.fold import fold
from ninefine.book.holdings import Heap
from ninefine.catalog.kinds import Basis, Kind
from ninefine.catalog.shelf import load_catalog
from ninefine.market.exits import Exit, exit_from
from ninefine.market.prices import Stamp, StampKind
from ninefine.worth.evens import exit_gains
from ninefine.worth.history import Point, history, month_ends
from ninefine.worth.stack import Stack, stack_of
from ninefine.worth.swing import swing
from short_entries import book, bought, held, opened, ref, sold
from strategies_book import days, journals

D = Decimal
CATALOG = load_catalog()
#: Far below the last place of an ounce that is shown.
CLOSE = D("1E-12")
ROUND = "xag-generic-round-1oz"
NAMES = {"round-1oz": ROUND, "us-nickel-35": "us-five-cent-wartime"}


def kind_of(slug: str) -> Kind:
    return CATALOG.kind(NAMES.get(slug, slug))


def stamp_on(on: date, metal: str) -> Stamp | None:
    """Twenty dollars from 2020 on."""
    if on.year < 2020:
        return None
    return Stamp(
        per_ozt=D(20),
        metal=metal,
        on=on,
        asked=on,
        whose="x",
        kind=StampKind.OWN,
        stale_days=0,
        stale=False,
        note="",
    )


def points(records: list[Stored], *stops: date) -> list[Point]:
    return list(history(records, stops, kind_of=kind_of, stamp_on=stamp_on))


@pytest.mark.parametrize(
    ("first", "last", "ends"),
    [
        (date(2024, 1, 31), date(2024, 2, 29), ["2024-01-31", "2024-02-29"]),
        (date(2023, 11, 5), date(2024, 2, 10), ["2023-11-30", "2023-12-31", "2024-01-31", "2024-02-10"]),
        (date(2024, 2, 1), date(2024, 2, 1), ["2024-02-01"]),
    ],
)
def test_month_ends_up_to_a_day(first: date, last: date, ends: list[str]) -> None:
    assert [day.isoformat() for day in month_ends(first, last)] == ends


def test_each_day_has_its_own_stack_and_its_own_price() -> None:
    records = book(
        bought("L1", "1000", kind="us-90", face="100", on=date(2019, 3, 1)),
        bought("L2", "300", kind=ROUND, count=10, arrived=False, on=date(2020, 1, 10)),
        opened("L3", None, kind=ROUND, count=5, on=date(2020, 2, 1)),
        sold(ref("L1", "us-90"), "900", face="40", on=date(2020, 2, 20)),
    )

    then, later, last = points(records, date(2019, 12, 31), date(2020, 1, 31), date(2020, 2, 29))

    assert (then.ozt, then.melt, then.cost, then.stamps) == ({"XAG": D("71.5")}, None, D(1000), {})
    assert (later.ozt["XAG"], later.melt, later.awaited["XAG"]) == (D("71.5"), D("1430.00"), D(10))
    assert (later.awaited_melt, later.cost, later.uncosted) == (D("200.00"), D(1300), D(0))
    assert (last.ozt["XAG"], last.constitutional, last.uncosted) == (D("47.9"), D("42.9"), D(5))
    assert (last.melt, last.cost) == (D("958.00"), D(900))


@settings(max_examples=30, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(journals(), st.lists(days, min_size=1, max_size=5))
def test_every_point_is_what_the_stack_of_its_day_comes_to(records: list[Stored], stops: list[date]) -> None:
    for point in points(records, *sorted(stops)):
        lots = fold(records, on=point.on).lots.values()
        here = stack_of((heap for lot in lots if not lot.awaited for heap in lot.heaps), kind_of, spots={"XAG": D(20)})
        everything = stack_of((heap for lot in lots for heap in lot.heaps), kind_of)

        ozt, awaited = point.ozt.get("XAG", D(0)), point.awaited.get("XAG", D(0))
        assert abs(ozt - here.ozt()) < CLOSE
        assert abs(ozt + awaited - everything.ozt()) < CLOSE
        assert (bool(ozt), bool(ozt + awaited)) == (bool(here.ozt()), bool(everything.ozt()))
        assert abs(point.uncosted - everything.uncosted_ozt()) < CLOSE
        assert point.cost == everything.cost
        if point.ozt:
            assert point.melt == here.melt()


def stack(*heaps: tuple[str, str, int, bool]) -> Stack:
    """Rounds and face by kind, cost, amount, and whether the cost is known."""
    held_ = [
        Heap(
            lot="L",
            kind=kind,
            issue="",
            place="",
            amount=Amount(count=much) if kind == ROUND else Amount(face=D(much)),
            basis=D(cost) if known else D(0),
            cost_known=known,
        )
        for kind, cost, much, known in heaps
    ]
    return stack_of(held_, kind_of, spots={"XAG": D(20)})


def way(name: str, **bids: str) -> Exit:
    return exit_from({"name": name, "bids": [{"what": what.strip("_"), "quote": said} for what, said in bids.items()]})


def test_what_each_way_out_would_gain_and_the_spot_at_which_it_is_even() -> None:
    """100 face at 95% of melt: 0.95 x 0.715 x S = 13.585 S a... even at 1,000 / 67.925 = 14.7221."""
    shop, club = way("the shop", _90="95% of melt"), way("the club", _90="97% of melt", ozt="spot-1")
    held_ = stack(("us-90", "1000", 100, True), (ROUND, "300", 10, True), (ROUND, "0", 7, False))

    best, other = exit_gains(held_, [shop, club], {"XAG": D(20)})

    assert (best.exit.name, best.net, best.cost, best.gain) == ("the shop", D("1358.50"), D(1000), D("358.50"))
    assert best.even is not None
    assert round(best.even, 4) == D("14.7221")
    assert (best.unsold_cost, best.uncosted_ozt, len(best.unsold)) == (D(300), D(0), 1)
    # 0.97 x 71.5 x S + 10 (S - 1) = 1300: S = 1310 / 79.355
    assert (other.net, other.gain, other.uncosted_ozt) == (D("1577.10"), D("277.10"), D(7))
    assert other.even is not None
    assert round(other.even, 6) == round(D(1310) / D("79.355"), 6)


def test_at_the_even_spot_the_exit_pays_back_the_cost() -> None:
    shop = way("the shop", _90="95% of melt", ozt="spot-1.50")
    held_ = stack(("us-90", "1234.56", 100, True), (ROUND, "345.67", 10, True))
    (now,) = exit_gains(held_, [shop], {"XAG": D(20)})
    assert now.even is not None

    (then,) = exit_gains(held_, [shop], {"XAG": now.even})

    assert abs(then.gain) <= D("0.01")


def test_nothing_is_said_without_a_price_or_a_known_cost() -> None:
    shop = way("the shop", _90="95% of melt")

    assert exit_gains(stack(("us-90", "1000", 100, True)), [shop], {}) == ()
    assert exit_gains(stack(("us-90", "0", 100, False)), [shop], {"XAG": D(20)}) == ()
    assert exit_gains(stack((ROUND, "30", 1, True)), [shop], {"XAG": D(20)}) == ()


def test_a_move_of_spot_moves_what_melt_leads() -> None:
    """100 face is 71.5 ozt; ten rounds that a collector takes at 30 each stand still until melt passes them."""
    heaps = held(
        bought("L1", kind="us-90", face="100"), bought("L2", kind=ROUND, count=10), bought("L3", kind="xau-x", count=1)
    ).heaps

    def collectors(heap: Heap) -> Decimal | None:
        return D(300) if heap.kind == ROUND else None

    up = swing(heaps, kind_of, collectors, spot=D(20))
    down = swing(heaps, kind_of, collectors, spot=D(20), per_cent=D(-10))
    past = swing(heaps, kind_of, collectors, spot=D(20), per_cent=D(100))

    assert (up.melt, up.melt_after, up.other) == (D("1630.00"), D("1793.00"), D(22))
    assert (up.worth, up.worth_after, up.moves) == (D("1730.00"), D("1873.00"), D("143.00"))
    assert (up.led_by_melt, up.led_by_collectors) == (D("1430.00"), D("300.00"))
    assert down.moves == D("-143.00")
    assert past.moves == D("1430.00") + D(100)


def test_the_ounces_of_a_point_are_on_one_basis() -> None:
    (point,) = history(
        book(bought("L1", kind="us-90", face="100", gross_g="2460")),
        [date(2026, 3, 2)],
        kind_of=kind_of,
        stamp_on=stamp_on,
        basis=Basis.SCALE,
    )

    assert (point.basis, round(point.ozt["XAG"], 4)) == (Basis.SCALE, D("71.1818"))
