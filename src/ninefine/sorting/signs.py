"""The signs by which sorters say that a bag was picked over: each with what was expected, what was found, its chance.

The list is common practice; no source was found for it. Each sign is a part of the mix that searchers are said to take
(or to leave), so each can be reckoned: of n pieces, m = n p are expected, and an unpicked bag shows c or fewer with a
chance that is a binomial sum. For c = 0 and a rare sign it is near e to the minus m.
"""

from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal

from ninefine.catalog.kinds import Evidence
from ninefine.measure.numbers import to_places
from ninefine.sorting.catching import gone_to_tell
from ninefine.sorting.chances import none_when_expected, say_chance
from ninefine.sorting.effect import LEVEL
from ninefine.sorting.expected import Expected
from ninefine.sorting.found import Beside
from ninefine.sorting.mintage import Struck

#: The first year of the dates that a searched bag still holds, by denomination.
_LATE = {"dime": 1946, "quarter": 1934, "half": 1948}
_PLURAL = {"dime": "Dimes", "quarter": "Quarters", "half": "Half dollars", "dollar": "Dollars"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule:
    """What one sign looks at.

    Attributes:
        name: a word for it, for the page and for scripts.
        title: what is counted, in words.
        wanted: the years and mints that count.
        many: whether too many of them are the sign; else too few are.
    """

    name: str
    title: str
    wanted: Callable[[Struck], bool]
    many: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Sign:
    """One sign, reckoned for one bag.

    Attributes:
        name, title, many: as of its rule.
        cells: the places of its years and mints among the shares of the mix.
        share: their part of the mix.
        expected: pieces, m.
        found: pieces, c.
        chance: that an unpicked bag shows so few (or, of a sign of too many, so many).
        none_chance: that it would show none at all, e to the minus m.
        gone_to_tell: what part of these pieces must be gone before a bag of this size tells it four times in five; none
            where not even all of them, or where too many are the sign.
        words: what it says, and no more.
    """

    name: str
    title: str
    many: bool
    cells: tuple[int, ...]
    share: Decimal
    expected: Decimal
    found: int
    chance: float
    none_chance: float
    gone_to_tell: float | None
    words: str
    evidence: Evidence = Evidence.CONVENTION

    @property
    def speaks(self) -> bool:
        """Whether an unpicked bag would show this fewer than one time in twenty."""
        return self.chance < LEVEL


@dataclass(frozen=True, slots=True, kw_only=True)
class Watched:
    """A sign and the part of a mix that it looks at: places among the shares, and their sum."""

    rule: Rule
    cells: tuple[int, ...]
    share: Decimal


def rules_for(denomination: str) -> tuple[Rule, ...]:
    """The signs that are looked for in a denomination, by its key (common practice, no source)."""
    rules: list[Rule] = []
    late = _LATE.get(denomination)
    if late is not None:
        rules += [
            Rule(
                name="old dates",
                title=f"{_PLURAL[denomination]} before {late}",
                wanted=lambda struck: struck.year < late,
            ),
            Rule(
                name="S mint",
                title="San Francisco, 1940s and 1950s",
                wanted=lambda struck: struck.mint == "S" and 1940 <= struck.year <= 1959,
            ),
            Rule(
                name="last years",
                title="1963 Denver and 1964",
                wanted=lambda struck: struck.year == 1964 or struck.key == "1963-D",
                many=True,
            ),
        ]
    if denomination == "dollar":
        rules.append(Rule(name="CC mint", title="Carson City", wanted=lambda struck: struck.mint == "CC"))
    return (
        *rules,
        Rule(name="keys", title="Keys and semi-keys", wanted=lambda struck: struck.rank in {"key", "semi-key"}),
        Rule(name="better", title="Better dates", wanted=lambda struck: struck.rank == "better"),
    )


def watched(expected: Expected) -> tuple[Watched, ...]:
    """The signs that a mix allows: those of which its dates hold something, and something else beside."""
    signs = []
    for rule in rules_for(expected.denomination):
        cells = tuple(place for place, row in enumerate(expected.shares) if rule.wanted(row.struck))
        if 0 < len(cells) < len(expected.shares):
            share = sum((expected.shares[place].share for place in cells), Decimal(0))
            signs.append(Watched(rule=rule, cells=cells, share=share))
    return tuple(signs)


def signs_of(beside: Beside) -> tuple[Sign, ...]:
    """Every sign that the mix allows, for one bag; none for a bag without dated pieces."""
    if not beside.pieces:
        return ()
    return tuple(_sign(sign, beside) for sign in watched(beside.expected))


def _sign(sign: Watched, beside: Beside) -> Sign:
    from ninefine.sorting import arrays  # noqa: PLC0415 - heavy: numpy and scipy, loaded when a chance is asked for

    found = sum(beside.found[place] for place in sign.cells)
    expected = sign.share * beside.pieces
    tail = arrays.at_least if sign.rule.many else arrays.at_most
    chance = float(tail(found, beside.pieces, float(sign.share)))
    none_chance = none_when_expected(expected)
    return Sign(
        name=sign.rule.name,
        title=sign.rule.title,
        many=sign.rule.many,
        cells=sign.cells,
        share=sign.share,
        expected=expected,
        found=found,
        chance=chance,
        none_chance=none_chance,
        gone_to_tell=None if sign.rule.many else gone_to_tell(sign.share, beside.pieces),
        words=_words(sign.rule, expected, found, chance, none_chance),
    )


def _words(rule: Rule, expected: Decimal, found: int, chance: float, none_chance: float) -> str:
    counted = f"{found:,} found where {to_places(expected, 1):,} were expected"
    so = "so many or more" if rule.many else "none" if not found else "so few or fewer"
    said = f"{counted}; an unpicked bag shows {so} with a chance of {say_chance(chance)}."
    if chance >= LEVEL:
        if not rule.many and none_chance >= LEVEL:
            return f"{said} So few are expected that even none would say nothing."
        return f"{said} Consistent with an unpicked bag."
    if rule.many:
        return f"{said} By itself that is odd: consistent with what searchers leave, and with coin put away new."
    return f"{said} By itself that is odd, and consistent with searched."
