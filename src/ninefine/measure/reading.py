"""A measured value with its uncertainty, by the rules of JCGM 100:2008 (the GUM).

Every input of a measurement is named, with one standard uncertainty and the shape of its spread; a result knows what
each input adds to its uncertainty. Floats throughout: a reading is never booked as money or as catalog weight.
"""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from math import exp, fsum, inf, isfinite, pi, sqrt
from statistics import fmean, stdev

#: Excess kurtosis of the shapes that have bounds: zero is a normal spread.
_RECTANGULAR = -1.2
_TRIANGULAR = -0.6
#: Length of the imaginary step by which slopes are taken: its square is nothing beside one.
_STEP = 1e-30


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """What one input adds to a result.

    Attributes:
        name: the input, in plain words.
        u: its share of the standard uncertainty, in the result's unit.
        dof: degrees of freedom of the input's own uncertainty.
        kurtosis: excess kurtosis of the input's spread.
    """

    name: str
    u: float
    dof: float = inf
    kurtosis: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """A value, its unit, and what its uncertainty is made of."""

    value: float
    unit: str = ""
    parts: tuple[Part, ...] = ()

    @property
    def u(self) -> float:
        """One standard uncertainty: the parts combined as the root of the sum of squares."""
        return sqrt(fsum(part.u**2 for part in self.parts))

    @property
    def dof(self) -> float:
        """Effective degrees of freedom, by the formula of Welch and Satterthwaite (GUM G.4.1)."""
        below = fsum(part.u**4 / part.dof for part in self.parts if isfinite(part.dof))
        return self.u**4 / below if below else inf

    @property
    def kurtosis(self) -> float:
        """Excess kurtosis of the parts together: below zero where a spread with bounds prevails."""
        whole = self.u**4
        return fsum(part.u**4 * part.kurtosis for part in self.parts) / whole if whole else 0.0

    def coverage_factor(self, probability: float = 0.95) -> float:
        """How many standard uncertainties hold the truth with a probability: 1.96 for a normal spread and 95%."""
        return coverage_factor(probability, dof=self.dof, kurtosis=self.kurtosis)

    def half_width(self, probability: float = 0.95) -> float:
        """Half the width of the interval that holds the truth with a probability."""
        return self.coverage_factor(probability) * self.u if self.u else 0.0

    def interval(self, probability: float = 0.95) -> tuple[float, float]:
        """The interval that holds the truth with a probability."""
        half = self.half_width(probability)
        return self.value - half, self.value + half

    def shares(self) -> tuple[tuple[str, float], ...]:
        """Every named input with its share of the variance, largest first; shares sum to one."""
        whole = self.u**2
        if not whole:
            return ()
        sums: dict[str, float] = {}
        for part in self.parts:
            sums[part.name] = sums.get(part.name, 0.0) + part.u**2 / whole
        return tuple(sorted(sums.items(), key=lambda share: -share[1]))

    @property
    def dominant(self) -> str:
        """The input that adds most to the uncertainty; empty where there is none."""
        shares = self.shares()
        return shares[0][0] if shares else ""

    def scaled(self, factor: float, unit: str = "") -> "Reading":
        """The reading times an exact factor, in another unit."""
        parts = tuple(replace(part, u=part.u * abs(factor)) for part in self.parts)
        return Reading(value=self.value * factor, unit=unit or self.unit, parts=parts)


@dataclass(frozen=True, slots=True, kw_only=True)
class Input:
    """One input of a measurement: a value, one standard uncertainty, and the shape of its spread."""

    name: str
    value: float
    u: float = 0.0
    dof: float = inf
    kurtosis: float = 0.0


def normal(name: str, value: float, u: float, *, dof: float = inf) -> Input:
    """An input with a normal spread of one standard uncertainty `u`."""
    return Input(name=name, value=value, u=u, dof=dof)


def expanded(name: str, value: float, half: float, *, k: float = 2.0) -> Input:
    """An input whose certificate states an expanded uncertainty with its coverage factor (GUM 4.3.3)."""
    return Input(name=name, value=value, u=half / k)


