"""Harbor Lane through the desk: four lots bought, $400 face sold by each rule, and the year-end page.

The household and its prices are invented; every expected figure was worked out apart from the program. The average of
December 2023 is the World Bank's (Pink Sheet, CC BY 4.0); 0.715 ozt a face dollar is common practice, no source.
The book's own reckoning of these lots stands in `test_harbor_lane_basis.py`; here the verbs are what is tested.
"""

from datetime import date
from decimal import Decimal

import pytest

from ninefine.book.term import long_from
from ninefine.desk import purchase, records, sale, tables
from ninefine.desk.exits import worth
from ninefine.desk.holdings import lot_lines, summary
from ninefine.desk.kit import Kit
from ninefine.desk.offers import weigh
from ninefine.desk.quotes import convert_quote
from ninefine.desk.sale import SalePlan, first_in_beside, read_sale
from ninefine.desk.say import holdings_sentence
from ninefine.market.prices import StampKind
from ninefine.market.read_offer import offer_from
from ninefine.measure.numbers import to_places
from ninefine.testing import kit_in_memory

SALE_DAY = date(2026, 6, 12)
SPOT = Decimal("66.00")
PURCHASES = [
    ("2019-03-11", "300 face", "11.20x", {}),
    ("2020-03-23", "100 face", "14.90x", {"carriage": "18.00"}),
    ("2021-02-08", "200 face", "24.10x", {"surcharge": "168.70"}),
    ("2025-11-14", "150 face", "38.50x", {}),
]


def lane() -> Kit:
    """The four lots, and the sixty rounds bought in 2024; spot read on the day of the sale."""
    kit = kit_in_memory(today=SALE_DAY)
    for on, amount, price, more in PURCHASES[:3]:
        purchase.buy(kit, {"on": on, "amount-1": amount, "kind-1": "90%", "price-1": price, **more})
    purchase.buy(kit, {"on": "2024-05-02", "amount-1": "60", "kind-1": "1 oz round", "price-1": "1790", "lot-1": "R"})
    on, amount, price, _ = PURCHASES[3]
    purchase.buy(kit, {"on": on, "amount-1": amount, "kind-1": "90%", "price-1": price, "lot-1": "L4"})
    records.price(kit, {"per_ozt": "66.00", "at": "10:15", "whose": "the shop's screen"})
    tables.set_exit(
        kit,
        {
            "name": "the shop",
            "bids": [{"what": "90", "quote": "44.83x"}, {"what": "ozt", "quote": "spot - 1.50"}],
        },
    )
    return kit


def plan(kit: Kit, **form: str) -> SalePlan:
    """$400 face at the shop's bid."""
    return read_sale(kit, {"kind": "90%", "amount": "400 face", "price": "44.83x", **form})


@pytest.fixture(scope="module")
def kit() -> Kit:
    """Before the sale."""
    return lane()


@pytest.fixture(scope="module")
def after() -> Kit:
    """After the sale by the highest basis."""
    kit = lane()
    sale.sell(kit, plan(kit, rule="highest-basis", buyer="the shop"))
    return kit


def test_what_each_lot_cost_a_face_dollar(kit: Kit) -> None:
    """Postage and the card's surcharge are part of what a lot cost: 15,631.70 in all, 20.8423 a face dollar."""
    lots = {line.lot.name: line for line in lot_lines(kit) if line.face is not None}
    costs = {name: str(line.basis) for name, line in lots.items()}
    each = {name: str(to_places(line.basis / (line.face or 1), 4)) for name, line in lots.items()}

    assert costs == {"L4": "5775.00", "L3": "4988.70", "L2": "1508.00", "L1": "3360.00"}
    assert each == {"L4": "38.5000", "L3": "24.9435", "L2": "15.0800", "L1": "11.2000"}
    now = summary(kit)
    assert (now.face_90, str(to_places(now.cost_per_face_90 or Decimal(0), 4))) == (Decimal(750), "20.8423")


@pytest.mark.parametrize(("said", "quoted"), [("95% of melt", "44.83"), ("88% of melt", "41.53")])
def test_steps_1_and_9_the_bid_as_times_face(kit: Kit, said: str, quoted: str) -> None:
    """0.715 x 66.00 x 0.95 = 44.8305, quoted 44.83; with refiners backed up 88% is 41.53, 1,320.00 less on $400."""
    times_face = convert_quote(kit, {"quote": said, "goods": "90", "spot": "66.00"}).answer.times_face

    assert times_face is not None
    assert str(to_places(times_face, 2)) == quoted
    assert plan(kit, price=f"{quoted}x").proceeds == 400 * Decimal(quoted)


ROWS = {
    "first-in": [
        ("L1", "300", "13449.00", "3360.00", "10089.00", "long"),
        ("L2", "100", "4483.00", "1508.00", "2975.00", "long"),
    ],
    "highest-basis": [
        ("L4", "150", "6724.50", "5775.00", "949.50", "short"),
        ("L3", "200", "8966.00", "4988.70", "3977.30", "long"),
        ("L2", "50", "2241.50", "754.00", "1487.50", "long"),
    ],
    "long-highest-basis": [
        ("L3", "200", "8966.00", "4988.70", "3977.30", "long"),
        ("L2", "100", "4483.00", "1508.00", "2975.00", "long"),
        ("L1", "100", "4483.00", "1120.00", "3363.00", "long"),
    ],
}


