"""Reading an offer from plain values: a form, a file, a row of the book's tables. Every fault at its field."""

from collections.abc import Mapping
from decimal import Decimal

from ninefine.errors import Fault, Faults, InputError
from ninefine.market.goods import Resolve, Travel, read_limit
from ninefine.market.offers import Carriage, Charged, Offer, OfferLine, Taxed, TaxRule, Tier, Way
from ninefine.market.read_quote import read_quote
from ninefine.market.table import Table


def offer_from(row: Mapping[str, object], *, resolve: Resolve | None = None) -> Offer:
    """Read an offer from plain values.

    Args:
        row: the fields that `as_dict` writes; the numbers may be text, whole numbers or decimals.
        resolve: finds goods by name, so that an unknown kind is a fault here; not checked where none.

    Raises:
        Faults: every fault, each at its field.
    """
    faults: list[Fault] = []
    offer = read_offer(Table(row, faults), resolve)
    if faults:
        raise Faults(faults, source="the offer")
    return offer


def read_offer(table: Table, resolve: Resolve | None) -> Offer:
    """Read an offer from a table, its faults set down there; the record means nothing if there were any."""
    offer = Offer(
        name=table.text("name", needed=True),
        seller=table.text("seller"),
        lines=tuple(_line(part, resolve) for part in table.parts("goods", needed=True)),
        ways=tuple(_way(part) for part in table.parts("ways")),
        carriage=_carriage(table.part("carriage")),
        tax=_tax(table.part("tax")),
        travel=read_travel(table.part("travel")),
        minimum=table.read("minimum", read_limit, None),
        stock=table.read("stock", read_limit, None),
        discount=table.amount("discount"),
        discount_pct=table.percent("discount_pct"),
        note=table.text("note"),
    )
    table.done()
    names = [way.name for way in offer.ways]
    if len(set(names)) < len(names):
        table.fault("ways", "Two ways to pay have the same name.")
    return offer


def read_travel(table: Table | None) -> Travel | None:
    """Read miles and what a mile costs."""
    if table is None:
        return None
    miles, per_mile = table.decimal("miles", needed=True), table.decimal("per_mile", zero=True, needed=True)
    table.done()
    return Travel(miles=miles or Decimal(0), per_mile=per_mile or Decimal(0))


_NO_QUOTE = read_quote("spot")


def _line(table: Table, resolve: Resolve | None) -> OfferLine:
    kind = table.text("kind", needed=True)
    line = OfferLine(
        kind=kind,
        count=table.count("count"),
        face=table.decimal("face"),
        gross_g=table.decimal("weighed_g"),
        quote=table.read("quote", read_quote, _NO_QUOTE, needed=True),
        said=table.text("quote"),
        tiers=tuple(sorted((_tier(part) for part in table.parts("tiers")), key=lambda tier: tier.start)),
    )
    table.done()
    if not any(name in table for name in ("count", "face", "weighed_g")):
        table.fault("face", "Say how much: face, count or weighed_g.")
    elif resolve is not None and kind:
        try:
            _ = line.goods(resolve).units
        except InputError as error:
            table.fault("kind", str(error))
    return line


def _tier(table: Table) -> Tier:
    tier = Tier(
        start=table.decimal("from", needed=True) or Decimal(0),
        quote=table.read("quote", read_quote, _NO_QUOTE, needed=True),
        said=table.text("quote"),
    )
    table.done()
    return tier


def _way(table: Table) -> Way:
    way = Way(
        name=table.text("name", needed=True),
        surcharge_pct=table.percent("surcharge_pct"),
        surcharge_on=table.choice("surcharge_on", Charged, Charged.GOODS),
        fee=table.amount("fee"),
    )
    table.done()
    return way


def _carriage(table: Table | None) -> Carriage | None:
    if table is None:
        return None
    found = Carriage(flat=table.amount("flat"), pct=table.percent("pct"), free_from=table.decimal("free_from"))
    table.done()
    return found


def _tax(table: Table | None) -> TaxRule | None:
    if table is None:
        return None
    rule = TaxRule(
        rate_pct=table.percent("rate_pct"),
        taxed=table.choice("taxed", Taxed, Taxed.ALWAYS),
        threshold=table.decimal("threshold"),
        counts=table.choice("counts", Charged, Charged.GOODS),
        exempt_fineness=table.decimal("exempt_fineness"),
        source=table.text("source"),
        read_on=table.day("read_on"),
    )
    table.done()
    if rule.taxed is not Taxed.ALWAYS and rule.threshold is None:
        table.fault("threshold", f"A sale taxed {rule.taxed} a line needs the line.")
    return rule
