"""What a person asks of a basket: money or weight, what to seek, and the wishes that it must keep."""

from dataclasses import dataclass, field
from decimal import Decimal
from enum import StrEnum

from ninefine.catalog.kinds import Basis
from ninefine.errors import RangeError


class Goal(StrEnum):
    """What is sought among the baskets that fit."""

    MOST_SILVER = "most silver"
    LEAST_SPEND = "least money"
    LEAST_LOSS = "least lost if sold back"


class Wish(StrEnum):
    """A limit that a basket keeps; one of them may be what stands in the way."""

    BUDGET = "the budget"
    WEIGHT = "the weight wanted"
    SHARE_LEAST = "the least share of constitutional coin"
    SHARE_MOST = "the most share of constitutional coin"
    SELLERS = "the most sellers"
    EACH = "the most to one offer"
    ROLLS = "whole rolls only"
    WHOLE = "offers taken whole"
    WITH = "offers that must be in"


@dataclass(frozen=True, slots=True, kw_only=True)
class Wishes:
    """What a basket is to be.

    Attributes:
        goal: what is sought among the baskets that fit.
        budget: no more than this leaves the pocket, travel and all.
        weight: no fewer fine troy ounces than this.
        basis: the ounces that count; none: the scale's where a line was weighed, else the trade's, as in a ranking.
        share_least, share_most: of those ounces, constitutional coin in per cent.
        sellers: no more sellers than this.
        each: no more than this to any one offer, without travel.
        rolls: coin that comes in rolls is bought by whole rolls.
        whole: offers taken whole or left; of others any whole amount may be taken.
        together: offers that one trip serves, by name; its travel is counted once, at the longest.
        only: nothing else is looked at; all offers where empty. never: these are left out. must: these are in.
    """

    goal: Goal = Goal.MOST_SILVER
    budget: Decimal | None = None
    weight: Decimal | None = None
    basis: Basis | None = None
    share_least: Decimal | None = None
    share_most: Decimal | None = None
    sellers: int | None = None
    each: Decimal | None = None
    rolls: bool = False
    whole: frozenset[str] = frozenset()
    together: tuple[frozenset[str], ...] = ()
    only: frozenset[str] = frozenset()
    never: frozenset[str] = frozenset()
    must: frozenset[str] = field(default=frozenset())
    sold_back: bool = False

    def checked(self) -> "Wishes":
        """These wishes, if they can be asked at all.

        Raises:
            RangeError: nothing to bound the basket by, or a share that is none.
        """
        if self.goal is Goal.MOST_SILVER and self.budget is None:
            raise RangeError(
                "The most silver for how much money?", expected="Give a budget.", instead=("a budget of 3100",)
            )
        if self.goal is not Goal.MOST_SILVER and self.weight is None:
            raise RangeError(
                f"The {self.goal} for how much silver?",
                expected="Give a weight in fine ounces; without one, buying nothing would be best.",
                instead=("a weight of 50",),
            )
        for share in (self.share_least, self.share_most):
            if share is not None and not 0 <= share <= 100:
                raise RangeError(f"{share} is no share.", expected="A share goes from 0 to 100 per cent.")
        return self

    def asked(self) -> tuple[Wish, ...]:
        """The wishes that were made, in the order in which they are named."""
        made = {
            Wish.BUDGET: self.budget is not None,
            Wish.WEIGHT: self.weight is not None,
            Wish.SHARE_LEAST: bool(self.share_least),
            Wish.SHARE_MOST: self.share_most is not None and self.share_most < 100,
            Wish.SELLERS: self.sellers is not None,
            Wish.EACH: self.each is not None,
            Wish.ROLLS: self.rolls,
            Wish.WHOLE: bool(self.whole),
            Wish.WITH: bool(self.must),
        }
        return tuple(wish for wish, asked in made.items() if asked)
