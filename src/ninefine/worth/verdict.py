"""The answer of a triage for one piece: what it is worth each way, the verdict, and the reason in words."""

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from ninefine.measure.money import cents
from ninefine.worth.collectors import CollectorSale
from ninefine.worth.grades import Grade
from ninefine.worth.guide import GuidePrice
from ninefine.worth.piece import AsMetal, Piece
from ninefine.worth.span import Span


class Verdict(StrEnum):
    """What to do with a piece."""

    KEEP = "keep"
    """Set it aside: it is wanted, or the figures do not settle it yet."""
    PULL = "pull"
    """It brings more from a collector than in the heap, by more than the threshold, even at the low end."""
    HEAP = "back to the heap"
    """It does not, even at the high end; or nothing says that it would."""


class Against(StrEnum):
    """What a piece would bring if it stayed in the heap."""

    MELT = "melt"
    BID = "bid"
    FACE = "face"


@dataclass(frozen=True, slots=True, kw_only=True)
class InHeap:
    """What a piece brings in the heap, and by which measure."""

    amount: Decimal
    by: Against

    def __str__(self) -> str:
        return f"its {self.by} of {self.amount}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Collected:
    """What a piece is worth to collectors.

    Attributes:
        price: of a sound piece, by the sheet.
        worth: of this one, its share taken; `share` says which, and is empty for a sound piece.
        sales: by each way out, the one that nets most in the middle first.
    """

    price: GuidePrice
    worth: Span
    share: str
    sales: tuple[CollectorSale, ...]

    @property
    def best(self) -> CollectorSale | None:
        """The sale that nets most in the middle, of those that take the piece; none where none does."""
        return next((sale for sale in self.sales if sale.taken), None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Triaged:
    """The answer for one piece.

    Attributes:
        metal: what it is worth as metal, by melt and by each bid.
        in_heap: the figure that it was held against.
        collected: what it is worth to collectors; none where that cannot be told, and `unpriced` says why.
        extra: what the best sale nets over `in_heap`; none where there is no sale.
        threshold: what `extra` had to pass.
        pays_from: the lowest grade of its band from which it pays in the middle; none where none does.
        cautions: what to know before acting on the verdict.
    """

    piece: Piece
    metal: AsMetal
    in_heap: InHeap
    collected: Collected | None
    unpriced: str
    extra: Span | None
    threshold: Decimal
    pays_from: Grade | None
    cautions: tuple[str, ...]

    @property
    def best(self) -> CollectorSale | None:
        """The sale that nets most; none where there is none."""
        return self.collected.best if self.collected is not None else None

    @property
    def verdict(self) -> Verdict:
        """Keep, pull, or back to the heap."""
        if self.piece.wanted or self.sought:
            return Verdict.KEEP
        if self.extra is None or self.extra.high <= self.threshold:
            return Verdict.HEAP
        return Verdict.PULL if self.extra.low > self.threshold else Verdict.KEEP

    @property
    def sought(self) -> bool:
        """Whether it is a date that sorters look for and has no price of its own: no common price decides on it."""
        listed = self.collected is not None and self.collected.price.listed_as == self.piece.issue
        return bool(self.piece.rank) and not listed

    @property
    def reason(self) -> str:
        """Why, in words."""
        said = [f"Wanted: {self.piece.wanted}."] if self.piece.wanted else []
        if self.sought:
            said.append(f"A {self.piece.rank} date without a price of its own: look it up before it goes anywhere.")
        best, extra = self.best, self.extra
        if best is None or extra is None:
            return " ".join([*said, f"It stands at {self.in_heap}.", self.unpriced])
        said.append(
            f"It would net {best.net.mid} ({best.net.low} to {best.net.high}) by {best.exit.name}, "
            f"{extra.mid} ({extra.low} to {extra.high}) over {self.in_heap}; the threshold is {cents(self.threshold)}."
        )
        if not (self.piece.wanted or self.sought) and extra.low <= self.threshold < extra.high:
            said.append(self._turns_on())
        return " ".join(said)

    def _turns_on(self) -> str:
        if self.pays_from is None:
            return "That is not settled: in the middle it does not pay at any grade of its band."
        band = self.piece.band
        if band is not None and self.pays_from.number > band.low:
            return f"That turns on the grade: in the middle it pays from {self.pays_from} up."
        return "That turns on the price: the low one does not pay, the middle one does."
