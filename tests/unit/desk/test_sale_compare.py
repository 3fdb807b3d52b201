"""A sale by every way of choosing lots and counting cost; settings of the book that decide which one is usual.

Harbor Lane's lots and its sale of $400 face: the household, its prices and its typed rates are invented, and every
figure was worked out apart from the program.
"""

from datetime import date
from decimal import Decimal

import pytest

from ninefine.desk import purchase, sale
from ninefine.desk.book_settings import BookSettings, DefaultRule, GainsForm, Method, settings, settings_from, settle
from ninefine.desk.kit import Kit
from ninefine.desk.sale import read_sale
from ninefine.desk.sale_compare import Rates, Way, compare_ways
from ninefine.errors import Faults
from ninefine.testing import kit_in_memory

D = Decimal
DAY = date(2026, 6, 12)
SALE = {"kind": "90%", "amount": "400 face", "price": "44.83x"}
RATES = Rates(short=D(32), long=D(28))


@pytest.fixture
def kit() -> Kit:
    book = kit_in_memory(today=DAY)
    for on, face, price, more in (
        ("2019-03-11", "300", "11.20x", {}),
        ("2020-03-23", "100", "14.90x", {"carriage": "18.00"}),
        ("2021-02-08", "200", "24.10x", {"surcharge": "168.70"}),
        ("2025-11-14", "150", "38.50x", {}),
    ):
        purchase.buy(book, {"on": on, "amount-1": f"{face} face", "kind-1": "90%", "price-1": price, **more})
    return book


def by_name(ways: tuple[Way, ...]) -> dict[str, Way]:
    return {way.rule: way for way in ways}


def test_every_rule_with_its_gain_and_tax_and_what_is_kept(kit: Kit) -> None:
    """Kept after tax: 14,274.08 first in first out, 16,098.02 by highest basis, 15,043.72 long term only."""
    ways = compare_ways(kit, SALE, rates=RATES)
    told = {way.rule: (way.plan.gain if way.plan else None, way.tax, way.kept) for way in ways}

    assert [way.rule for way in ways] == ["first-in", "highest-basis", "long-highest-basis", "average"]
    assert ways[0].asked
    assert told["first-in"] == (D("13064.00"), D("3657.92"), D("14274.08"))
    assert told["highest-basis"] == (D("6414.30"), D("1833.98"), D("16098.02"))
    assert told["long-highest-basis"] == (D("10315.30"), D("2888.28"), D("15043.72"))
    highest = by_name(ways)["highest-basis"]
    assert (highest.short, highest.long, highest.untold) == (D("949.50"), D("5464.80"), D(0))


def test_the_average_of_the_pool_by_hand(kit: Kit) -> None:
    """15,631.70 for 750 face: 400 of it cost 8,336.91 by the average (300 at 6,252.68 and 100 at 2,084.23)."""
    average = by_name(compare_ways(kit, SALE, rates=RATES))["average"]

    assert average.plan is not None
    assert [row.basis for row in average.plan.rows] == [D("6252.68"), D("2084.23")]
    assert (average.plan.basis, average.plan.gain) == (D("8336.91"), D("9595.09"))
    assert [row.lot for row in average.plan.rows] == ["L1", "L2"]


def test_without_rates_no_tax_is_told(kit: Kit) -> None:
    assert {way.tax for way in compare_ways(kit, SALE)} == {None}
    only_long = by_name(compare_ways(kit, SALE, rates=Rates(long=D(28))))
    assert only_long["highest-basis"].tax is None
    assert only_long["first-in"].kept == D("14274.08")


def test_a_rule_that_finds_too_little_says_so(kit: Kit) -> None:
    ways = by_name(compare_ways(kit, SALE | {"amount": "700 face"}))

    assert ways["long-highest-basis"].plan is None
    assert "700" in ways["long-highest-basis"].why
    assert ways["first-in"].plan is not None


def test_chosen_heaps_are_compared_with_as_much_of_their_kind(kit: Kit) -> None:
    chosen = {"heap-1": "L4", "heap-2": "L3", "heap-3": "L2", "amount-3": "50 face", "price": "44.83x"}
    ways = by_name(compare_ways(kit, chosen, rates=RATES))

    assert list(ways) == ["chosen", "first-in", "highest-basis", "long-highest-basis", "average"]
    assert ways["chosen"].kept == ways["highest-basis"].kept == D("16098.02")
    assert ways["first-in"].kept == D("14274.08")
    assert ways["long-highest-basis"].kept == D("15043.72")


def test_what_is_settled_for_the_book_is_what_a_sale_does(kit: Kit) -> None:
    assert settings(kit) == BookSettings()
    settle(kit, {"rule": "highest-basis", "short_rate": "32", "long_rate": "28%"})

    assert settings(kit).rule is DefaultRule.HIGHEST_BASIS
    assert read_sale(kit, SALE).gain == D("6414.30")
    assert compare_ways(kit, SALE)[0].kept == D("16098.02")
    assert read_sale(kit, SALE | {"rule": "first-in"}).gain == D("13064.00")
    stored = sale.sell(kit, read_sale(kit, SALE))
    assert getattr(stored.entry, "rule", "") == "highest basis first"


def test_a_book_at_average_cost_shows_it_before_the_sale(kit: Kit) -> None:
    settle(kit, {"method": "average"})
    plan = read_sale(kit, SALE)

    assert (plan.method, plan.rule, plan.gain) == (Method.AVERAGE, "first-in", D("9595.09"))
    assert read_sale(kit, SALE, method=Method.LOTS).gain == D("13064.00")
    ways = compare_ways(kit, SALE)
    assert [(way.rule, way.asked) for way in ways][:2] == [("average", True), ("first-in", False)]


def test_settings_change_one_by_one_and_are_taken_back(kit: Kit) -> None:
    settle(kit, {"ask": "spot+3", "note": "asked A. Reed on 2 June"})
    settle(kit, {"bid": "spot-1", "form": "plain"})
    assert settings(kit) == BookSettings(
        ask="spot+3", bid="spot-1", form=GainsForm.PLAIN, note="asked A. Reed on 2 June"
    )

    settle(kit, {"ask": "", "form": ""})
    assert (settings(kit).ask, settings(kit).form) == ("", GainsForm.FORM_8949)
    assert settings(kit_in_memory(currency="CAD")).form is GainsForm.PLAIN


def test_every_fault_of_settings_is_told_at_once(kit: Kit) -> None:
    with pytest.raises(Faults) as caught:
        settle(kit, {"rule": "last-in", "method": "guess", "short_rate": "132", "ask": "dear", "colour": "red"})

    assert {fault.where for fault in caught.value.faults} == {"rule", "method", "short_rate", "ask", "colour"}
    assert settings_from(BookSettings(short_rate=D("12.5")).as_dict()) == BookSettings(short_rate=D("12.5"))
