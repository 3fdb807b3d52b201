"""Decaying tones fitted to a spectrum: where each lies, how fast it dies, and how sure both are.

The transform of a tone that dies exponentially is known in closed form, so it is fitted where it stands: over a few
bins around its peak, by least squares, with bounds on frequency and decay. White noise stays white in a transform that
no window has touched, so the curvature at the best fit gives the uncertainties. Needs numpy; loaded when a recording
is listened to.
"""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]
Waves = npt.NDArray[np.complex128]
Bins = npt.NDArray[np.int64]

#: Bounds of the decay rate in 1/s that the fit may walk to; wider than the decays that are kept.
RATES = (0.2, 1000.0)
_ROUNDS = 25
_ENOUGH = 1e-4
_STUCK = 1e6
#: The largest step of the logarithm of a decay rate in one round.
_STEP = 1.0


@dataclass(frozen=True, slots=True)
class Tones:
    """Tones fitted together. All arrays have one number for each tone; variances are those of `hz` and `rate`."""

    hz: Floats
    rate: Floats
    height: Waves
    hz_var: Floats
    rate_var: Floats
    left: float
    freedom: int


@dataclass(frozen=True, slots=True)
class Frame:
    """How a spectrum was made: the number of samples and of samples a second."""

    count: int
    rate: float

    @property
    def bin_hz(self) -> float:
        """Width of a bin."""
        return self.rate / self.count


def shape(frame: Frame, turns: Waves, hz: Floats, rate: Floats) -> tuple[Waves, Waves]:
    """The spectrum of tones of height one, and its slope by the complex logarithm of the tone's step.

    Args:
        frame: how the spectrum was made.
        turns: what one sample turns by in each bin wanted (see `turns_of`).
        hz: frequencies.
        rate: decay rates, 1/s.

    Returns:
        Two arrays, one row for each tone: the transform of z^n over the samples, and its derivative by log z.
    """
    step = (-rate + 2j * np.pi * hz) / frame.rate
    turned = np.exp(step)[:, None] * turns[None, :]
    last = np.exp(step * frame.count)[:, None]
    under = 1.0 / (1.0 - turned)
    whole = (1.0 - last) * under
    slope = (whole * turned - frame.count * last) * under
    return whole, slope


def both_ways(frame: Frame, turns: Waves, hz: Floats, rate: Floats) -> tuple[Waves, Waves]:
    """`shape` of tones and of their mirrors at the negative frequencies, in one go: two layers, tones then mirrors."""
    whole, slope = shape(frame, turns, np.concatenate([hz, -hz]), np.concatenate([rate, rate]))
    return whole.reshape(2, len(hz), -1), slope.reshape(2, len(hz), -1)


def turns_of(frame: Frame, bins: Bins) -> Waves:
    """What one sample turns by in each bin of the transform."""
    return np.asarray(np.exp(-2j * np.pi / frame.count * bins), dtype=np.complex128)


def model(frame: Frame, bins: Bins, tones: Tones) -> Waves:
    """The spectrum of real tones: each with its mirror at the negative frequency."""
    turns = turns_of(frame, bins)
    (plus, minus), _ = both_ways(frame, turns, tones.hz, tones.rate)
    found: Waves = 0.5 * (tones.height @ plus + tones.height.conj() @ minus)
    return found


