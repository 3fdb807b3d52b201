"""A ring held against others: the person's own known pieces of the kind, and what a flat disc would make of it.

Partials are compared as logarithms of frequency, so that a piece which is thinner by wear lies lower by one common
step. A family is a handful of places where partials are expected, a spread of that common step, a spread of each by
itself, and the chance that one is missed. Its likelihood is told against "some other ring", whose partials may lie
anywhere; the common step is summed over. The person's own pieces decide; the flat disc is a wide expectation only.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import exp, log, sqrt

import numpy as np

from ninefine.assay.plate import Mode
from ninefine.assay.ring_fit import Floats
from ninefine.assay.ring_heard import HIGHEST_HZ, LOWEST_HZ, Partial
from ninefine.assay.ring_metals import EACH, OTHERS, SHAPE, Metal, beside, expected, silver
from ninefine.catalog.kinds import Kind

#: The chance that a partial which is there is not heard, by where it was struck and held; no source.
MISSED = 0.2
#: Partials of some other ring in one step of the logarithm of frequency; a step is a factor of 2.7.
ANYWHERE = 1.0
#: What is assumed of known pieces before they show it: how far pieces of a kind lie apart as a whole (a coin worn by 3%
#: rings 3% lower, as a flat disc does), and each partial by itself; counted as so many pieces and partials. No source.
APART, APART_COUNTS = 0.03, 3.0
EACH_APART, EACH_COUNTS = 0.006, 6.0
#: Two partials nearer than this, as logarithms, are one that is split in two.
SPLIT = 0.012
#: The strongest partials that are compared, and how far they may lie under the strongest of all, decibel.
MOST, FAINTEST = 8, -30.0
#: From the flat disc only its lowest partials are expected to be heard.
DISC_MODES = (Mode(2, 0), Mode(0, 1), Mode(3, 0), Mode(4, 0))
_STEPS = np.linspace(-4.0, 4.0, 161)


@dataclass(frozen=True, slots=True, kw_only=True)
class Known:
    """A piece known by other tests, as the person keeps it.

    Attributes:
        label: the person's name for it.
        sound: whether it is what its kind says; else it is known to be something else.
        made_of: what it is made of, where it is something else.
        partials: as they were heard.
    """

    label: str
    sound: bool = True
    made_of: str = ""
    partials: tuple[Partial, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Family:
    """Where the partials of a kind of ring are expected.

    Attributes:
        name: in plain words.
        places: natural logarithms of frequencies in hertz.
        apart: one standard deviation of all places together.
        each: one standard deviation of each by itself.
        sound: whether it is what the kind says.
        pieces: how many known pieces it rests on; 0 for a flat disc's.
    """

    name: str
    places: tuple[float, ...]
    apart: float
    each: float
    sound: bool
    pieces: int = 0

    @property
    def hertz(self) -> tuple[float, ...]:
        """The places as frequencies."""
        return tuple(exp(place) for place in self.places)


@dataclass(frozen=True, slots=True, kw_only=True)
class Held:
    """A ring held against a family.

    Attributes:
        family: the family.
        log_odds: natural logarithm of its likelihood over that of some other ring.
        step: how far the ring lies over the family as a whole, as a logarithm.
    """

    family: Family
    log_odds: float
    step: float


def against(partials: Sequence[Partial], family: Family, *, below: float = HIGHEST_HZ) -> Held:
    """Hold partials against a family, as far up as the recording hears, in hertz."""
    seen, sure = places_of(partials)
    places = np.asarray([place for place in family.places if place < log(below)])
    if not len(seen) or not len(places):
        return Held(family=family, log_odds=0.0, step=0.0)
    steps = _STEPS * family.apart
    spread = np.sqrt(family.each**2 + sure**2)
    off = seen[None, None, :] - places[None, :, None] - steps[:, None, None]
    bell = np.exp(-0.5 * (off / spread) ** 2) / (spread * sqrt(2.0 * np.pi))
    fits = np.log(MISSED + (1.0 - MISSED) * bell.sum(axis=2) / ANYWHERE).sum(axis=1)
    prior = np.exp(-0.5 * _STEPS**2)
    whole = fits + np.log(prior / prior.sum())
    top = float(whole.max())
    weights = np.exp(whole - top)
    mean = float(np.sum(weights * steps) / weights.sum())
    return Held(family=family, log_odds=top + log(float(weights.sum())), step=mean)


def places_of(partials: Sequence[Partial]) -> tuple[Floats, Floats]:
    """The partials that are compared, as logarithms with their uncertainties; one that is split in two is one."""
    strong = sorted((one for one in partials if one.level >= FAINTEST), key=lambda one: -one.level)[:MOST]
    places: list[float] = []
    spreads: list[float] = []
    for one in sorted(strong, key=lambda each: each.hz):
        place = log(one.hz)
        if places and place - places[-1] < SPLIT:
            places[-1] = (places[-1] + place) / 2.0
        else:
            places.append(place)
            spreads.append(one.hz_u / one.hz)
    return np.asarray(places), np.asarray(spreads)


def family_of(known: Sequence[Known], *, name: str, sound: bool) -> Family:
    """The family of known pieces: where their partials lie in the mean, and how far they lie apart.

    Pieces are shifted onto the first by the middle of their differences; a partial counts when half of them have it.
    """
    own = [places_of(one.partials)[0] for one in known]
    shifts = [_shift(own[0], one) for one in own]
    groups: list[list[float]] = []
    for shift, places in zip(shifts, own, strict=True):
        for place in places - shift:
            near = [group for group in groups if abs(sum(group) / len(group) - place) < SPLIT]
            if near:
                near[0].append(float(place))
            else:
                groups.append([float(place)])
    kept = [group for group in groups if 2 * len(group) >= len(own)]
    middle = sum(shifts) / len(shifts)
    count = len(known)
    far = sum((shift - middle) ** 2 for shift in shifts)
    near_by = sum((place - sum(group) / len(group)) ** 2 for group in kept for place in group)
    free = sum(len(group) - 1 for group in kept)
    more = sqrt(1.0 + 1.0 / count)  # the mean itself is not sure
    return Family(
        name=name,
        places=tuple(sorted(sum(group) / len(group) + middle for group in kept)),
        apart=more * sqrt((APART_COUNTS * APART**2 + far) / (APART_COUNTS + count - 1)),
        each=more * sqrt((EACH_COUNTS * EACH_APART**2 + near_by) / (EACH_COUNTS + free)),
        sound=sound,
        pieces=count,
    )


def _shift(first: Floats, other: Floats) -> float:
    """How far one piece's partials lie over another's, as logarithms: the middle of those that answer each other."""
    if not len(first) or not len(other):
        return 0.0
    off = other[None, :] - first[:, None]
    candidates = off[np.abs(off) < 4.0 * APART]
    if not len(candidates):
        return 0.0
    votes = np.sum(np.abs(candidates[:, None] - candidates[None, :]) < 2.0 * EACH_APART, axis=1)
    best = candidates[int(np.argmax(votes))]
    return float(np.median(candidates[np.abs(candidates - best) < 2.0 * EACH_APART]))


def of_disc(kind: Kind) -> tuple[Family, ...]:
    """What a flat disc of the kind's size expects: of its silver first, then of other metals; empty without a size."""
    rings = expected(kind)
    if rings is None:
        return ()
    fineness = float(kind.fineness)
    own = silver(fineness)
    return (
        _disc_family(rings, dict.fromkeys(DISC_MODES, 1.0), own, sound=True),
        *(_disc_family(rings, beside(metal, fineness), metal, sound=False) for metal in OTHERS),
    )


