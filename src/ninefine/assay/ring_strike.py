"""Where the strikes are in a recording, and the partials of one strike. Needs numpy.

Partials are taken one by one, the strongest first: each is fitted, taken off the spectrum, and the next one looked for
in what is left, so that the skirts of a strong partial are not mistaken for weak ones. A peak beside a partial already
taken is fitted together with it, and kept only where that fits clearly better.
"""

from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

from ninefine.assay.ring_fit import Bins, Floats, Frame, Tones, Waves, fit, model
from ninefine.assay.ring_heard import HIGHEST_HZ, LONGEST_DECAY, LOWEST_HZ, SHORTEST_DECAY, Partial, Strike

Marks = npt.NDArray[np.bool_]

#: Of the highest frequency that a sampling rate can hold, the part below its filter's edge.
_USABLE = 0.47
#: One reading of loudness, seconds.
_GRAIN = 0.005
#: A strike raises the loudness at once by at least so many decibels over what went before,
_RISE = 5.0
#: over the loudest of so many readings before;
_LOOK_BACK = 12
#: and it comes within so many decibels of the loudest.
_NEAR_LOUDEST = 20.0
#: Two rises nearer than this are one strike that bounced, seconds; the last one counts.
_BOUNCE = 0.12
#: The click of the striker itself is left out, seconds.
_CLICK = 0.003
#: The longest part of a strike that is listened to, seconds; and of it the part that noise is told against.
_LONGEST = 1.2
_EARLY = 0.1
#: A peak counts when it stands so many times above the middle of its neighbourhood: in noise alone, one spectrum in
#: about a hundred holds such a peak by chance.
_OVER_FLOOR = 5.0
#: Peaks weaker than the strongest by more are let go: 40 dB.
_UNDER_STRONGEST = 0.01
#: A tone that lives long may begin fainter and still stand out: it is kept to so many decibels.
_FAINTEST = -50.0
#: A second tone beside a partial is kept where the squares left over fall by so much for each number fitted.
_CLEARLY = 14.0
#: and where neither is weaker than the other by more: 20 dB.
_SPLIT_ALIKE = 0.1
#: Width of the neighbourhood that the floor is taken from.
_NEIGHBOURHOOD = 400.0
#: Bins to each side in which the width of a peak is seen.
_WIDEST = 24
#: A partial is taken off so far to both sides, hertz, and farther the faster it dies.
_SKIRTS = 1000.0
#: The middle (median) of the sizes of complex noise, over the root of its power.
_MEDIAN = 0.8326


@dataclass(slots=True)
class _Search:
    """The state of the search: what is left of the spectrum, the tones taken, the bins given up."""

    frame: Frame
    left: Waves
    wanted: Marks
    taken: list[Tones] = field(default_factory=list)


