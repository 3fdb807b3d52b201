"""The bench against published figures: density by water, uncertainty as the guides work it, wear as it was measured."""

from math import inf, sqrt

import pytest
from iapws import IAPWS95

from ninefine.assay.alloys import mixed, silver_copper
from ninefine.assay.gravity import Way, Wet, gravity
from ninefine.assay.heap_weight import weigh_heap
from ninefine.assay.instruments import CheckWeight, Scale, Thermometer
from ninefine.assay.piece_weight import span_of
from ninefine.assay.water import air_density, density, shown_in_air, shown_in_water, water_density
from ninefine.assay.wear import Band, loss_of
from ninefine.catalog.shelf import load_catalog
from ninefine.measure.reading import (
    Input,
    Part,
    Reading,
    expanded,
    normal,
    propagate,
    readable,
    rectangular,
    triangular,
)

CATALOG = load_catalog()
WATER_20, AIR_20 = 0.9982067, 0.0011993


class TestDensityByWater:
    """The formula of a balance maker's density-kit manual (p. 24); OIML R 111-1 annex B method, from memory."""

    def test_a_dollar_weighed_dry_and_hung(self) -> None:
        assert density(26.70, 26.70 - 24.12, WATER_20, AIR_20) == pytest.approx(10.31907, abs=5e-6)
        assert density(26.70, 26.70 - 24.12, WATER_20, 0.0) == pytest.approx(10.330, abs=5e-4)
        assert density(26.70, 26.70 - 24.12, 1.0, 0.0) == pytest.approx(10.349, abs=5e-4)

    @pytest.mark.parametrize(
        ("mass", "of", "in_air", "in_water"),
        [
            (26.73, 10.31, 26.7309, 24.1456),
            (12.5, 10.31, 12.5004, 11.2915),
            (31.1035, 10.49, 31.1046, 28.1480),
            (5.0, 9.25, 5.0001, 4.4611),
        ],
    )
    def test_what_a_balance_shows_in_air_and_water_gives_the_density_back(
        self, mass: float, of: float, in_air: float, in_water: float
    ) -> None:
        """A balance that was set with weights of 8.0 g/cm3 (OIML D 28: conventional mass, from memory)."""
        assert shown_in_air(mass, of, AIR_20) == pytest.approx(in_air, abs=5e-5)
        assert shown_in_water(mass, of, WATER_20, AIR_20) == pytest.approx(in_water, abs=5e-5)
        dry = shown_in_air(mass, of, AIR_20)
        lost = dry - shown_in_water(mass, of, WATER_20, AIR_20)
        assert density(dry, lost, WATER_20, AIR_20) == pytest.approx(of, rel=1e-12)

    def test_two_readings_of_a_hundredth_leave_half_a_tenth_of_density(self) -> None:
        """The uncertainties package prints 10.32+/-0.05; slopes -3.61274 and +3.99917."""
        inputs = (normal("dry", 26.70, 0.01), normal("hung", 24.12, 0.01))
        found = propagate(lambda v: density(v["dry"], v["dry"] - v["hung"], WATER_20, AIR_20), inputs)

        assert found.value == pytest.approx(10.319066579069773, rel=1e-14)
        assert found.u == pytest.approx(0.05389364693433999, rel=1e-12)
        assert [part.u for part in found.parts] == pytest.approx([0.03612736387, 0.03999173364], rel=1e-9)

    def test_density_of_moist_air(self) -> None:
        """OIML R 111-1 annex E, from memory; CoolProp's moist air gives 1.19936 at 20 C and 1.22168, 1.17736 beside."""
        assert air_density() * 1000 == pytest.approx(1.1993, abs=5e-5)
        assert air_density(15) * 1000 == pytest.approx(1.22168, abs=3e-4)
        assert air_density(25) * 1000 == pytest.approx(1.17736, abs=3e-4)

    @pytest.mark.parametrize("celsius", range(41))
    def test_density_of_water_at_every_degree(self, celsius: int) -> None:
        """Against IAPWS-95 as a reference library computes it; at 0 C at the triple point's temperature."""
        reference = IAPWS95(T=max(273.15 + celsius, 273.16), P=0.101325).rho

        assert water_density(float(celsius)) * 1000 == pytest.approx(reference, abs=0.0013)

    @pytest.mark.parametrize(
        ("celsius", "tanaka", "kell"),
        [
            (0, 999.8428, 999.8395),
            (4, 999.9749, 999.9720),
            (10, 999.7027, 999.6996),
            (15, 999.1026, 999.0996),
            (20, 998.2067, 998.2041),
            (21, 997.9950, 997.9925),
            (22, 997.7730, 997.7705),
            (23, 997.5408, 997.5385),
            (25, 997.0470, 997.0449),
            (30, 995.6488, 995.6473),
            (35, 994.0326, 994.0319),
            (40, 992.2152, 992.2158),
        ],
    )
    def test_density_of_water_as_printed(self, celsius: int, tanaka: float, kell: float) -> None:
        """Tanaka et al., Metrologia 38 (2001) 301, and Kell, J. Chem. Eng. Data 20 (1975) 97; from memory."""
        assert water_density(float(celsius)) * 1000 == pytest.approx(tanaka, abs=5e-5)
        assert water_density(float(celsius)) * 1000 == pytest.approx(kell, abs=0.005)

    def test_the_mixing_rule_gives_the_published_density_of_a_gold_alloy(self) -> None:
        """A published example: gold 583, silver 104, copper 313 with 19.32, 10.49 and 8.96 makes 13.33."""
        assert mixed({19.32: 0.583, 10.49: 0.104, 8.96: 0.313}) == pytest.approx(13.33, abs=0.005)

    @pytest.mark.parametrize(
        ("fineness", "expected"),
        [
            (0.999, 10.488),
            (0.9584, 10.416),
            (0.925, 10.357),
            (0.900, 10.314),
            (0.8924, 10.301),
            (0.835, 10.203),
            (0.800, 10.144),
            (0.720, 10.011),
            (0.500, 9.665),
            (0.400, 9.515),
            (0.209, 9.242),
        ],
    )
    def test_densities_of_silver_and_copper_by_the_mixing_rule(self, fineness: float, expected: float) -> None:
        """Worked out from reference books' 10.49 and 8.96; sterling is given as about 10.36 in two science pages."""
        assert silver_copper(fineness) == pytest.approx(expected, abs=5e-4)

    def test_a_scale_of_a_hundredth_leaves_what_practice_says(self) -> None:
        """Spread of a specific gravity on a 0.01 g scale, worked out beforehand: quarter 2.3%, dollar 0.55%."""
        scale = Scale(step_g=0.01, spread_g=0.01, linear_g=0.0, check=CheckWeight(grams=100, within_g=0, shown_g=100))
        for dry, percent in ((2.5, 5.8), (6.25, 2.3), (12.5, 1.2), (26.73, 0.55)):
            hung = round(dry * (1 - 0.998 / 10.31), 2)
            found = gravity(scale, [dry], Wet(way=Way.HUNG, shown_g=[hung], celsius=20), Thermometer(error_c=0))
            assert 100 * found.u / found.value == pytest.approx(percent, rel=0.12)


