"""A plan never promises more than booking the same sales brings: the desk's own sale is the judge."""

from datetime import date
from decimal import Decimal
from random import Random

import pytest

from ninefine.book.term import Term
from ninefine.catalog.catalog import Catalog
from ninefine.catalog.shelf import load_catalog
from ninefine.desk import came, purchase, records, sale, tables
from ninefine.desk.demo import build_demo
from ninefine.desk.kit import Kit
from ninefine.desk.plan_selling import plan_selling, sale_form
from ninefine.desk.plan_typed import gains_so_far
from ninefine.plan.taxed import year_tax
from ninefine.testing import kit_in_memory

D = Decimal
TODAY = date(2026, 6, 12)


@pytest.fixture(scope="module")
def catalog() -> Catalog:
    return load_catalog()


def a_household(catalog: Catalog, seed: int) -> tuple[Kit, dict[str, str]]:
    """A few lots, two ways out with fees and limits, and something to plan; all drawn from a seed."""
    draw = Random(seed)
    kit = kit_in_memory(today=TODAY, catalog=catalog)
    for _ in range(draw.randint(2, 4)):
        kind, amount = draw.choice((("90%", "37 face"), ("90% quarters", "91"), ("90% halves", "33"), ("ozt", "17")))
        each = D(draw.randint(9, 62))
        on = date(draw.randint(2019, 2026), draw.randint(1, 5), draw.randint(1, 28)).isoformat()
        price = f"{each}x" if kind != "ozt" else f"{each * 17 + D('0.13')}"
        carriage = draw.choice(("0", "7.77"))
        purchase.buy(kit, {"on": on, "kind-1": kind, "amount-1": amount, "price-1": price, "carriage": carriage})
    records.price(kit, {"per_ozt": "66.00", "whose": "the shop's screen"})
    for name, days in (("the shop", "0"), ("by post", "5")):
        row: dict[str, object] = {
            "name": name,
            "days": days,
            "bids": [
                {"what": "90", "quote": draw.choice(("44.83x", "96.3% of melt", "spot - 3"))},
                {"what": "ozt", "quote": draw.choice(("spot - 1.50", "95.7% of melt"))},
            ],
            "fee_pct": draw.choice(("0", "2.9", "13.25")),
            "costs": draw.choice(("0", "4.99")),
        }
        if draw.random() < 0.5:
            row["capacity"] = draw.choice(("25 face", "900", "12 ozt"))
        if draw.random() < 0.4:
            row["parcels"] = {"face": "20", "fee": "0.40", "postage": "6.20"}
        tables.set_exit(kit, row)
    ask = {
        "sum": str(draw.randint(300, 2400)),
        "goal": draw.choice(("least-silver", "most-kept", "fewest-trips")),
        "short_rate": "32",
        "long_rate": draw.choice(("28", "15")),
        "loss_limit": "3000",
    }
    return kit, ask


@pytest.mark.parametrize("seeds", [range(9), range(9, 18)], ids=str)
def test_booking_the_plan_brings_what_it_promised(catalog: Catalog, seeds: range) -> None:
    """Every trip booked in order, each as the desk prices it then: money, gains by term and tax are as promised."""
    planned = 0
    for seed in seeds:
        kit, ask = a_household(catalog, seed)
        plan = plan_selling(kit, ask, seconds=0.3)
        if plan.outcome is None:
            continue
        planned += 1
        net = D(0)
        for trip in plan.outcome.trips:
            booked = sale.read_sale(kit, sale_form(plan.problem, trip))
            assert booked.cautions == trip.cautions == (), seed
            sale.sell(kit, booked)
            net += booked.proceeds - booked.fees
        gains = gains_so_far(kit)
        tax = year_tax(gains[Term.SHORT], gains[Term.LONG], plan.problem.rates)

        assert net == plan.outcome.net >= D(ask["sum"]), seed
        assert (gains[Term.SHORT], gains[Term.LONG]) == (plan.outcome.short, plan.outcome.long), seed
        assert net - tax == plan.outcome.kept, seed
    assert planned > len(seeds) // 2


def test_no_plan_parts_a_sale_for_the_roundings_of_its_lines(catalog: Catalog) -> None:
    """At 93.7% of melt a quarter is 11.054...: a line of each of 14 heaps would gain cents by rounding."""
    kit = kit_in_memory(today=TODAY, catalog=catalog)
    for year in range(2008, 2022):
        form = {"on": f"{year}-03-01", "kind-1": "90% quarters", "amount-1": "40", "price-1": "20x"}
        purchase.buy(kit, form)
    records.price(kit, {"per_ozt": "66.00", "whose": "the shop's screen"})
    bids = [{"what": "90", "quote": "93.7% of melt"}]
    tables.set_exit(kit, {"name": "the shop", "days": "0", "bids": bids})
    plan = plan_selling(kit, {"sum": "1200", "short_rate": "32", "long_rate": "28"}, seconds=1)

    assert plan.outcome is not None
    # 40 quarters bring 442.18, so three heaps are needed, and no more are touched
    assert plan.outcome.lines == 3