def onsets(sound: Floats, rate: int) -> list[int]:
    """The samples at which strikes fall: sudden rises of loudness; of a strike that bounces, its last rise.

    Two tones that lie close beat, and a beat swells too, but not by so much from one reading to the next.
    """
    grain = max(1, round(_GRAIN * rate))
    quiet = _without_low(sound, rate)
    whole = quiet[: len(quiet) // grain * grain].reshape(-1, grain)
    if len(whole) < 2:
        return []
    loud = 10.0 * np.log10(np.mean(whole**2, axis=1) + 1e-18)
    padded = np.concatenate([np.full(_LOOK_BACK, loud[1:].min()), loud])  # a recording may begin on the strike itself
    before = np.lib.stride_tricks.sliding_window_view(padded, _LOOK_BACK)[: len(loud)].max(axis=1)
    rises = np.flatnonzero((loud - before > _RISE) & (loud > loud.max() - _NEAR_LOUDEST))
    found: list[int] = []
    for place in rises:
        size = np.abs(whole[place : place + 2].ravel())
        start = int(place * grain + np.argmax(size > size.max() / 2.0))
        if found and start - found[-1] < _BOUNCE * rate:
            found[-1] = start
        else:
            found.append(start)
    return found


def _without_low(sound: Floats, rate: int) -> Floats:
    """The sound without hum and handling."""
    spectrum = np.fft.rfft(sound)
    spectrum[: int(LOWEST_HZ * len(sound) / rate)] = 0.0
    return np.asarray(np.fft.irfft(spectrum, len(sound)), dtype=np.float64)


def listen(sound: Floats, rate: int, start: int, end: int, *, most: int = 12) -> Strike:
    """The partials of the strike that falls at a sample, listened to no further than another sample.

    Args:
        sound: the whole recording, one channel.
        rate: samples a second.
        start: where the strike falls.
        end: where the next one falls, or the recording ends.
        most: how many partials are looked for.
    """
    first = start + round(_CLICK * rate)
    count = max(0, min(end, first + round(_LONGEST * rate)) - first) // 64 * 64  # lengths that transform quickly
    part = sound[first : first + count]
    strike = Strike(at=start / rate, length=count / rate, over_noise=0.0, partials=())
    if count < round(4 * SHORTEST_DECAY * rate):
        return strike
    frame = Frame(count, float(rate))
    spectrum = np.fft.rfft(part)
    search = _Search(frame=frame, left=spectrum, wanted=_ringing(len(spectrum), frame.bin_hz, rate))
    floor = _take(search, most)
    _again(search)
    early = sound[first : first + round(_EARLY * rate)]
    return Strike(
        at=strike.at,
        length=strike.length,
        over_noise=_over_noise(early, rate, floor, frame),
        partials=_partials(search),
    )


def _take(search: _Search, most: int) -> Floats:
    """Take partials off the spectrum, the strongest first; answers the floor that noise makes."""
    floor = _floor(search)
    top = 0.0
    tries = 3 * most
    while len(search.taken) < most and tries:
        tries -= 1
        size = np.where(search.wanted & (np.abs(search.left) > _OVER_FLOOR * floor), np.abs(search.left), 0.0)
        place = int(np.argmax(size))
        top = max(top, float(size[place]))
        if size[place] <= top * _UNDER_STRONGEST:
            break
        if not _taken(search, place):
            search.wanted[max(0, place - 3) : place + 4] = False
        floor = _floor(search)
    return floor


def _floor(search: _Search) -> Floats:
    """The size of what noise leaves in each bin: the middle of its neighbourhood, drawn out between the middles."""
    size = np.abs(search.left)
    width = max(32, round(_NEIGHBOURHOOD / search.frame.bin_hz))
    blocks = max(1, len(size) // width)
    whole = size[: blocks * width].reshape(blocks, -1)
    middles = np.median(whole, axis=1)
    drawn = np.interp(np.arange(len(size)), (np.arange(blocks) + 0.5) * width, middles)
    return np.asarray(drawn, dtype=np.float64) + 1e-15


def _taken(search: _Search, place: int) -> bool:
    """Fit the peak at a bin, with the tones beside it if there are any, and take it off; whether it was kept."""
    hz = place * search.frame.bin_hz
    beside = [tones for tones in search.taken if np.min(np.abs(tones.hz - hz)) < _reach(search, tones)]
    if not beside:
        search.taken.append(_put(search, _fit_one(search, place)))
        return True
    if sum(len(tones.hz) for tones in beside) > 1:  # a partial of a round piece splits in two, not in more
        return False
    old = _joined(beside)
    bins = _bins(search, np.append(old.hz, hz), np.append(old.rate, old.rate.mean()))
    seen = search.left[bins] + model(search.frame, bins, old)
    alone = fit(search.frame, bins, seen, old.hz, old.rate)
    both = fit(search.frame, bins, seen, np.append(old.hz, hz), np.append(old.rate, old.rate.mean()))
    apart = abs(both.hz[1] - both.hz[0]) > search.frame.bin_hz
    alike = np.abs(both.height).min() > _SPLIT_ALIKE * np.abs(both.height).max()
    if not (apart and alike) or (alone.left - both.left) / 4.0 < _CLEARLY * both.left / both.freedom:
        return False
    for tones in beside:
        _lift(search, tones)
    search.taken.append(_put(search, both))
    return True


def _reach(search: _Search, tones: Tones) -> float:
    """How far around tones, in hertz, a further peak is fitted together with them."""
    return float(max(12 * search.frame.bin_hz, 1.5 * tones.rate.max() / np.pi))


def _fit_one(search: _Search, place: int) -> Tones:
    """One tone at a bin: its decay guessed from the peak's width, the part looked at widened to the width found."""
    size = np.abs(search.left[max(0, place - _WIDEST) : place + _WIDEST + 1])
    wide = int(np.sum(size > size.max() / 2.0)) * search.frame.bin_hz  # at half its height a peak is 1.7 rate / pi wide
    hz, rate = np.array([place * search.frame.bin_hz]), np.array([max(np.pi * wide / 1.7, 2.0)])
    bins = _bins(search, hz, rate)
    found = fit(search.frame, bins, search.left[bins], hz, rate)
    wider = _bins(search, found.hz, found.rate)
    if len(wider) < 1.2 * len(bins):
        return found
    return fit(search.frame, wider, search.left[wider], found.hz, found.rate)


def _bins(search: _Search, hz: Floats, rate: Floats) -> Bins:
    """The bins around tones: a few beyond the outer ones, more where they are broad."""
    beyond = max(16 * search.frame.bin_hz, 2.5 * float(rate.max()) / np.pi)
    low = int(max(1, (hz.min() - beyond) / search.frame.bin_hz))
    high = int(min(len(search.left) - 1, (hz.max() + beyond) / search.frame.bin_hz))
    return np.arange(low, high + 1)


def _joined(parts: list[Tones]) -> Tones:
    return Tones(
        hz=np.concatenate([one.hz for one in parts]),
        rate=np.concatenate([one.rate for one in parts]),
        height=np.concatenate([one.height for one in parts]),
        hz_var=np.concatenate([one.hz_var for one in parts]),
        rate_var=np.concatenate([one.rate_var for one in parts]),
        left=0.0,
        freedom=1,
    )


def _put(search: _Search, tones: Tones) -> Tones:
    bins = _skirts(search, tones)
    search.left[bins] -= model(search.frame, bins, tones)
    return tones


def _lift(search: _Search, tones: Tones) -> None:
    bins = _skirts(search, tones)
    search.left[bins] += model(search.frame, bins, tones)
    search.taken = [one for one in search.taken if one is not tones]


def _skirts(search: _Search, tones: Tones) -> Bins:
    """The bins that tones are taken off: beyond, their skirts lie far under what counts."""
    beyond = _SKIRTS + 20.0 * float(tones.rate.max())
    low = int(max(0, (tones.hz.min() - beyond) / search.frame.bin_hz))
    high = int(min(len(search.left), (tones.hz.max() + beyond) / search.frame.bin_hz + 1))
    return np.arange(low, high)


def _again(search: _Search) -> None:
    """Fit each group once more, now that all the others are off the spectrum."""
    for tones in list(search.taken):
        _lift(search, tones)
        bins = _bins(search, tones.hz, tones.rate)
        again = fit(search.frame, bins, search.left[bins], tones.hz, tones.rate, sure=True)
        search.taken.append(_put(search, again))


def _over_noise(early: Floats, rate: int, floor: Floats, frame: Frame) -> float:
    """Signal over noise in the first tenth of a second, within the band that coins ring in, in decibel."""
    spectrum = np.abs(np.fft.rfft(early)) ** 2
    whole = 2.0 * float(spectrum[_ringing(len(spectrum), rate / len(early), rate)].sum()) / len(early) ** 2
    under = (floor[_ringing(len(floor), frame.bin_hz, rate)] / _MEDIAN) ** 2
    noise = 2.0 * float(under.sum()) / frame.count**2
    return float(10.0 * np.log10(max(whole - noise, 1e-18) / max(noise, 1e-18)))


def _ringing(count: int, bin_hz: float, rate: float) -> Marks:
    """The bins of the band that coins ring in, as far as the recording reaches."""
    hertz = np.arange(count) * bin_hz
    return np.asarray((hertz > LOWEST_HZ) & (hertz < min(HIGHEST_HZ, _USABLE * rate)))


def _partials(search: _Search) -> tuple[Partial, ...]:
    """The tones that may be partials of a coin, lowest first, their heights against the strongest."""
    if not search.taken:
        return ()
    all_tones = _joined(search.taken)
    decay = 1.0 / all_tones.rate
    kept = (decay > SHORTEST_DECAY) & (decay < LONGEST_DECAY) & (all_tones.hz > LOWEST_HZ)
    heights = np.where(kept, np.abs(all_tones.height), 0.0)
    if not kept.any():
        return ()
    level = 20.0 * np.log10(np.maximum(heights, 1e-30) / heights.max())
    return tuple(
        Partial(
            hz=float(all_tones.hz[at]),
            hz_u=float(np.sqrt(all_tones.hz_var[at])),
            decay=float(decay[at]),
            decay_u=float(np.sqrt(all_tones.rate_var[at]) * decay[at] ** 2),
            level=float(level[at]),
        )
        for at in np.argsort(all_tones.hz)
        if kept[at] and level[at] > _FAINTEST
    )