class TestUncertainty:
    def test_calibration_of_a_ten_kilogram_weight(self) -> None:
        """EA-4/02, example S2, as worked in a metrology software maker's example; the guide itself prints 29.3 mg."""
        inputs = (
            expanded("standard", 10000.005, 0.045),
            rectangular("drift", 0.0, 0.015),
            normal("difference", 0.020, 0.0142),
            rectangular("eccentricity", 0.0, 0.010),
            rectangular("buoyancy", 0.0, 0.010),
        )
        found = propagate(lambda v: sum(v.values(), 0j), inputs, "g")

        assert found.value == pytest.approx(10000.025, abs=1e-9)
        assert [round(part.u * 1000, 2) for part in found.parts] == [22.5, 8.66, 14.2, 5.77, 5.77]
        assert found.u * 1000 == pytest.approx(29.1465, abs=1e-3)
        assert found.u * 1000 == pytest.approx(29.3, abs=0.2)
        assert 2 * found.u * 1000 == pytest.approx(58, abs=0.5)
        assert found.dominant == "standard"
        shares = dict(found.shares())
        expected = {"standard": 59.6, "drift": 8.8, "difference": 23.7, "eccentricity": 3.9, "buoyancy": 3.9}
        for name, percent in expected.items():
            assert 100 * shares[name] == pytest.approx(percent, abs=0.06)
        assert sum(shares.values()) == pytest.approx(1)

    def test_calibration_of_an_end_gauge(self) -> None:
        """JCGM 100:2008 (GUM), H.1, from memory: u 32 nm, 16 degrees of freedom, t 2.92, U 93 nm."""
        parts = [("standard", 25, 18), ("difference", 9.7, 25.6), ("expansion", 2.9, 50), ("temperature", 16.6, 2)]
        found = Reading(value=0, unit="nm", parts=tuple(Part(name=name, u=u, dof=dof) for name, u, dof in parts))

        assert found.u == pytest.approx(31.67, abs=0.01)
        assert found.dof == pytest.approx(16.8, abs=0.1)
        rounded = Reading(value=0, parts=(Part(name="", u=32, dof=16),))
        assert rounded.coverage_factor(0.99) == pytest.approx(2.9208, abs=5e-5)
        assert rounded.half_width(0.99) == pytest.approx(93.5, abs=0.1)

    def test_spreads_with_bounds(self) -> None:
        """GUM 4.3.7 and 4.3.9: half-width over root 3 and root 6; a step over twice root 3; 10 makes 5.77."""
        assert rectangular("", 0, 10).u == pytest.approx(5.77, abs=0.005)
        assert triangular("", 0, 1).u == pytest.approx(1 / sqrt(6))
        assert readable("", 0, 0.01).u == pytest.approx(0.01 / (2 * sqrt(3)))

    def test_one_rectangular_input_is_held_by_1_65_and_a_normal_one_by_1_96(self) -> None:
        """GUM 4.3.4 and G.1.3: 0.95 root 3 = 1.645 for a rectangular spread, 1.960 for a normal one, t by G.2."""
        for one, factor in (
            (rectangular("a", 0.0, 1), 0.95 * sqrt(3)),
            (normal("a", 0.0, 1), 1.959964),
            (normal("a", 0.0, 1, dof=10), 2.228),
            (Input(name="a", value=0, u=1, dof=inf), 1.959964),
        ):
            found = propagate(lambda v: v["a"], [one])
            assert found.coverage_factor() == pytest.approx(factor, abs=5e-4)


