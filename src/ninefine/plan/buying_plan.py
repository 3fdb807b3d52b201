"""The best basket over offers, proven: the model is solved, and the market's landed cost has the last word."""

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction
from time import monotonic
from typing import TYPE_CHECKING

from ninefine.errors import RangeError
from ninefine.market.content import content
from ninefine.market.exits import Exit
from ninefine.market.goods import Resolve
from ninefine.market.offers import Offer
from ninefine.plan.buying import Basket, Known, LeftOut, Pick, Source, broken_wishes, judged, sources, with_bids
from ninefine.plan.buying_draft import Draft, drafts
from ninefine.plan.buying_model import BasketModel
from ninefine.plan.solver import Answer, Patience, Proof, solve
from ninefine.plan.wishes import Goal, Wishes

if TYPE_CHECKING:
    from ninefine.plan.buying_sift import Sieve

#: Sets of offers, by name, that are ruled out each as a whole.
Bans = Collection[frozenset[str]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Market:
    """What a plan is made over.

    Attributes:
        sources: what may be bought of each offer. left_out: offers that cannot be looked at, and why.
        spot: dollars per fine troy ounce.
        way_out: what would be sold back to, if anything.
    """

    offers: tuple[Offer, ...]
    spot: Decimal
    way_out: Exit | None
    resolve: Resolve
    known: Known

    def sources(self, wishes: Wishes) -> tuple[tuple[Source, ...], tuple[LeftOut, ...]]:
        """What may be bought of each offer under some wishes, and what cannot be looked at."""
        found, out = sources(self.offers, self.spot, wishes, resolve=self.resolve)
        if self.way_out is not None and (wishes.sold_back or wishes.goal is Goal.LEAST_LOSS):
            found = tuple(kept for one in found if (kept := with_bids(one, self.way_out)) is not None)
        return found, out


def market(
    offers: Iterable[Offer], spot: Decimal, *, way_out: Exit | None = None, resolve: Resolve = content
) -> Market:
    """What a plan is made over: offers at a spot, and a way out to sell back to."""
    return Market(offers=tuple(offers), spot=spot, way_out=way_out, resolve=resolve, known=Known(spot))


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """The best basket that was found, and how far that is proven.

    Attributes:
        basket: what is bought; none where nothing fits, or nothing was found in the time.
        proof: proven best, best so far, nothing fits, nothing found.
        bound: no basket is better than this by the goal: fine ounces, or dollars; none where nothing is known.
        settled: among equals, the one that spends least (or holds most) is proven too.
        turned_down: baskets that the market did not let stand on the way.
    """

    market: Market
    wishes: Wishes
    basket: Basket | None
    proof: Proof
    bound: Fraction | None
    settled: bool
    turned_down: int
    seconds: float
    left_out: tuple[LeftOut, ...]

    @property
    def value(self) -> Fraction | None:
        """What the basket comes to by the goal: fine ounces, or dollars."""
        return None if self.basket is None else value_of(self.basket, self.wishes.goal)

    @property
    def gap(self) -> Fraction | None:
        """How far the bound lies from it; zero where it is proven."""
        return None if self.value is None or self.bound is None else abs(self.bound - self.value)

    @property
    def change(self) -> Decimal | None:
        """What is left of the budget."""
        if self.basket is None or self.wishes.budget is None:
            return None
        return self.wishes.budget - self.basket.spend


def value_of(basket: Basket, goal: Goal) -> Fraction:
    """What a basket comes to by a goal: fine ounces, or dollars."""
    if goal is Goal.MOST_SILVER:
        return basket.ozt
    if goal is Goal.LEAST_SPEND or basket.loss is None:
        return Fraction(basket.spend)
    return Fraction(basket.loss)


def rank(basket: Basket, goal: Goal) -> tuple[Fraction, Fraction]:
    """Baskets in order of a goal, the best first; among equals the one that spends least, or else holds most."""
    value = value_of(basket, goal)
    if goal is Goal.MOST_SILVER:
        return -value, Fraction(basket.spend)
    return value, -basket.ozt if goal is Goal.LEAST_SPEND else Fraction(basket.spend)


#: With fewer stretches than this nothing is sifted out first.
_FEW = 40
#: Offers in the first, smaller search, whose basket the sieve goes by.
_LIKELY = 6
#: The part of the time in which baskets are counted out before a solver is asked, and the seconds that is at most.
_SWEPT, _SWEPT_MOST = 0.4, 5.0
#: How near to its bound that basket must come, as a part of it.
_NEAR = 2e-4


def best_basket(over: Market, wishes: Wishes, *, patience: Patience | None = None, other_than: Bans = ()) -> Plan:
    """The best basket over some offers.

    Args:
        over: offers, spot and way out.
        wishes: what is sought, and the limits.
        patience: how long it may take, and who watches.
        other_than: sets of offers by name that are ruled out, each as a whole.

    Raises:
        RangeError: wishes that bound nothing, or the least loss without a way out to sell back to.
    """
    return found_for(over, wishes.checked(), patience=patience, other_than=other_than)


def found_for(over: Market, wishes: Wishes, *, patience: Patience | None = None, other_than: Bans = ()) -> Plan:
    """The same for wishes that need not bound anything: whether any basket fits, and how far one could go.

    Raises:
        RangeError: the least loss without a way out to sell back to.
    """
    if wishes.goal is Goal.LEAST_LOSS and over.way_out is None:
        raise RangeError("The least loss needs a way out to sell back to.", expected="Set one down, or name one.")
    began = monotonic()
    waits = patience or Patience()
    found, left_out = over.sources(wishes)
    every = drafts(found, over.spot, wishes)
    swept, every = _narrowed(over, wishes, every, waits, other_than)
    if swept is not None:
        return replace(swept, left_out=left_out, seconds=monotonic() - began)
    made = BasketModel(every, over.spot, wishes, way_out=over.way_out, known=over.known)
    for names in other_than:
        made.rule_out(names)
    answer = _settled(made, replace(waits, seconds=max(0.0, waits.seconds - (monotonic() - began))))
    return _plan(over, made, answer, left_out, began)


def _settled(made: BasketModel, waits: Patience) -> Answer:
    """Search for the goal; then, among equals and with what the basket found costs for a limit, for the second aim."""
    aim, then = made.aims()
    first = solve(made.model, aim, judge=made.judge, patience=waits)
    found = _best(made, first)
    if first.proof is not Proof.PROVEN or first.value is None or found is None:
        return first
    left = replace(waits, seconds=max(0.0, waits.seconds - first.seconds), told=None)
    best = value_of(found, made.wishes.goal)
    if best != first.value / made.unit:
        return first  # a basket that was set aside is the better one, and nothing else comes near it
    if made.wishes.goal is Goal.MOST_SILVER:
        made.no_dearer(found)
    made.hold(aim, first.value)
    second = solve(made.model, then, judge=made.settle, patience=left)
    settled = second.proof is Proof.PROVEN
    return replace(first, values=second.values or first.values, settled=settled)


def _narrowed(
    over: Market, wishes: Wishes, every: list[Draft], waits: Patience, other_than: Bans
) -> tuple[Plan | None, list[Draft]]:
    """The best basket where it can be told by listing all that come near the bound; else the stretches to search.

    Those are all of them or, of many, those that the best basket may use, told by one found among a few offers.
    """
    bounded = wishes.budget is not None if wishes.goal is Goal.MOST_SILVER else wishes.weight is not None
    if not bounded or not every:
        return None, every
    from ninefine.plan import buying_sift, buying_sweep  # noqa: PLC0415 - heavy: numpy, loaded when a plan is made

    sieve = buying_sift.Sieve(every, wishes, over.way_out, sets_matter=bool(other_than))

    place = {name: at for at, name in enumerate(sieve.names)}

    def judge(picks: Sequence[Pick]) -> Basket | None:
        if not picks or frozenset(pick.source.name for pick in picks) in other_than:
            return None
        ordered = sorted(picks, key=lambda pick: place[pick.source.name])
        basket = judged(ordered, over.spot, wishes, over.way_out, known=over.known)
        return None if broken_wishes(basket, wishes) or not _sellable(basket, wishes) else basket

    until = monotonic() + min(waits.seconds * _SWEPT, _SWEPT_MOST)
    found = buying_sweep.sweep(sieve, judge, lambda basket: rank(basket, wishes.goal), until)
    if found is not None:
        return _swept(over, wishes, *found), every
    return None, _sifted(over, wishes, sieve, waits, other_than) if len(every) > _FEW else every


def _sellable(basket: Basket, wishes: Wishes) -> bool:
    """Whether a way out has a bid for all of it, where the least loss is sought."""
    if wishes.goal is not Goal.LEAST_LOSS:
        return True
    return basket.back is not None and not basket.back.unsold


def _swept(over: Market, wishes: Wishes, basket: Basket, turned: int) -> Plan:
    return Plan(
        market=over,
        wishes=wishes,
        basket=basket,
        proof=Proof.PROVEN,
        bound=value_of(basket, wishes.goal),
        settled=True,
        turned_down=turned,
        seconds=0,
        left_out=(),
    )


def _sifted(over: Market, wishes: Wishes, sieve: "Sieve", waits: Patience, other_than: Bans) -> list[Draft]:
    """The stretches that the best basket may use, told by a basket found among the likeliest offers."""
    count = _LIKELY
    while count < len(sieve.names):
        made = BasketModel(sieve.likely(count), over.spot, wishes, way_out=over.way_out, known=over.known)
        for names in other_than:
            made.rule_out(names)
        rough = Patience(seconds=waits.seconds / 4, near=_NEAR)
        answer = solve(made.model, made.aims()[0], judge=made.judge, patience=rough)
        best = _best(made, answer)
        if best is not None:
            return sieve.left(value_of(best, wishes.goal))
        count *= 3
    return list(sieve.drafts)


def _best(made: BasketModel, answer: Answer) -> Basket | None:
    """The best basket of a search: what the solver found, or one that was set aside on the way."""
    baskets = list(made.aside)
    if answer.values is not None:
        baskets.append(made.basket(made.picks(answer.values)))
    return min(baskets, key=lambda basket: rank(basket, made.wishes.goal), default=None)


def _plan(over: Market, made: BasketModel, answer: Answer, left_out: tuple[LeftOut, ...], began: float) -> Plan:
    best = _best(made, answer)
    if best is not None and (wrong := broken_wishes(best, made.wishes)):
        raise AssertionError(f"a plan breaks its own wishes: {'; '.join(wrong)}")
    goal = made.wishes.goal
    proof = _proof(answer, best)
    value = None if best is None else value_of(best, goal)
    bound = value if proof is Proof.PROVEN else (None if answer.bound is None else answer.bound / made.unit)
    return Plan(
        market=over,
        wishes=made.wishes,
        basket=best,
        proof=proof,
        bound=bound,
        settled=answer.settled,
        turned_down=answer.turned_down,
        seconds=monotonic() - began,
        left_out=left_out,
    )


def _proof(answer: Answer, best: Basket | None) -> Proof:
    """A basket that was set aside may be the best, though the solver found nothing else."""
    if best is None or answer.proof in {Proof.PROVEN, Proof.SO_FAR}:
        return answer.proof
    return Proof.PROVEN if answer.proof is Proof.NONE else Proof.SO_FAR
