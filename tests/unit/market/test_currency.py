"""Other currencies by a rate that the person enters."""

from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ninefine.errors import NotFoundError, RangeError
from ninefine.market.currency import rate
from ninefine.measure.money import METALS

TODAY = date(2024, 3, 1)


def test_both_ways() -> None:
    """One euro at 1.0825 dollars: 200.00 EUR is 216.50 USD, and back."""
    euro = rate("eur", "USD", Decimal("1.0825"), TODAY, "the bank's page")
    assert euro.turn_to_cents(Decimal("200.00"), "EUR") == Decimal("216.50")
    assert euro.turn_to_cents(Decimal("216.50"), "USD") == Decimal("200.00")


def test_cents_are_those_of_the_currency_reached() -> None:
    """Yen have no smaller unit (ISO 4217)."""
    assert str(rate("USD", "JPY", Decimal("150.27"), TODAY).turn_to_cents(Decimal("1.99"), "USD")) == "299"


@given(
    st.decimals(min_value="0.01", max_value="999999", places=2),
    st.decimals(min_value="0.0001", max_value=999, places=6),
)
def test_there_and_back(amount: Decimal, price: Decimal) -> None:
    """Turning and turning back leaves the amount, to more digits than any invoice has."""
    one = rate("GBP", "USD", price, TODAY)
    assert abs(one.turn(one.turn(amount, "GBP"), "USD") - amount) < Decimal("1e-25")


def test_what_is_refused() -> None:
    """The same currency twice, nothing, an unknown code, a third currency."""
    with pytest.raises(RangeError, match="two currencies"):
        rate("USD", "usd", Decimal(1), TODAY)
    with pytest.raises(RangeError, match="more than zero"):
        rate("EUR", "USD", Decimal(0), TODAY)
    with pytest.raises(NotFoundError):
        rate("XYZ", "USD", Decimal(1), TODAY)
    with pytest.raises(RangeError, match="says nothing of CAD"):
        rate("EUR", "USD", Decimal("1.08"), TODAY).turn(Decimal(1), "CAD")


def test_the_metals_that_have_codes() -> None:
    """ISO 4217: XAG 961, XAU 959, XPT 962, XPD 964."""
    assert {code: number for code, (number, _) in METALS.items()} == {
        "XAG": "961",
        "XAU": "959",
        "XPT": "962",
        "XPD": "964",
    }
