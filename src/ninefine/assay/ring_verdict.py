"""What a ring says of a piece, in plain words and as evidence: only that it rings as others do, or does not."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import exp, floor, log, log10

from ninefine.assay.evidence import Evidence, Figure, Ground, Outcome, figure
from ninefine.assay.ring_compare import Family, Held, Known, against, family_of, in_other_metals, of_disc
from ninefine.assay.ring_heard import CAUTIONS, Call, Heard
from ninefine.catalog.kinds import Kind

#: How many times as likely one thing must be as all others for it to be said.
CLEARLY = 100.0
#: What fits so much worse than the best is named beside it, and so many are named.
_NEARLY, _MOST_NAMED = 10.0, 3
#: Of the highest frequency that a sampling rate can hold, the part that is heard.
_HEARD = 0.47
#: A main partial that dies in so much less of the known pieces' time is told.
_SOONER = 3.0
_MILLION = 1_000_000.0

SETTLES = (
    "Weight and specific gravity settle what a ring leaves open. To make the ring tell more, keep at least three "
    "pieces of this kind, known by weight and gravity, among your known rings."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Comparison:
    """A ring held against all that is known of its kind.

    Attributes:
        kind: the kind's slug.
        name: the kind in words.
        decided_by: the family of the person's own known pieces; none where there are none of this kind.
        own: that family, or the flat disc's, as the ring fits it; none where nothing is expected.
        others: the other families, the best first.
        log_odds: natural logarithm of how many times as likely `own` is as the best of all else.
        evidence: what it comes to.
    """

    kind: str
    name: str
    decided_by: Family | None
    own: Held | None
    others: tuple[Held, ...]
    log_odds: float
    evidence: Evidence

    @property
    def held(self) -> tuple[Held, ...]:
        """All families that it was held against, the best first."""
        own = () if self.own is None else (self.own,)
        return tuple(sorted((*own, *self.others), key=lambda one: -one.log_odds))


def compare(heard: Heard, kind: Kind, known: Sequence[Known], *, name: str = "") -> Comparison:
    """Hold a recording against the person's known pieces of a kind, and against a flat disc of its size.

    Args:
        heard: the recording as heard.
        kind: what the piece should be.
        known: the known pieces of this very kind, sound ones and others.
        name: the kind in words; its own name when left out.
    """
    words = name or kind.name
    sound = [one for one in known if one.sound]
    mine = family_of(sound, name=words, sound=True) if sound else None
    expected = (mine, *_known_others(known), *in_other_metals(mine, kind)) if mine is not None else of_disc(kind)
    held = [against(heard.partials, family, below=_HEARD * heard.rate) for family in expected]
    own = held[0] if held else None
    others = tuple(sorted(held[1:], key=lambda one: -one.log_odds))
    odds = _odds(own, others)
    outcome, says = _outcome(heard, own, others, odds, mine, words)
    if mine is not None and outcome is Outcome.PASSED:
        says += _sooner(heard, sound)
    return Comparison(
        kind=kind.slug,
        name=words,
        decided_by=mine,
        own=own,
        others=others,
        log_odds=odds,
        evidence=Evidence(
            test="ring",
            ground=Ground.SOUND,
            outcome=outcome,
            against=kind.slug,
            says=says,
            figures=figures_of(heard),
            would_settle="" if outcome is Outcome.PASSED and mine is not None and mine.pieces > 2 else SETTLES,
            cautions=CAUTIONS,
        ),
    )


def _known_others(known: Sequence[Known]) -> list[Family]:
    """The families of pieces that are known to be something else, by what they are made of."""
    groups: dict[str, list[Known]] = {}
    for one in known:
        if not one.sound:
            groups.setdefault(one.made_of or "something else", []).append(one)
    return [family_of(pieces, name=f"your known {made_of}", sound=False) for made_of, pieces in groups.items()]


def figures_of(heard: Heard) -> tuple[Figure, ...]:
    """The strongest partials as figures: frequency and decay of each."""
    strongest = sorted(sorted(heard.partials, key=lambda one: -one.level)[:4], key=lambda one: one.hz)
    found = []
    for place, one in enumerate(strongest, 1):
        found.append(figure(f"partial {place}", one.hz, one.hz_u, "Hz"))
        found.append(figure(f"its decay {place}", one.decay * 1000.0, one.decay_u * 1000.0, "ms"))
    return tuple(found)


def _outcome(
    heard: Heard, own: Held | None, others: Sequence[Held], odds: float, mine: Family | None, words: str
) -> tuple[Outcome, str]:
    """How the test came out, and the sentence that says so."""
    if heard.remarks:
        reasons = " ".join(remark.says for remark in heard.remarks)
        unread = not heard.partials or heard.called(Call.CLIPPED)
        return (Outcome.NOT_DONE if unread else Outcome.UNSURE), reasons
    if own is None:
        return Outcome.UNSURE, (
            f"Nothing is known of how {words} should ring: the catalog has no size for it, and you keep no known ring."
        )
    if mine is None:
        return Outcome.UNSURE, _by_disc(heard, own, others)
    do = "does" if mine.pieces == 1 else "do"
    pieces = f"your known piece of {words}" if mine.pieces == 1 else f"your {mine.pieces} known pieces of {words}"
    alike = [one.family.name for one in others if one.log_odds > own.log_odds - log(CLEARLY)]
    if odds <= -log(CLEARLY):
        return Outcome.FAILED, f"It does not ring as {pieces} {do}; it fits {_best(others)}."
    if odds >= log(CLEARLY):
        told = f" {_capital(_either(alike))} of this size would ring much alike: weight tells it." if alike else ""
        return Outcome.PASSED, (
            f"It rings as {pieces} {do}{_step(own.step)}: {times(own.log_odds)} as likely as some other ring.{told}"
        )
    return Outcome.UNSURE, (
        f"It may ring as {pieces} {do}, or as {_either(alike) or 'something else'} does: the sound does not tell."
    )


def _odds(own: Held | None, others: Sequence[Held]) -> float:
    """For or against the own family: over any other ring; where another family fits better, over that.

    Where another metal rings alike at equal size, the ring still fits; that it is the other one, weight must tell. A
    known piece that is something else must be clearly beaten.
    """
    if own is None:
        return 0.0
    ahead = own.log_odds - max((one.log_odds for one in others), default=own.log_odds)
    if own.log_odds < 0.0 or ahead < -log(CLEARLY):
        return min(own.log_odds, ahead)
    known = [own.log_odds - one.log_odds for one in others if one.family.pieces]
    return min([own.log_odds, *known])


def _best(others: Sequence[Held]) -> str:
    """What else a ring fits: the best, and what fits nearly as well."""
    if not others or others[0].log_odds < 0.0:
        return "no metal that it was held against"
    near = [one.family.name for one in others if one.log_odds > others[0].log_odds - log(_NEARLY)]
    return f"{near[0]} best" if len(near) == 1 else f"{_either(near[:_MOST_NAMED])} better"


def _either(names: Sequence[str]) -> str:
    return names[0] if len(names) == 1 else " or ".join(part for part in (", ".join(names[:-1]), *names[-1:]) if part)


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]


def _by_disc(heard: Heard, own: Held, others: Sequence[Held]) -> str:
    """What a flat disc of the size would say; it decides nothing."""
    low, high = (exp(own.family.places[0] + sign * 2.0 * own.family.apart) for sign in (-1, 1))
    lowest = min(heard.partials, key=lambda one: one.hz)
    text = (
        f"You keep no known ring of this kind. A flat disc of its size in {own.family.name} would ring lowest "
        f"somewhere from {hertz(low)} to {hertz(high)} Hz; the lowest partial heard is {hertz(lowest.hz)} Hz."
    )
    rival = others[0]
    ahead = own.log_odds - rival.log_odds
    first, second = (own, rival) if ahead > 0 else (rival, own)
    if own.log_odds < 0.0 and rival.log_odds < 0.0:
        return f"{text} As a whole it fits no metal of that size well, which a rim and relief can do too."
    return f"{text} As a whole it fits {first.family.name} {times(abs(ahead))} as well as {second.family.name}."


def _sooner(heard: Heard, known: Sequence[Known]) -> str:
    """A word on a ring that dies away much sooner than the known pieces' rings."""
    own = max((one.decay for one in heard.partials), default=0.0)
    usual = min(max((one.decay for one in piece.partials), default=0.0) for piece in known)
    if own * _SOONER >= usual:
        return ""
    return (
        f" It dies away sooner than any of them, {own * 1000:.0f} ms against {usual * 1000:.0f} ms: it may have been "
        "held too firmly, or hide a crack."
    )


def _step(step: float) -> str:
    """How far it lies over or under the known pieces as a whole."""
    share = 100.0 * (exp(step) - 1.0)
    if abs(share) < 0.3:
        return ""
    return f", {abs(share):.1f}% {'higher' if share > 0 else 'lower'} as a whole"


def times(log_odds: float) -> str:
    """How many times as likely, in words: one digit is all that such a figure bears."""
    number = exp(min(log_odds, log(_MILLION) + 1.0))
    if number >= _MILLION:
        return "more than a million times"
    if number < 2.0:
        return "about"
    places = floor(log10(number))
    return f"about {round(number / 10**places) * 10**places:,} times"


def hertz(value: float) -> str:
    """A frequency to three figures, as an expectation bears."""
    places = floor(log10(value)) - 2
    return f"{round(value / 10**places) * 10**places:,}"


def odds_words(log_odds: float) -> str:
    """A likelihood over that of some other ring: `400 times`, `1 in 20`, `about the same`."""
    size = times(abs(log_odds))
    if size == "about":
        return "about the same"
    number = size.removeprefix("about ").removesuffix(" times")
    return f"{number} times" if log_odds > 0.0 else f"1 in {number.removeprefix('more than ')}"
