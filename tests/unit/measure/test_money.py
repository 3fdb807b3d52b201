"""Money: rounding said out loud, shares that sum, and ISO 4217 against an outside table."""

from decimal import Decimal
from fractions import Fraction

import pycountry
import pytest
from hypothesis import given
from hypothesis import strategies as st

from ninefine.errors import NotFoundError, RangeError, UnreadableError
from ninefine.measure.money import CURRENCIES, METALS, cents, cents_down, currency_code, metal_code, read_money, spread
from ninefine.measure.numbers import plain, read_count, read_decimal, to_places

amounts = st.decimals(min_value="-1e7", max_value="1e7", places=2)
weights = st.lists(st.decimals(min_value=0, max_value="1e5", places=3), min_size=1, max_size=12)


@pytest.mark.parametrize(("code", "row"), CURRENCIES.items())
def test_currency_codes_agree_with_iso_4217(code: str, row: tuple[str, int, str]) -> None:
    """ISO 4217 as published in the Debian iso-codes tables that pycountry carries."""
    theirs = pycountry.currencies.get(alpha_3=code)

    assert theirs is not None
    assert (theirs.numeric, theirs.name) == (row[0], row[2])


@pytest.mark.parametrize(("code", "row"), METALS.items())
def test_metal_codes_agree_with_iso_4217(code: str, row: tuple[str, str]) -> None:
    """XAG 961, XAU 959, XPT 962, XPD 964."""
    theirs = pycountry.currencies.get(alpha_3=code)

    assert theirs is not None
    assert theirs.numeric == row[0]
    assert row[1] in theirs.name.lower()


def test_cents_round_half_up_and_limits_round_down() -> None:
    assert cents(Decimal("0.005")) == Decimal("0.01")
    assert cents(Decimal("-0.005")) == Decimal("-0.01")
    assert str(cents(Decimal("-0.004"))) == str(cents(Decimal("-265.05") * 0)) == "0.00"
    assert cents(Decimal("2.5"), "JPY") == 3
    assert cents_down(Decimal("30.9956")) == Decimal("30.99")


@given(amounts, weights)
def test_shares_sum_to_the_whole(total: Decimal, shares: list[Decimal]) -> None:
    """Cents are conserved whatever the weights; each share is within a cent of its due, but for the largest."""
    if not any(shares):
        with pytest.raises(RangeError):
            spread(total, shares)
        return

    parts = spread(total, shares)

    assert sum(parts) == total
    largest = shares.index(max(shares))
    for index, (part, share) in enumerate(zip(parts, shares, strict=True)):
        due = Fraction(total) * Fraction(share) / Fraction(sum(shares))
        slack = Fraction(1, 200) * (len(shares) if index == largest else 1)
        assert abs(Fraction(part) - due) <= slack


@given(st.fractions(min_value=-(10**6), max_value=10**6), st.integers(0, 12))
def test_rounding_a_fraction_is_half_up(value: Fraction, places: int) -> None:
    """Within half a unit of the last place, and a tie goes away from zero."""
    rounded = to_places(value, places)
    unit = Fraction(1, 10**places)

    assert abs(Fraction(rounded) - value) <= unit / 2
    if abs(Fraction(rounded) - value) == unit / 2:
        assert abs(rounded) > abs(value)


@given(st.decimals(min_value="-1e9", max_value="1e9", places=4))
def test_a_written_number_reads_back(value: Decimal) -> None:
    """With and without thousands marks."""
    assert read_decimal(plain(value)) == value
    assert read_decimal(f"{value:,f}") == value


@pytest.mark.parametrize("text", ["", "1,23", "1.2.3", "NaN", "inf", "1e9", "0x10", "twelve", "1 2", "9" * 41])
def test_what_is_no_number_is_refused(text: str) -> None:
    with pytest.raises(UnreadableError, match="is not a"):
        read_decimal(text)


def test_money_reads_with_its_sign_and_marks() -> None:
    assert read_money("$1,234.50") == Decimal("1234.50")
    assert read_money("-$12") == -12


def test_pieces_come_whole() -> None:
    assert read_count("1,180") == 1180
    with pytest.raises(RangeError, match="whole"):
        read_count("2.5")
    with pytest.raises(RangeError, match="more than zero"):
        read_count("0")


def test_codes_that_are_not_held_are_refused_with_some_that_are() -> None:
    assert currency_code(" usd ") == "USD"
    assert metal_code("Silver") == metal_code("XAG") == "XAG"
    with pytest.raises(NotFoundError, match="USD"):
        currency_code("XXX")
    with pytest.raises(NotFoundError, match="silver"):
        metal_code("copper")
