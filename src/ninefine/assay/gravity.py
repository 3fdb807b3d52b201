"""Specific gravity by weighing dry and in water, with what may be told from it and what would settle the rest.

Two ways of weighing in water, which come to the same: the piece hangs from the scale into water (`HUNG`), or the vessel
of water stands on the tared scale and the piece hangs into it from outside, touching nothing (`LOWERED`).
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from math import sqrt

from ninefine.assay.alloys import ALLOYS, Alloy
from ninefine.assay.evidence import Evidence, Ground, Outcome, figure
from ninefine.assay.instruments import Scale, Thermometer
from ninefine.assay.water import PULL_G_PER_MM, air_density, density, usable_temperature, water_density
from ninefine.errors import RangeError
from ninefine.measure.reading import Reading, propagate, rectangular

#: Tap water holds salts: its density lies up to this above that of pure water (g/cm3; assumed, no source).
TAP_WATER = 0.0005
#: Air of a room differs by this with weather and height (g/cm3; assumed: sea level to 1,000 m).
AIR_WITHIN = 0.00007
_STEPS = (0.1, 0.01, 0.001, 0.0001)
_MOST_PIECES = 100


class Way(StrEnum):
    """How the piece was weighed in water."""

    HUNG = "hung"
    """It hangs from the scale: what is shown is the weight in water."""
    LOWERED = "lowered"
    """It hangs from outside into a vessel on the tared scale: what is shown is the loss of weight."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Settling:
    """What would tell two alloys apart: the coarsest scale, or on this scale the fewest pieces weighed together."""

    other: Alloy
    step_g: float | None
    pieces: int | None

    @property
    def words(self) -> str:
        """In one sentence."""
        ways = []
        if self.step_g is not None:
            ways.append(f"a scale that reads {self.step_g:g} g")
        if self.pieces is not None and self.pieces > 1:
            ways.append(f"{self.pieces} alike weighed together")
        if not ways:
            return f"No weighing tells it from {self.other.name}."
        return f"To tell it from {self.other.name}: {' or '.join(ways)}."


@dataclass(frozen=True, slots=True, kw_only=True)
class Gravity:
    """What weighing in water says.

    Attributes:
        reading: density, g/cm3.
        claimed: what the piece is taken for; none where nothing is.
        fits, fits_not: what it may be made of, and what it is not made of, nearest first.
        settling: what would tell what it is taken for from each thing that fits too and is worth less.
        evidence: what it comes to.
    """

    reading: Reading
    claimed: Alloy | None
    fits: tuple[Alloy, ...]
    fits_not: tuple[Alloy, ...]
    settling: tuple[Settling, ...]
    evidence: Evidence


@dataclass(frozen=True, slots=True, kw_only=True)
class Wet:
    """How a piece was weighed in water.

    Attributes:
        way: hung from the scale, or lowered into a vessel on it.
        shown_g: what the scale showed, once or several times.
        celsius: temperature of the water as read.
        thread_mm: how thick the thread is where it passes the surface; zero for a cradle that passes it thinly.
    """

    way: Way
    shown_g: Sequence[float]
    celsius: float
    thread_mm: float = 0.0


def weigh_in_water(
    scale: Scale, dry_g: Sequence[float], wet: Wet, thermometer: Thermometer, *, claimed: Alloy | None = None
) -> Gravity:
    """Density of a piece, and what it may be made of.

    Args:
        scale: the scale, used for both weighings.
        dry_g: what it showed in air, once or several times, grams.
        wet: the weighing in water.
        thermometer: what the temperature was read with.
        claimed: what the piece is taken for.

    Raises:
        RangeError: readings that no solid gives, or water outside 0 to 40 degrees Celsius.
    """
    reading = gravity(scale, dry_g, wet, thermometer)
    near = sorted(ALLOYS, key=lambda one: abs(one.density - reading.value))
    fits = tuple(one for one in near if may_be(reading, one))
    settling: tuple[Settling, ...] = ()
    if claimed is not None and may_be(reading, claimed):
        dry = sum(dry_g) / len(dry_g)
        settling = tuple(
            settle(scale, dry, wet, thermometer, (claimed, one))
            for one in fits
            if not one.otherwise and not _as_good(one, claimed)
        )
    return Gravity(
        reading=reading,
        claimed=claimed,
        fits=fits,
        fits_not=tuple(one for one in near if one not in fits),
        settling=settling,
        evidence=_evidence(reading, claimed, fits, settling, wet),
    )


def gravity(scale: Scale, dry_g: Sequence[float], wet: Wet, thermometer: Thermometer) -> Reading:
    """Density in g/cm3 with its uncertainty.

    Raises:
        RangeError: readings that no solid gives, or water outside 0 to 40 degrees Celsius.
    """
    usable_temperature(wet.celsius)
    _sensible(sum(dry_g) / len(dry_g), sum(wet.shown_g) / len(wet.shown_g), wet.way)
    full_pull = PULL_G_PER_MM * wet.thread_mm
    inputs = [
        *scale.inputs("dry weight", [dry_g]),
        *scale.inputs("weight in water", [wet.shown_g]),
        *scale.gain_inputs(),
        *thermometer.inputs(wet.celsius),
        rectangular("salts in the water", TAP_WATER / 2, TAP_WATER / 2),
        rectangular("density of the air", air_density(wet.celsius), AIR_WITHIN),
        rectangular("pull of the water on the thread", full_pull / 2, full_pull / 2),
    ]
    return propagate(lambda values: _density(scale, wet.way, values), inputs, "g/cm³")


