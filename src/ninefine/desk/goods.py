"""Goods as a person names them: a kind and perhaps an issue, an amount, a price."""

from dataclasses import dataclass
from decimal import Decimal

from ninefine.book.entries import Amount
from ninefine.catalog.catalog import Catalog
from ninefine.catalog.kinds import Form, Kind
from ninefine.catalog.lookup import look
from ninefine.errors import NotFoundError, RangeError, UnreadableError
from ninefine.market.goods import Goods
from ninefine.market.quote import Quote, per_unit
from ninefine.market.read_quote import read_quote
from ninefine.measure.money import METALS, cents, read_money
from ninefine.measure.numbers import to_places
from ninefine.worth.ways_out import goods_of

#: Names of goods beside their kinds: a form of metal, or a metal.
_WIDE = {form.value for form in Form} | {name for _, name in METALS.values()}
#: The trade's shortest names for goods, before any look-up.
SHORT_NAMES = {
    "90": "us-90",
    "90%": "us-90",
    "dimes": "us-dime-90",
    "quarters": "us-quarter-90",
    "halves": "us-half-90",
    "dollars": "us-dollar-90",
    "40": "us-half-40",
    "40%": "us-half-40",
    "war": "us-five-cent-wartime",
    "ozt": "xag-generic-round-1oz",
    "sterling": "household-sterling-925",
}
#: How far ahead of the second-best hit the best must be to be taken without asking.
CLEAR_LEAD = 0.2


@dataclass(frozen=True, slots=True, kw_only=True)
class Named:
    """A kind, perhaps told apart into an issue, with the cautions that go with it."""

    kind: Kind
    issue: str = ""
    cautions: tuple[str, ...] = ()


def read_named(catalog: Catalog, text: str) -> Named:
    """Read goods by their slug in the catalog, or by plain words that mean one kind only.

    Raises:
        NotFoundError: nothing fits, or several kinds fit equally; says which to type.
        NeverStruckError: a date and mint that was never struck.
    """
    said = text.strip()
    slug, _, issue = said.partition("#")
    slug = SHORT_NAMES.get(slug.lower(), slug)
    if slug in catalog.by_slug:
        kind = catalog.kind(slug)
        if issue:
            return Named(kind=kind, issue=catalog.issue(slug, issue).key)
        return Named(kind=kind)
    found = look(catalog, said)
    if found.refusal is not None:
        raise found.refusal
    if not found.hits:
        raise NotFoundError(f"{said[:60]!r} names no kind of silver held here.", instead=found.near[:4])
    best, *others = found.hits
    rivals = [hit for hit in others if hit.score > best.score - CLEAR_LEAD]
    if rivals:
        hits = (best, *rivals)
        of_one_kind = len({hit.kind.slug for hit in hits}) == 1
        named = [f"{hit.kind.slug}#{hit.issue.key}" if of_one_kind and hit.issue else hit.kind.slug for hit in hits]
        wrong = "does not say which issue of its kind" if of_one_kind else f"may be {len(hits)} different kinds"
        raise NotFoundError(
            f"{said[:60]!r} {wrong}.",
            expected="Say which one, or the kind alone." if of_one_kind else "Say which one.",
            instead=list(dict.fromkeys(named))[:5],
        )
    return Named(kind=best.kind, issue=best.issue.key if best.issue else "", cautions=best.cautions)


@dataclass(frozen=True, slots=True, kw_only=True)
class Price:
    """What goods cost, and the words in which it was said (empty for a plain sum)."""

    total: Decimal
    quote: str = ""


def read_wide(catalog: Catalog, text: str) -> str:
    """Goods by their widest or narrowest name, as bids and reminders speak of them.

    That is a form, a metal or a way of quoting; else a kind, which is answered by its slug. A name that no goods have
    is refused: the bid would never be found.

    Raises:
        NotFoundError: no such goods, with near names.
        UnreadableError: several kinds.
    """
    name = " ".join(text.lower().split())
    return name if name in SHORT_NAMES or name in _WIDE else read_named(catalog, name).kind.slug


def read_price(text: str, kind: Kind, amount: Amount, *, spot: Decimal | None, currency: str = "USD") -> Price:
    """Read a price: a plain sum for the whole, or a quote of the trade turned into one, to the cent.

    Raises:
        UnreadableError: neither a sum nor a quote.
        RangeError: a quote struck on spot while no spot is known, or one that does not fit the goods.
    """
    try:
        total = read_money(text)
    except UnreadableError:
        total = quoted(read_quote(text), goods_of(kind, amount), spot)
        return Price(total=cents(total, currency), quote=text.strip())
    if total < 0:
        raise RangeError(f"{text.strip()} is below zero.", expected="A price is zero or more.")
    return Price(total=cents(total, currency))


def quoted(quote: Quote, goods: Goods, spot: Decimal | None) -> Decimal:
    """What goods come to at a quote, in money, to ten places."""
    return to_places(per_unit(quote, goods.terms(spot)) * goods.units, 10)


def split_line(text: str) -> tuple[str, str, str]:
    """Part a line of goods as it is said, `100 face of 90% halves at 24.60x`, into amount, kind and price.

    `for 2460` gives a sum instead of a quote; a line without either has an empty price.

    Raises:
        UnreadableError: there is no ` of ` between an amount and a kind.
    """
    said = " ".join(text.split())
    amount, of, rest = said.partition(" of ")
    if not of or not rest:
        raise UnreadableError(
            f"{said[:60]!r} is not a line of goods.",
            expected="Say an amount, `of`, a kind, and a price after `at` or `for`.",
            instead=("100 face of 90% halves at 24.60x", "5 of 10 oz bar for 1650"),
        )
    for word in (" at ", " for "):
        kind, found, price = rest.rpartition(word)
        if found:
            return amount.strip(), kind.strip(), price.strip()
    return amount.strip(), rest.strip(), ""
