"""Harbor Lane as spot moves: the published values at 66.00, where a way out overtakes another, where a cover ends.

The household and its prices are invented; the figures at 66.00 are those of the published scenario, step 6.
"""

from datetime import date
from decimal import Decimal

import pytest

from households.test_harbor_lane import lane, plan
from ninefine.desk import sale, tables
from ninefine.desk.demo import build_demo
from ninefine.desk.holdings import summary
from ninefine.desk.kit import Kit
from ninefine.desk.paper_tables import set_row
from ninefine.desk.plan_whatif import plan_steady, plan_whatif
from ninefine.desk.plan_whatif_say import best_words, cover_words, steady_sentence, whatif_sentence
from ninefine.desk.tables import exits
from ninefine.errors import Faults, NotFoundError
from ninefine.testing import kit_in_memory
from ninefine.worth.ways_out import stack_ways_out

D = Decimal


@pytest.fixture
def kit() -> Kit:
    """After the sale by the highest basis: 350 face and 60 rounds; asks, a cover, and a refiner beside the shop."""
    kit = lane()
    sale.sell(kit, plan(kit, rule="highest-basis", buyer="the shop"))
    set_row(kit, "ask", "90", {"what": "90", "quote": "50.60x"})
    set_row(kit, "ask", "rounds", {"what": "ozt", "quote": "spot + 4.25"})
    set_row(kit, "cover", "the policy", {"limit": "25000"})
    tables.set_exit(
        kit,
        {
            "name": "a refiner",
            "bids": [{"what": "silver", "quote": "spot"}],
            "payable_pct": "97",
            "treatment": {"per_gross_ozt": "0.30", "minimum": "75"},
            "costs": "480",
        },
    )
    return kit


def test_at_todays_spot_the_figures_are_those_of_the_year_end_page(kit: Kit) -> None:
    """Step 6: quick sale 19,560.50, replacement 21,925.00."""
    found = plan_whatif(kit, {"path": "66.00"})
    shop = next(row for row in found.rows if row.name == "the shop")

    assert (shop.now, shop.ends) == (D("19560.50"), (D("19560.50"),))
    assert found.covered is not None
    assert (found.covered.replacement, found.covered.gap) == (D("21925.00"), D("-3075.00"))


def test_what_is_paid_today_is_what_the_page_of_exits_says() -> None:
    """The demo's book holds weighed and unweighed heaps of one kind, and bids by scale, by gram and by face."""
    kit = kit_in_memory(today=date(2026, 11, 25))
    build_demo(kit)
    spot = kit.spot_or_none()
    assert spot is not None

    by_exits = stack_ways_out(summary(kit, spot=spot).here, exits(kit), {"XAG": spot})
    paid = {way.exit.name: way.net for way in by_exits if way.paid}

    assert len(paid) > 4
    assert {row.name: row.now for row in plan_whatif(kit, {}).rows} == paid


def test_a_plain_bid_keeps_its_share_of_melt(kit: Kit) -> None:
    """44.83x at 66.00 is 95.0% of trade melt: at 33.00 it is 22.415, so 350 x 22.415 + 60 x 31.50 = 9,735.25."""
    found = plan_whatif(kit, {"shock": "-50"})
    shop = next(row for row in found.rows if row.name == "the shop")

    assert shop.ends == (D("9735.25"),)
    assert "spot moved by -50% at once" in whatif_sentence(found)


def test_where_the_best_way_out_changes_is_exact_to_the_cent(kit: Kit) -> None:
    """A cent below the change the one pays no less, at the change the other pays more."""
    found = plan_whatif(kit, {})
    assert [one.way for one in found.best] == ["the shop", "a refiner"]
    change = found.best[1].first
    below, at = (plan_whatif(kit, {"path": f"66, {spot}"}) for spot in (change - D("0.01"), change))
    ends = [{row.name: row.ends[0] for row in one.rows} for one in (below, at)]

    assert ends[0]["a refiner"] <= ends[0]["the shop"]
    assert ends[1]["a refiner"] > ends[1]["the shop"]
    assert f"The shop pays the most up to {change}" in best_words(found.best)


def test_the_cover_ends_where_having_it_again_costs_as_much(kit: Kit) -> None:
    """350 x 50.60 is 107.225% of trade melt: (25,000 - 60 x 4.25) / (268.33... + 60) = 75.366..., to the cent 75.37."""
    found = plan_whatif(kit, {})

    assert found.covered is not None
    share = D(50.60).quantize(D("0.01")) / 66 * 350
    assert found.covered.opens_at == ((25000 - 60 * D("4.25")) / (share + 60)).quantize(D("0.01"))
    assert "which covers it up to a spot of" in cover_words(found)


def test_nothing_held_and_nothing_covered_say_so() -> None:
    empty = kit_in_memory()
    with pytest.raises(NotFoundError, match="No silver lies here"):
        plan_whatif(empty, {"spot": "66"})
    bare = lane()
    assert cover_words(plan_whatif(bare, {})) == "No insurance has been set down, so no gap is reckoned."


def test_a_steady_sum_over_a_window_of_the_real_past(kit: Kit) -> None:
    """Rounds at the month's average, January to March 2020: 17.97, 17.88 and 14.91 by the packaged table."""
    found = plan_steady(kit, {"monthly": "100", "since": "2020-01", "until": "2020-03"})
    spots = [point.per_ozt for point in found.window]
    carried, units = D(0), 0
    for spot in spots:
        price = spot.quantize(D("0.01"), "ROUND_HALF_UP")
        bought = int((carried + 100) // price)
        carried, units = carried + 100 - bought * price, units + bought

    assert len(spots) == 3
    assert (found.beside.steady.units, found.beside.steady.change) == (units, carried)
    assert "100.00 a month from January 2020 to March 2020 would have bought" in steady_sentence(found)


@pytest.mark.parametrize(
    ("asked", "field"),
    [
        ({"path": "66, x"}, "path"),
        ({"path": "66", "shock": "-5"}, "shock"),
        ({"shock": "-100"}, "shock"),
        ({"months": "0"}, "months"),
        ({"months": "601"}, "months"),
        ({"first_year": "2026", "last_year": "2026"}, "first_year"),
        ({"seed": "one"}, "seed"),
    ],
)
def test_each_fault_of_a_what_if_stands_at_its_field(kit: Kit, asked: dict[str, str], field: str) -> None:
    with pytest.raises(Faults) as caught:
        plan_whatif(kit, asked)

    assert [fault.where for fault in caught.value.faults] == [field]


@pytest.mark.parametrize(
    ("asked", "field"),
    [
        ({"monthly": ""}, "monthly"),
        ({"monthly": "0.004"}, "monthly"),
        ({"since": "2020-13"}, "since"),
        ({"since": "2100"}, "since"),
        ({"ask": "dear"}, "ask"),
        ({"kind": "moon"}, "kind"),
    ],
)
def test_each_fault_of_a_steady_sum_stands_at_its_field(kit: Kit, asked: dict[str, str], field: str) -> None:
    with pytest.raises(Faults) as caught:
        plan_steady(kit, {"monthly": "100", **asked})

    assert {fault.where for fault in caught.value.faults} == {field}
