"""Booking silver that left otherwise than sold: a swap, a loss, a gift to somebody."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from ninefine.book.chain import Stored
from ninefine.book.entries import (
    Amount,
    HeapRef,
    Lost,
    LostLine,
    Swapped,
    SwappedIn,
    SwappedOut,
)
from ninefine.book.holdings import Holdings
from ninefine.desk.fields import Fields, numbers_of
from ninefine.desk.goods import Named
from ninefine.desk.kit import Kit
from ninefine.desk.picks import LineSaid, read_line, read_pick, read_worth, taken_of
from ninefine.measure.numbers import plain

ZERO = Decimal(0)
WHY = ("lost", "stolen", "destroyed", "given away")


def read_swap(kit: Kit, form: Mapping[str, str]) -> Swapped:
    """Read a swap without booking it.

    Fields: `on`, `whom`, `place` (of what came), `paper`, `note`, `spot`, `received` or `paid` (cash), `carriage`,
    `tax`; for each heap that went: `heap-n`, `out-n` (all of it if empty), `for-n` (what it counted for: a sum or a
    quote); for each lot that came: `kind-n`, `amount-n`, `value-n`, `lot-n`. One of the values may be left empty: it
    makes up the balance.

    Raises:
        Faults: every fault, each at its field; also a swap that does not balance.
    """
    fields = Fields(form, source="the swap")
    on = fields.past_day("on", kit.today())
    spot = fields.positive("spot") or kit.spot_or_none(on)
    held = kit.holdings(on if on < kit.today() else None)
    cash = fields.money("received") - fields.money("paid")
    costs = {name: fields.money(name) for name in ("carriage", "tax")}
    out = [_out(kit, fields, held, number, spot) for number in numbers_of(form, "heap")]
    taken: list[str] = []
    into = [_into(kit, fields, number, spot, taken) for number in numbers_of(form, "kind")]
    if not out:
        fields.fault("heap-1", "Say at least one heap that went.")
    if not into:
        fields.fault("kind-1", "Say at least one kind that came; what went for money alone was sold.")
    fields.done()
    went, came = [one for one in out if one is not None], [one for one in into if one is not None]
    _balance(fields, went, came, cash)
    fields.done()
    return _swapped(kit, fields, went, came, cash, {name: amount for name, amount in costs.items() if amount})


@dataclass(slots=True, kw_only=True)
class _Out:
    """A heap that goes, how much of it, and what it counts for; its field of that value."""

    field: str
    heap: HeapRef
    amount: Amount | None
    value: Decimal | None


@dataclass(slots=True, kw_only=True)
class _In:
    """Goods that come, and what they count for; their field of that value."""

    field: str
    line: LineSaid
    value: Decimal | None


def _out(kit: Kit, fields: Fields, held: Holdings, number: str, spot: Decimal | None) -> _Out | None:
    pick = read_pick(kit, fields, held, f"heap-{number}", f"out-{number}")
    if pick is None:
        return None
    heap, amount = pick
    kind = kit.catalog().kind(heap.kind)
    goods = Named(kind=kind), taken_of(fields, f"out-{number}", heap, amount)
    value = read_worth(kit, fields, f"for-{number}", goods, spot)
    return _Out(field=f"for-{number}", heap=heap.ref, amount=amount, value=value)


def _into(kit: Kit, fields: Fields, number: str, spot: Decimal | None, taken: list[str]) -> _In | None:
    said = read_line(kit, fields, number, taken)
    if said is None:
        return None
    line, goods = said
    value = read_worth(kit, fields, f"value-{number}", goods, spot)
    return _In(field=f"value-{number}", line=line, value=value)


def _balance(fields: Fields, went: list[_Out], came: list[_In], cash: Decimal) -> None:
    """Let the one value that was left empty make up the balance; more than one, or none that fits, is a fault."""
    both: list[_Out | _In] = [*went, *came]
    empty = [one for one in both if one.value is None]
    out = sum((one.value for one in went if one.value is not None), ZERO)
    into = sum((one.value for one in came if one.value is not None), ZERO)
    if len(empty) > 1:
        for one in empty[1:]:
            fields.fault(one.field, "Say what it counted for; one value alone can be told from the others.")
    elif empty:
        rest = into + cash - out if isinstance(empty[0], _Out) else out - into - cash
        if rest < 0:
            fields.fault(empty[0].field, f"The other values leave {plain(rest)} for it.")
        empty[0].value = rest
    elif out != into + cash:
        fields.fault(
            went[0].field,
            f"What went counts for {plain(out)}; what came and the cash together for {plain(into + cash)}. The two "
            "must be the same: leave one value empty, or say the cash.",
        )


def _swapped(
    kit: Kit, fields: Fields, went: list[_Out], came: list[_In], cash: Decimal, costs: dict[str, Decimal]
) -> Swapped:
    return Swapped(
        on=fields.past_day("on", kit.today()),
        whom=fields.raw("whom"),
        out=tuple(SwappedOut(heap=one.heap, amount=one.amount, value=one.value or ZERO) for one in went),
        into=tuple(SwappedIn(**one.line, value=one.value or ZERO) for one in came),
        cash=cash,
        other_costs=costs,
        place=fields.raw("place"),
        paper=fields.raw("paper"),
        note=fields.raw("note"),
    )


def swap(kit: Kit, form: Mapping[str, str]) -> Stored:
    """Book a swap.

    Raises:
        Faults: every fault of the form.
        BookError: the book refuses it (a lot's name is taken).
    """
    return kit.journal.append(read_swap(kit, form))


def read_loss(kit: Kit, form: Mapping[str, str]) -> Lost:
    """Read a loss without booking it.

    Fields: `on`, `why` (one of `WHY`), `whom` (to whom it was given), `paper` (a police report's number), `note`, and
    for each heap n: `heap-n`, `amount-n` (all of it if empty), `value-n` (what it was worth that day, if known),
    `paid-n` (what came for it all the same).

    Raises:
        Faults: every fault, each at its field.
    """
    fields = Fields(form, source="the loss")
    on = fields.past_day("on", kit.today())
    why = fields.raw("why") or WHY[0]
    if why not in WHY:
        fields.fault("why", f"It was {', '.join(WHY[:-1])} or {WHY[-1]}.")
    held = kit.holdings(on if on < kit.today() else None)
    lines = []
    for number in numbers_of(form, "heap"):
        pick = read_pick(kit, fields, held, f"heap-{number}", f"amount-{number}")
        paid = fields.money(f"paid-{number}")
        if why == "given away" and paid:
            fields.fault(f"paid-{number}", "What was paid for was sold, not given away.")
        if pick is not None:
            heap, amount = pick
            goods = Named(kind=kit.catalog().kind(heap.kind)), amount or heap.amount
            value = read_worth(kit, fields, f"value-{number}", goods, kit.spot_or_none(on))
            lines.append(LostLine(heap=heap.ref, amount=amount, value=value, paid=paid))
    if not lines and fields.sound:
        fields.fault("heap-1", "Say which heap is gone.")
    fields.done()
    return Lost(
        on=on,
        why=why,
        whom=fields.raw("whom"),
        lines=tuple(lines),
        paper=fields.raw("paper"),
        note=fields.raw("note"),
    )


def lose(kit: Kit, form: Mapping[str, str]) -> Stored:
    """Book a loss, or a gift to somebody.

    Raises:
        Faults: every fault of the form.
        NotEnoughError: the heap holds less.
    """
    return kit.journal.append(read_loss(kit, form))