def _disc_family(rings: Mapping[Mode, float], times: Mapping[Mode, float], metal: Metal, *, sound: bool) -> Family:
    return Family(
        name=metal.name,
        places=tuple(log(rings[mode] * times[mode]) for mode in DISC_MODES if _heard(rings[mode] * times[mode])),
        apart=sqrt(SHAPE**2 + metal.spread**2),
        each=EACH,
        sound=sound,
    )


def _heard(hertz: float) -> bool:
    return LOWEST_HZ < hertz < HIGHEST_HZ


def in_other_metals(own: Family, kind: Kind) -> tuple[Family, ...]:
    """Known pieces' places as they would lie in other metals: with the same rim and relief, so surer than a disc's."""
    if expected(kind) is None or not own.places:
        return ()
    fineness = float(kind.fineness)
    unsure = silver(fineness).spread
    found = []
    for metal in OTHERS:
        times = beside(metal, fineness)
        low, high = min(times[mode] for mode in DISC_MODES), max(times[mode] for mode in DISC_MODES)
        step = log(low * high) / 2.0  # the modes' own ratios differ by Poisson's ratio alone, which `each` takes in
        places = tuple(place + step for place in own.places if _heard(exp(place + step)))
        each = sqrt(own.each**2 + (log(high / low) / 2.0) ** 2)
        apart = sqrt(own.apart**2 + metal.spread**2 + unsure**2)
        found.append(Family(name=metal.name, places=places, apart=apart, each=each, sound=False))
    return tuple(found)