def fit(frame: Frame, bins: Bins, seen: Waves, hz: Floats, rate: Floats, *, sure: bool = False) -> Tones:
    """Fit tones to a part of a spectrum, from a first guess of their frequencies and decay rates.

    Frequencies stay within the part looked at, decay rates within `RATES`. The heights are linear and are solved for in
    every round (variable projection); the step is damped until the fit grows better. Variances are worked out where
    `sure` asks for them, and are endless otherwise.
    """
    tones, turns, want = len(hz), turns_of(frame, bins), _stacked(seen)
    at = np.concatenate([hz, np.log(rate)])
    least = np.repeat([bins[0] * frame.bin_hz, np.log(RATES[0])], tones)
    most = np.repeat([bins[-1] * frame.bin_hz, np.log(RATES[1])], tones)
    here = _look(frame, turns, want, at)
    damping = 1e-3
    for _ in range(_ROUNDS):
        step = _step(np.hstack([here.slope(frame), here.basis]), here.rest, damping)[: 2 * tones]
        step[tones:] = np.clip(step[tones:], -_STEP, _STEP)
        there = _look(frame, turns, want, np.clip(here.at + step, least, most))
        if there.left > here.left:
            damping *= 10.0
            if damping > _STUCK:
                break
            continue
        done = here.left - there.left <= _ENOUGH * here.left
        here, damping = there, max(damping / 5.0, 1e-9)
        if done:
            break
    freedom = max(1, 2 * len(bins) - 4 * tones)
    spread = np.full(4 * tones, np.inf)
    if sure:
        spread = _spread(np.hstack([here.slope(frame), here.basis])) * here.left / freedom
    return Tones(
        hz=here.at[:tones],
        rate=np.exp(here.at[tones:]),
        height=here.height[0::2] + 1j * here.height[1::2],
        hz_var=spread[:tones],
        rate_var=spread[tones : 2 * tones] * np.exp(2.0 * here.at[tones:]),
        left=here.left,
        freedom=freedom,
    )


@dataclass(frozen=True, slots=True)
class _Look:
    """A place of the walk: frequencies then logarithms of decay rates, and all that follows from them."""

    at: Floats
    basis: Floats
    slopes: Waves
    height: Floats
    rest: Floats
    left: float

    def slope(self, frame: Frame) -> Floats:
        """How the fitted spectrum moves with each number of the place."""
        return _jacobian(self.slopes, self.height, np.exp(self.at[len(self.at) // 2 :]), frame)


def _look(frame: Frame, turns: Waves, want: Floats, at: Floats) -> _Look:
    tones = len(at) // 2
    basis, slopes = _columns(frame, turns, at[:tones], np.exp(at[tones:]))
    height, rest, left = _heights(basis, want)
    return _Look(at, basis, slopes, height, rest, left)


def _columns(frame: Frame, turns: Waves, hz: Floats, rate: Floats) -> tuple[Floats, Waves]:
    """The spectra of each tone's two quarter phases, as real columns, and the slopes that the Jacobian needs."""
    (plus, minus), slopes = both_ways(frame, turns, hz, rate)
    columns = np.empty((2 * len(hz), len(turns)), dtype=np.complex128)
    columns[0::2], columns[1::2] = 0.5 * (plus + minus), 0.5j * (plus - minus)
    return _stacked(columns).T, slopes


def _stacked(waves: Waves) -> Floats:
    """Real and imaginary parts side by side, along the last axis."""
    return np.concatenate([waves.real, waves.imag], axis=-1)


def _heights(basis: Floats, want: Floats) -> tuple[Floats, Floats, float]:
    """The best heights of the quarter phases, what they leave over, and its squares."""
    normal = basis.T @ basis
    normal.flat[:: len(normal) + 1] *= 1.0 + 1e-12
    height: Floats = np.asarray(np.linalg.solve(normal, basis.T @ want), dtype=np.float64)
    rest: Floats = want - basis @ height
    return height, rest, float(rest @ rest)


def _jacobian(slopes: Waves, height: Floats, rate: Floats, frame: Frame) -> Floats:
    """How the fitted spectrum moves with each frequency, and with the logarithm of each decay rate."""
    plus, minus = slopes
    wave = (height[0::2] + 1j * height[1::2])[:, None]
    rising, mirrored = 0.5 * wave * plus / frame.rate, 0.5 * wave.conj() * minus / frame.rate
    by_hz = 2j * np.pi * (rising - mirrored)
    by_log_rate = -rate[:, None] * (rising + mirrored)
    return _stacked(np.vstack([by_hz, by_log_rate])).T


def _step(jacobian: Floats, left: Floats, damping: float) -> Floats:
    normal = jacobian.T @ jacobian
    normal.flat[:: len(normal) + 1] *= 1.0 + damping
    return np.asarray(np.linalg.solve(normal, jacobian.T @ left), dtype=np.float64)


def _spread(slope: Floats) -> Floats:
    """The variances of what is fitted, for noise of variance one: the diagonal of the inverse curvature."""
    scale = np.sqrt(np.sum(slope**2, axis=0)) + 1e-300
    inverse = np.linalg.pinv((slope / scale).T @ (slope / scale), hermitian=True)
    return np.asarray(np.diag(inverse) / scale**2, dtype=np.float64)
