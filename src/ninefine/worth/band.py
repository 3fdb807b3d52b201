"""A grade as a household can tell it: a band of the scale, and what else is wrong with the piece."""

import re
from dataclasses import dataclass, replace

from ninefine.errors import RangeError, UnreadableError
from ninefine.worth.grades import (
    HIGHEST,
    LOWEST,
    NUMBERS,
    Grade,
    Points,
    in_letters,
    off_scale,
    read_points,
    unreadable,
)

#: What may be wrong with a piece beside wear -> other words for it. The trade's words; common practice, no source.
FLAWS: dict[str, tuple[str, ...]] = {
    "details": ("detail",),
    "cleaned": ("improperly cleaned", "harshly cleaned", "dipped"),
    "polished": ("buffed", "whizzed"),
    "scratched": ("scratches", "scratch", "graffiti"),
    "holed": ("hole", "pierced", "drilled", "plugged"),
    "bent": (),
    "damaged": ("damage", "rim damage", "rim nicks", "gouged"),
    "corroded": ("environmental damage", "corrosion", "pitted", "porous"),
    "mounted": ("mount", "looped", "solder", "soldered", "ex-jewelry", "ex jewelry", "jewelry", "jewellery"),
    "altered": ("tooled",),
    "cull": ("culls",),
}
#: A cull that is called no more than that is worn to P, FR or AG (common practice, no source).
_CULL = (1, 3)

_CANON = {word: flaw for flaw, words in FLAWS.items() for word in (flaw, *words)}
_LONGEST_FIRST = sorted((word.upper() for word in _CANON), key=len, reverse=True)
_FLAW = re.compile(rf"(?<![A-Z])({'|'.join(_LONGEST_FIRST)})(?![A-Z])")
_END = r"(?:[A-Z]{1,3}\s*-?\s*\d{1,2}|[A-Z]{1,3}|\d{1,2})"
_BAND = re.compile(rf"(?P<low>{_END})(?:\s*-\s*(?P<high>{_END}))?", re.ASCII)


@dataclass(frozen=True, slots=True, kw_only=True)
class Band:
    """From one point of the scale to another, both included.

    Attributes:
        low, high: numbers of the scale.
        proof: struck as a proof.
        details: what else is wrong, in words of `FLAWS` parted by commas; empty for a sound piece.

    Raises:
        RangeError: a number that the scale does not have, or a band that runs backwards.
        UnreadableError: `details` holds another word.
    """

    low: int
    high: int
    proof: bool = False
    details: str = ""

    def __post_init__(self) -> None:
        for number in (self.low, self.high):
            if number not in NUMBERS:
                raise off_scale(number)
        if self.low > self.high:
            low, high = self.grades_at(self.high, self.low)
            raise RangeError(f"A band from {high} to {low} runs backwards.", instead=(f"{low}-{high}",))
        for flaw in self.flaws:
            if flaw not in FLAWS:
                raise UnreadableError(f"{flaw[:20]!r} is not something wrong with a piece here.", instead=list(FLAWS))

    @property
    def flaws(self) -> tuple[str, ...]:
        """What else is wrong, word by word."""
        return tuple(self.details.split(", ")) if self.details else ()

    @property
    def sound(self) -> "Band":
        """The same wear with nothing else wrong: what a sheet's prices are for."""
        return replace(self, details="")

    @property
    def told(self) -> bool:
        """Whether anything is said of wear; `cleaned` alone says nothing, and spans the whole scale."""
        return (self.low, self.high) != (LOWEST, HIGHEST)

    @property
    def grades(self) -> tuple[Grade, ...]:
        """Every point within the band, from lowest to highest."""
        return self.grades_at(*(number for number in NUMBERS if self.low <= number <= self.high))

    def grades_at(self, *numbers: int) -> tuple[Grade, ...]:
        """Points of this band's striking."""
        return tuple(Grade(number=number, proof=self.proof) for number in numbers)

    def __str__(self) -> str:
        low, high = self.grades_at(self.low, self.high)
        wear = str(low) if low == high else f"{low}-{high}"
        return f"{wear} {self.details}" if self.details else wear


def band_at(grade: Grade) -> Band:
    """The band of a single point."""
    return Band(low=grade.number, high=grade.number, proof=grade.proof)


def read_band(text: str) -> Band:
    """Read a grade or a band: `VF20`, `VF`, `VF20-EF40`, `G-F`, `very fine to EF`, `AU50 cleaned`, `cull`.

    Letters alone are all their points. A slash or `to` parts a band as a dash does. What else is wrong may stand
    before or behind; where nothing is said of wear, the band is the whole scale.

    Raises:
        UnreadableError: no grade as it is written.
        RangeError: a number that the scale does not have, or a band that runs backwards or mixes proofs with others.
    """
    said = re.sub(r"[(),;.]", " ", text.upper().replace("\N{EN DASH}", "-").replace("\N{EM DASH}", "-"))
    flaws = {_CANON[word.lower()] for word in _FLAW.findall(said)}
    wear = in_letters(_FLAW.sub(" ", said))
    details = ", ".join(flaw for flaw in FLAWS if flaw in flaws)
    if not wear and flaws:
        ends = _CULL if "cull" in flaws else (LOWEST, HIGHEST)
        return Band(low=ends[0], high=ends[1], details=details)
    read = _BAND.fullmatch(re.sub(r"\s*(?:/|\bTO\b)\s*", "-", wear))
    if read is None:
        raise unreadable(text)
    low = read_points(read["low"], text)
    high = read_points(read["high"], text) if read["high"] else low
    proof = _struck(low, high, text)
    if low.numbers[0] > high.numbers[-1]:
        forward = Band(low=high.numbers[0], high=low.numbers[-1], proof=proof, details=details)
        raise RangeError(f"{text.strip()[:40]!r} runs backwards.", instead=(str(forward),))
    return Band(low=low.numbers[0], high=high.numbers[-1], proof=proof, details=details)


def _struck(low: Points, high: Points, text: str) -> bool:
    """Whether a band is of proofs; a bare number goes with the other end."""
    told = {points.proof for points in (low, high)} - {None}
    if len(told) > 1:
        raise RangeError(
            f"{text.strip()[:40]!r} runs from proofs to coins struck for use.",
            expected="A piece is one or the other: say its band as the one or as the other.",
            instead=("AU58-MS62", "PF58-PF62"),
        )
    return True in told
