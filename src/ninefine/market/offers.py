"""An offer: goods, their price, and everything that is added to it. `as_dict` writes it for the book's tables."""

from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction

from ninefine.errors import NotFoundError
from ninefine.market.content import CountedBy
from ninefine.market.goods import Goods, Limit, Resolve, Travel
from ninefine.market.quote import Quote
from ninefine.market.table import filled, text_or_none
from ninefine.measure.numbers import plain, to_places


class Charged(StrEnum):
    """What a surcharge or a tax is reckoned on."""

    GOODS = "goods"
    CARRIAGE = "goods and carriage"
    ALL = "all"


class Taxed(StrEnum):
    """On which side of its threshold a sale is taxed."""

    ALWAYS = "always"
    UNDER = "under"
    FROM = "from"


@dataclass(frozen=True, slots=True, kw_only=True)
class Tier:
    """From this much on (in what the goods are counted by, over the whole basket), another quote holds."""

    start: Decimal
    quote: Quote
    said: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class OfferLine:
    """One line of goods offered. `gross_g`: what they weighed on a scale. `said`: the quote as typed."""

    kind: str
    count: int | None = None
    face: Decimal | None = None
    gross_g: Decimal | None = None
    quote: Quote
    said: str = ""
    tiers: tuple[Tier, ...] = ()

    def goods(self, resolve: Resolve) -> Goods:
        """These goods, with what a unit of them holds.

        Raises:
            NotFoundError: goods of that name are not known.
        """
        return Goods(kind=self.kind, content=resolve(self.kind), count=self.count, face=self.face, gross_g=self.gross_g)


@dataclass(frozen=True, slots=True, kw_only=True)
class Way:
    """A way to pay: a surcharge in per cent of something, and a flat fee (a bank's, for a wire)."""

    name: str
    surcharge_pct: Decimal = Decimal(0)
    surcharge_on: Charged = Charged.GOODS
    fee: Decimal = Decimal(0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Carriage:
    """Postage and insurance: a flat sum, a share of the goods; none from a line on."""

    flat: Decimal = Decimal(0)
    pct: Decimal = Decimal(0)
    free_from: Decimal | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class TaxRule:
    """A sales tax as the person read it: a rate, a threshold and which side of it is taxed. Never a legal opinion.

    `exempt_fineness`: lines at least this fine are not taxed. `counts`: what the threshold and the tax look at.
    """

    rate_pct: Decimal
    taxed: Taxed = Taxed.ALWAYS
    threshold: Decimal | None = None
    counts: Charged = Charged.GOODS
    exempt_fineness: Decimal | None = None
    source: str = ""
    read_on: date | None = None

    @property
    def line(self) -> Decimal | None:
        """The threshold, where it matters on which side of it a sale lies."""
        return None if self.taxed is Taxed.ALWAYS else self.threshold


@dataclass(frozen=True, slots=True, kw_only=True)
class Offer:
    """An offer as it stands: all figures exact, all rules the person's own."""

    name: str
    seller: str = ""
    lines: tuple[OfferLine, ...]
    ways: tuple[Way, ...] = ()
    carriage: Carriage | None = None
    tax: TaxRule | None = None
    travel: Travel | None = None
    minimum: Limit | None = None
    stock: Limit | None = None
    discount: Decimal = Decimal(0)
    discount_pct: Decimal = Decimal(0)
    note: str = ""

    def way(self, name: str = "") -> Way:
        """A way to pay by its name; the first where none is named; a plain one where none is set.

        Raises:
            NotFoundError: no such way.
        """
        if not name:
            return self.ways[0] if self.ways else Way(name="")
        for way in self.ways:
            if way.name == name:
                return way
        raise NotFoundError(
            f"{self.name} cannot be paid by {name[:40]!r}.", instead=tuple(way.name for way in self.ways)
        )

    def as_dict(self) -> dict[str, object]:
        """The offer in plain values, ready for the book's tables; `offer_from` reads it back."""
        row = {
            "name": self.name,
            "seller": self.seller,
            "goods": [_line_dict(line) for line in self.lines],
            "ways": [filled(_way_dict(way)) for way in self.ways],
            "carriage": _carriage_dict(self.carriage),
            "tax": _tax_dict(self.tax),
            "travel": None if self.travel is None else self.travel.as_dict(),
            "minimum": text_or_none(self.minimum),
            "stock": text_or_none(self.stock),
            "discount": _some(self.discount),
            "discount_pct": _some(self.discount_pct),
            "note": self.note,
        }
        return filled(row)


def with_units(line: OfferLine, units: Decimal, resolve: Resolve) -> OfferLine:
    """The same line for another amount, in what the goods are counted by; a weight shrinks or grows with it."""
    goods = line.goods(resolve)
    weight = None
    if line.gross_g is not None:
        weight = to_places(Fraction(line.gross_g) * Fraction(units) / goods.units, 6)
    if goods.content.counted_by is CountedBy.GRAM:
        return replace(line, gross_g=units)
    if goods.content.counted_by is CountedBy.FACE:
        return replace(line, face=units, count=None, gross_g=weight)
    return replace(line, count=int(units), face=None, gross_g=weight)


def _line_dict(line: OfferLine) -> dict[str, object]:
    return filled(
        {
            "kind": line.kind,
            "count": None if line.count is None else str(line.count),
            "face": text_or_none(line.face),
            "weighed_g": text_or_none(line.gross_g),
            "quote": line.said or str(line.quote),
            "tiers": [{"from": plain(tier.start), "quote": tier.said or str(tier.quote)} for tier in line.tiers],
        }
    )


def _way_dict(way: Way) -> dict[str, object]:
    return {
        "name": way.name,
        "surcharge_pct": _some(way.surcharge_pct),
        "surcharge_on": str(way.surcharge_on) if way.surcharge_on is not Charged.GOODS else None,
        "fee": _some(way.fee),
    }


def _carriage_dict(carriage: Carriage | None) -> dict[str, object] | None:
    if carriage is None:
        return None
    return filled(
        {"flat": _some(carriage.flat), "pct": _some(carriage.pct), "free_from": text_or_none(carriage.free_from)}
    )


def _tax_dict(rule: TaxRule | None) -> dict[str, object] | None:
    if rule is None:
        return None
    return filled(
        {
            "rate_pct": plain(rule.rate_pct),
            "taxed": str(rule.taxed),
            "threshold": text_or_none(rule.threshold),
            "counts": str(rule.counts),
            "exempt_fineness": text_or_none(rule.exempt_fineness),
            "source": rule.source,
            "read_on": None if rule.read_on is None else rule.read_on.isoformat(),
        }
    )


def _some(value: Decimal) -> str | None:
    return plain(value) if value else None
