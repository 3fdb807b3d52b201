"""Masses against NIST's exact units and pint's own tables."""

from decimal import Decimal

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from ninefine.errors import RangeError, UnreadableError
from ninefine.measure.mass import GRAIN_G, TROY_OUNCE_G, Mass, read_mass


def test_the_grain_and_the_troy_ounce_are_the_exact_ones() -> None:
    """NIST SP 811 (2008), appendix B: 1 grain = 64.79891 mg, and a troy ounce is 480 of them."""
    assert Decimal("0.06479891") == GRAIN_G
    assert Decimal("31.1034768") == TROY_OUNCE_G
    assert Mass.of_troy_ounces(1).grains == 480
    assert Mass.of_pounds(1).grams == Decimal("453.59237")


@pytest.mark.parametrize(
    ("one", "unit"),
    [
        (Mass.of_troy_ounces(1), "troy_ounce"),
        (Mass.of_grains(1), "grain"),
        (Mass.of_pennyweights(1), "pennyweight"),
        (Mass.of_ounces(1), "ounce"),
        (Mass.of_pounds(1), "pound"),
        (Mass.of_kilograms(1), "kilogram"),
    ],
)
def test_each_unit_agrees_with_pint(one: Mass, unit: str) -> None:
    """Pint's unit registry, an outside reference, in exact decimals."""
    registry: pint.UnitRegistry[Decimal] = pint.UnitRegistry(non_int_type=Decimal)

    theirs = registry.Quantity(Decimal(1), unit).to("gram").magnitude

    assert one.grams == theirs


@pytest.mark.parametrize(
    ("text", "grams"),
    [
        ("1461 g", "1461"),
        ("47.0 ozt", "1461.8634096"),
        ("3 lb 3.5 oz", "1460.0004409375"),
        ("412.5 grains", "26.729550375"),
        ("1,461g", "1461"),
        ("1.461 kg", "1461"),
        ("2 troy ounces", "62.2069536"),
        ("20 dwt", "31.1034768"),
    ],
)
def test_weights_read_as_people_type_them(text: str, grams: str) -> None:
    """LOOK.md's own examples among them; the figures follow from the exact units."""
    assert read_mass(text).grams == Decimal(grams)


@pytest.mark.parametrize("text", ["", "heavy", "12", "5 stone", "g", "3 lb 3.5", "1e3 g", "--2 g", "9" * 50 + " g"])
def test_what_is_no_weight_says_what_would_be_read(text: str) -> None:
    with pytest.raises(UnreadableError, match=r"1461 g|1234"):
        read_mass(text)


def test_a_weight_of_nothing_is_refused() -> None:
    with pytest.raises(RangeError, match="zero"):
        read_mass("0 g")


@given(st.decimals(min_value="0.001", max_value="1e6", places=3))
def test_every_door_leads_back(grams: Decimal) -> None:
    """Into a unit and out of it is the same mass, to thirty digits."""
    mass = Mass(grams)

    back = (
        Mass.of_troy_ounces(mass.troy_ounces),
        Mass.of_grains(mass.grains),
        Mass.of_pennyweights(mass.pennyweights),
        Mass.of_ounces(mass.ounces),
        Mass.of_pounds(mass.pounds),
    )

    for one in back:
        assert abs(one.grams - grams) <= grams * Decimal("1e-26")
