"""Tests of pieces and heaps, as they are kept: what was read, and what each test said on that day.

A later ninefine may read the same figures otherwise; what was said then is kept as it was said.
"""

from datetime import date
from decimal import Decimal
from typing import Annotated, Literal

from msgspec import Meta

from ninefine.book.said import Attachment, HeapRef, LotName, Record, Text, not_negative, sized
from ninefine.errors import BookError

#: How a test came out.
OutcomeWord = Literal["passed", "failed", "unsure", "not done"]
#: What the tests of one entry came to: nothing speaks against the piece, it is not settled, or it is set aside.
VerdictWord = Literal["nothing against", "unsettled", "set aside"]


class TestedFigure(Record, frozen=True, kw_only=True, gc=False, forbid_unknown_fields=True):
    """A figure that was read, with one standard uncertainty where it is known, and as it was typed."""

    name: Annotated[str, Meta(min_length=1, max_length=80)]
    value: Decimal
    uncertainty: Decimal | None = None
    unit: Annotated[str, Meta(max_length=20)] = ""
    typed: Annotated[str, Meta(max_length=200)] = ""

    def __post_init__(self) -> None:
        sized("value", self.value)
        if self.uncertainty is not None:
            not_negative("uncertainty", self.uncertainty)


class TestedLine(Record, frozen=True, kw_only=True, gc=False, forbid_unknown_fields=True):
    """What one test said. `ground` is what it rests on; `beyond_wear` a failure by weight that no wear explains."""

    test: Annotated[str, Meta(pattern=r"^[a-z][a-z0-9-]{0,39}$")]
    ground: Annotated[str, Meta(pattern=r"^[a-z]{1,20}$")]
    outcome: OutcomeWord
    against: Text = ""
    says: Text
    figures: tuple[TestedFigure, ...] = ()
    would_settle: Text = ""
    beyond_wear: bool = False


class Tested(Record, frozen=True, kw_only=True, gc=False, forbid_unknown_fields=True, tag_field="entry", tag="tested"):
    """Tests were made: of a heap, of pieces of it, of lots, or of a piece that is not in the book.

    `piece` is the person's own words for a piece; with a heap, one of that heap. `kind` is what it was taken for.
    """

    on: date
    heap: HeapRef | None = None
    lots: tuple[LotName, ...] = ()
    piece: Annotated[str, Meta(max_length=200)] = ""
    count: Annotated[int, Meta(ge=1)] | None = None
    kind: Annotated[str, Meta(pattern=r"^$|^[a-z0-9][a-z0-9.-]{0,79}$")] = ""
    lines: Annotated[tuple[TestedLine, ...], Meta(min_length=1)]
    verdict: VerdictWord
    attachments: tuple[Attachment, ...] = ()
    note: Text = ""

    def __post_init__(self) -> None:
        if self.heap is None and not self.lots and not self.piece:
            raise BookError("a test needs to name a heap, a lot or a piece")
        if self.verdict == "set aside" and not any(line.outcome == "failed" for line in self.lines):
            raise BookError("nothing is set aside by tests of which none failed")
