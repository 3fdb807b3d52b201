"""Strikes made by arithmetic, for tests and for the recording among the examples: tones that die away, and noise."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

Sound = npt.NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Tone:
    """A tone that dies away: hertz, seconds to 1/e, height, phase."""

    hz: float
    decay: float
    height: float = 1.0
    phase: float = 0.0


#: A disc of a dollar's size; the two lowest are one partial, split as a piece that is not quite round splits it.
DOLLAR = (
    Tone(hz=4461.0, decay=0.30, phase=0.3),
    Tone(hz=4487.0, decay=0.25, height=0.7, phase=1.0),
    Tone(hz=7964.0, decay=0.20, height=0.5, phase=2.0),
    Tone(hz=10412.0, decay=0.25, height=0.6, phase=0.1),
    Tone(hz=18345.0, decay=0.12, height=0.35, phase=0.5),
)


def ringing(tones: Sequence[Tone], seconds: float, rate: int = 48_000) -> Sound:
    """One strike, ringing out, without noise."""
    time = np.arange(round(seconds * rate)) / rate
    whole = np.zeros_like(time)
    for one in tones:
        whole += one.height * np.exp(-time / one.decay) * np.cos(2.0 * np.pi * one.hz * time + one.phase)
    return whole


def recorded(
    strikes: Sequence[Sound], *, over_noise: float, rng: np.random.Generator, rate: int = 48_000, lead: float = 0.2
) -> Sound:
    """Strikes one after another, after a quiet start, in white noise; the loudest sample stands at 0.8.

    Args:
        strikes: each with the silence until the next.
        over_noise: decibel of the first strike's first tenth of a second over the noise.
        rng: makes the noise.
        rate: samples a second.
        lead: seconds before the first strike.
    """
    power = float(np.mean(strikes[0][: rate // 10] ** 2))
    sound = np.concatenate([np.zeros(round(lead * rate)), *strikes])
    sound += rng.normal(0.0, np.sqrt(power / 10 ** (over_noise / 10)), len(sound))
    return np.asarray(0.8 * sound / np.abs(sound).max(), dtype=np.float64)
