"""Density by water: what fits, what does not, and what would settle the rest."""

import pytest

from ninefine.assay.alloys import ALLOYS, Alloy, alloy_of
from ninefine.assay.evidence import Outcome
from ninefine.assay.gravity import Gravity, Way, Wet, gravity, weigh_in_water
from ninefine.assay.instruments import CheckWeight, Scale, Thermometer
from ninefine.catalog.shelf import load_catalog
from ninefine.errors import RangeError

CATALOG = load_catalog()
BY_NAME = {one.name: one for one in ALLOYS}
CHECK = CheckWeight(grams=100, within_g=0.005, shown_g=100.0)
FINE, COARSE = Scale(step_g=0.001, check=CHECK), Scale(step_g=0.01, check=CHECK)
SILVER_900, SILVER_999 = BY_NAME["silver .900"], BY_NAME["silver .999"]


def made_of(density: float, grams: float, claimed: Alloy | None, scale: Scale = FINE) -> Gravity:
    """A piece of some density, weighed without fault."""
    hung = grams * (1 - 0.9985 / density)
    wet = Wet(way=Way.HUNG, shown_g=[hung], celsius=20, thread_mm=0.1)
    return weigh_in_water(scale, [grams], wet, Thermometer(), claimed=claimed)


def names(alloys: tuple[Alloy, ...]) -> set[str]:
    return {one.name for one in alloys}


def test_a_silver_dollar_fits_its_alloy_and_no_poorer_one() -> None:
    found = made_of(10.314, 26.7, SILVER_900)

    assert found.evidence.outcome is Outcome.PASSED
    assert {"copper, bare or plated", "clad 40% silver", "brass", "lead", "tungsten"} <= names(found.fits_not)
    assert "silver .900" in names(found.fits)
    assert "genuine" not in found.evidence.says


@pytest.mark.parametrize(
    ("density", "expected"),
    [(8.94, "copper, bare or plated"), (8.5, "brass"), (11.34, "lead"), (9.515, "clad 40% silver"), (7.13, "zinc")],
)
def test_a_dollar_of_another_metal_fails_and_is_named(density: float, expected: str) -> None:
    found = made_of(density, 26.7, SILVER_900)

    assert found.evidence.outcome is Outcome.FAILED
    assert expected in names(found.fits)
    assert expected in found.evidence.says


def test_one_dime_on_a_kitchen_scale_cannot_tell_silver_from_clad_and_says_what_would() -> None:
    """Trade practice: silver and copper cannot be told on one dime with a 0.01 g scale with confidence."""
    found = made_of(10.314, 2.5, SILVER_900, COARSE)
    forty = next(one for one in found.settling if one.other.name == "clad 40% silver")

    assert found.evidence.outcome is Outcome.UNSURE
    assert forty.step_g == 0.001
    assert forty.pieces is not None
    assert 1 < forty.pieces <= 4
    assert f"a scale that reads 0.001 g or {forty.pieces} alike weighed together" in found.evidence.would_settle


def test_what_it_says_would_settle_it_does() -> None:
    """The pieces that are said to settle it, weighed together on the same scale, fit silver and no longer the other."""
    found = made_of(10.314, 2.5, SILVER_900, COARSE)
    assert found.settling
    for one in found.settling:
        assert one.pieces is not None
        together = made_of(10.314, 2.5 * one.pieces, SILVER_900, COARSE)
        assert one.other not in together.fits
        assert one.step_g is None or one.other not in made_of(10.314, 2.5, SILVER_900, Scale(step_g=one.step_g)).fits


def test_density_never_tells_gold_from_tungsten() -> None:
    found = made_of(19.29, 31.1, BY_NAME["gold .999"])

    assert found.evidence.outcome is Outcome.UNSURE
    assert "No weighing tells it from tungsten." in found.evidence.would_settle


def test_lead_made_to_the_figure_is_told_by_its_ring_and_said_so() -> None:
    found = made_of(10.314, 26.7, SILVER_900)

    assert "Density never tells lead with tin or antimony from it; it does not ring." in found.evidence.would_settle


def test_hung_and_lowered_come_to_the_same() -> None:
    hung = Wet(way=Way.HUNG, shown_g=[24.12], celsius=20)
    lowered = Wet(way=Way.LOWERED, shown_g=[26.70 - 24.12], celsius=20)
    readings = [gravity(COARSE, [26.70], wet, Thermometer()) for wet in (hung, lowered)]

    assert readings[0].value == pytest.approx(readings[1].value, abs=2e-4)


def test_a_thick_thread_lowers_the_density_found_and_widens_it() -> None:
    """Water pulls a thread 1 mm thick down by 23 mg (72.8 mN/m round its edge): a hung piece seems heavier in water."""
    bare, wet = (
        gravity(FINE, [26.7], Wet(way=Way.HUNG, shown_g=[24.12], celsius=20, thread_mm=mm), Thermometer())
        for mm in (0.0, 1.0)
    )

    assert wet.value < bare.value
    assert wet.u > 2 * bare.u
    assert wet.dominant == "pull of the water on the thread"


def test_repeats_narrow_it() -> None:
    once, thrice = (
        gravity(COARSE, [26.7] * many, Wet(way=Way.HUNG, shown_g=[24.12] * many, celsius=20), Thermometer())
        for many in (1, 3)
    )

    assert thrice.u < once.u


@pytest.mark.parametrize(
    ("dry", "way", "shown", "celsius", "said"),
    [
        (26.7, Way.HUNG, 26.8, 20, "is not less than 26.7 g dry"),
        (26.7, Way.HUNG, -0.1, 20, "is not less than 26.7 g dry"),
        (26.7, Way.LOWERED, 26.7, 20, "A loss of 26.7 g"),
        (26.7, Way.HUNG, 24.12, 41, "outside what is reckoned with"),
        (26.7, Way.HUNG, 24.12, -1, "outside what is reckoned with"),
    ],
)
def test_readings_that_no_solid_gives_are_refused(
    dry: float, way: Way, shown: float, celsius: float, said: str
) -> None:
    with pytest.raises(RangeError, match=said):
        gravity(COARSE, [dry], Wet(way=way, shown_g=[shown], celsius=celsius), Thermometer())


def test_what_is_claimed_of_nothing_is_only_told() -> None:
    found = made_of(10.314, 26.7, None)

    assert found.evidence.outcome is Outcome.UNSURE
    assert "It fits" in found.evidence.says


@pytest.mark.parametrize(
    ("slug", "alloy"),
    [
        ("us-dollar-morgan", "silver .900"),
        ("us-half-kennedy-40", "clad 40% silver"),
        ("us-five-cent-wartime", "wartime five-cent alloy"),
        ("xag-us-eagle-1oz", "silver .999"),
        ("household-sterling-925", "sterling .925"),
        ("us-quarter-clad", "copper-nickel clad"),
        ("us-half-flowing-hair", "silver .8924"),
    ],
)
def test_a_kind_is_made_of_its_alloy(slug: str, alloy: str) -> None:
    found = alloy_of(CATALOG.kind(slug))

    assert found is not None
    assert found.name == alloy


def test_filled_and_hollow_ware_has_no_density_of_its_own() -> None:
    assert alloy_of(CATALOG.kind("household-sterling-925.weighted-candlestick")) is None
