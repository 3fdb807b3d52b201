"""Slips for bags and labels for tubes, of the heaps that were named."""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from msgspec.structs import replace

from ninefine.book.holdings import Heap
from ninefine.desk.fields import Fields
from ninefine.desk.heaps import heap_name, read_heap, say_goods
from ninefine.desk.kit import Kit
from ninefine.desk.paper_lines import about, mark_of
from ninefine.papers.document import Cut, Document
from ninefine.papers.slips import Packed, slip_sheet
from ninefine.worth.ounces import ounces_of

ZERO = Decimal(0)


@dataclass(frozen=True, slots=True, kw_only=True)
class _InBag:
    """What is known of all that lies in a bag."""

    count: int | None
    face: Decimal | None
    gross_g: Decimal | None


def slips_paper(kit: Kit, fields: Fields) -> Document:
    """Slips or labels, as `paper` says, of the heaps in `lots`; of everything here where it names none."""
    names = [name.strip() for name in fields.raw("lots").split(",") if name.strip()]
    heaps = fields.read_value("lots", names, lambda asked: _heaps_of(kit, asked))
    fields.done()
    packed = [_packed(kit, group) for group in _bagged(kit, heaps or ())]
    return slip_sheet(about(kit), packed, Cut.TUBE if fields.raw("paper") == "tube-labels" else Cut.BAG)


def _heaps_of(kit: Kit, names: list[str]) -> list[Heap]:
    """The heaps that were named, a lot standing for all of its own; everything here where none was."""
    held = kit.holdings()
    if not names:
        return [heap for lot in held.lots.values() if not lot.awaited for heap in lot.heaps]
    found: list[Heap] = []
    for name in names:
        if name in held.lots and held.lots[name].heaps:
            found += held.lots[name].heaps
        else:
            found.append(read_heap(held, name))
    return found


def _bagged(kit: Kit, heaps: Iterable[Heap]) -> list[list[Heap]]:
    """Heaps that share a bag: of one lot, kind and place; common dates together, those to keep apart by themselves."""
    mark = mark_of(kit)
    bags: dict[tuple[str, str, str, str], list[Heap]] = {}
    for heap in heaps:
        bags.setdefault((heap.lot, heap.kind, heap.place, mark(heap).issue), []).append(heap)
    return list(bags.values())


def _packed(kit: Kit, group: list[Heap]) -> Packed:
    """A bag's slip; what is not known of one of its heaps is not known of the bag."""
    first = group[0]
    counts = [heap.count for heap in group]
    issue = first.issue if len(group) == 1 else ""
    whole = _InBag(
        count=None if None in counts else sum(count or 0 for count in counts),
        face=_sum([heap.face for heap in group]),
        gross_g=_sum([heap.gross_g for heap in group]),
    )
    kind = kit.kind_or_none(first.kind)
    return Packed(
        lot=first.lot,
        goods=say_goods(first.kind, issue, kit.catalog()),
        held=whole,
        ounces=None if kind is None else ounces_of(whole, kind),
        place=first.place,
        came=kit.holdings().lots[first.lot].came,
        code=heap_name(replace(first, issue=issue)).partition("@")[0],
    )


def _sum(parts: list[Decimal | None]) -> Decimal | None:
    return None if None in parts else sum((part or ZERO for part in parts), ZERO)
