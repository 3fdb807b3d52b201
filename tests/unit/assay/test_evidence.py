"""What one test says, and how its figures are rounded."""

from decimal import Decimal

import pytest

from ninefine.assay.evidence import Evidence, Figure, Ground, Outcome, failed, figure


@pytest.mark.parametrize(
    ("value", "uncertainty", "shown"),
    [
        (10.319066579, 0.05389364, "density 10.319 ± 0.054 g/cm³"),
        (24.1234, 0.0099, "density 24.1234 ± 0.0099 g/cm³"),
        (5872.66, 31.4, "density 5873 ± 31 g/cm³"),
        (1461.0, 120.0, "density 1460 ± 120 g/cm³"),
        (0.0, 0.2, "density 0 ± 0.2 g/cm³"),
        (2.5, 0.0, "density 2.5 ± 0 g/cm³"),
        (2.5, None, "density 2.5 g/cm³"),
    ],
)
def test_a_figure_keeps_two_digits_of_its_uncertainty_and_the_value_to_the_same_place(
    value: float, uncertainty: float | None, shown: str
) -> None:
    """JCGM 100:2008 (GUM), 7.2.6: at most two significant digits of an uncertainty, the estimate rounded to match."""
    assert str(figure("density", value, uncertainty, "g/cm³")) == shown


def test_a_figure_keeps_the_zeros_that_say_how_fine_it_is() -> None:
    kept = figure("weight", 12.5, 0.1)

    assert kept == Figure(name="weight", value=Decimal("12.50"), uncertainty=Decimal("0.10"))
    assert str(kept.value) == "12.50"


@pytest.mark.parametrize(("value", "uncertainty"), [(float("nan"), 0.1), (1.0, float("inf")), (1.0, -0.1)])
def test_what_is_no_number_is_never_kept(value: float, uncertainty: float) -> None:
    with pytest.raises(AssertionError, match="weight is no number"):
        figure("weight", value, uncertainty)


def test_only_a_failure_by_weight_can_be_beyond_wear() -> None:
    for ground, outcome in [(Ground.SIZE, Outcome.FAILED), (Ground.WEIGHT, Outcome.PASSED)]:
        with pytest.raises(AssertionError, match="beyond wear"):
            Evidence(test="weight", ground=ground, outcome=outcome, says="", beyond_wear=True)
    alone = Evidence(test="weight", ground=Ground.WEIGHT, outcome=Outcome.FAILED, says="", beyond_wear=True)
    assert failed([alone]) == (alone,)
