"""A recording of a struck piece, listened to: its strikes, the partials averaged over them, and what is wrong with it.

Needs numpy; loaded when a recording is listened to. What is called wrong, and from where on, is our own rule (no
source): nobody publishes how short a silver dollar may ring.
"""

from collections.abc import Callable, Sequence
from dataclasses import replace
from math import sqrt

import numpy as np

from ninefine.assay.ring_fit import Floats
from ninefine.assay.ring_heard import Call, Heard, Partial, Remark, Strike
from ninefine.assay.ring_strike import listen, onsets

#: Strikes that are listened to; a person tires before.
MOST_STRIKES = 12
#: What must follow a strike, seconds, to say how it dies away.
SHORTEST = 0.12
#: Signal over noise, decibel, under which nothing is told.
LEAST_OVER_NOISE = 3.0
#: Decay of the longest-lived strong partial, seconds, under which a piece rings dull.
DULL = 0.02
#: The lowest partial is held down where it dies in so much of the longest one's time, and within so many seconds.
HELD_DOWN, HELD_DOWN_BELOW = 0.15, 0.05
#: The lowest partial of a sound disc is single, or split by less; a split as wide as this is a crack's where both
#: halves have a Q under so much. A free disc of coin metal has a Q of thousands.
SPLIT_LOW, SPLIT_HIGH = 0.008, 0.12
RUBBING = 600.0
#: Partials weaker than this, decibel, do not tell how a piece was held.
STRONG = -20.0
#: Partials of two strikes are one where they lie so near: a thousandth, or four standard uncertainties.
SAME = 0.001

#: Called with the strikes listened to so far, and how many there are.
Progress = Callable[[int, int], object]


def hear(sound: Floats, rate: int, *, progress: Progress | None = None, most: int = 12) -> Heard:
    """Listen to a recording.

    Args:
        sound: one channel, from -1 to 1.
        rate: samples a second.
        progress: told before each strike and at the end.
        most: partials looked for in each strike.
    """
    heard = Heard(seconds=len(sound) / rate, rate=rate)
    starts = onsets(sound, rate)[:MOST_STRIKES] if len(sound) else []
    if not starts:
        return replace(heard, remarks=(_NO_STRIKE,))
    strikes = []
    for place, start in enumerate(starts):
        if progress is not None:
            progress(place, len(starts))
        end = starts[place + 1] - round(0.005 * rate) if place + 1 < len(starts) else len(sound)
        strikes.append(listen(sound, rate, start, end, most=most))
    if progress is not None:
        progress(len(starts), len(starts))
    long_enough = [strike for strike in strikes if strike.length >= SHORTEST]
    usable = [one for one in long_enough if one.partials and one.over_noise >= LEAST_OVER_NOISE]
    partials = averaged(usable)
    heard = replace(heard, strikes=tuple(strikes), partials=partials)
    if not long_enough:
        return replace(heard, remarks=(_TOO_SHORT,))
    if not usable:
        return replace(heard, remarks=(_NOISY,))
    wrong = _clipped(sound, starts, rate) or _as_held(heard, usable)  # what was cut off tells nothing of the hand
    return replace(heard, remarks=tuple(wrong))


def averaged(strikes: Sequence[Strike]) -> tuple[Partial, ...]:
    """The partials of several strikes, put together: those found in at least half of them, lowest first.

    The uncertainty is the greater of what each strike states and of what they scatter.
    """
    groups: list[list[Partial]] = []
    for strike in strikes:
        free = list(groups)
        for partial in strike.partials:
            near = min(free, key=lambda group: abs(group[0].hz - partial.hz), default=None)
            if near is not None and abs(near[0].hz - partial.hz) <= _nearness(near[0], partial):
                near.append(partial)
                free.remove(near)
            else:
                groups.append([partial])
    kept = [_mean(group) for group in groups if 2 * len(group) >= len(strikes)]
    if not kept:
        return ()
    top = max(partial.level for partial in kept)
    return tuple(sorted((replace(one, level=one.level - top) for one in kept), key=lambda one: one.hz))


def _nearness(one: Partial, other: Partial) -> float:
    return max(SAME * one.hz, 4.0 * sqrt(one.hz_u**2 + other.hz_u**2))