class TestWear:
    """Triola, Elementary Statistics, 12th ed. (2014), data set 21: 40 silver and 40 clad quarters, mean and spread."""

    SILVER_MEAN, SILVER_SD, CLAD_MEAN, CLAD_SD = 6.192673, 0.086995, 5.639298, 0.061937

    def test_forty_quarters_by_scale_hold_0_7168_ozt_a_face_dollar(self) -> None:
        quarter = CATALOG.kind("us-quarter-90")
        found = weigh_heap(Scale(step_g=0.0001), [[40 * self.SILVER_MEAN]], quarter, count=40)

        assert found.fine_ozt.value / 10 == pytest.approx(0.7168, abs=5e-5)
        assert found.from_spec is not None
        assert found.from_spec.value == pytest.approx(-0.00917, abs=5e-6)
        assert found.from_trade is not None
        assert found.from_trade.value == pytest.approx(0.7168 / 0.715 - 1, abs=1e-4)

    def test_the_shipped_wear_of_quarters_is_the_measured_one(self) -> None:
        silver, clad = loss_of(CATALOG.kind("us-quarter-90")), loss_of(CATALOG.kind("us-quarter-clad"))

        assert 6.25 * (1 - silver.mean) == pytest.approx(self.SILVER_MEAN, abs=1e-4)
        assert 6.25 * silver.piece == pytest.approx(self.SILVER_SD, abs=1e-4)
        assert 5.67 * (1 - clad.mean) == pytest.approx(self.CLAD_MEAN, abs=1e-3)
        assert 5.67 * clad.piece == pytest.approx(self.CLAD_SD, abs=1e-4)

    def test_the_lightest_and_heaviest_of_them_lie_in_the_span_of_their_kind(self) -> None:
        """Minimum 6.0002 g, maximum 6.3669 g; one of 40 lies above the law's 6.25 + 0.0972 g (17 Stat. 430)."""
        span = span_of(CATALOG.kind("us-quarter-90"), Band.UNSAID, CATALOG)

        assert span.new == pytest.approx((6.25 - 0.0972, 6.25 + 0.0972), abs=3e-4)
        assert span.usual[0] < 6.0002 < span.new[0]
        assert span.new[1] < 6.3669 < span.usual[1]

    def test_worn_halves_weigh_as_heaps_of_twenty_did(self) -> None:
        """A forum of 2010: 20 Walking Liberty halves at F to VF 244 g, 20 Barber halves at G to VG 236 g."""
        for slug, band, grams in (
            ("us-half-walking-liberty", Band.MIDDLE, 244),
            ("us-half-barber", Band.HEAVY, 236),
            ("us-half-franklin", Band.LIGHT, 251),
        ):
            found = weigh_heap(Scale(step_g=1), [[grams]], CATALOG.kind(slug), count=20, band=band)
            assert found.expected is not None
            low, high = found.expected
            assert low < grams < high
            assert found.unworn_g == 250

    def test_the_trade_counts_a_loss_of_1_16_per_cent(self) -> None:
        """Common practice, no source: 0.715 ozt a face dollar, 24.71 kg for 1,000 face; 40 quarters of it, 247.1 g."""
        found = weigh_heap(Scale(step_g=0.01), [[24710]], CATALOG.kind("us-quarter-90"), count=4000)

        assert found.from_trade is not None
        assert found.from_trade.value == pytest.approx(0, abs=3e-5)
        assert found.from_spec is not None
        assert found.from_spec.value == pytest.approx(-0.0116, abs=5e-6)
        assert found.fine_ozt.value == pytest.approx(715, abs=0.02)
