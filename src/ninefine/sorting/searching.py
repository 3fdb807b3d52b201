"""What searching pays: before opening, by the size of a bag and the person's own speed; afterwards, what it did pay.

A find is worth what its sale nets over its own metal: the metal was there before the search. All money is exact; a
chance is a chance, and a bag may hold none of what it holds on average.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal

from ninefine.catalog.denominations import denomination
from ninefine.errors import RangeError
from ninefine.measure.money import cents
from ninefine.measure.numbers import EXACT, divide, plain, to_places
from ninefine.sorting.chances import at_least_one, pieces_until
from ninefine.sorting.expected import Expected
from ninefine.sorting.mintage import Struck

#: Shares are divisions, and so may sum past one in their last digits.
_SHARE_PLACES = 20
_HALF, _NEARLY = Decimal("0.5"), Decimal("0.95")


@dataclass(frozen=True, slots=True, kw_only=True)
class Sought:
    """Something that is searched for.

    Attributes:
        what: the issue, in words or by its key.
        share: its part of all pieces of the heap.
        over_melt: what the sale of one nets over its own metal.
    """

    what: str
    share: Decimal
    over_melt: Decimal = Decimal(0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Sitter:
    """The person's own speed, and what an hour is worth to them."""

    pieces_per_hour: Decimal
    hour_worth: Decimal = Decimal(0)

    def __post_init__(self) -> None:
        if self.pieces_per_hour <= 0:
            raise RangeError(
                f"{plain(self.pieces_per_hour)} pieces an hour is no speed.",
                expected="Above zero. Sorters speak of 600 to 1,200 dimes an hour for date and mint (common practice).",
                instead=("800",),
            )

    def hours(self, pieces: int) -> Decimal:
        """Hours that so many pieces take."""
        return divide(Decimal(pieces), self.pieces_per_hour)


@dataclass(frozen=True, slots=True, kw_only=True)
class Likely:
    """What a search may find of one thing.

    Attributes:
        sought: the thing.
        expected: finds, on average.
        chance: of one or more.
        for_half, for_nearly: pieces until the chance of one is 50% and 95%; none where it has no share.
        worth: over melt, on average.
    """

    sought: Sought
    expected: Decimal
    chance: float
    for_half: int | None
    for_nearly: int | None
    worth: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class Prospect:
    """What searching a heap may pay, before it is opened.

    Attributes:
        pieces, hours: of the search.
        likely: one by one, as they were given.
        finds, worth: on average.
        spread: the standard deviation of the worth: luck alone moves it so far either way.
        chance: of any find at all.
        per_hour: worth over hours.
        pays: whether that is at least what an hour is worth to the person.
        pieces_per_hour_needed: the speed at which it would just pay; none where nothing is expected.
    """

    pieces: int
    hours: Decimal
    likely: tuple[Likely, ...]
    finds: Decimal
    worth: Decimal
    spread: Decimal
    chance: float
    per_hour: Decimal
    pays: bool
    pieces_per_hour_needed: Decimal | None


def pieces_in(face: Decimal, coin: str) -> int:
    """Pieces in so much face of a denomination, whole ones.

    Raises:
        NotFoundError: no such denomination.
        RangeError: face below zero, or not a whole number of pieces.
    """
    each = denomination(coin).face
    count = divide(face, each)
    if face < 0 or count != count.to_integral_value():
        raise RangeError(f"{plain(face)} face is no whole number of {denomination(coin).plural}.")
    return int(count)


def sought_in(expected: Expected, over_melt: Callable[[Struck], Decimal | None]) -> tuple[Sought, ...]:
    """What of a mix is worth searching for, by a function that knows what each nets over melt; none is not sought."""
    return tuple(
        Sought(what=row.struck.key, share=row.share, over_melt=net)
        for row in expected.shares
        if (net := over_melt(row.struck)) is not None
    )