def _mean(group: Sequence[Partial]) -> Partial:
    hz, hz_u = _weighted([one.hz for one in group], [one.hz_u for one in group])
    decay, decay_u = _weighted([one.decay for one in group], [one.decay_u for one in group])
    level = float(np.mean([one.level for one in group]))
    return Partial(hz=hz, hz_u=hz_u, decay=decay, decay_u=decay_u, level=level, strikes=len(group))


def _weighted(values: Sequence[float], spreads: Sequence[float]) -> tuple[float, float]:
    """The mean weighted by uncertainty, and its own uncertainty: the greater of the stated and the seen."""
    numbers, stated = np.asarray(values), np.maximum(np.asarray(spreads), 1e-12)
    weights = 1.0 / stated**2
    mean = float(np.sum(weights * numbers) / weights.sum())
    if len(numbers) < 2:
        return mean, float(stated[0])
    seen = float(np.sum(weights * (numbers - mean) ** 2) / (len(numbers) - 1))  # 1 where they scatter as stated
    return mean, sqrt(max(1.0, seen) / float(weights.sum()))


def _clipped(sound: Floats, starts: Sequence[int], rate: int) -> list[Remark]:
    """Whether strikes were cut off at the loudest that the recording can hold: flat tops of three samples or more."""
    top = float(np.abs(sound).max())
    cut = 0
    for start in starts:
        early = np.abs(sound[start : start + round(0.1 * rate)])
        flat = early > 0.999 * top
        runs = flat[:-2] & flat[1:-1] & flat[2:] & (np.abs(early[:-2] - early[2:]) < 1e-4)
        cut += bool(runs.any()) and top > 0.1
    if not cut:
        return []
    which = "The strike was" if len(starts) == 1 else f"{cut} of {len(starts)} strikes were"
    return [
        Remark(
            call=Call.CLIPPED,
            says=f"{which} louder than the recording can hold, which makes partials that the piece does not have. "
            "Strike softer, or from farther away.",
        )
    ]


def _as_held(heard: Heard, usable: Sequence[Strike]) -> list[Remark]:
    """What the partials say of how the piece was held, or whether it is whole."""
    strong = [one for one in heard.partials if one.level >= STRONG]
    if not strong:
        return [_EACH_OTHERWISE] if len(usable) > 1 else [_NOISY]
    longest, lowest = max(strong, key=lambda one: one.decay), strong[0]
    pair = [one for one in strong[1:] if SPLIT_LOW < one.hz / lowest.hz - 1.0 < SPLIT_HIGH]
    if pair and max(lowest.quality, pair[0].quality) < RUBBING:
        wide = 100.0 * (pair[0].hz / lowest.hz - 1.0)
        return [
            Remark(
                call=Call.CRACKED,
                says=f"The lowest partial comes double, {wide:.1f}% apart, and dies soon: so rings a piece that is "
                "cracked, or has something loose or soldered on it. Look at its edge through a glass.",
            )
        ]
    if longest.decay < DULL:
        return [
            Remark(
                call=Call.DAMPED,
                says=f"It rings dull: its longest partial, {longest.hz:.0f} Hz, falls to a third in "
                f"{longest.decay * 1000:.0f} ms. A finger on its face, a holder or a table damps any piece; a crack or "
                "a core of lead does so too. Balance it on a fingertip near its edge and strike again.",
            )
        ]
    if lowest.decay < min(HELD_DOWN * longest.decay, HELD_DOWN_BELOW):
        return [
            Remark(
                call=Call.HELD_WRONG,
                says=f"The lowest partial, {lowest.hz:.0f} Hz, dies much sooner than the one at {longest.hz:.0f} Hz: "
                "the piece was held where the lowest one bends most. Hold it nearer to or farther from its edge.",
            )
        ]
    return []


_NO_STRIKE = Remark(
    call=Call.NO_STRIKE,
    says="No strike was found: nothing in the recording grows loud at once. Start it a second before you strike.",
)
_TOO_SHORT = Remark(
    call=Call.TOO_SHORT,
    says=f"Less than {SHORTEST * 1000:.0f} ms follow each strike, too little to say how it rings. "
    "Let it ring out for a second before the next one.",
)
_NOISY = Remark(
    call=Call.NOISY,
    says="The strikes do not stand clear of the noise around them. Record nearer, in a quieter room.",
)
_EACH_OTHERWISE = Remark(
    call=Call.HELD_WRONG,
    says="No two strikes ring alike, so the piece was held otherwise each time. Hold it at one place and strike again.",
)
