"""What the mix says: the dates of a tally or of a lot told apart, beside what mintage and an assumption would have."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal

from ninefine.book.entries import Sorted
from ninefine.book.standing import standing
from ninefine.catalog.denominations import denomination
from ninefine.catalog.kinds import Kind
from ninefine.desk.assumptions import kept_survival, read_survival, read_year
from ninefine.desk.fields import Fields
from ninefine.desk.kit import Kit
from ninefine.desk.pieces import laid
from ninefine.desk.to_sort import tallies_under_way
from ninefine.errors import InputError, NotFoundError
from ninefine.sorting.catching import pieces_to_catch
from ninefine.sorting.expected import Expected, expected_mix
from ninefine.sorting.fitting import FittedLoss, fitted_loss
from ninefine.sorting.found import Group, by_mint, by_year, grouped
from ninefine.sorting.mintage import Struck, heap_of
from ninefine.sorting.reading import Reading, read_mix
from ninefine.sorting.signs import Sign
from ninefine.sorting.survival import Survival
from ninefine.sorting.tally import Row

#: A mix is set beside the dates that still went from hand to hand in the 1960s, unless the person asks for others
#: (common practice, no source): denomination -> first and last year.
USUAL_DATES = {"dime": (1916, 1964), "quarter": (1932, 1964), "half": (1916, 1964), "dollar": (1878, 1935)}
TALLY = "tally"
#: Of the dates that a sign looks at, the part that searchers are asked to have taken.
HALF = Decimal("0.5")


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """Coins told apart by date, ready to be set beside a mix.

    Attributes:
        key: `tally 3` while a tally is open, else the lot's name.
        title: in words.
        rows: kind, issue and count.
        pieces: all of them.
        tally: the open tally's number; none for a lot.
    """

    key: str
    title: str
    rows: tuple[Row, ...]
    tally: int | None = None

    @property
    def pieces(self) -> int:
        """All pieces told apart by date."""
        return sum(row.count for row in self.rows if row.issue)


@dataclass(frozen=True, slots=True, kw_only=True)
class Catch:
    """How many coins would tell, four times in five, that half of a sign's dates is gone; none where no bag would."""

    sign: Sign
    pieces: int | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Mix:
    """What a mix says.

    Attributes:
        source: the coins.
        what: the denomination or design that they were set beside, as the form takes it.
        expected: the mix.
        reading: found beside it, tested, with the verdict.
        fitted: the yearly loss that the bag itself speaks for; none where its dates are all of one age.
        years, mints, issues: found and expected, taken together.
        catches: how many coins each sign would take to tell.
    """

    source: Source
    what: str
    expected: Expected
    reading: Reading
    fitted: FittedLoss | None
    years: tuple[Group, ...]
    mints: tuple[Group, ...]
    issues: tuple[Group, ...]
    catches: tuple[Catch, ...]


def sources(kit: Kit) -> tuple[Source, ...]:
    """Tallies under way, the latest first, then the lots that were told apart by date, the latest sorted first."""
    tallies = (
        Source(
            key=f"{TALLY} {one.number}",
            title=f"Tally {one.number}, under way: {one.title}",
            rows=kit.running(one.number).now(latest=0).rows,
            tally=one.number,
        )
        for one in tallies_under_way(kit)
    )
    return (*tallies, *kit.keep("sorted lots", lambda: _sorted_lots(kit)))


def source(kit: Kit, key: str) -> Source:
    """Coins told apart, by the key of their source; the first source where none is named.

    Raises:
        NotFoundError: nothing was told apart by date, or not by that name.
    """
    known = sources(kit)
    if not known:
        raise NotFoundError(
            "Nothing has been told apart by date yet.", expected="Tally a heap, or sort one into dates; then ask again."
        )
    found = next((one for one in known if key in {"", one.key}), None)
    if found is None:
        raise NotFoundError(
            f"{key[:40]!r} was not told apart by date.",
            expected="A lot, or an open tally.",
            instead=[one.key for one in known[:6]],
        )
    return found


def choices(kit: Kit, of: Source) -> tuple[tuple[str, str], ...]:
    """What a source may be set beside, as value and words: its denominations, most pieces first, then its designs."""
    catalog = kit.catalog()
    pieces: dict[str, int] = {}
    designs: dict[str, Kind] = {}
    for row in of.rows:
        kind = kit.kind_or_none(row.kind)
        word = None if kind is None else _denomination(kind)
        if kind is None or word is None or not row.issue:
            continue
        pieces[word] = pieces.get(word, 0) + row.count
        if catalog.issues(kind.slug):
            designs[kind.slug] = kind
    words = sorted(pieces, key=lambda word: -pieces[word])
    named = [(word, _all_of(word)) for word in words if word in USUAL_DATES]
    return (*named, *((slug, f"{kind.name} alone") for slug, kind in sorted(designs.items())))


