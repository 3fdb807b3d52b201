"""What searching may pay, before a bag is opened: chances and numbers of finds, and money an hour at one's own pace."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from functools import partial

from ninefine.catalog.kinds import Kind
from ninefine.desk.amounts import read_amount, say_amount
from ninefine.desk.assumptions import kept_survival, read_survival, read_year
from ninefine.desk.fields import Fields
from ninefine.desk.judging import judging
from ninefine.desk.kit import Kit
from ninefine.desk.mix import USUAL_DATES, expectation
from ninefine.desk.triage import rules
from ninefine.errors import InputError, NotFoundError, RangeError, UnreadableError
from ninefine.measure.money import read_money
from ninefine.measure.numbers import EXACT, plain, read_decimal
from ninefine.sorting.effect import thinned
from ninefine.sorting.expected import Expected
from ninefine.sorting.mintage import Struck, heap_of
from ninefine.sorting.searching import Likely, Prospect, Sitter, Sought, by_size, prospect
from ninefine.worth.band import Band, read_band
from ninefine.worth.piece import Piece
from ninefine.worth.triage import TriageRules, triage

#: Pieces an hour until the person says their own (common practice, no source: 600 to 1,200 dimes).
USUAL_SPEED = Decimal(800)
USUAL_SIZE = "250 face"
USUAL_SIZES = "50 face, 100 face, 250 face, 500 face, 1000 face"
_RANKS = ("key", "semi-key", "better")
_WORTH = re.compile(r"(?P<what>[^=:]+?)\s*[=:]\s*(?P<amount>[-$\d.,]+)", re.ASCII)
_NONE_SAID: Mapping[str, Decimal] = {}


@dataclass(frozen=True, slots=True, kw_only=True)
class Hope:
    """A date that is searched for.

    Attributes:
        struck: the date.
        likely: how many, and with what chance.
        over_melt: what the sale of one nets over its own metal; none where nobody has said.
        whence: whose figure that is.
    """

    struck: Struck
    likely: Likely
    over_melt: Decimal | None
    whence: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Before:
    """What searching a bag may pay.

    Attributes:
        what: the denomination or design, as the form takes it.
        expected: the mix that it is taken to be drawn from.
        pieces, size: of the bag, and its size in words.
        left: the part of the sought dates that is taken to be still there; 1 for a bag that nobody searched.
        sitter: the person's speed and what an hour is worth.
        hopes: the dates sought, the scarcest first.
        prospect: of the bag.
        sizes: the same for bags of other sizes, each with its size in words.
        unpriced: how many of the dates have no worth, and so add none.
    """

    what: str
    expected: Expected
    pieces: int
    size: str
    left: Decimal
    sitter: Sitter
    hopes: tuple[Hope, ...]
    prospect: Prospect
    sizes: tuple[tuple[str, Prospect], ...]

    @property
    def unpriced(self) -> int:
        """Dates without a worth."""
        return sum(hope.over_melt is None for hope in self.hopes)


def before(kit: Kit, form: Mapping[str, str]) -> Before:
    """Work out what searching a bag may pay.

    Fields: `what` (a denomination or a design; dimes where left out), `size` and `sizes` (amounts, the latter parted by
    commas), `first`, `last`, an assumption of survival (`loss`, `until`, `melts`), `left` (per cent of the sought dates
    that is still there), `speed`, `hour`, `grade` (at which finds are priced by the sheets), `worth` (a line each:
    `1921-D = 60`, `better = 4`: over melt, by date or by rank).

    Raises:
        Faults: every fault, each at its field.
    """
    fields = Fields(form, source="what was asked")
    kept = judging(kit)
    what = fields.raw("what") or "dime"
    first, last = fields.read("first", read_year, None), fields.read("last", read_year, None)
    survival = read_survival(fields, kept_survival(kit))
    left = fields.read("left", _part, Decimal(1))
    speed = fields.positive("speed", kept.pieces_per_hour or USUAL_SPEED) or USUAL_SPEED
    hour = fields.money("hour", kept.hour_worth)
    grade = fields.read("grade", read_band, None)
    worth = fields.read("worth", read_worth, _NONE_SAID)
    expected = None
    if fields.sound:
        usual = USUAL_DATES.get(what, (None, None))
        try:
            expected = expectation(kit, what, first or usual[0], last or usual[1], survival)
        except InputError as error:
            fields.fault("what" if isinstance(error, NotFoundError) else "first", str(error))
    size = sizes = None
    if expected is not None:
        there = {row.struck.key for row in expected.shares} | set(_RANKS)
        for key in [key for key in worth if key not in there]:
            fields.fault("worth", f"{key} is no date of this mix, and no rank. Try: 1921-D = 60, better = 4.")
        heap = heap_of(kit.catalog(), what)
        size = fields.read_value("size", fields.raw("size") or USUAL_SIZE, partial(_size, heap))
        sizes = fields.read_value("sizes", fields.raw("sizes") or USUAL_SIZES, partial(_sizes, heap))
    fields.done()
    if expected is None or size is None or sizes is None:
        raise NotFoundError("No mix was asked for.")
    sitter = Sitter(pieces_per_hour=speed, hour_worth=hour)
    priced = _priced(kit, expected, worth, grade)
    sought = _sought(expected, priced, left)
    found = prospect(size[1], sought, sitter)
    others = by_size([count for _, count in sizes], sought, sitter)
    hopes = [
        Hope(struck=struck, likely=likely, over_melt=over, whence=whence)
        for (struck, over, whence), likely in zip(priced, found.likely, strict=True)
    ]
    return Before(
        what=what,
        expected=expected,
        pieces=size[1],
        size=size[0],
        left=left,
        sitter=sitter,
        hopes=tuple(sorted(hopes, key=lambda hope: hope.likely.sought.share)),
        prospect=found,
        sizes=tuple(zip((words for words, _ in sizes), others, strict=True)),
    )


def read_worth(text: str) -> Mapping[str, Decimal]:
    """Read what finds net over their own metal, a line each: `1921-D = 60`, or by rank `better = 4`.

    Raises:
        UnreadableError: a line that is no such thing.
    """
    found: dict[str, Decimal] = {}
    for line in re.split(r"[\n;]", text):
        if not line.strip():
            continue
        read = _WORTH.fullmatch(line.strip())
        if read is None:
            raise UnreadableError(
                f"{line.strip()[:40]!r} does not say what a find is worth.",
                expected="Write a date and mint, or a rank, and what one nets over its own metal.",
                instead=("1921-D = 60", "semi-key = 30", "better = 4"),
            )
        found[_key(read["what"])] = read_money(read["amount"])
    return found


def _key(said: str) -> str:
    word = said.strip().lower()
    if word in _RANKS:
        return word
    year, _, mint = word.replace(" ", "-").partition("-")
    return f"{year}-{(mint or 'P').upper()}"


#: A date, what one nets over melt, and whose figure that is.
_Priced = tuple[Struck, Decimal | None, str]


def _priced(kit: Kit, expected: Expected, worth: Mapping[str, Decimal], grade: Band | None) -> list[_Priced]:
    """The dates that are sought: those that sorters look for, and those that have a worth."""
    held_against = rules(kit)
    found: list[_Priced] = []
    for row in expected.shares:
        struck = row.struck
        said = worth.get(struck.key, worth.get(struck.rank) if struck.rank else None)
        if said is not None:
            found.append((struck, said, "your own figure"))
            continue
        by_sheet = None if grade is None else _by_sheet(kit.catalog().kind(struck.kind), struck, grade, held_against)
        if by_sheet is not None or struck.rank:
            found.append((struck, *(by_sheet or (None, ""))))
    return found


def _by_sheet(kind: Kind, struck: Struck, grade: Band, held_against: TriageRules) -> tuple[Decimal, str] | None:
    """What a date nets over melt by a price of its own on the person's sheets; none where it has none."""
    if (struck.kind, struck.key, grade.proof) not in held_against.guide.curves:
        return None
    try:
        found = triage(Piece(name=struck.key, kind=kind, issue=struck.key, band=grade), held_against)
    except RangeError:  # its metal has no price on record
        return None
    if found.best is None or found.extra is None or found.collected is None:
        return None
    price = found.collected.price
    return found.extra.mid, f"{price.curve.sheet}, {price.curve.on}, at {grade} by {found.best.exit.name}"


