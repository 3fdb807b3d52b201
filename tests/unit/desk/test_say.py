"""Sentences: shares, prices and dates in words."""

from datetime import date
from decimal import Decimal

import pytest

from ninefine.desk import purchase, records
from ninefine.desk.holdings import summary
from ninefine.desk.kit import Kit
from ninefine.desk.say import holdings_sentence
from ninefine.measure.numbers import as_price
from ninefine.testing import kit_in_memory


@pytest.fixture
def kit() -> Kit:
    """A thousand face dollars of 90% coin, all there is."""
    kit = kit_in_memory(today=date(2024, 6, 3))
    records.price(kit, {"per_ozt": "30"})
    purchase.buy(kit, {"on": "2024-03-05", "amount-1": "1000 face", "kind-1": "90%", "price-1": "20x"})
    return kit


def bullion(kit: Kit, ounces: str) -> str:
    """What is said after so many one-ounce rounds have come."""
    purchase.buy(kit, {"on": "2024-03-05", "amount-1": ounces, "kind-1": "1 oz round", "price-1": "30"})
    return holdings_sentence(summary(kit))


def test_all_of_it_is_said_as_all_and_a_little_less_is_not(kit: Kit) -> None:
    assert "715.00 ozt of fine silver by trade count, all of it constitutional." in holdings_sentence(summary(kit))
    assert ", 99.86% of it constitutional" in bullion(kit, "1")
    assert ", 83% of it constitutional" in bullion(kit, "150")


def test_a_price_keeps_its_cents_and_a_past_day_comes_first(kit: Kit) -> None:
    then = holdings_sentence(summary(kit, on=date(2024, 4, 1)))

    assert "at 30.00 (spot on 2024-06-03)" in holdings_sentence(summary(kit))
    assert then.startswith("On 2024-04-01 you held 715.00 ozt")


@pytest.mark.parametrize(
    ("value", "shown"), [("66", "66.00"), ("31.5", "31.50"), ("23.878", "23.878"), ("1E+2", "100.00")]
)
def test_a_price_is_written_with_two_places_or_as_many_as_it_has(value: str, shown: str) -> None:
    assert as_price(Decimal(value)) == shown
