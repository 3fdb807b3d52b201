"""Silver that came otherwise than bought: given, inherited, or held before the book began."""

from datetime import date
from decimal import Decimal
from typing import Annotated

from msgspec import Meta

from ninefine.book.said import Amount, IssueKey, LotName, Place, Record, Slug, Text, not_negative
from ninefine.errors import BookError

#: How silver of an opening balance had come, as far as that is known.
CameBy = Annotated[str, Meta(pattern=r"^$|^(bought|given|inherited)$")]


class GivenLine(Record, frozen=True, kw_only=True, gc=False, forbid_unknown_fields=True):
    """One line of a gift; each makes a lot.

    `basis` is what it cost the giver (with any gift tax that the law counts to it), `acquired` the giver's own date,
    `value` what it was worth on the day of the gift; none stands for not known, never for nothing.
    """

    lot: LotName
    kind: Slug
    issue: IssueKey = ""
    amount: Amount
    basis: Decimal | None = None
    acquired: date | None = None
    value: Decimal | None = None
    own_use: bool = False

    def __post_init__(self) -> None:
        _known("basis", self.basis)
        _known("value", self.value)


class Given(Record, frozen=True, kw_only=True, gc=False, forbid_unknown_fields=True, tag_field="entry", tag="given"):
    """Silver was received as a gift: the giver's basis and date go with it."""

    on: date
    giver: Text = ""
    lines: Annotated[tuple[GivenLine, ...], Meta(min_length=1)]
    place: Place = ""
    paper: Text = ""
    note: Text = ""

    def __post_init__(self) -> None:
        for line in self.lines:
            _not_later("acquired", line.acquired, self.on)


class InheritedLine(Record, frozen=True, kw_only=True, gc=False, forbid_unknown_fields=True):
    """One line of an inheritance; each makes a lot. `value`: on the day of death or the other day chosen, if known."""

    lot: LotName
    kind: Slug
    issue: IssueKey = ""
    amount: Amount
    value: Decimal | None = None
    own_use: bool = False

    def __post_init__(self) -> None:
        _known("value", self.value)


class Inherited(
    Record, frozen=True, kw_only=True, gc=False, forbid_unknown_fields=True, tag_field="entry", tag="inherited"
):
    """Silver was inherited and came to hand `on` a day. Its cost is its value at death.

    `valued_on` is the day valued where it is not the day of death; `valued_by` says who set the value, and how.
    """

    on: date
    whose: Text = ""
    died: date
    valued_on: date | None = None
    valued_by: Text = ""
    lines: Annotated[tuple[InheritedLine, ...], Meta(min_length=1)]
    place: Place = ""
    paper: Text = ""
    note: Text = ""

    def __post_init__(self) -> None:
        _not_later("died", self.died, self.on)
        if self.valued_on is not None and self.valued_on < self.died:
            raise BookError("valued_on must not come before the day of death")


class OpenedLine(Record, frozen=True, kw_only=True, gc=False, forbid_unknown_fields=True):
    """One line of an opening balance; each makes a lot.

    `cost` and `acquired` are none where they are not known, which is never taken for nothing or for today. `how` it
    had come decides what the law makes of it; empty where nobody knows.
    """

    lot: LotName
    kind: Slug
    issue: IssueKey = ""
    amount: Amount
    cost: Decimal | None = None
    acquired: date | None = None
    how: CameBy = ""
    seller: Text = ""
    place: Place = ""
    own_use: bool = False

    def __post_init__(self) -> None:
        _known("cost", self.cost)


class Opened(Record, frozen=True, kw_only=True, gc=False, forbid_unknown_fields=True, tag_field="entry", tag="opened"):
    """Silver that was held before the book begins with it, counted in from a day on."""

    on: date
    lines: Annotated[tuple[OpenedLine, ...], Meta(min_length=1)]
    paper: Text = ""
    note: Text = ""

    def __post_init__(self) -> None:
        for line in self.lines:
            _not_later("acquired", line.acquired, self.on)


def _known(name: str, value: Decimal | None) -> None:
    if value is not None:
        not_negative(name, value)


def _not_later(name: str, day: date | None, on: date) -> None:
    if day is not None and day > on:
        raise BookError(f"{name} must not come after the day of the entry")
