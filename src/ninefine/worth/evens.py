"""What each way out would gain on the stack, and the spot at which it would pay back what the stack cost."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from ninefine.market.content import content_of
from ninefine.market.exits import Exit
from ninefine.market.paid import break_even, pays
from ninefine.worth.stack import Pile, PileWorth, Stack
from ninefine.worth.ways_out import goods_of

ZERO = Decimal(0)
METAL = "XAG"


@dataclass(frozen=True, slots=True, kw_only=True)
class ExitGain:
    """What a way out would gain on the silver that it buys and whose cost is known.

    Attributes:
        exit: the way out.
        net: what would reach the pocket for that silver.
        cost: what that silver cost.
        even: the spot at which it would pay back the cost, its bid rule unchanged; none where no spot does.
        unsold: kinds that it has no bid for.
        unsold_cost: what those cost.
        uncosted_ozt: ounces that it would buy and of which nobody knows the cost: they are in no figure here.
    """

    exit: Exit
    net: Decimal
    cost: Decimal
    even: Decimal | None
    unsold: tuple[str, ...]
    unsold_cost: Decimal
    uncosted_ozt: Decimal

    @property
    def gain(self) -> Decimal:
        """Net less cost; not realised, and below zero for a loss."""
        return self.net - self.cost


def exit_gains(stack: Stack, exits: Sequence[Exit], spots: Mapping[str, Decimal]) -> tuple[ExitGain, ...]:
    """What each exit would gain on the silver of a stack, the greatest gain first.

    An exit that buys none of it is left out. Costs of the way (fees, postage, travel) fall on the silver whose cost is
    known as if that were all.
    """
    spot = spots.get(METAL)
    if spot is None:
        return ()
    lines = [line for line in stack.lines if line.pile.kind.metal == METAL and line.pile.kind.fineness]
    found = [gain for way in exits if (gain := _exit_gain(way, lines, spot)) is not None]
    return tuple(sorted(found, key=lambda one: -one.gain))


def _exit_gain(way: Exit, lines: Sequence[PileWorth], spot: Decimal) -> ExitGain | None:
    buys = [line for line in lines if _bid(way, line.pile)]
    costed = [line.pile for line in buys if line.pile.cost_known]
    if not costed:
        return None
    goods = [goods_of(pile.kind, pile) for pile in costed]
    cost = sum((pile.basis for pile in costed), ZERO)
    unsold = [line.pile for line in lines if not _bid(way, line.pile)]
    return ExitGain(
        exit=way,
        net=pays(way, goods, spot, metal=METAL).net,
        cost=cost,
        even=break_even(way, goods, cost, spot, metal=METAL),
        unsold=tuple(dict.fromkeys(pile.kind.name for pile in unsold)),
        unsold_cost=sum((pile.basis for pile in unsold), ZERO),
        uncosted_ozt=sum((line.fine.ozt for line in buys if not line.pile.cost_known), ZERO),
    )


def _bid(way: Exit, pile: Pile) -> bool:
    return way.bid_for(content_of(pile.kind)) is not None
