"""The free round plate: published and recomputed eigenvalues, worked cases, laws of scale."""

from math import isclose, sqrt

import mpmath
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ninefine.assay.plate import LOWEST, Disc, Mode, Stuff, determinant, frequencies, frequency, lambda_squared

#: lambda^2 in the order of LOWEST, from the free-edge determinant worked out at high precision beforehand; the first of
#: 0.30 are the commonly printed ones (5.358, 9.003, 12.439, 20.475, 21.835).
EXACT = {
    0.33: (5.2620, 9.0689, 12.2439, 20.5131, 21.5272, 33.0618, 35.2425, 38.5070),
    0.30: (5.3583, 9.0031, 12.4390, 20.4746, 21.8352, 33.4949, 35.2601, 38.4432),
    0.37: (5.1279, 9.1542, 11.9689, 20.5637, 21.0891, 32.4411, 35.2192, 38.5909),
    0.34: (5.2291, 9.0905, 12.1768, 20.5258, 21.4207, 32.9114, 35.2367, 38.5281),
}
#: Leissa, Vibration of Plates, NASA SP-160 (1969), table of the free circular plate, Poisson's ratio 0.33 (from memory;
#: the old printed values are off by up to 0.34%).
LEISSA = (5.253, 9.084, 12.23, 20.52, 21.6, 33.1, 35.25, 38.55)
DOLLAR = Disc(diameter=0.0381, thickness=0.00225)
SILVER = Stuff(modulus=83e9, poisson=0.37, density=10310)
COPPER = Stuff(modulus=130e9, poisson=0.34, density=8960)

lengths = st.floats(0.01, 0.2)
thin = st.floats(0.01, 0.08)
moduli = st.floats(10e9, 400e9)
densities = st.floats(2000, 20000)
modes = st.sampled_from(LOWEST)


@pytest.mark.parametrize("poisson", EXACT)
def test_eigenvalues_agree_with_the_exact_roots_to_a_ten_thousandth(poisson: float) -> None:
    found = [lambda_squared(mode, poisson) for mode in LOWEST]

    assert found == pytest.approx(EXACT[poisson], rel=1e-4)


def test_eigenvalues_agree_with_the_printed_table_as_far_as_it_goes() -> None:
    assert [lambda_squared(mode, 0.33) for mode in LOWEST] == pytest.approx(LEISSA, rel=5e-3)


def _free_edge(value: mpmath.mpf, n: int, poisson: float) -> mpmath.mpf:
    """The determinant anew: bending moment and Kirchhoff's shear at r = 1, the shapes differentiated numerically."""

    def laplacian(shape: object, r: mpmath.mpf) -> mpmath.mpf:
        return mpmath.diff(shape, r, 2) + mpmath.diff(shape, r) / r - n**2 * shape(r) / r**2  # type: ignore[operator]

    rows = []
    for bessel in (mpmath.besselj, mpmath.besseli):

        def shape(r: mpmath.mpf, bessel: object = bessel) -> mpmath.mpf:
            return bessel(n, value * r)  # type: ignore[operator]

        bend, slope = mpmath.diff(shape, 1, 2), mpmath.diff(shape, 1)
        moment = bend + poisson * (slope - n**2 * shape(mpmath.mpf(1)))
        twist = mpmath.diff(lambda r, shape=shape: shape(r) / r, 1)
        shear = mpmath.diff(lambda r, shape=shape: laplacian(shape, r), 1) - (1 - poisson) * n**2 * twist
        rows.append((moment, shear))
    return rows[0][0] * rows[1][1] - rows[1][0] * rows[0][1]


