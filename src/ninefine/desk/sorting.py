"""Sorting: a heap told apart at once, or coin by coin on a tally that keeps every mark."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from functools import partial

import msgspec

from ninefine.book.chain import Stored
from ninefine.book.entries import Amount, Sorted, SortedLine
from ninefine.book.holdings import Heap
from ninefine.catalog.kinds import Kind
from ninefine.desk.amounts import read_amount
from ninefine.desk.fields import Fields
from ninefine.desk.goods import read_named
from ninefine.desk.heaps import heap_name, read_heap, say_heap
from ninefine.desk.kit import Kit
from ninefine.desk.purchase import line_numbers
from ninefine.errors import BookError, NotFoundError, RangeError
from ninefine.measure.numbers import plain
from ninefine.sorting.coin import Coin, read_coin
from ninefine.sorting.tally import Row, Tally, tally_of
from ninefine.worth.ounces import ounces_of

METHODS = {"weight": "by weight of fine silver", "value": "by relative market value"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Board:
    """A tally under way, as the table shows it.

    `heap` is none if it is no longer held as it was. `face_told` and `face_left` are in face; none where the heap has
    no face to compare with.
    """

    number: int
    title: str
    heap: Heap | None
    tally: Tally
    kinds: Mapping[str, Kind]
    face_told: Decimal
    face_left: Decimal | None
    pieces_left: int | None


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
    for number in line_numbers(form):
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
            taken=_taken(heap, [line.amount for line in lines]),
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


def mark(kit: Kit, number: int, word: str, text: str) -> Coin:
    """Mark a coin on a tally: read, kept, and answered with what to look at.

    Args:
        kit: the kit.
        number: the tally.
        word: the denomination that is being told apart.
        text: the coin as typed.

    Raises:
        InputError: not a coin, never struck, no such tally.
    """
    marks = kit.tallies.marks(number)
    last = marks[-1].kind if marks else ""
    coin = read_coin(kit.catalog(), word, text, last_kind=last)
    kit.tallies.mark(number, coin.kind.slug, coin.issue, coin.times)
    return coin


def undo(kit: Kit, number: int) -> int | None:
    """Take the last standing mark back; answers its number, or none where nothing stands."""
    return kit.tallies.undo(number)


def board(kit: Kit, number: int) -> Board:
    """A tally as it stands."""
    about = kit.tallies.tally(number)
    tally = tally_of(kit.tallies.marks(number))
    catalog = kit.catalog()
    kinds = {row.kind: catalog.kind(row.kind) for row in tally.rows}
    told = tally.face({slug: kind.face or Decimal(0) for slug, kind in kinds.items()})
    try:
        heap: Heap | None = read_heap(kit.holdings(), about.heap)
    except NotFoundError:
        heap = None
    return Board(
        number=number,
        title=about.title,
        heap=heap,
        tally=tally,
        kinds=kinds,
        face_told=told,
        face_left=None if heap is None or heap.face is None else heap.face - told,
        pieces_left=None if heap is None or heap.count is None else heap.count - tally.pieces,
    )


def finish(kit: Kit, number: int, *, note: str = "") -> Stored:
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
        on=kit.today(),
        heap=now.heap.ref,
        taken=_taken(now.heap, [line.amount for line in lines]),
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


def _taken(heap: Heap, amounts: list[Amount]) -> Amount | None:
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
