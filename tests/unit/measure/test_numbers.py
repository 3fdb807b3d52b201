"""Numbers as typed: what was likely meant is offered, what no household has is refused, and rounding never fails."""

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ninefine.errors import RangeError, UnreadableError
from ninefine.measure.numbers import (
    MOST_PLACES,
    MOST_WHOLE,
    read_count,
    read_decimal,
    read_positive,
    read_reference,
    to_places,
)


@pytest.mark.parametrize(
    ("text", "meant"),
    [
        ("23,4", "23.4"),
        ("-1,50", "-1.50"),
        ("1.000,50", "1000.50"),
        ("1 000,50", "1000.50"),
        ("\N{FULLWIDTH DIGIT ONE}\N{FULLWIDTH DIGIT TWO}", "12"),
        ("\N{ARABIC-INDIC DIGIT THREE}", "3"),
    ],
)
def test_a_number_of_other_customs_is_refused_with_what_was_meant(text: str, meant: str) -> None:
    """It is never read by itself: `1,500` would then be two numbers."""
    with pytest.raises(UnreadableError) as refused:
        read_decimal(text)

    assert refused.value.instead == (meant,)
    assert read_decimal(meant)


@pytest.mark.parametrize("text", ["\N{VULGAR FRACTION ONE HALF}", "\N{SUPERSCRIPT TWO}", "1/0", "\x00", "9" * 5000])
def test_what_no_number_was_meant_by_is_refused_with_any(text: str) -> None:
    with pytest.raises(UnreadableError) as refused:
        read_decimal(text)

    assert refused.value.instead == ("1234.50", "1,234.50")
    assert len(str(refused.value)) < 250


@pytest.mark.parametrize("text", ["9" * 13, "9" * 40, "9" * 38 + ".5", "0." + "0" * 24 + "1", "-" + "1" * 39])
def test_more_digits_than_a_household_has_are_refused(text: str) -> None:
    with pytest.raises(RangeError, match="more digits"):
        read_decimal(text, what="price")


def test_noughts_that_say_nothing_are_no_digits_too_many() -> None:
    assert read_decimal("0" * 20 + "12.5" + "0" * 15) == Decimal("12.5")
    assert read_decimal("9" * MOST_WHOLE + "." + "9" * MOST_PLACES) < 10**MOST_WHOLE


def test_a_refused_number_is_told_as_it_would_be_typed() -> None:
    """Never as `0E-8`."""
    with pytest.raises(RangeError, match=r"Spot is 0\. It must be more than zero"):
        read_positive("0.00000000", what="spot")
    with pytest.raises(RangeError, match=r"Number of days is 2\.5\. It must be a whole number"):
        read_count("2.50", what="number of days")


@given(st.fractions() | st.decimals(allow_nan=False, allow_infinity=False, max_value=10**99), st.integers(-3, 30))
def test_rounding_never_fails_and_is_never_more_than_half_a_unit_off(value: Fraction | Decimal, places: int) -> None:
    off = abs(Fraction(to_places(value, places)) - Fraction(value))

    assert off <= Fraction(10) ** -places / 2


@pytest.mark.parametrize("text", ["12", "0", "999999999"])
def test_a_reference_is_plain_digits(text: str) -> None:
    assert read_reference(text) == int(text)


@pytest.mark.parametrize(
    "text", ["", "-1", " 1", "1.0", "1e3", "9" * 10, "9" * 5000, "\N{SUPERSCRIPT TWO}", "\N{ARABIC-INDIC DIGIT THREE}"]
)
def test_anything_else_is_no_reference(text: str) -> None:
    assert read_reference(text) is None
