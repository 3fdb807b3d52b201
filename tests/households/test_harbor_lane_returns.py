"""Harbor Lane's year-end page and how its silver has done: any date, constant dollars, returns, reminders.

The household and its prices are invented; every expected figure was worked out apart from the program. The averages are
the World Bank's (Pink Sheet, CC BY 4.0), the index is CPI-U (Bureau of Labor Statistics): 255.6574 for 2019, 321.943
for 2025. 0.715 ozt a face dollar is common practice, no source.
"""

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest
import pyxirr

from ninefine.desk import purchase, records, sale, tables
from ninefine.desk.book_settings import settle
from ninefine.desk.gains import gains
from ninefine.desk.kit import Kit
from ninefine.desk.performance import lots_in_constant, performance, rate_words, worth_by_month
from ninefine.desk.reminders import for_sale
from ninefine.errors import Faults, NotFoundError
from ninefine.market.prices import StampKind
from ninefine.measure.numbers import to_places
from ninefine.testing import kit_in_memory

D = Decimal
SALE_DAY = date(2026, 6, 12)
PURCHASES = [
    ("2019-03-11", "300 face", "11.20x", {}),
    ("2020-03-23", "100 face", "14.90x", {"carriage": "18.00"}),
    ("2021-02-08", "200 face", "24.10x", {"surcharge": "168.70"}),
    ("2025-11-14", "150 face", "38.50x", {}),
]


def lane() -> Kit:
    """The four lots of coin; spot and the shop's bid on the day of the sale."""
    kit = kit_in_memory(today=SALE_DAY)
    for on, amount, price, more in PURCHASES:
        purchase.buy(kit, {"on": on, "amount-1": amount, "kind-1": "90%", "price-1": price, **more})
    records.price(kit, {"per_ozt": "66.00", "at": "10:15", "whose": "the shop's screen"})
    tables.set_exit(kit, {"name": "the shop", "bids": [{"what": "90", "quote": "95% of melt"}]})
    return kit


@pytest.fixture(scope="module")
def kit() -> Kit:
    return lane()


@pytest.fixture(scope="module")
def after() -> Kit:
    """After the sale by the highest basis."""
    kit = lane()
    form = {"kind": "90%", "amount": "400 face", "price": "44.83x", "rule": "highest-basis", "buyer": "the shop"}
    sale.sell(kit, sale.read_sale(kit, form))
    return kit


def test_step_4_under_the_line_of_reporting_and_paid_by_check(kit: Kit) -> None:
    """$400 face is under 1,000; the gain belongs on the return all the same."""
    plan = sale.read_sale(kit, {"kind": "90%", "amount": "400 face", "price": "44.83x"})

    names = [one.name for one in for_sale(kit, plan)]
    assert names == ["a gain belongs on the return", "collectibles"]


def test_step_7_any_month_end_has_its_own_stack_and_a_price_that_says_what_it_is(after: Kit) -> None:
    """On 31 December 2023 the household held 600 face: 600 x 0.715 x 23.878 = 10,243.66, by the month's average."""
    points = {point.on: point for point in worth_by_month(after)}
    then = points[date(2023, 12, 31)]

    assert then.melt == D("10243.66")
    assert then.ozt == {"XAG": D("429.000")}
    assert (then.cost, then.uncosted) == (D("9856.70"), D(0))
    assert then.stamps["XAG"].kind is StampKind.MONTH
    assert then.stamps["XAG"].kind.value == "monthly average"
    assert then.stamps["XAG"].note == "monthly average of December 2023, not the day's price"
    assert (then.melt or D(0)) - then.cost == D("386.96")
    assert next(iter(points)) == date(2019, 3, 31)
    assert list(points)[-1] == SALE_DAY
    assert points[SALE_DAY].melt == D("16516.50")  # 350 x 0.715 x 66.00
    assert points[SALE_DAY].stamps["XAG"].kind is StampKind.OWN


def test_step_8_the_first_lot_in_constant_dollars(kit: Kit) -> None:
    """3,360.00 x 321.943 / 255.6574 = 4,231.16."""
    lots = {one.lot: one.constant for one in lots_in_constant(kit, year=2025)}

    assert lots["L1"].amount == D("4231.16")
    assert lots["L1"].stood_in == ()
    assert lots["L4"].amount == D("5775.00")
    with pytest.raises(NotFoundError, match="no consumer price index for 2031"):
        lots_in_constant(kit, year=2031)


def test_the_year_s_gains_are_those_of_the_sale(after: Kit) -> None:
    table = gains(after)

    assert [(line.row.disposal.lot, line.gain, line.term.value) for line in table.lines] == [
        ("L4", D("949.50"), "short"),
        ("L3", D("3977.30"), "long"),
        ("L2", D("1487.50"), "long"),
    ]
    assert (table.whole.gain, table.short.gain, table.long.gain) == (D("6414.30"), D("949.50"), D("5464.80"))
    assert {line.codes for line in table.lines} == {"C"}


def test_cost_an_ounce_and_what_the_shop_would_gain(kit: Kit) -> None:
    """750 x 0.715 = 536.25 ozt for 15,631.70: 29.1500 an ounce; even at 15,631.70 / (0.95 x 536.25) = 30.6843."""
    found = performance(kit)
    (coin,) = found.forms
    (shop,) = found.exits

    assert coin.cost_per_ozt is not None
    assert to_places(coin.cost_per_ozt, 4) == to_places(D("15631.70") / D("536.25"), 4) == D("29.1500")
    assert found.cost_per_ozt == coin.cost_per_ozt
    assert (shop.net, shop.gain) == (D("33622.88"), D("17991.18"))  # 0.95 x 536.25 x 66
    assert shop.even is not None
    assert to_places(shop.even, 4) == to_places(D("15631.70") / (D("0.95") * D("536.25")), 4)


