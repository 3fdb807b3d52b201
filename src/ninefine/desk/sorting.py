"""Sorting: a heap told apart at once, or coin by coin on a tally that keeps every mark."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from decimal import Decimal
from functools import partial

import msgspec

from ninefine.book.chain import Stored
from ninefine.book.entries import Amount, Sorted, SortedLine
from ninefine.book.holdings import Heap
from ninefine.catalog.catalog import HEAPS
from ninefine.catalog.denominations import denomination
from ninefine.catalog.kinds import Kind
from ninefine.desk.amounts import read_amount
from ninefine.desk.fields import Fields, numbers_of
from ninefine.desk.goods import read_named
from ninefine.desk.heaps import heap_name, read_heap, say_heap
from ninefine.desk.kit import Kit
from ninefine.errors import BookError, NotFoundError, RangeError
from ninefine.measure.numbers import EXACT, plain, read_reference
from ninefine.sorting.coin import Coin, read_coin
from ninefine.sorting.pace import Pace
from ninefine.sorting.tally import Mark, Row, Tally
from ninefine.worth.ounces import ounces_of

METHODS = {"weight": "by weight of fine silver", "value": "by relative market value"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Board:
    """A tally, as the table shows it.

    `heap` is none if it is no longer held as it was. `face_told` and `face_left` are in face; none where the heap has
    no face to compare with. `last` is the number of the last mark that is counted in; `time_left` is at the pace of
    late, none where that or what is left is not known.
    """

    number: int
    title: str
    started_at: datetime
    open: bool
    serial: int | None
    heap: Heap | None
    tally: Tally
    last: int
    kinds: Mapping[str, Kind]
    face_told: Decimal
    face_left: Decimal | None
    pieces_left: int | None
    pace: Pace
    time_left: timedelta | None


def sort(kit: Kit, form: Mapping[str, str]) -> Stored:
    """Book a heap as told apart at once.

    Fields: `on`, `heap`, `method` (`weight` or `value`), `note`, and for each row n: `kind-n`, `amount-n`,
    `value-n` (what the row would bring, needed by value), `place-n`.

    Raises:
        Faults: every fault, each at its field.
        BookError: more or less came out than went in.
    """
    fields = Fields(form, source="the sorting")
    on = fields.day("on", kit.today())
    heap = fields.read("heap", partial(read_heap, kit.holdings()), None, needed=True)
    method = fields.raw("method") or "weight"
    if method not in METHODS:
        fields.fault("method", "Cost is shared by weight or by value.")
    catalog = kit.catalog()
    rows: list[tuple[Row, Amount, Decimal, str]] = []
    for number in numbers_of(form):
        named = fields.read(f"kind-{number}", partial(read_named, catalog), None, needed=True)
        if named is None:
            continue
        amount = fields.read(f"amount-{number}", partial(read_amount, kind=named.kind), None, needed=True)
        value = fields.money(f"value-{number}", needed=method == "value")
        if amount is not None:
            row = Row(kind=named.kind.slug, issue=named.issue, count=amount.count or 0)
            weight = value if method == "value" else fine_weight(amount, named.kind)
            rows.append((row, amount, weight, fields.raw(f"place-{number}")))
    if not rows and fields.sound:
        fields.fault("kind-1", "Say at least one kind that came out of the heap.")
    fields.done()
    if heap is None:
        raise NotFoundError("No heap was named.")
    lines = tuple(
        SortedLine(kind=row.kind, issue=row.issue, amount=amount, weight=weight, place=place or None)
        for row, amount, weight, place in rows
    )
    return kit.journal.append(
        Sorted(
            on=on,
            heap=heap.ref,
            taken=taken_of(heap, [line.amount for line in lines]),
            lines=lines if any(line.weight for line in lines) else _evenly(lines),
            method=METHODS[method],
            note=fields.raw("note"),
        )
    )


def fine_weight(amount: Amount, kind: Kind) -> Decimal:
    """A row's share of basis by weight: its fine troy ounces as struck (by scale where it has no set weight)."""
    return ounces_of(amount, kind).unworn


def begin(kit: Kit, heap_text: str) -> int:
    """Begin a tally of a held heap; answers its number.

    Raises:
        NotFoundError: no such heap.
        BookError: it is still on its way.
    """
    held = kit.holdings()
    heap = read_heap(held, heap_text)
    if held.lots[heap.lot].awaited:
        raise BookError(f"Lot {heap.lot} is still on its way. Receive it first, then sort it.")
    return kit.tallies.start_tally(heap_name(heap), say_heap(heap, kit.catalog()))


