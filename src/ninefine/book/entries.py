"""The entries of the book: facts in the past tense, frozen, in plain terms.

An entry never holds a fine weight or a worth: those are computed when read, so that correcting a catalog row never
rewrites history. Amounts of money are in the book's one currency. Weights are grams on a scale.
"""

from datetime import date
from decimal import Decimal
from typing import Annotated, Any

import msgspec
from msgspec import Meta

from ninefine.book.came import Given, GivenLine, Inherited, InheritedLine, Opened, OpenedLine
from ninefine.book.relotted import Joined, Split, Used
from ninefine.book.said import (
    Amount,
    Attachment,
    ClockTime,
    HeapRef,
    IssueKey,
    LotName,
    MetalCode,
    Place,
    Record,
    SerialNumber,
    Slug,
    Text,
    costs_by_name,
    not_negative,
    positive,
    sized,
)
from ninefine.book.tested import Tested, TestedFigure, TestedLine
from ninefine.book.went import Lost, LostLine, Refined, RefinedLine, Swapped, SwappedIn, SwappedOut
from ninefine.errors import BookError

__all__ = [
    "Amount",
    "Attachment",
    "Bought",
    "BoughtLine",
    "Credited",
    "Entry",
    "Fact",
    "Given",
    "GivenLine",
    "HeapRef",
    "Inherited",
    "InheritedLine",
    "Joined",
    "Listed",
    "Lost",
    "LostLine",
    "Mended",
    "Moved",
    "Noted",
    "Opened",
    "OpenedLine",
    "Priced",
    "Received",
    "ReceivedLine",
    "Refined",
    "RefinedLine",
    "Sold",
    "SoldLine",
    "Sorted",
    "SortedLine",
    "Split",
    "Swapped",
    "SwappedIn",
    "SwappedOut",
    "Tested",
    "TestedFigure",
    "TestedLine",
    "Used",
    "Weighed",
    "WeighedLine",
    "Withdrawn",
    "files_of",
]


class BoughtLine(Record, frozen=True, kw_only=True, gc=False, forbid_unknown_fields=True):
    """One line of a purchase; each makes a lot.

    `price` is what the line itself cost; shared costs stand in the entry and are spread by price.
    """

    lot: LotName
    kind: Slug
    issue: IssueKey = ""
    amount: Amount
    price: Decimal
    quote: Text = ""

    def __post_init__(self) -> None:
        not_negative("price", self.price)


class Bought(Record, frozen=True, kw_only=True, gc=False, forbid_unknown_fields=True, tag_field="entry", tag="bought"):
    """Silver was bought and paid for. `other_costs`: carriage, surcharge, tax, travel; by name.

    With `arrived` false the goods are on their way and a received entry is awaited.
    """

    on: date
    seller: Text = ""
    lines: Annotated[tuple[BoughtLine, ...], Meta(min_length=1)]
    other_costs: dict[str, Decimal] = msgspec.field(default_factory=dict)
    arrived: bool = True
    place: Place = ""
    paper: Text = ""
    note: Text = ""

    def __post_init__(self) -> None:
        if self.other_costs:
            costs_by_name("other_costs", self.other_costs, sum((line.price for line in self.lines), Decimal(0)))


class ReceivedLine(Record, frozen=True, kw_only=True, gc=False, forbid_unknown_fields=True):
    """What came of one lot: the counted amount replaces the ordered one."""

    lot: LotName
    amount: Amount


class Received(
    Record, frozen=True, kw_only=True, gc=False, forbid_unknown_fields=True, tag_field="entry", tag="received"
):
    """A parcel came and was counted. `claim` is what is asked of the seller; it lowers no basis until credited."""

    on: date
    lines: Annotated[tuple[ReceivedLine, ...], Meta(min_length=1)]
    place: Place = ""
    claim: Decimal = Decimal(0)
    note: Text = ""

    def __post_init__(self) -> None:
        not_negative("claim", self.claim)


class Credited(
    Record, frozen=True, kw_only=True, gc=False, forbid_unknown_fields=True, tag_field="entry", tag="credited"
):
    """A seller paid money back on lots (a claim, a rebate): their basis falls by it, spread by basis."""

    on: date
    lots: Annotated[tuple[LotName, ...], Meta(min_length=1)]
    amount: Decimal
    note: Text = ""

    def __post_init__(self) -> None:
        positive("amount", self.amount)


class WeighedLine(Record, frozen=True, kw_only=True, gc=False, forbid_unknown_fields=True):
    """One heap's gross weight on the scale, in grams."""

    heap: HeapRef
    gross_g: Decimal

    def __post_init__(self) -> None:
        positive("gross_g", self.gross_g)


class Weighed(
    Record, frozen=True, kw_only=True, gc=False, forbid_unknown_fields=True, tag_field="entry", tag="weighed"
):
    """Heaps were weighed. `readability_g` is the scale's smallest step."""

    on: date
    lines: Annotated[tuple[WeighedLine, ...], Meta(min_length=1)]
    readability_g: Decimal | None = None
    note: Text = ""

    def __post_init__(self) -> None:
        positive("readability_g", self.readability_g)