@pytest.mark.parametrize("mode", [Mode(2, 0), Mode(0, 1), Mode(3, 0), Mode(1, 1), Mode(2, 1)], ids=str)
def test_eigenvalues_agree_with_mpmath_on_a_determinant_of_its_own(mode: Mode) -> None:
    """Written from the boundary conditions, not from the closed form, in 40 digits."""
    with mpmath.workdps(40):
        start = sqrt(lambda_squared(mode, 0.37)) * 1.002
        root = mpmath.findroot(lambda value: _free_edge(value, mode.n, mpmath.mpf("0.37")), (start, start * 1.001))

    assert isclose(float(root) ** 2, lambda_squared(mode, 0.37), rel_tol=1e-9)


def test_a_steel_disc_rings_as_worked_out() -> None:
    """A disc of 200 mm by 2 mm, E 200 GPa, nu 0.30, rho 7850: worked out beforehand by hand."""
    found = frequencies(
        Disc(diameter=0.2, thickness=0.002), Stuff(modulus=200e9, poisson=0.30, density=7850), LOWEST[:2]
    )

    assert found[Mode(2, 0)] == pytest.approx(260.52, rel=1e-4)
    assert found[Mode(0, 1)] == pytest.approx(437.73, rel=1e-4)


def test_a_dollar_in_silver_and_in_copper() -> None:
    assert frequency(Mode(2, 0), DOLLAR, SILVER) == pytest.approx(4461, rel=1e-4)
    assert frequency(Mode(2, 0), DOLLAR, COPPER) == pytest.approx(6033, rel=1e-4)


def test_the_ratios_are_free_of_size_and_stiffness() -> None:
    found = frequencies(DOLLAR, SILVER)

    assert found[Mode(0, 1)] / found[Mode(2, 0)] == pytest.approx(1.7852, rel=1e-4)
    assert found[Mode(3, 0)] / found[Mode(2, 0)] == pytest.approx(2.3341, rel=1e-4)


@settings(max_examples=50)
@given(mode=modes, diameter=lengths, ratio=thin, modulus=moduli, density=densities, times=st.floats(0.5, 2.0))
def test_frequency_goes_with_thickness_over_the_square_of_diameter(
    mode: Mode, diameter: float, ratio: float, modulus: float, density: float, times: float
) -> None:
    """A coin thinner by wear of 5% rings 5% lower; one of twice the size and shape rings half as high."""
    stuff = Stuff(modulus=modulus, poisson=0.35, density=density)
    first = frequency(mode, Disc(diameter=diameter, thickness=ratio * diameter), stuff)
    thicker = frequency(mode, Disc(diameter=diameter, thickness=ratio * diameter * times), stuff)
    wider = frequency(mode, Disc(diameter=diameter * times, thickness=ratio * diameter), stuff)

    assert thicker == pytest.approx(first * times)
    assert wider == pytest.approx(first / times**2)


@settings(max_examples=50)
@given(mode=modes, poisson=st.floats(0.2, 0.45), times=st.floats(0.5, 2.0))
def test_frequency_goes_with_the_root_of_stiffness_over_density(mode: Mode, poisson: float, times: float) -> None:
    first = frequency(mode, DOLLAR, Stuff(modulus=80e9, poisson=poisson, density=10000))
    stiffer = frequency(mode, DOLLAR, Stuff(modulus=80e9 * times, poisson=poisson, density=10000))
    heavier = frequency(mode, DOLLAR, Stuff(modulus=80e9, poisson=poisson, density=10000 * times))

    assert stiffer == pytest.approx(first * sqrt(times))
    assert heavier == pytest.approx(first / sqrt(times))


def test_what_only_moves_the_disc_is_no_partial() -> None:
    for rigid in (Mode(0, 0), Mode(1, 0), Mode(-1, 2)):
        with pytest.raises(ValueError, match="bends nothing"):
            lambda_squared(rigid, 0.33)


def test_the_determinant_stays_of_ordinary_size() -> None:
    """Scaled, so that high partials neither overflow nor vanish."""
    values = determinant([0.5, 5.0, 50.0, 500.0], 4, 0.33)

    assert all(abs(value) < 10 for value in values)
    assert all(abs(value) > 1e-12 for value in values)
