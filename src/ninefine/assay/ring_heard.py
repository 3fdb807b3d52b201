"""What is heard of a struck piece, as records: strikes, partials, and what is wrong with a recording."""

from dataclasses import dataclass, field
from enum import StrEnum
from math import pi

#: Partials outside these bounds are not a coin's: hum and handling below, what a microphone no longer hears above.
LOWEST_HZ = 400.0
HIGHEST_HZ = 20_000.0
#: Decays outside these bounds, in seconds, are clicks and hums.
SHORTEST_DECAY = 0.005
LONGEST_DECAY = 3.0
#: What stands wherever a piece may be struck.
CAUTIONS = (
    "Do not strike proofs, high grades, fragile, holed or valuable pieces: an edge takes a mark that no test is worth.",
    "Balance the piece on a fingertip near its edge, over a cloth, and tap its edge softly with wood, a pencil's end.",
)


class Call(StrEnum):
    """What is wrong with a recording, or with how the piece rings."""

    NO_STRIKE = "no strike"
    TOO_SHORT = "too short"
    CLIPPED = "clipped"
    NOISY = "noisy"
    DAMPED = "damped"
    HELD_WRONG = "held wrong"
    CRACKED = "cracked"


@dataclass(frozen=True, slots=True, kw_only=True)
class Remark:
    """A call with its reason, and what to do about it, in plain sentences."""

    call: Call
    says: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Partial:
    """One partial: a decaying tone. Uncertainties are one standard deviation.

    Attributes:
        hz: frequency.
        hz_u: its uncertainty.
        decay: time in which the tone falls to 1/e of its height, seconds.
        decay_u: its uncertainty.
        level: height at the strike against the strongest partial, decibel; 0 for the strongest.
        strikes: in how many strikes it was found.
    """

    hz: float
    hz_u: float
    decay: float
    decay_u: float
    level: float
    strikes: int = 1

    @property
    def quality(self) -> float:
        """What physics calls Q: pi times the number of swings in one decay; free of the frequency itself."""
        return pi * self.hz * self.decay


@dataclass(frozen=True, slots=True, kw_only=True)
class Strike:
    """One strike: when it fell, what was heard after it.

    Attributes:
        at: seconds from the start of the recording.
        length: seconds that were listened to.
        over_noise: signal over noise in the first tenth of a second, decibel.
        partials: lowest first.
    """

    at: float
    length: float
    over_noise: float
    partials: tuple[Partial, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Heard:
    """A recording as heard: its strikes, the partials averaged over them, and what is wrong with it.

    Attributes:
        seconds: length of the recording.
        rate: samples a second.
        strikes: in order.
        partials: averaged over the strikes, lowest first.
        remarks: empty where nothing is wrong.
    """

    seconds: float
    rate: int
    strikes: tuple[Strike, ...] = ()
    partials: tuple[Partial, ...] = ()
    remarks: tuple[Remark, ...] = field(default=())

    @property
    def clear(self) -> bool:
        """Whether the recording can be held against others."""
        return bool(self.partials) and not self.remarks

    def called(self, call: Call) -> bool:
        """Whether something is wrong in this way."""
        return any(remark.call is call for remark in self.remarks)

    @property
    def main(self) -> Partial | None:
        """The strongest partial."""
        return max(self.partials, key=lambda one: one.level, default=None)