def mix(kit: Kit, form: Mapping[str, str]) -> Mix:
    """Set a source beside a mix.

    Fields: `of` (a source's key), `what` (a denomination or a design; the commonest where left out), `first` and `last`
    (years), and an assumption of survival: `loss`, `until`, `melts`.

    Raises:
        Faults: every fault, each at its field.
        NotFoundError: nothing was told apart by date.
    """
    fields = Fields(form, source="what was asked")
    of = source(kit, fields.raw("of"))
    offered = choices(kit, of)
    if not offered:
        raise NotFoundError(
            f"{of.title} holds no coin whose mintage is held.", expected="Mintage by date is held for U.S. silver coin."
        )
    what = fields.raw("what") or offered[0][0]
    first = fields.read("first", read_year, None)
    last = fields.read("last", read_year, None)
    survival = read_survival(fields, kept_survival(kit))
    catalog = kit.catalog()
    expected = None
    if fields.sound:
        usual = USUAL_DATES.get(what, (None, None))
        try:
            expected = expectation(kit, what, first or usual[0], last or usual[1], survival)
        except InputError as error:
            fields.fault("what" if isinstance(error, NotFoundError) else "first", str(error))
    fields.done()
    if expected is None:
        raise NotFoundError("No mix was asked for.")
    rows = tuple(_alike(kit, of.rows, heap_of(catalog, what)))
    key = ("mix", rows, what, expected.first_year, expected.last_year, survival)
    return kit.keep(key, lambda: _mix(of, what, expected, rows))


def expectation(kit: Kit, what: str, first: int | None, last: int | None, survival: Survival) -> Expected:
    """The mix of a denomination or a design, worked out once for each state of the book.

    Raises:
        NotFoundError: neither a kind nor a denomination, or no mintage of it is held.
        RangeError: more than one denomination, or a range in which nothing was struck.
    """
    return kit.keep(
        ("expected", what, first, last, survival),
        lambda: expected_mix(kit.catalog(), what, survival=survival, first_year=first, last_year=last),
    )


def _mix(of: Source, what: str, expected: Expected, rows: tuple[Row, ...]) -> Mix:
    reading = read_mix(expected, rows)
    beside = reading.beside
    return Mix(
        source=of,
        what=what,
        expected=expected,
        reading=reading,
        fitted=fitted_loss(beside),
        years=grouped(beside, by_year),
        mints=grouped(beside, by_mint),
        issues=grouped(beside, _by_key),
        catches=tuple(
            Catch(sign=sign, pieces=pieces_to_catch(sign.share, HALF)) for sign in reading.signs if not sign.many
        ),
    )


def loss_words(survival: Survival, fitted: FittedLoss | None) -> str:
    """What the bag's own ages say of the assumed loss, in a sentence; empty where they say nothing."""
    if fitted is None:
        return ""
    said = f"{_percent(fitted.yearly_loss)} a year, give or take {_percent(fitted.error)}"
    if fitted.yearly_loss < 0:
        return (
            f"By their ages alone these dates speak for a loss of {said}: old dates are commoner here than mintage "
            "would have them, which no loss explains."
        )
    apart = abs(fitted.yearly_loss - survival.yearly_loss) > 2 * fitted.error
    against = "which the assumption does not reach" if apart else "which agrees with the assumption"
    return f"By their ages alone these dates speak for a loss of {said}, {against}."


def _percent(part: Decimal) -> str:
    return f"{part * 100:.2f}%"


def _by_key(struck: Struck) -> str:
    return struck.key


def _sorted_lots(kit: Kit) -> tuple[Source, ...]:
    """Lots that were told apart by date: what came of heaps without a date. Later sortings move no piece again.

    Pieces that were only pulled make no bag; where the rest was told apart too, they count with it.
    """
    pulled = {one.pulled_by for one in laid(kit)}
    counts: dict[str, dict[tuple[str, str], int]] = {}
    latest: dict[str, int] = {}
    for place, (_, serial, fact) in enumerate(standing(kit.journal.records())):
        if not isinstance(fact, Sorted) or fact.heap.issue:
            continue
        dated = any(line.issue and line.amount.count is not None for line in fact.lines)
        if not dated:
            continue
        if serial not in pulled:
            latest[fact.heap.lot] = place
        rows = counts.setdefault(fact.heap.lot, {})
        for line in fact.lines:
            if line.amount.count is not None:
                cell = (line.kind, line.issue)
                rows[cell] = rows.get(cell, 0) + line.amount.count
    return tuple(
        Source(
            key=lot,
            title=f"Lot {lot}, as told apart",
            rows=tuple(
                Row(kind=kind, issue=issue, count=count) for (kind, issue), count in sorted(counts[lot].items())
            ),
        )
        for lot in sorted(latest, key=lambda lot: -latest[lot])
    )


def _alike(kit: Kit, rows: Iterable[Row], heap: Kind) -> Iterable[Row]:
    """Rows of the denomination that is looked at; those of others say nothing of it."""
    for row in rows:
        kind = kit.kind_or_none(row.kind)
        if kind is not None and kind.denomination == heap.denomination:
            yield row


def _denomination(kind: Kind) -> str | None:
    """The key of a U.S. silver kind's denomination; none for other pieces."""
    if kind.country != "US" or not kind.fineness or not kind.denomination:
        return None
    return denomination(kind.denomination).key


def _all_of(word: str) -> str:
    first, last = USUAL_DATES[word]
    return f"{denomination(word).plural} of {first} to {last}"
