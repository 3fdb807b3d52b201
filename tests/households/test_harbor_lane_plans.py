"""Harbor Lane plans its sale: the published highest-basis plan, a sum by a day, and what clashes.

The household and its prices are invented; the figures are those of the published scenario, worked out apart.
"""

from decimal import Decimal

import pytest

from households.test_harbor_lane import lane
from ninefine.desk import sale, tables
from ninefine.desk.kit import Kit
from ninefine.desk.plan_selling import SellingPlan, plan_selling, sale_form
from ninefine.errors import Faults

D = Decimal
RATES = {"short_rate": "32", "long_rate": "28", "kind": "90%"}


@pytest.fixture
def kit() -> Kit:
    """Before the sale; the shop pays at once, a buyer by post pays more and takes ten days."""
    kit = lane()
    bids = [{"what": "90", "quote": "44.83x"}, {"what": "ozt", "quote": "spot - 1.50"}]
    tables.set_exit(kit, {"name": "the shop", "bids": bids, "days": "0"})
    return kit


def parts(plan: SellingPlan) -> list[tuple[str, str, Decimal, Decimal]]:
    """Way out, lot, face and gain of each part."""
    assert plan.outcome is not None
    return [
        (trip.way.name, part.stock.lot.name, part.amount.face or D(0), part.gain)
        for trip in plan.outcome.trips
        for part in trip.parts
    ]


def test_400_face_keeps_the_most_by_the_published_highest_basis_plan(kit: Kit) -> None:
    """Scenario 3: L4 150, L3 200, L2 50; tax 1,833.98, kept 16,098.02; first in, first out keeps 14,274.08."""
    plan = plan_selling(kit, {"amount": "400 face", "goal": "most-kept", **RATES})

    assert plan.proven
    assert sorted(parts(plan)) == [
        ("the shop", "L2", D(50), D("1487.50")),
        ("the shop", "L3", D(200), D("3977.30")),
        ("the shop", "L4", D(150), D("949.50")),
    ]
    assert plan.outcome is not None
    assert (plan.outcome.tax, plan.outcome.kept) == (D("1833.98"), D("16098.02"))
    oldest = plan.beside[0].outcome
    assert oldest is not None
    assert (oldest.tax, oldest.kept) == (D("3657.92"), D("14274.08"))
    assert [(stock.lot.name, steps) for stock, steps in plan.left] == [("L1", 300), ("L2", 50)]


def test_400_face_of_long_term_coin_alone(kit: Kit) -> None:
    """Scenario 3, long term only: tax 2,888.28, kept 15,043.72."""
    plan = plan_selling(kit, {"amount": "400 face", "goal": "most-kept", "long_only": "yes", **RATES})

    assert plan.outcome is not None
    assert (plan.outcome.tax, plan.outcome.kept) == (D("2888.28"), D("15043.72"))


def test_5000_needs_112_face(kit: Kit) -> None:
    """Question 39: 5,000 / 44.83 is 111.53, so 112 face go; of which lot is decided by the tax."""
    plan = plan_selling(kit, {"sum": "5000", "by": "friday", **RATES})

    assert parts(plan) == [("the shop", "L4", D(112), D("708.96"))]
    assert plan.outcome is not None
    assert plan.outcome.net == D("5020.96")


def test_a_sum_that_cannot_be_had_in_time_says_what_clashes(kit: Kit) -> None:
    """The shop takes 60 face at once; the buyer by post pays in ten days. By Friday 2,689.80 can be had."""
    bids = [{"what": "90", "quote": "44.83x"}]
    tables.set_exit(kit, {"name": "the shop", "bids": bids, "days": "0", "capacity": "60 face"})
    tables.set_exit(kit, {"name": "by post", "bids": [{"what": "90", "quote": "46x"}], "days": "10"})
    plan = plan_selling(kit, {"sum": "5000", "by": "friday", **RATES})

    assert plan.outcome is None
    assert plan.clash is not None
    assert plan.clash.limits == ("the shop takes no more than 60 face", "money on the day itself")
    assert plan.clash.nearest is not None
    assert plan.clash.nearest.net == D("2689.80")
    assert plan.clash.in_days == 10


