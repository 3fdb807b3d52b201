"""What stands beside the best basket: the next best ones, what each limit costs, what each offer in it is worth."""

from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction

from ninefine.plan.buying_plan import Bans, Plan, best_basket, found_for
from ninefine.plan.explain import better_by
from ninefine.plan.solver import Patience, Proof
from ninefine.plan.wishes import Wish, Wishes

#: Dollars and ounces by which a budget and a weight are moved to see what they are worth.
MORE_MONEY = Decimal(100)
MORE_WEIGHT = Decimal(1)


def runners_up(plan: Plan, count: int = 2, *, patience: Patience | None = None) -> tuple[Plan, ...]:
    """The best baskets from other sets of offers, the best first."""
    found: list[Plan] = []
    bans: Bans = ()
    last = plan
    while last.basket is not None and len(found) < count:
        bans = (*bans, frozenset(invoice.pick.source.name for invoice in last.basket.invoices))
        last = best_basket(plan.market, plan.wishes, patience=patience, other_than=bans)
        if last.basket is not None:
            found.append(last)
    return tuple(found)


@dataclass(frozen=True, slots=True, kw_only=True)
class Freed:
    """What a limit costs: the best basket with it moved or taken away, and by how much that is better.

    Attributes:
        wish: the limit.
        moved: by how much it was moved (dollars, ounces); none where it was taken away.
        gain: ounces or dollars by which the basket gets better; none where nothing was found.
    """

    wish: Wish
    moved: Decimal | None
    plan: Plan
    gain: Fraction | None


def limits(plan: Plan, *, patience: Patience | None = None) -> tuple[Freed, ...]:
    """What each limit costs, by solving again: a hundred dollars more, an ounce less, or without the wish."""
    found = []
    for wish in plan.wishes.asked():
        moved: Decimal | None = None
        if wish is Wish.BUDGET and plan.wishes.budget is not None:
            moved = MORE_MONEY
            wishes = replace(plan.wishes, budget=plan.wishes.budget + MORE_MONEY)
        elif wish is Wish.WEIGHT and plan.wishes.weight is not None:
            if plan.wishes.weight <= MORE_WEIGHT:
                continue
            moved = MORE_WEIGHT
            wishes = replace(plan.wishes, weight=plan.wishes.weight - MORE_WEIGHT)
        else:
            wishes = without(plan.wishes, wish)
        other = best_basket(plan.market, wishes, patience=patience)
        found.append(Freed(wish=wish, moved=moved, plan=other, gain=better_by(other, plan)))
    return tuple(found)


@dataclass(frozen=True, slots=True, kw_only=True)
class Missed:
    """What an offer in the basket is worth: by how much the best without it is worse; none where nothing fits."""

    offer: str
    loss: Fraction | None
    plan: Plan


def missed(plan: Plan, *, patience: Patience | None = None) -> tuple[Missed, ...]:
    """For each offer in the basket, what the best basket without it would come short of."""
    if plan.basket is None:
        return ()
    found = []
    for invoice in plan.basket.invoices:
        name = invoice.pick.source.name
        wishes = replace(plan.wishes, never=plan.wishes.never | {name}, must=plan.wishes.must - {name})
        other = found_for(plan.market, wishes, patience=patience)
        found.append(Missed(offer=name, loss=better_by(plan, other), plan=other))
    return tuple(found)


def without(wishes: Wishes, wish: Wish) -> Wishes:
    """The same wishes without one of them."""
    plain = Wishes()
    free: dict[Wish, Wishes] = {
        Wish.BUDGET: replace(wishes, budget=plain.budget),
        Wish.WEIGHT: replace(wishes, weight=plain.weight),
        Wish.SHARE_LEAST: replace(wishes, share_least=plain.share_least),
        Wish.SHARE_MOST: replace(wishes, share_most=plain.share_most),
        Wish.SELLERS: replace(wishes, sellers=plain.sellers),
        Wish.EACH: replace(wishes, each=plain.each),
        Wish.ROLLS: replace(wishes, rolls=plain.rolls),
        Wish.WHOLE: replace(wishes, whole=plain.whole),
        Wish.WITH: replace(wishes, must=plain.must),
    }
    return free[wish]


def proven(plans: tuple[Plan, ...]) -> bool:
    """Whether every one of some plans was carried to its end."""
    return all(plan.proof in {Proof.PROVEN, Proof.NONE} for plan in plans)