@pytest.mark.parametrize(
    ("rule", "gain"), [("first-in", "13064.00"), ("highest-basis", "6414.30"), ("long-highest-basis", "10315.30")]
)
def test_step_2_the_rows_of_each_rule(kit: Kit, rule: str, gain: str) -> None:
    found = plan(kit, rule=rule)

    shown = [
        (row.lot, str(row.amount.face), str(row.proceeds), str(row.basis), str(row.gain), row.term)
        for row in found.rows
    ]
    assert shown == ROWS[rule]
    assert (found.proceeds, found.fees, found.gain) == (Decimal("17932.00"), Decimal(0), Decimal(gain))


def test_step_2_the_lots_may_be_named_one_by_one(kit: Kit) -> None:
    """Named pieces give the same rows as the rule that would choose them."""
    named = read_sale(kit, {"heap-1": "L4", "heap-2": "L3", "heap-3": "L2", "amount-3": "50 face", "price": "44.83x"})

    assert [(row.lot, row.gain) for row in named.rows] == [(row[0], Decimal(row[4])) for row in ROWS["highest-basis"]]
    assert named.entry.rule == "chosen"


def test_step_3_what_choosing_puts_off(kit: Kit) -> None:
    """13,064.00 less 6,414.30 is 6,649.70 of gain that stays on the shelf: deferred, not forgiven."""
    form = {"kind": "90%", "amount": "400 face", "price": "44.83x", "rule": "highest-basis"}
    chosen = read_sale(kit, form)

    assert first_in_beside(kit, form, chosen).gain - chosen.gain == Decimal("6649.70")


def test_the_youngest_lot_turns_long_a_year_and_a_day_after_it_was_bought() -> None:
    """The count starts on the day after acquisition (IRS Publications 544 and 550)."""
    assert long_from(date(2025, 11, 14)) == date(2026, 11, 15)


def test_step_5_what_is_left_after_the_sale(after: Kit) -> None:
    """L1 300 and L2 50: basis 4,114.00, 250.25 trade ounces; with 60 rounds 310.25, of which 80.66% constitutional."""
    now = summary(after)
    left = {line.lot.name: (line.face, line.basis) for line in lot_lines(after)}

    assert left["L1"] == (Decimal(300), Decimal("3360.00"))
    assert left["L2"] == (Decimal(50), Decimal("754.00"))
    assert set(left) == {"L1", "L2", "R"}
    coin, rounds = now.here.by_form()
    assert (coin.ozt, coin.basis) == (Decimal("250.25"), Decimal("4114.00"))
    assert (rounds.ozt, now.here.ozt()) == (Decimal(60), Decimal("310.25"))
    share = now.here.constitutional_share()
    assert share is not None
    assert str(to_places(share * 100, 2)) == "80.66"
    assert holdings_sentence(now).startswith("You hold 310.25 ozt of fine silver by trade count, 81% of it")


def test_step_6_melt_and_a_quick_sale(after: Kit) -> None:
    """310.25 x 66.00 = 20,476.50; at today's bids 350 x 44.83 + 60 x 64.50 = 19,560.50."""
    now = worth(after)

    assert now.melt_trade == Decimal("20476.50")
    assert [(way.exit.name, way.net) for way in now.ways] == [("the shop", Decimal("19560.50"))]


def test_step_6_what_it_would_cost_to_replace(after: Kit) -> None:
    """At today's asks, 50.60x and spot + 4.25: 350 x 50.60 + 60 x 70.25 = 21,925.00."""
    asks = offer_from(
        {
            "name": "the same again",
            "goods": [
                {"kind": "90", "face": "350", "quote": "50.60x"},
                {"kind": "ozt", "count": "60", "quote": "spot + 4.25"},
            ],
        }
    )

    (row,) = weigh(after, spot=SPOT, given=(asks,)).ranked

    assert row.landed.total == Decimal("21925.00")


def test_step_7_what_it_was_worth_at_the_end_of_2023(after: Kit) -> None:
    """$600 face that day: 600 x 0.715 x 23.878 = 10,243.66, said to be a monthly average; 386.96 over its cost."""
    then = summary(after, on=date(2023, 12, 31))
    stamp = then.stamps["XAG"]

    assert then.face_90 == 600
    assert then.here.melt() == Decimal("10243.66")
    assert (stamp.kind, stamp.per_ozt) == (StampKind.MONTH, Decimal("23.878"))
    assert stamp.note == "monthly average of December 2023, not the day's price"
    assert "monthly average of December 2023" in holdings_sentence(then)
    assert then.here.cost == Decimal("9856.70")
    assert (then.here.melt() or Decimal(0)) - then.here.cost == Decimal("386.96")
