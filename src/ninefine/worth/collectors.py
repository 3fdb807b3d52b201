"""Ways out to collectors, piece by piece, and what a piece that is not sound brings: the person's own figures."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from ninefine.errors import Fault, Faults, InputError, NotFoundError
from ninefine.market.table import Table, filled, text_or_none
from ninefine.measure.money import cents
from ninefine.measure.numbers import EXACT, plain, read_decimal
from ninefine.worth.band import FLAWS, Band
from ninefine.worth.span import ZERO, Span

HUNDRED = Decimal(100)


@dataclass(frozen=True, slots=True, kw_only=True)
class CollectorExit:
    """A way out for single pieces: what part of the sheet's price it brings, and all that it takes off.

    Attributes:
        pct_of_sheet: per cent of the sheet's price that a piece brings.
        fee_pct: per cent of what it brings.
        fee, postage, costs: money for each piece.
        minutes: of one's own time for each piece: taking pictures, packing, the walk.
        least: it takes no piece that brings less.
        days: until paid.
    """

    name: str
    pct_of_sheet: Decimal = HUNDRED
    fee_pct: Decimal = ZERO
    fee: Decimal = ZERO
    postage: Decimal = ZERO
    costs: Decimal = ZERO
    minutes: Decimal = ZERO
    least: Decimal = ZERO
    days: int | None = None
    note: str = ""

    def as_dict(self) -> dict[str, object]:
        """The exit in plain values, ready for the book's tables; `collector_exit_from` reads it back."""
        amounts = ("pct_of_sheet", "fee_pct", "fee", "postage", "costs", "minutes", "least")
        row: dict[str, object] = {name: plain(getattr(self, name)) for name in amounts}
        return filled({"name": self.name, **row, "days": text_or_none(self.days), "note": self.note})


def collector_exit_from(row: Mapping[str, object]) -> CollectorExit:
    """Read a way out from plain values: the fields that `CollectorExit.as_dict` writes.

    Raises:
        Faults: every fault, each at its field.
    """
    faults: list[Fault] = []
    table = Table(row, faults)
    pct = table.decimal("pct_of_sheet")
    found = CollectorExit(
        name=table.text("name", needed=True),
        pct_of_sheet=HUNDRED if pct is None else pct,
        fee_pct=table.percent("fee_pct"),
        fee=table.amount("fee"),
        postage=table.amount("postage"),
        costs=table.amount("costs"),
        minutes=table.amount("minutes"),
        least=table.amount("least"),
        days=table.count("days"),
        note=table.text("note"),
    )
    table.done()
    if faults:
        raise Faults(faults, source="the way out")
    return found


@dataclass(frozen=True, slots=True, kw_only=True)
class SaleLine:
    """One line of a sale at the three ends of a worth; what is taken off is below zero."""

    words: str
    amount: Span


@dataclass(frozen=True, slots=True, kw_only=True)
class CollectorSale:
    """What a piece would bring by one way out. The lines sum to `net`, which may be below zero.

    `taken` is false where the piece brings less in the middle than the exit takes.
    """

    exit: CollectorExit
    lines: tuple[SaleLine, ...]
    net: Span
    taken: bool


def sell(way: CollectorExit, worth: Span, *, hourly: Decimal = ZERO, currency: str = "USD") -> CollectorSale:
    """What a piece of some worth by the sheet would bring, each line rounded half up to the cent.

    Args:
        way: the way out.
        worth: by the sheet, with the share for what is wrong with it taken already.
        hourly: what an hour of one's own time is worth.
        currency: the book's.
    """
    gross = worth.share(EXACT.divide(way.pct_of_sheet, HUNDRED), currency)
    lines = [SaleLine(words=f"{plain(way.pct_of_sheet)}% of the sheet's price", amount=gross)]
    if way.fee_pct:
        fee = gross.share(-EXACT.divide(way.fee_pct, HUNDRED), currency)
        lines.append(SaleLine(words=f"{plain(way.fee_pct)}% fee", amount=fee))
    time = cents(EXACT.divide(EXACT.multiply(way.minutes, hourly), Decimal(60)), currency)
    flat = {
        "fee": way.fee,
        "postage": way.postage,
        "costs": way.costs,
        f"{plain(way.minutes)} minutes at {plain(hourly)} an hour": time,
    }
    lines += [SaleLine(words=words, amount=_flat(-amount)) for words, amount in flat.items() if amount]
    net = lines[0].amount
    for line in lines[1:]:
        net += line.amount
    return CollectorSale(exit=way, lines=tuple(lines), net=net, taken=gross.mid >= way.least)


def _flat(amount: Decimal) -> Span:
    return Span(low=amount, mid=amount, high=amount)


@dataclass(frozen=True, slots=True, kw_only=True)
class FlawShares:
    """What part of a sound piece's price one brings that is cleaned, holed, mounted and so on.

    `percent` goes by the words of `FLAWS`; zero stands for metal only. A flaw that is missing has no collector price,
    and says so: there is no figure that ninefine would put in its place.
    """

    percent: Mapping[str, Decimal]

    def share(self, band: Band) -> Decimal:
        """The part, from 0 to 1, of a band's flaws multiplied together; 1 for a sound piece.

        Raises:
            NotFoundError: no share is set for one of them.
        """
        part = Decimal(1)
        for flaw in band.flaws:
            if flaw not in self.percent:
                raise NotFoundError(
                    f"You have set no share for a piece that is {flaw}.",
                    expected="Set the per cent of a sound piece's price that it brings, or metal.",
                    instead=(f"{flaw} = 50", f"{flaw} = metal"),
                )
            part = EXACT.multiply(part, EXACT.divide(self.percent[flaw], HUNDRED))
        return part

    def words(self, band: Band) -> str:
        """The shares that were taken, in words: `cleaned at 50%`; empty for a sound piece."""
        return ", ".join(f"{flaw} at {plain(self.percent[flaw])}%" for flaw in band.flaws)

    def as_dict(self) -> dict[str, object]:
        """The shares in plain values, ready for the book's tables; `flaw_shares_from` reads them back."""
        return {flaw: plain(percent) if percent else "metal" for flaw, percent in self.percent.items()}


NO_SHARES = FlawShares(percent={})


def flaw_shares_from(row: Mapping[str, object]) -> FlawShares:
    """Read shares from plain values: a flaw's word, and a per cent or `metal`.

    Raises:
        Faults: every fault, each at its field.
    """
    faults: list[Fault] = []
    table = Table(row, faults)
    read = {flaw: table.read(flaw, _percent_or_metal, None) for flaw in FLAWS}
    table.done()
    if faults:
        raise Faults(faults, source="the shares")
    return FlawShares(percent={flaw: percent for flaw, percent in read.items() if percent is not None})


def _percent_or_metal(said: str) -> Decimal:
    if said.lower() == "metal":
        return ZERO
    value = read_decimal(said.removesuffix("%").strip(), what="share")
    if not 0 <= value <= HUNDRED:
        raise InputError(f"{plain(value)}% is not a share of a sound piece's price; it lies from 0 to 100.")
    return value