def test_against_cash_and_in_constant_dollars(after: Kit) -> None:
    """Put in 15,631.70, taken out 17,932.00: all in cash, 2,300.30 more than nothing would be there."""
    found = performance(after)

    assert (found.flows.put_in, found.flows.taken_out, found.net_put_in) == (
        D("15631.70"),
        D("17932.00"),
        D("-2300.30"),
    )
    assert (found.worth, found.gain) == (D("16516.50"), D("18816.80"))
    assert found.constant is not None
    # 4,231.16 + 1,508 x 321.943 / 258.8112 + 4,988.70 x 321.943 / 270.9698 + 5,775.00 - 17,932.00
    assert found.constant.amount == D("4231.16") + D("1875.85") + D("5927.14") + D("5775.00") - D("17932.00")
    # no index of 2026 is known: 2025's stands in, and that is said
    assert (found.constant.year, found.constant.stood_in) == (2025, (2026,))
    assert found.real_gain == D("16516.50") - D("-122.85")


def test_the_yearly_return_agrees_with_an_independent_reckoning(after: Kit) -> None:
    found = performance(after)
    days = [date(2019, 3, 11), date(2020, 3, 23), date(2021, 2, 8), date(2025, 11, 14), SALE_DAY, SALE_DAY]
    theirs = pyxirr.xirr(days, [-3360.00, -1508.00, -4988.70, -5775.00, 17932.00, 16516.50])

    assert found.rate is not None
    assert float(found.rate.yearly) == pytest.approx(theirs, abs=1e-8)
    assert found.rate.days == (SALE_DAY - days[0]).days
    assert rate_words(found.rate).endswith("% a year over 7.3 years")
    assert rate_words(replace(found.rate, days=711)).endswith("% a year over 711 days")
    assert found.real_rate is not None
    assert found.real_rate.yearly < found.rate.yearly


def test_the_same_money_in_rounds_on_the_same_days(kit: Kit) -> None:
    """At spot + 2.50 on each day's price: 3,360.00 / (15.3 + 2.5), and so on; the rest at today's spot less 1.50."""
    found = performance(kit, {"ask": "spot+2.50", "bid": "spot-1.50"})
    assert found.rounds is not None
    prices = [(D("3360.00"), "2019-03-11"), (D("1508.00"), "2020-03-23"), (D("4988.70"), "2021-02-08")]
    prices.append((D("5775.00"), "2025-11-14"))
    ounces = sum(money / ((kit.spot_or_none(date.fromisoformat(day)) or D(0)) + D("2.50")) for money, day in prices)

    assert to_places(found.rounds.ounces, 10) == to_places(D(ounces), 10)
    assert found.rounds.worth == to_places(D(ounces) * D("64.50"), 2)
    assert performance(kit).rounds is None
    settle(kit, {"ask": "spot+2.50", "bid": "spot-1.50"})
    assert performance(kit).rounds == found.rounds


def test_a_tenth_more_of_spot_moves_all_of_it(kit: Kit) -> None:
    """536.25 x 66.00 = 35,392.50; nothing of it is led by collectors, so a tenth of it moves."""
    move = performance(kit).move

    assert move is not None
    assert (move.worth, move.moves, move.led_by_collectors) == (D("35392.50"), D("3539.25"), D("0.00"))


def test_any_day_before_is_reckoned_as_it_was_then(after: Kit) -> None:
    """At the end of 2023: 9,856.70 put in, 10,243.66 of melt."""
    then = performance(after, {"on": "2023-12-31"})

    assert (then.flows.put_in, then.flows.taken_out, then.worth) == (D("9856.70"), D(0), D("10243.66"))
    assert then.gain == D("386.96")
    assert then.rate is not None
    assert then.rate.days == (date(2023, 12, 31) - date(2019, 3, 11)).days


def test_what_is_held_may_be_valued_by_a_way_out_or_at_another_spot(kit: Kit) -> None:
    by_shop, dear = performance(kit, {"by": "the shop"}), performance(kit, {"spot": "100"})

    assert (by_shop.worth, by_shop.valued_by) == (D("33622.88"), "the shop")
    assert dear.worth == D("53625.00")
    with pytest.raises(NotFoundError, match="no way out 'the club'"):
        performance(kit, {"by": "the club"})
    with pytest.raises(Faults, match=r"(?s)not come yet.*ask"):
        performance(kit, {"on": "2027-01-01", "ask": "dear"})


def test_an_empty_book_has_nothing_to_reckon() -> None:
    empty = kit_in_memory(today=SALE_DAY)
    found = performance(empty)

    assert (found.worth, found.rate, found.exits, found.gain) == (None, None, (), None)
    assert worth_by_month(empty) == ()
    assert rate_words(found.rate) == "no yearly return can be told"


def test_a_book_in_other_money_has_no_constant_dollars() -> None:
    book = kit_in_memory(today=SALE_DAY, currency="CAD")
    purchase.buy(book, {"on": "2025-03-11", "amount-1": "100", "kind-1": "1 oz round", "price-1": "4000"})
    records.price(book, {"per_ozt": "90"})
    found = performance(book)

    assert (found.constant, found.real_rate, found.worth) == (None, None, D("9000.00"))
    assert lots_in_constant(book) == ()
