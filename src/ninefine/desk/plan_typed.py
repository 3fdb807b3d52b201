"""What a person types for a plan of selling: how much, by when, at which rates, by which ways out."""

from collections.abc import Mapping
from datetime import date, timedelta
from decimal import Decimal

from ninefine.book.gains import totals, year_gains
from ninefine.book.term import Term
from ninefine.desk.book_settings import settings
from ninefine.desk.fields import Fields
from ninefine.desk.kit import Kit
from ninefine.desk.tables import exits
from ninefine.errors import NotFoundError, RangeError, UnreadableError
from ninefine.market.exits import Exit
from ninefine.market.goods import Limit, read_limit
from ninefine.measure.days import read_day
from ninefine.measure.numbers import plain, read_count, read_positive
from ninefine.plan.selling import Goal
from ninefine.plan.taxed import Rates

ZERO = Decimal(0)
#: What a plan may make best, by the word that is typed for it, and the same in words.
GOALS: Mapping[str, tuple[Goal, str]] = {
    "least-silver": (Goal.LEAST_SILVER, "the least silver goes"),
    "most-kept": (Goal.MOST_KEPT, "the most is left after tax"),
    "fewest-trips": (Goal.FEWEST_TRIPS, "the fewest ways out"),
}
_DAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
_MOST_RATE = 100
_MOST_DAYS = 3660


def read_by(text: str, today: date) -> date:
    """Read a day by which money must be there: `2026-06-19`, `friday` (the next one, or today), `10 days`, `today`.

    Raises:
        UnreadableError: none of these.
        RangeError: a day that has gone by.
    """
    said = text.strip().lower().removeprefix("by ").strip()
    for number, name in enumerate(_DAYS):
        if said and len(said) > 2 and name.startswith(said):
            return today + timedelta(days=(number - today.weekday()) % 7)
    if said == "today":
        return today
    count, _, unit = said.partition(" ")
    if unit in {"day", "days"}:
        days = read_count(count, what="number of days", zero=True)
        if days > _MOST_DAYS:
            raise RangeError(f"{days:,} days is further than a plan of selling looks.", instead=(f"{_MOST_DAYS} days",))
        return today + timedelta(days=days)
    try:
        day = read_day(said)
    except UnreadableError as error:
        raise UnreadableError(
            f"{text.strip()[:20]!r} is not a day.", instead=(today.isoformat(), "friday", "10 days")
        ) from error
    if day < today:
        raise RangeError(f"{day} has gone by.", expected=f"Say {today} or a later day.")
    return day


def read_how_much(fields: Fields) -> tuple[Decimal | None, Limit | None]:
    """The sum that is needed, or the amount that is to be sold: one of the two."""
    wanted = fields.positive("sum")
    amount = fields.read("amount", read_limit, None)
    if amount is not None and amount.unit == "money":
        fields.fault("amount", "Say face, pieces or ozt: 400 face. A sum of money goes above.")
    if fields.raw("sum") and fields.raw("amount"):
        fields.fault("amount", "Say a sum or an amount, not both.")
    if not fields.raw("sum") and not fields.raw("amount"):
        fields.fault("sum", "Say how much money is needed, or how much is to be sold.")
    return wanted, amount


def read_goal(fields: Fields) -> Goal:
    """What the plan makes best."""
    word = fields.raw("goal") or ("least-silver" if fields.raw("sum") else "most-kept")
    if word not in GOALS:
        fields.fault("goal", f"Say {', '.join(list(GOALS)[:-1])} or {list(GOALS)[-1]}.")
        return Goal.LEAST_SILVER
    return GOALS[word][0]


def read_trips(fields: Fields) -> int | None:
    """How many ways out may be used; any number where nothing was said."""
    return fields.read("most_trips", lambda text: read_count(text, what="number of trips"), None)


def read_rates(kit: Kit, fields: Fields) -> Rates:
    """The typed rates, or those settled for the book; and where the year stands, unless that is not to count."""
    settled = settings(kit)
    short = fields.read("short_rate", _rate, settled.short_rate or ZERO)
    long = fields.read("long_rate", _rate, settled.long_rate or ZERO)
    before = {Term.SHORT: ZERO, Term.LONG: ZERO}
    if fields.raw("so_far") != "no":
        before = gains_so_far(kit, dearer=Term.SHORT if short >= long else Term.LONG)
    return Rates(
        short=short,
        long=long,
        loss_limit=fields.money("loss_limit"),
        before_short=before[Term.SHORT],
        before_long=before[Term.LONG],
    )


def gains_so_far(kit: Kit, *, dearer: Term = Term.SHORT) -> dict[Term, Decimal]:
    """This year's gains by term as the book has them; what nobody knows the term of counts as the dearer."""
    rows = year_gains(kit.holdings().disposals, kit.today().year).sold
    return {
        term: totals(row for row in rows if row.term is term or (row.term is Term.UNKNOWN and term is dearer)).gain
        for term in (Term.SHORT, Term.LONG)
    }


def _rate(text: str) -> Decimal:
    rate = read_positive(text.strip().removesuffix("%"), what="rate", zero=True)
    if rate > _MOST_RATE:
        raise RangeError(f"{plain(rate)} is more than a hundred per cent.")
    return rate


def read_ways(kit: Kit, fields: Fields) -> tuple[Exit, ...]:
    """The ways out that may be used, the quickest first; all of them where none are named.

    Raises:
        NotFoundError: no way out has been set down.
    """
    known = exits(kit)
    if not known:
        raise NotFoundError(
            "No way out has been set down yet.",
            expected="Set one down with what it pays.",
            instead=('ninefine exit "the shop" --bid "90=95% of melt"',),
        )
    names = [name.strip() for name in fields.raw("ways").split(",") if name.strip()]
    missing = [name for name in names if name not in {way.name for way in known}]
    if missing:
        fields.fault("ways", f"There is no way out {missing[0][:40]!r}. There are: {', '.join(w.name for w in known)}.")
    chosen = [way for way in known if not names or way.name in names]
    return tuple(sorted(chosen, key=lambda way: (way.days is None, way.days or 0)))