def _density(scale: Scale, way: Way, values: Mapping[str, complex]) -> complex:
    gain = scale.gain(values)
    dry = scale.shown("dry weight", values) * gain
    wet, pull = scale.shown("weight in water", values) * gain, values["pull of the water on the thread"]
    buoyancy = dry - (wet - pull) if way is Way.HUNG else wet + pull
    celsius = values["temperature of the water"] + values["error of the thermometer"]
    return density(dry, buoyancy, water_density(celsius) + values["salts in the water"], values["density of the air"])


def _sensible(dry: float, wet: float, way: Way) -> None:
    if way is Way.HUNG and not 0 < wet < dry:
        raise RangeError(
            f"{wet:g} g in water is not less than {dry:g} g dry.",
            expected="A piece that hangs in water weighs less, and sinks. Did the vessel stand on the scale instead?",
        )
    if way is Way.LOWERED and not 0 < wet < dry:
        raise RangeError(
            f"A loss of {wet:g} g is not less than the dry weight, {dry:g} g.",
            expected="Tare the vessel of water first, then lower the piece in on its thread, touching nothing.",
        )


def may_be(reading: Reading, alloy: Alloy) -> bool:
    """Whether a density fits an alloy, both uncertainties counted, 19 times in 20."""
    together = sqrt(reading.half_width() ** 2 + alloy.within**2)
    return abs(reading.value - alloy.density) <= together


def _as_good(one: Alloy, claimed: Alloy) -> bool:
    """Whether an alloy is of the same metal and no poorer, so that taking it for the other costs nobody anything."""
    if claimed.gold:
        return one.gold and one.density >= claimed.density - 0.01
    return one.silver and one.density >= claimed.density - 0.01


def settle(scale: Scale, dry: float, wet: Wet, thermometer: Thermometer, alloys: tuple[Alloy, Alloy]) -> Settling:
    """What would tell one alloy from another: the coarsest scale for this piece, or the fewest pieces on this scale."""
    step = next((step for step in _STEPS if _tells(Scale(step_g=step), dry, wet, thermometer, alloys)), None)
    if step is not None and step >= scale.step_g:
        step = None if not _tells(scale, dry, wet, thermometer, alloys) else scale.step_g
    pieces = next(
        (many for many in range(1, _MOST_PIECES + 1) if _tells(scale, dry * many, wet, thermometer, alloys)), None
    )
    return Settling(other=alloys[1], step_g=step, pieces=pieces)


def _tells(scale: Scale, dry: float, wet: Wet, thermometer: Thermometer, alloys: tuple[Alloy, Alloy]) -> bool:
    """Whether a piece made of the first alloy would be told from the second, wherever in its own interval it reads."""
    claimed, other = alloys
    buoyancy = dry * 0.997 / claimed.density
    shown = dry - buoyancy if wet.way is Way.HUNG else buoyancy
    expected = gravity(
        scale,
        [dry] * max(1, len(wet.shown_g)),
        Wet(way=wet.way, shown_g=[shown] * len(wet.shown_g), celsius=wet.celsius, thread_mm=wet.thread_mm),
        thermometer,
    )
    apart = abs(claimed.density - other.density)
    half = expected.half_width()
    return apart > sqrt(half**2 + claimed.within**2) + sqrt(half**2 + other.within**2)


def _evidence(
    reading: Reading, claimed: Alloy | None, fits: Sequence[Alloy], settling: Sequence[Settling], wet: Wet
) -> Evidence:
    low, high = reading.interval()
    says = f"Density {reading.value:.2f} ± {reading.half_width():.2f} g/cm³ (95%, {low:.2f} to {high:.2f})."
    hint = f" Most of the uncertainty is the {reading.dominant}."
    others = [one.name for one in fits if one is not claimed]
    doubt = ", ".join(one.other.name for one in settling)
    if claimed is None:
        outcome = Outcome.UNSURE
        words = f" It fits {', '.join(others)}." if others else " It fits nothing that is held here."
    elif not may_be(reading, claimed):
        outcome = Outcome.FAILED
        words = f" {claimed.name.capitalize()} has {claimed.density:.2f}." + (
            f" It fits {', '.join(others)}." if others else " It fits nothing that is held here."
        )
    elif doubt:
        outcome, words = Outcome.UNSURE, f" It fits {claimed.name}, and also {doubt}."
    else:
        outcome, words = Outcome.PASSED, f" It fits {claimed.name}, and nothing poorer that is held here."
    return Evidence(
        test="gravity",
        ground=Ground.DENSITY,
        outcome=outcome,
        against="" if claimed is None else claimed.name,
        says=says + words + hint,
        figures=(
            figure("density", reading.value, reading.u, "g/cm³"),
            figure("temperature of the water", wet.celsius, None, "°C"),
        ),
        would_settle=" ".join([*(one.words for one in settling), *_otherwise(claimed, fits)]),
        cautions=("Dry the piece by dabbing, never by rubbing. A hollow or porous piece tells nothing by water.",),
    )


def _otherwise(claimed: Alloy | None, fits: Sequence[Alloy]) -> list[str]:
    """What density never tells from what the piece is taken for, and what does."""
    others = [] if claimed is None else [one for one in fits if one.otherwise]
    return [f"Density never tells {one.name} from it; {one.otherwise}." for one in others]
