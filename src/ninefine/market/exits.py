"""A way out: what it bids for which goods, and all that it takes off. `as_dict` writes it for the book's tables."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from decimal import Decimal

from ninefine.catalog.kinds import Basis
from ninefine.errors import Fault, Faults
from ninefine.market.content import Content, plain_name
from ninefine.market.goods import Limit, Travel, read_limit
from ninefine.market.quote import Quote
from ninefine.market.read_offer import read_travel
from ninefine.market.read_quote import read_quote
from ninefine.market.table import Table, filled, text_or_none
from ninefine.measure.numbers import plain, read_count


@dataclass(frozen=True, slots=True, kw_only=True)
class Bid:
    """What is paid for goods of a name: a catalog slug, a trade name (`90`, `ozt`), a form, or a metal (`silver`)."""

    what: str
    quote: Quote
    said: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Parcels:
    """Goods leave in parcels: so many, or so much face in each; each costs a fee and postage."""

    count: int | None = None
    face: Decimal | None = None
    fee: Decimal = Decimal(0)
    postage: Decimal = Decimal(0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Treatment:
    """A refiner's charge for each gross troy ounce, and the least it charges for a lot."""

    per_gross_ozt: Decimal
    minimum: Decimal = Decimal(0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Exit:
    """A way out and its fee table, all of it the person's own.

    Attributes:
        bids: what it pays, by what is sold; the narrowest name that fits holds.
        basis: which ounces its bids count where a bid's own words do not say.
        fee_pct: per cent of proceeds.
        parcels: parcels, their fees and postage.
        payable_pct: of assayed silver, what is paid for; goods are then settled as one melt.
        treatment: a charge by gross weight.
        costs: flat costs (freight, assay, a table at a show).
        minimum: the least it takes. capacity: the most it takes at once.
        days: days until paid.
    """

    name: str
    bids: tuple[Bid, ...]
    basis: Basis = Basis.TRADE
    fee_pct: Decimal = Decimal(0)
    parcels: Parcels | None = None
    payable_pct: Decimal | None = None
    treatment: Treatment | None = None
    costs: Decimal = Decimal(0)
    travel: Travel | None = None
    minimum: Limit | None = None
    capacity: Limit | None = None
    days: int | None = None
    note: str = ""

    def bid_for(self, content: Content) -> Quote | None:
        """The bid that fits some goods most narrowly, on this exit's ounces; none where it buys no such goods."""
        bids = {plain_name(bid.what): bid.quote for bid in self.bids}
        for name in content.names:
            quote = bids.get(plain_name(name))
            if quote is not None:
                return quote if quote.basis_said else replace(quote, basis=self.basis)
        return None

    def as_dict(self) -> dict[str, object]:
        """The exit in plain values, ready for the book's tables; `exit_from` reads it back."""
        return filled(
            {
                "name": self.name,
                "bids": [{"what": bid.what, "quote": bid.said or str(bid.quote)} for bid in self.bids],
                "basis": str(self.basis),
                "fee_pct": plain(self.fee_pct),
                "parcels": _parcels_dict(self.parcels),
                "payable_pct": text_or_none(self.payable_pct),
                "treatment": _treatment_dict(self.treatment),
                "costs": plain(self.costs),
                "travel": None if self.travel is None else self.travel.as_dict(),
                "minimum": text_or_none(self.minimum),
                "capacity": text_or_none(self.capacity),
                "days": text_or_none(self.days),
                "note": self.note,
            }
        )


def exit_from(row: Mapping[str, object]) -> Exit:
    """Read an exit from plain values: the fields that `Exit.as_dict` writes.

    Raises:
        Faults: every fault, each at its field.
    """
    faults: list[Fault] = []
    found = read_exit(Table(row, faults))
    if faults:
        raise Faults(faults, source="the exit")
    return found


def read_exit(table: Table) -> Exit:
    """Read an exit from a table, its faults set down there; the record means nothing if there were any."""
    found = Exit(
        name=table.text("name", needed=True),
        bids=tuple(_bid(part) for part in table.parts("bids", needed=True)),
        basis=table.choice("basis", Basis, Basis.TRADE),
        fee_pct=table.percent("fee_pct"),
        parcels=_parcels(table.part("parcels")),
        payable_pct=table.decimal("payable_pct"),
        treatment=_treatment(table.part("treatment")),
        costs=table.amount("costs"),
        travel=read_travel(table.part("travel")),
        minimum=table.read("minimum", read_limit, None),
        capacity=table.read("capacity", read_limit, None),
        days=table.read("days", _days, None),
        note=table.text("note"),
    )
    table.done()
    names = [plain_name(bid.what) for bid in found.bids]
    for name in sorted({name for name in names if names.count(name) > 1}):
        table.fault("bids", f"There are two bids for {name}.")
    if found.payable_pct is not None and found.payable_pct > 100:
        table.fault("payable_pct", f"{plain(found.payable_pct)} is more than a hundred per cent.")
    return found


def _bid(table: Table) -> Bid:
    bid = Bid(
        what=table.text("what", needed=True),
        quote=table.read("quote", read_quote, read_quote("spot"), needed=True),
        said=table.text("quote"),
    )
    table.done()
    return bid


def _parcels(table: Table | None) -> Parcels | None:
    if table is None:
        return None
    found = Parcels(
        count=table.count("count"),
        face=table.decimal("face"),
        fee=table.amount("fee"),
        postage=table.amount("postage"),
    )
    table.done()
    if (found.count is None) == (found.face is None):
        table.fault("count", "Say either how many parcels (count) or how much face goes in each (face).")
    return found


def _treatment(table: Table | None) -> Treatment | None:
    if table is None:
        return None
    found = Treatment(per_gross_ozt=table.amount("per_gross_ozt"), minimum=table.amount("minimum"))
    table.done()
    return found


def _days(said: str) -> int:
    return read_count(said, what="number of days", zero=True)


def _parcels_dict(parcels: Parcels | None) -> dict[str, object] | None:
    if parcels is None:
        return None
    return filled(
        {
            "count": text_or_none(parcels.count),
            "face": text_or_none(parcels.face),
            "fee": plain(parcels.fee),
            "postage": plain(parcels.postage),
        }
    )


def _treatment_dict(treatment: Treatment | None) -> dict[str, object] | None:
    if treatment is None:
        return None
    return {"per_gross_ozt": plain(treatment.per_gross_ozt), "minimum": plain(treatment.minimum)}
