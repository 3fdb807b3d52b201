"""Goods as a person names them: a kind and perhaps an issue, an amount, a price."""

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from ninefine.book.entries import Amount
from ninefine.catalog.catalog import Catalog
from ninefine.catalog.kinds import Kind
from ninefine.catalog.lookup import look
from ninefine.errors import NotFoundError, UnreadableError
from ninefine.market.content import content_of
from ninefine.market.quote import per_unit
from ninefine.market.read_quote import read_quote
from ninefine.market.terms import Terms
from ninefine.measure.money import cents, read_money
from ninefine.measure.numbers import to_places

#: How far ahead of the second-best hit the best must be to be taken without asking.
CLEAR_LEAD = 0.05


@dataclass(frozen=True, slots=True, kw_only=True)
class Goods:
    """A kind, perhaps told apart into an issue, with the cautions that go with it."""

    kind: Kind
    issue: str = ""
    cautions: tuple[str, ...] = ()


def read_goods(catalog: Catalog, text: str) -> Goods:
    """Read goods by their slug in the catalog, or by plain words that mean one kind only.

    Raises:
        NotFoundError: nothing fits, or several kinds fit equally; says which to type.
        NeverStruckError: a date and mint that was never struck.
    """
    said = text.strip()
    slug, _, issue = said.partition("#")
    if slug in catalog.by_slug:
        kind = catalog.kind(slug)
        if issue:
            return Goods(kind=kind, issue=catalog.issue(slug, issue).key)
        return Goods(kind=kind)
    found = look(catalog, said)
    if found.refusal is not None:
        raise found.refusal
    if not found.hits:
        raise NotFoundError(f"{said[:60]!r} names no kind of silver held here.", instead=found.near[:4])
    best, *others = found.hits
    rivals = [hit for hit in others if hit.score > best.score - CLEAR_LEAD]
    if rivals:
        raise NotFoundError(
            f"{said[:60]!r} may be {len(rivals) + 1} different kinds.",
            expected="Say which one.",
            instead=[hit.kind.slug for hit in (best, *rivals[:4])],
        )
    return Goods(kind=best.kind, issue=best.issue.key if best.issue else "", cautions=best.cautions)


@dataclass(frozen=True, slots=True, kw_only=True)
class Price:
    """What goods cost, and the words in which it was said (empty for a plain sum)."""

    total: Decimal
    quote: str = ""


def read_price(text: str, goods: Goods, amount: Amount, *, spot: Decimal | None, currency: str = "USD") -> Price:
    """Read a price: a plain sum for the whole, or a quote of the trade turned into one, to the cent.

    Raises:
        UnreadableError: neither a sum nor a quote.
        RangeError: a quote struck on spot, and no spot is known.
    """
    try:
        return Price(total=cents(read_money(text), currency))
    except UnreadableError:
        pass
    quote = read_quote(text)
    content = content_of(goods.kind)
    units = content.units(count=amount.count, face=amount.face, gross_g=amount.gross_g)
    if units is None:
        raise UnreadableError(
            f"{text.strip()!r} does not fit an amount without {content.counted_by.value}.",
            expected="Give the sum paid for the whole line.",
            instead=("2390.00",),
        )
    scale = None if amount.gross_g is None else Fraction(amount.gross_g) / units
    terms = Terms(content=content, spot=None if spot is None else Fraction(spot), units=units, scale_g=scale)
    return Price(total=cents(to_places(per_unit(quote, terms) * units, 8), currency), quote=text.strip())


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
