"""What a third party charges for grading a piece, by the person's own table of fees."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from ninefine.errors import Fault, Faults, RangeError
from ninefine.market.table import Table, filled, text_or_none
from ninefine.measure.money import cents
from ninefine.measure.numbers import EXACT, plain
from ninefine.worth.span import ZERO


@dataclass(frozen=True, slots=True, kw_only=True)
class FeeTier:
    """The fee for a piece of up to some declared value; of any value where no limit is said."""

    fee: Decimal
    up_to: Decimal | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class CostLine:
    """One part of what grading a piece costs, to the cent."""

    words: str
    amount: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class GraderFees:
    """A table of fees, as read on a day.

    Attributes:
        tiers: fees by declared value, the smallest limit first.
        per_piece: any other charge for each piece.
        parcel: postage and handling of a parcel, there and back together; its pieces share it evenly.
        insurance_pct: per cent of the declared value, there and back together.
        membership: money a year, shared evenly by `pieces_a_year`.
        minutes: of one's own time for each piece.
    """

    name: str
    tiers: tuple[FeeTier, ...]
    per_piece: Decimal = ZERO
    parcel: Decimal = ZERO
    insurance_pct: Decimal = ZERO
    membership: Decimal = ZERO
    pieces_a_year: int = 1
    minutes: Decimal = ZERO
    source: str = ""
    read_on: date | None = None

    def costs(
        self, declared: Decimal, *, pieces: int = 1, hourly: Decimal = ZERO, currency: str = "USD"
    ) -> tuple[CostLine, ...]:
        """What grading one piece costs, line by line, each rounded half up to the cent.

        Args:
            declared: the value declared for it.
            pieces: how many share the parcel.
            hourly: what an hour of one's own time is worth.
            currency: the book's.

        Raises:
            RangeError: no tier reaches the declared value, or fewer than one piece.
        """
        if pieces < 1:
            raise RangeError(f"{pieces} pieces cannot share a parcel.", expected="One at least is sent.")
        tier = next((tier for tier in self.tiers if tier.up_to is None or declared <= tier.up_to), None)
        if tier is None:
            raise RangeError(
                f"{self.name} has no fee for a piece declared at {plain(declared)}.",
                expected=f"Its highest tier ends at {plain(self.tiers[-1].up_to or ZERO)}.",
            )
        of_any = "of any value" if tier.up_to is None else f"declared up to {plain(tier.up_to)}"
        parts = {
            f"grading, {of_any}": tier.fee,
            "other charge": self.per_piece,
            f"one of {pieces} in a parcel at {plain(self.parcel)}": _over(self.parcel, Decimal(pieces)),
            f"insurance, {plain(self.insurance_pct)}% of {plain(declared)}": declared * self.insurance_pct / 100,
            f"membership, one of {self.pieces_a_year} a year": _over(self.membership, Decimal(self.pieces_a_year)),
            f"{plain(self.minutes)} minutes at {plain(hourly)} an hour": _over(self.minutes * hourly, Decimal(60)),
        }
        return tuple(CostLine(words=words, amount=cents(part, currency)) for words, part in parts.items() if part)

    def as_dict(self) -> dict[str, object]:
        """The table in plain values, ready for the book's tables; `grader_fees_from` reads it back."""
        amounts = ("per_piece", "parcel", "insurance_pct", "membership", "minutes")
        row: dict[str, object] = {name: plain(getattr(self, name)) for name in amounts}
        return filled(
            {
                "name": self.name,
                "tiers": [filled({"fee": plain(tier.fee), "up_to": text_or_none(tier.up_to)}) for tier in self.tiers],
                **row,
                "pieces_a_year": str(self.pieces_a_year),
                "source": self.source,
                "read_on": self.read_on.isoformat() if self.read_on else "",
            }
        )


def grader_fees_from(row: Mapping[str, object]) -> GraderFees:
    """Read a table of fees from plain values: the fields that `GraderFees.as_dict` writes.

    Raises:
        Faults: every fault, each at its field.
    """
    faults: list[Fault] = []
    table = Table(row, faults)
    tiers = [_tier(part) for part in table.parts("tiers", needed=True)]
    found = GraderFees(
        name=table.text("name", needed=True),
        tiers=tuple(sorted(tiers, key=lambda tier: (tier.up_to is None, tier.up_to or ZERO))),
        per_piece=table.amount("per_piece"),
        parcel=table.amount("parcel"),
        insurance_pct=table.percent("insurance_pct"),
        membership=table.amount("membership"),
        pieces_a_year=table.count("pieces_a_year") or 1,
        minutes=table.amount("minutes"),
        source=table.text("source"),
        read_on=table.day("read_on"),
    )
    table.done()
    limits = [tier.up_to for tier in tiers]
    if len(set(limits)) < len(limits):
        table.fault("tiers", "Two tiers have the same limit.")
    if faults:
        raise Faults(faults, source="the fees")
    return found


def _tier(table: Table) -> FeeTier:
    found = FeeTier(fee=table.decimal("fee", zero=True, needed=True) or ZERO, up_to=table.decimal("up_to"))
    table.done()
    return found


def _over(amount: Decimal, parts: Decimal) -> Decimal:
    return EXACT.divide(amount, parts)
