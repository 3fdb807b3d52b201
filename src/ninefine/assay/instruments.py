"""The person's own instruments, and what each leaves uncertain about a reading. Weights in grams, lengths in mm.

A scale is checked with a weight of known mass: that finds its gain, which no repetition finds. Figures that a person
has not given are assumed (common practice, no source), and every result says what adds most to its uncertainty.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from ninefine.measure.reading import Input, Reading, normal, propagate, readable, rectangular, repeated

#: What is assumed of a household scale that was never checked: within one part in 500 (no source).
UNCHECKED_GAIN = 0.002
#: What is assumed of calipers of 0.01 mm: within 0.03 mm (the figure that makers commonly print; no source).
CALIPERS_ERROR_MM = 0.03
#: What is assumed of a kitchen thermometer: within one degree (no source).
THERMOMETER_ERROR_C = 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckWeight:
    """A weight of known mass and what the scale showed for it.

    Attributes:
        grams: its stated mass.
        within_g: how far it may be off either way.
        shown_g: what the scale showed.
    """

    grams: float
    within_g: float
    shown_g: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Scale:
    """A scale.

    Attributes:
        step_g: its smallest step.
        spread_g: the standard deviation of its readings before rounding; half a step where none was found.
        linear_g: how far it may be off at any one weight once its gain is right; one step where nothing is known.
        drift_g: how far its zero may have wandered between taring and reading; zero where it came back to zero.
        check: the weight that it was checked with; none where it never was.
    """

    step_g: float
    spread_g: float | None = None
    linear_g: float | None = None
    drift_g: float = 0.0
    check: CheckWeight | None = None

    @property
    def spread(self) -> float:
        """The spread of its readings, known or assumed, in grams."""
        return self.step_g / 2 if self.spread_g is None else self.spread_g

    @property
    def linear(self) -> float:
        """How far it may be off at any one weight, known or assumed, in grams."""
        return self.step_g if self.linear_g is None else self.linear_g

    def gain_inputs(self) -> tuple[Input, ...]:
        """What is known of its gain. Shared by all weighings on it, so it cancels where two are divided."""
        if self.check is None:
            return (rectangular("gain of a scale never checked", 1.0, UNCHECKED_GAIN),)
        return (
            rectangular("check weight", self.check.grams, self.check.within_g),
            readable("last digit of the check", self.check.shown_g, self.step_g),
            normal("scatter of the check", 0.0, self.spread),
        )

    def gain(self, values: Mapping[str, complex]) -> complex:
        """True grams for each gram shown, from the values of `gain_inputs`."""
        if self.check is None:
            return values["gain of a scale never checked"]
        return values["check weight"] / (values["last digit of the check"] + values["scatter of the check"])

    def inputs(self, what: str, portions: Sequence[Sequence[float]]) -> tuple[Input, ...]:
        """What is known of something weighed, in one portion or several, each once or repeatedly; without the gain.

        The inputs are named for what is weighed and sum to the grams shown.
        """
        read = [repeated(what, shown, step=self.step_g, spread=self.spread) for shown in portions]
        return (
            _summed([scatter for scatter, _ in read]),
            _summed([digit for _, digit in read]),
            _summed([rectangular(f"straightness of the scale, {what}", 0.0, self.linear)] * len(read)),
            _summed([rectangular(f"wandering zero, {what}", 0.0, self.drift_g)] * len(read)),
        )

    def shown(self, what: str, values: Mapping[str, complex]) -> complex:
        """The grams shown, from the values of `inputs`."""
        return (
            values[f"scatter of the {what}"]
            + values[f"last digit of the {what}"]
            + values[f"straightness of the scale, {what}"]
            + values[f"wandering zero, {what}"]
        )

    def weigh(self, portions: Sequence[Sequence[float]], what: str = "weight") -> Reading:
        """The weight of something, in grams: its portions added up, the scale's gain put right."""
        inputs = (*self.inputs(what, portions), *self.gain_inputs())
        return propagate(lambda values: self.shown(what, values) * self.gain(values), inputs, "g")


@dataclass(frozen=True, slots=True, kw_only=True)
class Calipers:
    """Calipers. `error_mm`: how far they may be off; `spread_mm`: the scatter of placing them, a step where unknown."""

    step_mm: float = 0.01
    error_mm: float = CALIPERS_ERROR_MM
    spread_mm: float | None = None

    def measure(self, what: str, shown: Sequence[float]) -> Reading:
        """A length, measured once or at several places, in millimetres."""
        spread = self.step_mm if self.spread_mm is None else self.spread_mm
        scatter, digit = repeated(what, shown, step=self.step_mm, spread=spread)
        error = rectangular("error of the calipers", 0.0, self.error_mm)
        return propagate(
            lambda values: values[scatter.name] + values[digit.name] + values[error.name], (scatter, digit, error), "mm"
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Thermometer:
    """A thermometer. `error_c`: how far it may be off, in degrees Celsius."""

    step_c: float = 1.0
    error_c: float = THERMOMETER_ERROR_C

    def inputs(self, shown_c: float) -> tuple[Input, Input]:
        """What is known of a temperature: as read, and the thermometer's own error; they sum to it."""
        return readable("temperature of the water", shown_c, self.step_c), rectangular(
            "error of the thermometer", 0.0, self.error_c
        )


def _summed(inputs: Sequence[Input]) -> Input:
    """Independent inputs of one kind as one: values add, variances add, bounds blur towards a normal spread."""
    first = inputs[0]
    variance = sum(one.u**2 for one in inputs)
    fourth = sum(one.u**4 for one in inputs)
    return Input(
        name=first.name,
        value=sum(one.value for one in inputs),
        u=variance**0.5,
        dof=first.dof * len(inputs),
        kurtosis=sum(one.kurtosis * one.u**4 for one in inputs) / variance**2 if fourth else first.kurtosis,
    )