def rectangular(name: str, value: float, half: float) -> Input:
    """An input known to lie within `half` of its value, anywhere alike: u is half / root 3 (GUM 4.3.7)."""
    return Input(name=name, value=value, u=half / sqrt(3), kurtosis=_RECTANGULAR)


def triangular(name: str, value: float, half: float) -> Input:
    """An input within `half` of its value, the nearer the likelier: u is half / root 6 (GUM 4.3.9)."""
    return Input(name=name, value=value, u=half / sqrt(6), kurtosis=_TRIANGULAR)


def readable(name: str, value: float, step: float) -> Input:
    """An input read to a step: it lies anywhere within half a step (GUM F.2.2.1)."""
    return rectangular(name, value, step / 2)


def repeated(
    name: str, values: Sequence[float], *, step: float, spread: float, prior: float = 10.0
) -> tuple[Input, Input]:
    """One or several readings of one thing by one instrument, as the mean's value and what rounding adds to it.

    The instrument's usual spread counts as if it had been found by `prior` readings, and is pooled with that of these
    readings (GUM 4.2.4 and H.1.3.2): two that happen to agree do not make it exact. Where readings scatter by half a
    step or more, the rounding is part of their scatter and averages away with it; where they scatter less, it does not.

    Args:
        name: what is read.
        values: as shown by the instrument; at least one.
        step: the instrument's smallest step.
        spread: the standard deviation of its readings before rounding.
        prior: degrees of freedom of that spread.
    """
    count = len(values)
    round_u = step / sqrt(12)
    stays = round_u * exp(-2 * (pi * spread / step) ** 2) if count > 1 else round_u
    usual = spread**2 + round_u**2 - stays**2
    if count == 1:
        variance, dof = usual, inf
    else:
        seen = max(stdev(values) ** 2 - stays**2, 0.0)
        dof = prior + count - 1
        variance = (prior * usual + (count - 1) * seen) / dof
    return (
        Input(name=f"scatter of the {name}", value=fmean(values), u=sqrt(variance / count), dof=dof),
        Input(name=f"last digit of the {name}", value=0.0, u=stays, kurtosis=_RECTANGULAR),
    )


def propagate(formula: Callable[[Mapping[str, complex]], complex], inputs: Iterable[Input], unit: str = "") -> Reading:
    """The result of a formula with the uncertainty that its inputs give it (GUM 5.1.2): slopes times uncertainties.

    Slopes are taken by a complex step, which is exact to rounding for any formula made of arithmetic; so the formula
    must take complex values.

    Args:
        formula: from the inputs' values by name to the result.
        inputs: independent of each other, each with a name of its own.
        unit: the result's unit.
    """
    given = {one.name: one for one in inputs}
    values: dict[str, complex] = {name: complex(one.value) for name, one in given.items()}
    parts = []
    for name, one in given.items():
        if one.u:
            stepped = formula({**values, name: values[name] + 1j * _STEP})
            slope = stepped.imag / _STEP
            parts.append(Part(name=name, u=abs(slope) * one.u, dof=one.dof, kurtosis=one.kurtosis))
    return Reading(value=formula(values).real, unit=unit, parts=tuple(parts))


def coverage_factor(probability: float, *, dof: float = inf, kurtosis: float = 0.0) -> float:
    """How many standard uncertainties hold the truth with a probability.

    Student's t for few degrees of freedom (GUM G.3); for spreads with bounds the symmetric beta of the same kurtosis,
    which is exact for one rectangular input (0.95 root 3 = 1.645 for 95%) and for normal ones.
    """
    from scipy import special  # noqa: PLC0415 - a third of a second to import; only the bench needs it

    upper = (1 + probability) / 2
    plain = float(special.ndtri(upper))
    factor = plain if not isfinite(dof) else float(special.stdtrit(dof, upper))
    if kurtosis < -1e-9:
        shape = -3 / max(kurtosis, _RECTANGULAR) - 1.5
        bounded = (2 * float(special.betaincinv(shape, shape, upper)) - 1) * sqrt(2 * shape + 1)
        factor *= bounded / plain
    return factor