class SortedLine(Record, frozen=True, kw_only=True, gc=False, forbid_unknown_fields=True):
    """One heap that came of a sorting. `weight` is its share of basis, on any scale common to the lines."""

    kind: Slug
    issue: IssueKey = ""
    amount: Amount
    weight: Decimal
    place: Place | None = None

    def __post_init__(self) -> None:
        sized("weight", self.weight)
        if self.weight < 0:
            raise BookError("weight must be zero or more")


class Sorted(Record, frozen=True, kw_only=True, gc=False, forbid_unknown_fields=True, tag_field="entry", tag="sorted"):
    """A heap was told apart. The lines keep the lot's date and share its basis by `weight` (the method says how).

    The lines together take `taken` from the heap (all of it where that is none); a line with no `place` stays put.
    """

    on: date
    heap: HeapRef
    taken: Amount | None = None
    lines: Annotated[tuple[SortedLine, ...], Meta(min_length=1)]
    method: Text = "by weight"
    note: Text = ""


class Moved(Record, frozen=True, kw_only=True, gc=False, forbid_unknown_fields=True, tag_field="entry", tag="moved"):
    """A heap, or part of it, went to another place (a location code)."""

    on: date
    heap: HeapRef
    amount: Amount | None = None
    to: Place
    note: Text = ""


class SoldLine(Record, frozen=True, kw_only=True, gc=False, forbid_unknown_fields=True):
    """What was sold of one heap (all of it where `amount` is none), and what it brought before fees."""

    heap: HeapRef
    amount: Amount | None = None
    proceeds: Decimal

    def __post_init__(self) -> None:
        not_negative("proceeds", self.proceeds)


class Sold(Record, frozen=True, kw_only=True, gc=False, forbid_unknown_fields=True, tag_field="entry", tag="sold"):
    """Pieces were sold: named at the time of sale, by choice or by a rule, and fixed from then on.

    `fees` are spread over the lines by proceeds.
    """

    on: date
    buyer: Text = ""
    exit: Text = ""
    rule: Text = "chosen"
    lines: Annotated[tuple[SoldLine, ...], Meta(min_length=1)]
    fees: Decimal = Decimal(0)
    paper: Text = ""
    note: Text = ""

    def __post_init__(self) -> None:
        not_negative("fees", self.fees)


class Priced(Record, frozen=True, kw_only=True, gc=False, forbid_unknown_fields=True, tag_field="entry", tag="priced"):
    """A price per troy ounce of a metal that the person read somewhere: whose, and when."""

    on: date
    at: ClockTime = ""
    metal: MetalCode = "XAG"
    per_ozt: Decimal
    side: Annotated[str, Meta(pattern=r"^(spot|bid|ask)$")] = "spot"
    whose: Text = ""
    note: Text = ""

    def __post_init__(self) -> None:
        sized("per_ozt", self.per_ozt)
        if self.per_ozt <= 0:
            raise BookError("per_ozt must be more than zero")


class Listed(Record, frozen=True, kw_only=True, gc=False, forbid_unknown_fields=True, tag_field="entry", tag="listed"):
    """A row of one of the person's own tables was set down (offer, exit, kind, rule, setting), or struck with no body.

    The book keeps the row as it was given; the part that owns the table reads it.
    """

    on: date
    table: Slug
    key: Annotated[str, Meta(min_length=1, max_length=80)]
    body: dict[str, Any] | None = None
    note: Text = ""


class Noted(Record, frozen=True, kw_only=True, gc=False, forbid_unknown_fields=True, tag_field="entry", tag="noted"):
    """A remark, a photo or a receipt; perhaps about a lot or an earlier entry."""

    on: date
    text: Text = ""
    lots: tuple[LotName, ...] = ()
    about: SerialNumber | None = None
    attachments: tuple[Attachment, ...] = ()


class Mended(Record, frozen=True, kw_only=True, gc=False, forbid_unknown_fields=True, tag_field="entry", tag="mended"):
    """An earlier entry was wrong and stands from now on as `instead`; the first wording is kept and shown."""

    on: date
    serial: SerialNumber
    instead: "Fact"
    why: Text = ""


class Withdrawn(
    Record, frozen=True, kw_only=True, gc=False, forbid_unknown_fields=True, tag_field="entry", tag="withdrawn"
):
    """An earlier entry never happened; it is kept and shown, and counts for nothing."""

    on: date
    serial: SerialNumber
    why: Text = ""


#: What happened to the silver, or was learned about it.
Fact = (
    Bought
    | Received
    | Credited
    | Weighed
    | Sorted
    | Moved
    | Sold
    | Priced
    | Listed
    | Noted
    | Given
    | Inherited
    | Opened
    | Swapped
    | Lost
    | Refined
    | Split
    | Joined
    | Used
    | Tested
)
#: A fact, or word that an earlier one was wrong.
Entry = Fact | Mended | Withdrawn


def files_of(entry: Entry) -> tuple[Attachment, ...]:
    """The files that an entry names; those of its new wording where it mends one."""
    fact = entry.instead if isinstance(entry, Mended) else entry
    return fact.attachments if isinstance(fact, Noted | Tested) else ()
