"""How much of what was struck is thought to be left: the person's assumption, written out and never hidden.

Mintage is not survival. Early dates wore out, and melts took some years more than others; nobody counted what is left.
So the share of a date among survivors is mintage times an assumption, and the assumption is a record that is shown
beside every figure that rests on it.
"""

from dataclasses import dataclass
from decimal import Decimal

from ninefine.errors import RangeError
from ninefine.measure.numbers import EXACT, plain


@dataclass(frozen=True, slots=True, kw_only=True)
class Melt:
    """A melt that took a share of what was in being, of the dates up to its own year.

    Attributes:
        year: when it was; pieces of later dates are untouched.
        share: the part of the earlier pieces that it took, from 0 to below 1.
        first_year: the oldest date that it touched; none for all.
        words: what it was, for the page.
    """

    year: int
    share: Decimal
    first_year: int | None = None
    words: str = ""

    def __post_init__(self) -> None:
        _a_part(self.share, f"The share that the melt of {self.year} took")

    def left(self, year: int) -> Decimal:
        """The part of the pieces of a date that the melt left."""
        touched = year <= self.year and (self.first_year is None or year >= self.first_year)
        return 1 - self.share if touched else Decimal(1)


@dataclass(frozen=True, slots=True, kw_only=True)
class Survival:
    """What is assumed to be left of each date.

    Attributes:
        yearly_loss: the part of the pieces in being that each year takes, from 0 to below 1; 0 is flat survival.
        until: the year to which the loss runs; 1964 where coin left circulation soon after (common practice).
        melts: what took some dates more than others.
    """

    yearly_loss: Decimal = Decimal(0)
    until: int = 1964
    melts: tuple[Melt, ...] = ()

    def __post_init__(self) -> None:
        _a_part(self.yearly_loss, "The loss of a year")

    def weight(self, year: int) -> Decimal:
        """The part assumed to be left of the pieces struck in a year, to 40 digits. Only ratios of it matter."""
        left = EXACT.power(1 - self.yearly_loss, max(0, self.until - year))
        for melt in self.melts:
            left = EXACT.multiply(left, melt.left(year))
        return left

    @property
    def flat(self) -> bool:
        """Whether every date is taken to survive alike."""
        return not self.yearly_loss and not self.melts

    @property
    def sentence(self) -> str:
        """The assumption in words, to stand beside what rests on it."""
        if self.flat:
            said = "every date survives alike (flat)"
        elif self.yearly_loss:
            said = f"{_percent(self.yearly_loss)} of the pieces left are lost each year from striking to {self.until}"
        else:
            said = "no loss by age"
        for melt in self.melts:
            span = f"of the pieces dated to {melt.year}"
            if melt.first_year is not None:
                span = f"of the pieces dated {melt.first_year} to {melt.year}"
            said += f"; {melt.words or f'a melt of {melt.year}'} took {_percent(melt.share)} {span}"
        return f"Assumed survival: {said}. Mintage is not survival."


def _a_part(share: Decimal, what: str) -> None:
    if not 0 <= share < 1:
        raise RangeError(
            f"{what} is {plain(share)}.",
            expected="It is a part of one, from 0 to below 1: 0.02 for two in a hundred.",
            instead=("0", "0.01", "0.03"),
        )


def _percent(share: Decimal) -> str:
    return f"{plain(share * 100)}%"


#: Every date survives alike.
FLAT = Survival()