def _sought(expected: Expected, priced: Sequence[_Priced], left: Decimal) -> list[Sought]:
    """What is sought, each with its share of what is still there."""
    cells = {(struck.kind, struck.key) for struck, _, _ in priced}
    shares = [row.share for row in expected.shares]
    picked = [row.cell in cells for row in expected.shares]
    if left < 1 and not all(picked):
        shares = list(thinned(shares, picked, 1 - left))
    by_cell = {row.cell: share for row, share in zip(expected.shares, shares, strict=True)}
    return [
        Sought(what=struck.key, share=by_cell[struck.kind, struck.key], over_melt=over or Decimal(0))
        for struck, over, _ in priced
    ]


def _part(text: str) -> Decimal:
    value = EXACT.divide(read_decimal(text.strip().removesuffix("%").strip(), what="per cent"), Decimal(100))
    if not 0 <= value <= 1:
        raise RangeError(f"{plain(value * 100)}% cannot be left.", expected="From 0 to 100.", instead=("100", "10"))
    return value


def _size(heap: Kind, text: str) -> tuple[str, int]:
    """A bag's size in words and in pieces.

    Raises:
        UnreadableError: no amount.
        RangeError: no whole number of pieces, or more than any bag holds.
    """
    amount = read_amount(text, heap)
    if amount.count is None:
        raise RangeError(f"{text.strip()[:30]} says no number of pieces.", instead=("250 face", "2500 pieces"))
    if amount.count > 10**7:
        raise RangeError("No bag holds ten million pieces.")
    return say_amount(amount), amount.count


def _sizes(heap: Kind, text: str) -> list[tuple[str, int]]:
    return [_size(heap, part) for part in re.split(r",\s|;|\n", text) if part.strip()][:12]
