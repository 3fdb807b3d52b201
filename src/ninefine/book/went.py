"""Silver that left otherwise than sold: swapped for other silver, lost, or melted by a refiner."""

from datetime import date
from decimal import Decimal
from typing import Annotated

import msgspec
from msgspec import Meta

from ninefine.book.said import (
    Amount,
    HeapRef,
    IssueKey,
    LotName,
    Place,
    Record,
    Slug,
    Text,
    bookable,
    costs_by_name,
    not_negative,
    positive,
    sized,
)
from ninefine.errors import BookError

ZERO = Decimal(0)
HUNDRED = Decimal(100)


class SwappedOut(Record, frozen=True, kw_only=True, gc=False, forbid_unknown_fields=True):
    """What was handed over of one heap (all of it where `amount` is none), and what it counted for."""

    heap: HeapRef
    amount: Amount | None = None
    value: Decimal

    def __post_init__(self) -> None:
        not_negative("value", self.value)


class SwappedIn(Record, frozen=True, kw_only=True, gc=False, forbid_unknown_fields=True):
    """One line of what came in exchange; each makes a lot that costs what it counted for."""

    lot: LotName
    kind: Slug
    issue: IssueKey = ""
    amount: Amount
    value: Decimal

    def __post_init__(self) -> None:
        not_negative("value", self.value)


class Swapped(
    Record, frozen=True, kw_only=True, gc=False, forbid_unknown_fields=True, tag_field="entry", tag="swapped"
):
    """Silver was exchanged for silver. `cash` came with it (above zero) or was paid on top (below zero).

    What went is worth what came and the cash together, to the last digit. `other_costs` (carriage, tax) are added to
    what came, by value.
    """

    on: date
    whom: Text = ""
    out: Annotated[tuple[SwappedOut, ...], Meta(min_length=1)]
    into: Annotated[tuple[SwappedIn, ...], Meta(min_length=1)]
    cash: Decimal = ZERO
    other_costs: dict[str, Decimal] = msgspec.field(default_factory=dict)
    rule: Text = "chosen"
    place: Place = ""
    paper: Text = ""
    note: Text = ""

    def __post_init__(self) -> None:
        bookable("cash", self.cash)
        came = sum((line.value for line in self.into), ZERO)
        costs_by_name("other_costs", self.other_costs, came)
        if sum((line.value for line in self.out), ZERO) != came + self.cash:
            raise BookError("what went must be worth what came and the cash together")


class LostLine(Record, frozen=True, kw_only=True, gc=False, forbid_unknown_fields=True):
    """What is gone of one heap (all of it where `amount` is none).

    `value` is what it was worth that day, if known; `paid` what came for it all the same (of an insurer, a finder).
    """

    heap: HeapRef
    amount: Amount | None = None
    value: Decimal | None = None
    paid: Decimal = ZERO

    def __post_init__(self) -> None:
        if self.value is not None:
            not_negative("value", self.value)
        not_negative("paid", self.paid)


class Lost(Record, frozen=True, kw_only=True, gc=False, forbid_unknown_fields=True, tag_field="entry", tag="lost"):
    """Silver is gone and was not sold: lost, stolen, destroyed, or given away (then `whom` says to whom)."""

    on: date
    why: Annotated[str, Meta(pattern=r"^(lost|stolen|destroyed|given away)$")] = "lost"
    whom: Text = ""
    lines: Annotated[tuple[LostLine, ...], Meta(min_length=1)]
    rule: Text = "chosen"
    paper: Text = ""
    note: Text = ""

    def __post_init__(self) -> None:
        if self.why == "given away" and any(line.paid for line in self.lines):
            raise BookError("paid must be zero for what was given away; what was paid for was sold")


class RefinedLine(Record, frozen=True, kw_only=True, gc=False, forbid_unknown_fields=True):
    """What was melted of one heap (all where `amount` is none). `weight`: its share of proceeds, on a common scale."""

    heap: HeapRef
    amount: Amount | None = None
    weight: Decimal

    def __post_init__(self) -> None:
        sized("weight", self.weight)
        if self.weight < 0:
            raise BookError("weight must be zero or more")


class Refined(
    Record, frozen=True, kw_only=True, gc=False, forbid_unknown_fields=True, tag_field="entry", tag="refined"
):
    """A refiner melted silver and settled for it, as his statement says.

    `gross_g` is the weight that he took in and `melted_g` the weight after the melt, grams; `assay` the fine parts of
    one that he found; of that he pays for `payable_pct` per cent at `per_ozt`. `proceeds` is what that came to, and
    `fees` by name (treatment, assay, freight) what he took off.
    """

    on: date
    refiner: Text = ""
    lines: Annotated[tuple[RefinedLine, ...], Meta(min_length=1)]
    gross_g: Decimal | None = None
    melted_g: Decimal | None = None
    assay: Decimal | None = None
    payable_pct: Decimal | None = None
    per_ozt: Decimal | None = None
    proceeds: Decimal
    fees: dict[str, Decimal] = msgspec.field(default_factory=dict)
    rule: Text = "chosen"
    paper: Text = ""
    note: Text = ""

    def __post_init__(self) -> None:
        for name in ("gross_g", "melted_g", "assay", "payable_pct", "per_ozt"):
            positive(name, getattr(self, name))
        if self.assay is not None and self.assay > 1:
            raise BookError("assay must be parts of one, as 0.899")
        if self.payable_pct is not None and self.payable_pct > HUNDRED:
            raise BookError("payable_pct must be a hundred per cent at most")
        not_negative("proceeds", self.proceeds)
        costs_by_name("fees", self.fees, ZERO)
        if not any(line.weight for line in self.lines):
            raise BookError("at least one line must have a weight")
