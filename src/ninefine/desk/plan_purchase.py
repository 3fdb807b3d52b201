"""Planning a purchase: the best basket over the offers on the table under typed wishes; booking it offer by offer."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from typing import TypeVar

from ninefine.book.chain import Stored
from ninefine.book.entries import Bought
from ninefine.catalog.kinds import Basis
from ninefine.desk.fields import Fields
from ninefine.desk.kit import Kit
from ninefine.desk.offers import bought_of
from ninefine.desk.tables import exit_named, exits, offers, resolve_with
from ninefine.errors import NotFoundError, RangeError
from ninefine.market.exits import Exit
from ninefine.market.landed import CostKind, CostLine, Landed
from ninefine.market.offers import Offer
from ninefine.measure.numbers import plain, read_decimal
from ninefine.plan.buying import Invoice
from ninefine.plan.buying_beside import Freed, Missed, limits, missed, runners_up
from ninefine.plan.buying_clash import Clash, clash
from ninefine.plan.buying_plan import Plan, best_basket, market
from ninefine.plan.explain import Reason, TopUp, reasons, top_ups
from ninefine.plan.solver import Patience, Proof
from ninefine.plan.wishes import Goal, Wishes

T = TypeVar("T")
#: What a plan may seek, by the word that is typed for it.
GOALS: Mapping[str, Goal] = {"silver": Goal.MOST_SILVER, "money": Goal.LEAST_SPEND, "loss": Goal.LEAST_LOSS}
#: The counts of ounces that a plan may go by, by the word that is typed.
COUNTS: Mapping[str, Basis | None] = {"known": None, "trade": Basis.TRADE, "unworn": Basis.UNWORN}
#: Every field of the form, in order.
FIELDS = (
    "budget",
    "weight",
    "goal",
    "count",
    "share_least",
    "share_most",
    "sellers",
    "each",
    "rolls",
    "whole",
    "together",
    "must",
    "never",
    "spot",
    "exit",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedPurchase:
    """A plan, whose spot it was struck on, and why its basket is as it is.

    Attributes:
        spot_words: whose price spot is.
        way_out: what the basket would be sold back to; none where no way out is set down.
        reasons: each line with what keeps it from being longer.
        ahead: what a little more would do.
        clash: the wishes that clash, where nothing fits.
    """

    plan: Plan
    spot_words: str
    way_out: Exit | None
    reasons: tuple[Reason, ...]
    ahead: tuple[TopUp, ...]
    clash: Clash | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Beside:
    """What stands beside a plan: the next best baskets, what each limit costs, what each offer in it is worth."""

    runners_up: tuple[Plan, ...]
    limits: tuple[Freed, ...]
    missed: tuple[Missed, ...]


def plan_purchase(
    kit: Kit,
    form: Mapping[str, str],
    *,
    given: Sequence[Offer] | None = None,
    way_out: Exit | None = None,
    patience: Patience | None = None,
) -> PlannedPurchase:
    """The best basket over the offers on the table, or others that are given.

    Fields: those of `FIELDS`; names in lists stand between commas, and offers that one trip serves between plus signs.

    Raises:
        Faults: every fault of the form, each at its field.
        NotFoundError: no spot is known and none given, or no such way out.
    """
    pool = tuple(offers(kit)) if given is None else tuple(given)
    wishes, spot = read_wishes(form, [offer.name for offer in pool], needs_exit=way_out is None and not exits(kit))
    price, words = (spot, "as you gave it") if spot is not None else _price(kit)
    way = way_out if way_out is not None else _way(kit, form.get("exit", "").strip())
    over = market(pool, price, way_out=way, resolve=resolve_with(kit))
    return planned(best_basket(over, wishes, patience=patience), words, patience)


def planned(plan: Plan, spot_words: str, patience: Patience | None = None) -> PlannedPurchase:
    """A plan with the reasons for it; where nothing fits, with the wishes that clash."""
    quiet = None if patience is None else replace(patience, told=None)
    return PlannedPurchase(
        plan=plan,
        spot_words=spot_words,
        way_out=plan.market.way_out,
        reasons=reasons(plan),
        ahead=top_ups(plan),
        clash=clash(plan.market, plan.wishes, patience=quiet) if plan.proof is Proof.NONE else None,
    )


def beside(found: PlannedPurchase, *, seconds: float = 5) -> Beside:
    """What stands beside a plan, by solving again; no search of it takes longer than some seconds."""
    waits = Patience(seconds=seconds)
    return Beside(
        runners_up=runners_up(found.plan, patience=waits),
        limits=limits(found.plan, patience=waits) if found.plan.basket is not None else (),
        missed=missed(found.plan, patience=waits),
    )


def _price(kit: Kit) -> tuple[Decimal, str]:
    stamp = kit.stamp()
    return stamp.per_ozt, stamp.note


def _way(kit: Kit, name: str) -> Exit | None:
    try:
        return exit_named(kit, name)
    except NotFoundError:
        if name:
            raise
        return None


def read_wishes(
    form: Mapping[str, str], names: Sequence[str], *, needs_exit: bool = False
) -> tuple[Wishes, Decimal | None]:
    """The wishes of a form, and the spot that was typed.

    Raises:
        Faults: every fault, each at its field.
    """
    fields = Fields(form, source="the plan")
    wishes = Wishes(
        goal=_choice(fields, "goal", "silver" if fields.raw("budget") else "money", GOALS),
        budget=fields.positive("budget"),
        weight=fields.positive("weight"),
        basis=_choice(fields, "count", "known", COUNTS),
        share_least=fields.read("share_least", _share, None),
        share_most=fields.read("share_most", _share, None),
        sellers=fields.count("sellers"),
        each=fields.positive("each"),
        rolls=fields.raw("rolls") == "yes",
        whole=_names(fields, "whole", names),
        together=_trips(fields, names),
        must=_names(fields, "must", names),
        never=_names(fields, "never", names),
    )
    spot = fields.positive("spot")
    _check(fields, wishes, needs_exit=needs_exit)
    fields.done()
    return wishes.checked(), spot


def _check(fields: Fields, wishes: Wishes, *, needs_exit: bool) -> None:
    """What only the form as a whole can see."""
    if wishes.goal is Goal.MOST_SILVER and not fields.raw("budget"):
        fields.fault("budget", "Say how much money there is.")
    if wishes.goal is not Goal.MOST_SILVER and not fields.raw("weight"):
        wanted = "how many fine ounces" if fields.raw("goal") else "a budget, or how many fine ounces"
        fields.fault("weight", f"Say {wanted}; without that, buying nothing would be best.")
    if wishes.goal is Goal.LEAST_LOSS and needs_exit:
        fields.fault("goal", "The least loss needs a way out to sell back to, and none has been set down.")
    if wishes.must & wishes.never:
        fields.fault("never", f"{', '.join(sorted(wishes.must & wishes.never))}: in, and left out.")


def _choice(fields: Fields, name: str, usual: str, known: Mapping[str, T]) -> T:
    word = fields.raw(name) or usual
    if word not in known:
        fields.fault(name, f"Say one of: {', '.join(known)}.")
        return known[usual]
    return known[word]


def _share(text: str) -> Decimal:
    """A share in per cent: `60` or `60%`.

    Raises:
        UnreadableError: no number.
        RangeError: under 0 or over 100.
    """
    share = read_decimal(text.strip().removesuffix("%").strip(), what="share")
    if not 0 <= share <= 100:
        raise RangeError(f"{text.strip()[:20]} is no share.", expected="A share goes from 0 to 100 per cent.")
    return share


def _names(fields: Fields, name: str, known: Sequence[str], text: str | None = None, by: str = ",") -> frozenset[str]:
    """Offers by name, between commas; `all` is every one of them."""
    said = fields.raw(name) if text is None else text
    if said.lower() == "all" and said not in known:
        return frozenset(known)
    wanted = [said] if said in known else [part.strip() for part in said.split(by) if part.strip()]
    missing = [part for part in wanted if part not in known]
    if missing:
        fields.fault(name, f"There is no offer {missing[0][:40]!r}. There are: {', '.join(known[:8])}.")
    return frozenset(wanted)


def _trips(fields: Fields, known: Sequence[str]) -> tuple[frozenset[str], ...]:
    """Offers that one trip serves: `A + C`, several trips between commas."""
    parts = [part for part in fields.raw("together").split(",") if part.strip()]
    return tuple(_names(fields, "together", known, part.strip(), "+") for part in parts)


def with_travel(invoice: Invoice) -> Landed:
    """What an offer of the basket costs with its share of the miles, as it is booked."""
    cost = invoice.landed
    if not invoice.travel:
        return cost
    line = CostLine(kind=CostKind.TRAVEL, words="its share of the miles", amount=invoice.travel)
    return replace(cost, lines=(*cost.lines, line), total=cost.total + invoice.travel)


def book_plan(kit: Kit, form: Mapping[str, str]) -> tuple[Stored, ...]:
    """Book every offer of the plan that a form asks for, each as a purchase of its own: all of them or none.

    The plan is made anew from the wishes; if it is no longer the one that was shown (`spend`, `spot`), nothing is
    booked. Further fields: `on`, `place`, `arrived` (`no` while on its way), `paper`, `note`.

    Raises:
        Faults: every fault of the form.
        RangeError: nothing to book, or the plan has changed since it was shown.
        BookError: the book would not hold one of them.
    """
    fields = Fields(form, source="the purchases")
    on: date = fields.past_day("on", kit.today())
    shown = fields.money("spend", needed=True)
    fields.done()
    found = plan_purchase(kit, form)
    basket = found.plan.basket
    if basket is None:
        raise RangeError("No basket keeps these wishes, so there is nothing to book.")
    if basket.spend != shown:
        raise RangeError(
            f"The plan now spends {plain(basket.spend)} and not {plain(shown)}: an offer or a price has changed.",
            expected="Look at it again before it is booked.",
        )
    entries: list[Bought] = []
    for invoice in basket.invoices:
        taken = [line.lot for entry in entries for line in entry.lines]
        entries.append(bought_of(kit, with_travel(invoice), on, fields, taken))
    return kit.journal.append_all(entries)