def test_the_first_day_on_which_it_could_be_had_is_said(kit: Kit) -> None:
    """Of buyers that pay in five, ten and twenty days the first alone would do."""
    bids = [{"what": "90", "quote": "44.83x"}]
    tables.set_exit(kit, {"name": "the shop", "bids": bids, "days": "0", "capacity": "60 face"})
    for days in ("20", "5", "10"):
        tables.set_exit(kit, {"name": f"in {days} days", "bids": bids, "days": days, "capacity": "200 face"})
    plan = plan_selling(kit, {"sum": "5000", "by": "today", **RATES})

    assert plan.clash is not None
    assert plan.clash.in_days == 5


def test_more_than_all_there_is_clashes_with_nothing(kit: Kit) -> None:
    """All 750 face at 44.83 are 33,622.50: no limit stands in the way, there is just no more silver."""
    plan = plan_selling(kit, {"sum": "40000", **RATES})

    assert plan.clash is not None
    assert (plan.clash.limits, plan.clash.in_days) == ((), None)
    assert plan.clash.nearest is not None
    assert plan.clash.nearest.net == D("33622.50")


def test_what_is_kept_is_left_alone_and_clashes_by_name(kit: Kit) -> None:
    plan = plan_selling(kit, {"amount": "400 face", "keep": "L1, L3", **RATES})

    assert plan.clash is not None
    assert plan.clash.limits == ("what you keep",)
    assert plan.clash.nearest is not None
    assert sum(part.steps for trip in plan.clash.nearest.trips for part in trip.parts) == 250


def test_the_plan_is_booked_as_it_was_shown(kit: Kit) -> None:
    plan = plan_selling(kit, {"amount": "400 face", **RATES})
    assert plan.outcome is not None
    (trip,) = plan.outcome.trips
    sale.sell(kit, sale.read_sale(kit, sale_form(plan.problem, trip)))

    gains = [one.gain for one in kit.holdings().disposals]
    assert sum(gain for gain in gains if gain is not None) == D("6414.30")


def test_the_year_so_far_counts_unless_told_not_to(kit: Kit) -> None:
    """A loss of 100 made this year already takes 28.00 off the tax of a long-term gain."""
    form = {"heap-1": "L3", "amount-1": "10 face", "price": "149.43"}  # they cost 249.435
    sale.sell(kit, sale.read_sale(kit, form))
    ask = {"amount": "40 face", "long_only": "yes", **RATES}
    with_loss, without = plan_selling(kit, ask), plan_selling(kit, {**ask, "so_far": "no"})

    assert with_loss.outcome is not None
    assert without.outcome is not None
    assert with_loss.problem.rates.before_long == D("-100.01")
    assert without.outcome.tax - with_loss.outcome.tax == D("28.00")


@pytest.mark.parametrize(
    ("changed", "field"),
    [
        ({"sum": "soon"}, "sum"),
        ({"sum": ""}, "sum"),
        ({"amount": "400 face"}, "amount"),
        ({"sum": "", "amount": "400"}, "amount"),
        ({"by": "some day"}, "by"),
        ({"by": "2020-01-01"}, "by"),
        ({"goal": "best"}, "goal"),
        ({"keep": "L9"}, "keep"),
        ({"ways": "the moon"}, "ways"),
        ({"short_rate": "120"}, "short_rate"),
        ({"loss_limit": "-3"}, "loss_limit"),
        ({"most_trips": "0"}, "most_trips"),
        ({"kind": "moon"}, "kind"),
    ],
)
def test_each_fault_stands_at_its_field(kit: Kit, changed: dict[str, str], field: str) -> None:
    with pytest.raises(Faults) as caught:
        plan_selling(kit, {"sum": "5000", **RATES, **changed})

    assert [fault.where for fault in caught.value.faults] == [field]
