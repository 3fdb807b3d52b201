"""Lots told apart or put together, and silver that serves the household itself."""

from datetime import date
from typing import Annotated

from msgspec import Meta

from ninefine.book.said import Amount, HeapRef, LotName, Record, Text
from ninefine.errors import BookError


class Split(Record, frozen=True, kw_only=True, gc=False, forbid_unknown_fields=True, tag_field="entry", tag="split"):
    """A heap, or part of it, was made a lot of its own, with its share of basis and its lot's date."""

    on: date
    heap: HeapRef
    amount: Amount | None = None
    lot: LotName
    note: Text = ""


class Joined(Record, frozen=True, kw_only=True, gc=False, forbid_unknown_fields=True, tag_field="entry", tag="joined"):
    """Lots that came on one date in one way were put together: what is held of the others is now of the first."""

    on: date
    lots: Annotated[tuple[LotName, ...], Meta(min_length=2)]
    note: Text = ""

    def __post_init__(self) -> None:
        if len(set(self.lots)) != len(self.lots):
            raise BookError("lots must each be named once")


class Used(Record, frozen=True, kw_only=True, gc=False, forbid_unknown_fields=True, tag_field="entry", tag="used"):
    """Lots serve the household itself from a day on (tableware), or with `own` false no longer do."""

    on: date
    lots: Annotated[tuple[LotName, ...], Meta(min_length=1)]
    own: bool = True
    note: Text = ""