def mark(kit: Kit, number: int, word: str, text: str, *, slip: str = "") -> Coin:
    """Mark a coin on a tally: read, kept, and answered with what to look at.

    Args:
        kit: the kit.
        number: the tally.
        word: the denomination that is being told apart.
        text: the coin as typed.
        slip: the window's own name and number of this mark, `ab12cd34.7`; a slip that was kept before is not kept
            twice, so that it may be sent again whenever its answer was lost.

    Raises:
        InputError: not a coin, never struck, no such tally.
        BookError: the tally was ended.
    """
    running = kit.running(number)
    kind = heap_kind(kit, number)
    own = window_of(slip)
    last = running.last_of(lambda one: window_of(one.note) == own) or running.last_of(lambda _: True)
    coin = read_coin(
        kit.catalog(),
        word,
        text,
        last_kind=last.kind if last is not None else kind.slug if kind is not None else "",
        worn_kind=kind.slug if kind is not None and is_of(kind, word) else "",
    )
    if not slip or running.noted(slip) is None:
        kit.tallies.mark(number, coin.kind.slug, coin.issue, coin.times, slip)
    return coin


def amend(kit: Kit, number: int, word: str, text: str, *, of: str, slip: str = "") -> Coin:
    """Mark a coin in place of one that was read too plainly: another design or variety of its date.

    The coin is read before anything is taken back. Sent twice, it is done once.

    Args:
        kit: the kit.
        number: the tally.
        word: the denomination.
        text: the whole coin as it should read: `42v`, `16/barber`.
        of: the slip or the number of the mark that it replaces.
        slip: its own slip, as for `mark`.
    """
    coin = mark(kit, number, word, text, slip=slip)
    undo(kit, number, of=of)
    return coin


def again(kit: Kit, number: int, *, slip: str = "") -> Mark | None:
    """Mark one more of the last coin that stands; none where nothing stands."""
    running = kit.running(number)
    last = running.last_of(lambda _: True)
    if last is not None and (not slip or running.noted(slip) is None):
        kit.tallies.mark(number, last.kind, last.issue, 1, slip)
    return last


def undo(kit: Kit, number: int, *, slip: str = "", of: str = "", opened: int | None = None) -> int | None:
    """Take a mark back; answers its number, or none where there is nothing to take back.

    Args:
        kit: the kit.
        number: the tally.
        slip: this undo's own slip, as for `mark`.
        of: the mark's number, or the slip that it came on. Without it, the last of this window's own that stands; with
            none left, the last of those that stood when the window was opened: never what another did since.
        opened: the last mark's number when the window was opened; where not given, any mark is taken.

    Raises:
        BookError: the tally was ended.
    """
    running = kit.running(number)
    if slip and (before := running.noted(slip)) is not None:
        return before.cancels
    if of:
        found = running.noted(of)
        seq = found.seq if found is not None else read_reference(of)
    else:
        own = window_of(slip)
        last = running.last_of(lambda one: opened is None or one.seq <= opened or window_of(one.note) == own)
        seq = None if last is None else last.seq
    return None if seq is None or not running.stands(seq) else kit.tallies.undo(number, seq, slip)


def window_of(slip: str) -> str:
    """The window that a slip came from; empty where a mark came on none."""
    return slip.rpartition(".")[0]


def heap_kind(kit: Kit, number: int) -> Kind | None:
    """The kind of a tally's heap where it tells more than a denomination; none for mixed and undated heaps."""
    slug = kit.tallies.tally(number).heap.partition("@")[0].split("/")[1]
    return None if slug in HEAPS else kit.kind_or_none(slug)


def is_of(kind: Kind, word: str) -> bool:
    """Whether a kind is of a denomination, by any word for it."""
    return kind.denomination == denomination(word).name and kind.country == "US"


