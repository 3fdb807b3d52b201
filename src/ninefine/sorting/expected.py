"""What a heap's mix would be if its coins were drawn from all that is left: shares by year and mint, and counts."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from decimal import Decimal

from ninefine.catalog.catalog import Catalog
from ninefine.catalog.denominations import denomination
from ninefine.errors import RangeError
from ninefine.measure.numbers import EXACT, divide
from ninefine.sorting.mintage import MintagePicture, Struck, heap_of, kinds_within, mintage_picture
from ninefine.sorting.survival import FLAT, Survival


@dataclass(frozen=True, slots=True, kw_only=True)
class Share:
    """One year and mint of a mix.

    Attributes:
        struck: what was struck.
        weight: the part of it assumed to be left.
        share: its part of all that is left within the range; the shares of a mix sum to one.
    """

    struck: Struck
    weight: Decimal
    share: Decimal

    @property
    def cell(self) -> tuple[str, str]:
        """Kind and key: two designs of one year and mint stand apart."""
        return self.struck.kind, self.struck.key


@dataclass(frozen=True, slots=True, kw_only=True)
class Expected:
    """A mix as mintage and an assumption of survival would have it. Proofs are not counted.

    Attributes:
        name: what the heap is, in words.
        denomination: the key of its denomination; empty for bullion.
        first_year, last_year: the dates that were asked for.
        survival: the assumption.
        shares: by year, then mint, then kind.
        left_out: what of the range has no figure (proofs alone, or unrecorded) and so no share.
    """

    name: str
    denomination: str
    first_year: int
    last_year: int
    survival: Survival
    shares: tuple[Share, ...]
    left_out: tuple[Struck, ...]

    def counts(self, pieces: int) -> tuple[Decimal, ...]:
        """How many of each to expect among so many pieces, in the order of the shares."""
        return tuple(EXACT.multiply(row.share, Decimal(pieces)) for row in self.shares)

    def share_of(self, wanted: Callable[[Struck], bool]) -> Decimal:
        """The share of all the years and mints that are wanted."""
        return sum((row.share for row in self.shares if wanted(row.struck)), Decimal(0))

    @property
    def unchecked(self) -> Decimal:
        """The part of the mix whose mintage was not checked against print."""
        return self.share_of(lambda struck: struck.unchecked)


def expected_mix(
    catalog: Catalog,
    what: str,
    *,
    survival: Survival = FLAT,
    first_year: int | None = None,
    last_year: int | None = None,
) -> Expected:
    """The mix of a kind, of a heap not told apart, or of a denomination.

    Args:
        catalog: what was struck when and where.
        what: a kind's slug, a heap's (`us-dime-90`), or a word for a denomination (`dimes`).
        survival: the person's assumption.
        first_year: the oldest date that the heap may hold; none for the oldest of the series.
        last_year: the latest.

    Raises:
        NotFoundError: neither a kind nor a denomination, or no mintage of it is held.
        RangeError: more than one denomination, or a range in which nothing was struck.
    """
    heap, kinds = heap_of(catalog, what), kinds_within(catalog, what)
    words = {kind.denomination for kind in kinds}
    if len(words) > 1:
        raise RangeError(
            f"{heap.name} holds several denominations, and how many of each is the seller's choice.",
            expected="Ask of one denomination at a time.",
            instead=("dime", "quarter", "half"),
        )
    pictures = [mintage_picture(catalog, kind.slug) for kind in kinds]
    first, last = _years(pictures)
    first_year, last_year = first_year or first, last_year or last
    within = _within(pictures, first_year, last_year)
    counted = [row for row in within if row.mintage]
    if not counted:
        raise RangeError(
            f"No mintage of {heap.name} is held from {first_year} to {last_year}.",
            expected=f"It was struck from {first} to {last}.",
        )
    word = words.pop()
    return Expected(
        name=heap.name,
        denomination=denomination(word).key if word else "",
        first_year=first_year,
        last_year=last_year,
        survival=survival,
        shares=shares_of(counted, survival),
        left_out=tuple(row for row in within if not row.mintage),
    )


def shares_of(counted: Iterable[Struck], survival: Survival) -> tuple[Share, ...]:
    """The shares of some years and mints: mintage times what is assumed to be left, over the sum of all."""
    rows = [(row, survival.weight(row.year)) for row in counted]
    left = [EXACT.multiply(Decimal(row.mintage or 0), weight) for row, weight in rows]
    whole = sum(left, Decimal(0))
    return tuple(
        Share(struck=row, weight=weight, share=divide(pieces, whole))
        for (row, weight), pieces in zip(rows, left, strict=True)
    )


def _within(pictures: Iterable[MintagePicture], first_year: int, last_year: int) -> list[Struck]:
    """The rows of a range of dates by year; within a year as the pictures have them, by kind and then mint."""
    rows = [row for picture in pictures for row in picture.struck if first_year <= row.year <= last_year]
    return sorted(rows, key=lambda row: row.year)


def _years(pictures: Iterable[MintagePicture]) -> tuple[int, int]:
    years = [row.year for picture in pictures for row in picture.struck]
    return min(years), max(years)