def prospect(pieces: int, sought: Sequence[Sought], sitter: Sitter) -> Prospect:
    """What searching so many pieces may pay: n sum(p v) / (n / speed).

    Args:
        pieces: to look through; above zero.
        sought: each thing once; their shares may not sum past one.
        sitter: the person's own.

    Raises:
        RangeError: no pieces, a share outside 0 to 1, or shares past one.
    """
    if pieces <= 0:
        raise RangeError(f"{pieces} pieces cannot be searched.", expected="Above zero.")
    whole = sum((item.share for item in sought), Decimal(0))
    if to_places(whole, _SHARE_PLACES) > 1:
        raise RangeError(f"The shares sought sum to {plain(whole)}.", expected="At most 1.")
    likely = tuple(_likely(item, pieces) for item in sought)
    each = sum((EXACT.multiply(item.share, item.over_melt) for item in sought), Decimal(0))
    squares = sum(
        (EXACT.multiply(item.share, EXACT.multiply(item.over_melt, item.over_melt)) for item in sought), Decimal(0)
    )
    # Where every piece is sought at one price nothing varies, and the last digit of the shares may fall below nought.
    variance = max(Decimal(0), squares - EXACT.multiply(each, each))
    worth = sum((item.worth for item in likely), Decimal(0))
    per_hour = EXACT.multiply(each, sitter.pieces_per_hour)
    return Prospect(
        pieces=pieces,
        hours=sitter.hours(pieces),
        likely=likely,
        finds=sum((item.expected for item in likely), Decimal(0)),
        worth=worth,
        spread=EXACT.multiply(pieces, variance).sqrt(EXACT),
        chance=at_least_one(min(whole, Decimal(1)), pieces),
        per_hour=per_hour,
        pays=per_hour >= sitter.hour_worth,
        pieces_per_hour_needed=divide(sitter.hour_worth, each) if each > 0 else None,
    )


def by_size(sizes: Iterable[int], sought: Sequence[Sought], sitter: Sitter) -> tuple[Prospect, ...]:
    """The same for several sizes of bag.

    Raises:
        RangeError: as `prospect`.
    """
    return tuple(prospect(pieces, sought, sitter) for pieces in sizes)


def _likely(item: Sought, pieces: int) -> Likely:
    expected = EXACT.multiply(item.share, pieces)
    return Likely(
        sought=item,
        expected=expected,
        chance=at_least_one(item.share, pieces),
        for_half=pieces_until(item.share, _HALF) if item.share else None,
        for_nearly=pieces_until(item.share, _NEARLY) if item.share else None,
        worth=EXACT.multiply(expected, item.over_melt),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Find:
    """Something that a search found: so many pieces, each netting so much over its own metal."""

    what: str
    pieces: int = 1
    over_melt: Decimal

    @property
    def worth(self) -> Decimal:
        """Over melt, together."""
        return self.pieces * self.over_melt


@dataclass(frozen=True, slots=True, kw_only=True)
class Paid:
    """What a search did pay.

    Attributes:
        finds: what was found.
        hours: that it took; above zero.
        hour_worth: what an hour is worth to the person.
    """

    finds: tuple[Find, ...]
    hours: Decimal
    hour_worth: Decimal = Decimal(0)

    def __post_init__(self) -> None:
        if self.hours <= 0:
            raise RangeError(f"{plain(self.hours)} hours is no search.", expected="Above zero.", instead=("6.5",))

    @property
    def worth(self) -> Decimal:
        """Over melt, together."""
        return sum((find.worth for find in self.finds), Decimal(0))

    @property
    def per_hour(self) -> Decimal:
        """Worth over hours."""
        return divide(self.worth, self.hours)

    @property
    def paid(self) -> bool:
        """Whether it came to what the hours are worth to the person."""
        return self.worth >= self.hours * self.hour_worth


def over_melt(net: Decimal, melt: Decimal, currency: str = "USD") -> Decimal:
    """What a sale nets over the piece's own metal, both rounded to cents as they are booked; may be negative."""
    return cents(net, currency) - cents(melt, currency)