def board(kit: Kit, number: int, *, latest: int = 12) -> Board:
    """A tally as it stands.

    Raises:
        NotFoundError: no such tally.
    """
    about = kit.tallies.tally(number)
    running = kit.running(number)
    tally, pace = running.now(latest=latest), running.pace
    catalog = kit.catalog()
    kinds = {slug: catalog.kind(slug) for slug in dict.fromkeys(row.kind for row in tally.rows)}
    told = tally.face({slug: kind.face or Decimal(0) for slug, kind in kinds.items()})
    try:
        heap: Heap | None = read_heap(kit.holdings(), about.heap)
    except NotFoundError:
        heap = None
    face_left = None if heap is None or heap.face is None else heap.face - told
    pieces_left = None if heap is None or heap.count is None else heap.count - tally.pieces
    return Board(
        number=number,
        title=about.title,
        started_at=about.started_at,
        open=about.open,
        serial=about.serial,
        heap=heap,
        tally=tally,
        last=running.last,
        kinds=kinds,
        face_told=told,
        face_left=face_left,
        pieces_left=pieces_left,
        pace=pace,
        time_left=_time_left(tally, pace, told, face_left, pieces_left),
    )


def _time_left(
    tally: Tally, pace: Pace, told: Decimal, face_left: Decimal | None, pieces_left: int | None
) -> timedelta | None:
    """How long the rest takes; where only its face is known, as if it were of such pieces as were told so far."""
    if pieces_left is None and face_left is not None and told > 0:
        pieces_left = int(EXACT.divide(face_left * tally.pieces, told))
    return None if pieces_left is None else pace.time_for(pieces_left)


def finish(kit: Kit, number: int, *, note: str = "", on: date | None = None) -> Stored:
    """Book a tally: its rows leave the heap and keep the lot's date and share of cost by fine weight.

    What was not told apart stays in the heap.

    Raises:
        BookError: nothing was marked, or more than the heap holds.
    """
    now = board(kit, number)
    if now.heap is None:
        raise BookError(f"The heap of this tally ({now.title}) is no longer held as it was. Put the tally aside.")
    if not now.tally.rows:
        raise BookError("Nothing has been marked on this tally yet.")
    for left, unit in ((now.face_left, "face"), (now.pieces_left, "pieces")):
        if left is not None and left < 0:
            raise BookError(
                f"The tally holds {plain(abs(Decimal(left)))} {unit} more than the heap. Take marks back, or receive "
                "the lot as it was counted."
            )
    lines = tuple(_tally_line(row, now.kinds[row.kind]) for row in now.tally.rows)
    entry = Sorted(
        on=on or kit.today(),
        heap=now.heap.ref,
        taken=taken_of(now.heap, [line.amount for line in lines]),
        lines=lines if any(line.weight for line in lines) else _evenly(lines),
        method=METHODS["weight"],
        note=note,
    )
    return kit.journal.append(entry, ends_tally=number)


def put_aside(kit: Kit, number: int) -> None:
    """End a tally without booking it; its marks are kept."""
    kit.tallies.close_tally(number, None)


def _tally_line(row: Row, kind: Kind) -> SortedLine:
    if row.count < 0:
        raise RangeError(f"{kind.name} {row.issue} stands at {row.count} pieces.", expected="Take the last marks back.")
    amount = Amount(count=row.count, face=None if kind.face is None else kind.face * row.count)
    return SortedLine(kind=row.kind, issue=row.issue, amount=amount, weight=fine_weight(amount, kind))


def _evenly(lines: tuple[SortedLine, ...]) -> tuple[SortedLine, ...]:
    """Rows without any silver share cost by pieces, for want of a better measure."""
    return tuple(msgspec.structs.replace(line, weight=Decimal(line.amount.count or 1)) for line in lines)


def taken_of(heap: Heap, amounts: list[Amount]) -> Amount | None:
    """How much of the heap the rows take; none for all of it, or where their measures cannot be compared.

    Where every row was weighed, the heap gets lighter by just that; else by its share.
    """
    counts = [amount.count for amount in amounts]
    faces = [amount.face for amount in amounts]
    weights = [amount.gross_g for amount in amounts]
    grams = None
    if heap.gross_g is not None and None not in weights:
        grams = sum((weight or Decimal(0) for weight in weights), Decimal(0))
    if heap.count is not None and None not in counts:
        count = sum(count or 0 for count in counts)
        return None if count == heap.count else Amount(count=count, gross_g=grams)
    if heap.face is not None and None not in faces:
        face = sum((face or Decimal(0) for face in faces), Decimal(0))
        return None if face == heap.face else Amount(face=face, gross_g=grams)
    return None