def test_a_sale_of_more_than_nine_lines_is_booked_line_for_line(catalog: Catalog) -> None:
    """Fields of a sale are read in the order of their numbers: twelve heaps, each its own cost and term."""
    kit = kit_in_memory(today=TODAY, catalog=catalog)
    for number in range(12):
        on = date(2026 - number // 2, 1 + number % 5, 3).isoformat()
        amount, price = f"{3 + number} face", f"{20 + number}.31x"
        purchase.buy(kit, {"on": on, "kind-1": "90%", "amount-1": amount, "price-1": price})
    records.price(kit, {"per_ozt": "66.00", "whose": "the shop's screen"})
    row = {"name": "the shop", "days": "0", "bids": [{"what": "90", "quote": "93.7% of melt"}], "costs": "7.77"}
    tables.set_exit(kit, row)
    plan = plan_selling(kit, {"amount": "102 face", "short_rate": "32", "long_rate": "28"}, seconds=1)

    assert plan.outcome is not None
    (trip,) = plan.outcome.trips
    assert len(trip.parts) == 12
    sale.sell(kit, sale.read_sale(kit, sale_form(plan.problem, trip)))
    gains = gains_so_far(kit)
    assert (gains[Term.SHORT], gains[Term.LONG]) == (plan.outcome.short, plan.outcome.long)


def test_a_real_book_with_many_heaps_is_planned_and_priced_again(catalog: Catalog) -> None:
    """The demo's book: heaps told apart, gifts, unknown costs, six ways out; a plan stands in little time."""
    kit = kit_in_memory(today=date(2026, 11, 25), catalog=catalog)
    build_demo(kit)
    for ask in ({"sum": "20000", "by": "today"}, {"amount": "300 face", "short_rate": "32", "long_rate": "28"}):
        plan = plan_selling(kit, ask, seconds=0.3)

        assert plan.outcome is not None
        for trip in plan.outcome.trips:
            assert sale.read_sale(kit, sale_form(plan.problem, trip)).proceeds == trip.gross


def test_a_gift_sold_by_three_ways_loses_what_the_book_says(catalog: Catalog) -> None:
    """Worth 200.00 when given: a third is 66.67, half of the rest 66.67 again, and the last of it takes 66.66."""
    kit = kit_in_memory(today=TODAY, catalog=catalog)
    given = {"amount-1": "3 face", "kind-1": "90%", "basis-1": "300", "acquired-1": "2011-01-01", "value-1": "200"}
    came.give(kit, {"on": "2026-06-01", "giver": "Ida", **given})
    records.price(kit, {"per_ozt": "66.00", "whose": "the shop's screen"})
    for name in ("the shop", "the fair", "by post"):
        bids = [{"what": "90", "quote": "20x"}]
        tables.set_exit(kit, {"name": name, "days": "0", "bids": bids, "capacity": "1 face"})
    plan = plan_selling(kit, {"sum": "60", "short_rate": "37", "loss_limit": "3000"}, seconds=5)

    assert plan.outcome is not None
    for trip in plan.outcome.trips:
        sale.sell(kit, sale.read_sale(kit, sale_form(plan.problem, trip)))
    assert [one.loss_basis for one in kit.holdings().disposals] == [D("66.67"), D("66.67"), D("66.66")]
    assert gains_so_far(kit)[Term.SHORT] == plan.outcome.short == D("-140.00")


def test_a_fee_is_shared_line_by_line_as_the_book_shares_it(catalog: Catalog) -> None:
    """Six cents over four equal lines: a cent and a half each, so two lines bear two cents and two bear one."""
    kit = kit_in_memory(today=TODAY, catalog=catalog)
    for year in range(2022, 2026):
        purchase.buy(kit, {"on": f"{year}-03-01", "kind-1": "90%", "amount-1": "1 face", "price-1": "20x"})
    records.price(kit, {"per_ozt": "66.00", "whose": "the shop's screen"})
    bids = [{"what": "90", "quote": "30x"}]
    tables.set_exit(kit, {"name": "the shop", "days": "0", "bids": bids, "costs": "0.06"})
    plan = plan_selling(kit, {"amount": "4 face", "short_rate": "32"}, seconds=5)

    assert plan.outcome is not None
    (trip,) = plan.outcome.trips
    priced = sale.read_sale(kit, sale_form(plan.problem, trip))
    sale.sell(kit, priced)
    booked = [one.fees for one in kit.holdings().disposals]
    assert sorted(booked) == [D("0.01"), D("0.01"), D("0.02"), D("0.02")]
    assert [row.fees for row in priced.rows] == [part.fees for part in trip.parts] == booked
