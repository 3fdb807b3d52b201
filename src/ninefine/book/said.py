"""What every entry is made of: checked amounts, names of lots, kinds and places, and the record that all share."""

from decimal import Context, Decimal, DecimalException, Inexact, InvalidOperation, Overflow, Subnormal
from typing import Annotated

import msgspec
from msgspec import Meta

from ninefine.errors import BookError

#: The book's serial numbers start at 1 and have no gaps.
SerialNumber = Annotated[int, Meta(ge=1)]
Slug = Annotated[str, Meta(pattern=r"^[a-z0-9][a-z0-9.-]{0,79}$")]
LotName = Annotated[str, Meta(pattern=r"^[A-Za-z0-9][A-Za-z0-9 ._-]{0,39}$")]
#: A year, a mint and perhaps a variety: `1921-D`, `1942-P:2 over 1`; empty where not told apart.
IssueKey = Annotated[str, Meta(pattern=r"^$|^\d{4}(-[A-Z]{1,2})?(:.{1,60})?$")]
ClockTime = Annotated[str, Meta(pattern=r"^$|^\d{2}:\d{2}$")]
MetalCode = Annotated[str, Meta(pattern=r"^X[A-Z]{2}$")]
Place = Annotated[str, Meta(max_length=40)]
Text = Annotated[str, Meta(max_length=4000)]


class Record(msgspec.Struct, frozen=True, kw_only=True, gc=False, forbid_unknown_fields=True):
    """What all parts of entries share: frozen, named fields, nothing unknown."""


#: Booked amounts stay below a trillion and are no finer than 15 places, so that no sum of them is ever rounded.
_BOOKED = Context(prec=27, traps=[Inexact, InvalidOperation])
_FINEST = Decimal("1E-15")
_quantize = _BOOKED.quantize
#: Weights and prices may carry every digit of a quotient; only their size is bounded.
_SIZED = Context(prec=50, Emin=-20, Emax=20, traps=[Overflow, Subnormal])


def bookable(name: str, value: Decimal) -> None:
    """Refuse what is no number, a trillion or more, or finer than 15 places."""
    try:
        _quantize(value, _FINEST)
    except DecimalException:
        if value.is_finite():
            raise BookError(f"{name} must be below a trillion, with at most 15 places") from None
    if not value.is_finite():
        raise BookError(f"{name} must be a number")


def sized(name: str, value: Decimal) -> None:
    """Refuse what is no number, or out of all proportion; every digit of a quotient is allowed."""
    if not value.is_finite():
        raise BookError(f"{name} must be a number")
    try:
        _SIZED.plus(value)
    except DecimalException:
        raise BookError(f"{name} is out of all proportion") from None


def not_negative(name: str, value: Decimal) -> None:
    """Refuse a booked amount below zero."""
    bookable(name, value)
    if value < 0:
        raise BookError(f"{name} must be zero or more")


def positive(name: str, value: Decimal | None) -> None:
    """Refuse a booked amount that is not above zero; none passes."""
    if value is None:
        return
    try:  # the way nearly always gone; a million entries pass here
        _quantize(value, _FINEST)
        if value > 0:
            return
    except DecimalException:
        pass
    bookable(name, value)
    raise BookError(f"{name} must be more than zero")


class Amount(Record, frozen=True, kw_only=True, gc=False, forbid_unknown_fields=True):
    """How much of something: pieces, face, or grams on the scale; at least one, each that is known.

    `face` is in the coin's own unit of account (U.S. dollars of face for U.S. coin), never a price.
    """

    count: Annotated[int, Meta(ge=1)] | None = None
    face: Decimal | None = None
    gross_g: Decimal | None = None

    def __post_init__(self) -> None:
        if self.face is not None:
            positive("face", self.face)
        if self.gross_g is not None:
            positive("gross_g", self.gross_g)
        elif self.count is None and self.face is None:
            raise BookError("an amount needs a count, a face or a weight")


class Attachment(Record, frozen=True, kw_only=True, gc=False, forbid_unknown_fields=True):
    """A photo, receipt or sound kept in the book's file, named by the SHA-256 of its bytes."""

    sha256: Annotated[str, Meta(pattern=r"^[0-9a-f]{64}$")]
    name: Annotated[str, Meta(min_length=1, max_length=120)]
    media: Annotated[str, Meta(max_length=80)]
    size: Annotated[int, Meta(ge=0)]


class HeapRef(Record, frozen=True, kw_only=True, gc=False, forbid_unknown_fields=True):
    """Which heap: part of a lot, of one kind, perhaps told apart into an issue, at one place."""

    lot: LotName
    kind: Slug
    issue: IssueKey = ""
    place: Place = ""


def costs_by_name(name: str, costs: dict[str, Decimal], beside: Decimal) -> None:
    """Refuse costs by name that are no booked amounts, or that take the whole below zero."""
    for what, value in costs.items():
        bookable(f"{name}[{what}]", value)
    if sum(costs.values(), beside) < 0:
        raise BookError(f"{name} must not take the whole below zero")
