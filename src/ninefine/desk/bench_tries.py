"""Tests worked out from a form: one piece, a heap, a roll, household ware. `bench.book_test` books what they say."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from enum import StrEnum
from functools import partial
from typing import ParamSpec, TypeVar

from ninefine.assay.alloys import alloy_of
from ninefine.assay.evidence import Evidence
from ninefine.assay.gravity import Gravity, Way, Wet, weigh_in_water
from ninefine.assay.heap_weight import HeapWeight, weigh_heap
from ninefine.assay.hidden import HiddenMix, Sort, hidden_mix, sampled, sort_of
from ninefine.assay.household import Ware, look_at_ware
from ninefine.assay.instruments import Scale
from ninefine.assay.looks import Edge, Magnet, edge, edges, magnet
from ninefine.assay.piece_weight import PieceWeight, beside, weigh_piece
from ninefine.assay.sizes import Size, diameter, thickness
from ninefine.assay.verdict import HEAP_TESTS, WARE_TESTS, Verdict, verdict
from ninefine.catalog.household import construction
from ninefine.catalog.kinds import Kind
from ninefine.desk.amounts import read_amount
from ninefine.desk.bench_read import Shown, read_band, read_kind, read_lengths, read_scale, read_shown
from ninefine.desk.fields import Fields
from ninefine.desk.goods import read_named
from ninefine.desk.heaps import read_heap
from ninefine.desk.instruments import instruments, read_degrees, read_length
from ninefine.desk.kit import Kit
from ninefine.errors import InputError, UnreadableError
from ninefine.measure.numbers import read_count

T = TypeVar("T")
W = TypeVar("W", bound=StrEnum)
P = ParamSpec("P")

#: So much is kept of what was typed for a figure.
_LONGEST = 200


@dataclass(frozen=True, slots=True, kw_only=True)
class PieceTests:
    """One piece's tests, each none where it was not made, and what they come to."""

    kind: Kind
    weight: PieceWeight | None
    sizes: tuple[Size, ...]
    gravity: Gravity | None
    evidence: tuple[Evidence, ...]
    verdict: Verdict


@dataclass(frozen=True, slots=True, kw_only=True)
class HeapTests:
    """A heap's weight, what hides in it where that was asked, and what they come to."""

    kind: Kind
    count: Decimal | None
    weight: HeapWeight
    mix: HiddenMix | None
    evidence: tuple[Evidence, ...]
    verdict: Verdict


@dataclass(frozen=True, slots=True, kw_only=True)
class WareTests:
    """Household ware as it was read, and what that comes to."""

    ware: Ware
    evidence: tuple[Evidence, ...]
    verdict: Verdict


def try_piece(kit: Kit, form: Mapping[str, str]) -> PieceTests:
    """Work out whatever tests of one piece a form gives readings of.

    Fields: `kind` or `heap`; `weight`, `scale`, `band`; `diameter`, `thickness`; `magnet`, `edge`; `wet`, `way` (hung,
    lowered), `celsius`, `thread` (mm), where `wet` needs `weight` and `celsius`.

    Raises:
        Faults: every fault of the form.
    """
    fields = Fields(form, source="the tests")
    kind = read_kind(kit, fields)
    shown, wet = _weights(fields, "weight"), _weights(fields, "wet")
    scale, band = read_scale(kit, fields, (shown, wet)), read_band(fields)
    weight, sizes, density = None, list[Size](), None
    evidence: list[Evidence] = []
    if kind is not None:
        if shown is not None and len(shown.portions) == 1 and kind.gross_g:
            weight = weigh_piece(scale.weigh([shown.once]), kind, kit.catalog(), band=band)
            evidence.append(_as_typed(weight.evidence, shown.typed))
        calipers = instruments(kit).calipers
        for what, judge in (("diameter", diameter), ("thickness", partial(thickness, band=band))):
            read = fields.read(what, read_lengths, None)
            if read is not None:
                reading = calipers.measure(what, [float(one) for one in read])
                size = _refused(fields, what, judge, reading, kind)
                sizes += [] if size is None else [size]
        evidence += [_as_typed(size.evidence, fields.raw(size.what)) for size in sizes]
        evidence += _looks(fields, kind)
        density = _in_water(kit, fields, kind, (scale, shown, wet))
        both = f"{fields.raw('weight')} dry, {fields.raw('wet')} in water"
        evidence += [] if density is None else [_as_typed(density.evidence, both)]
    if fields.sound and not evidence:
        fields.fault("weight", _nothing_read(kind))
    fields.done()
    assert kind is not None
    return PieceTests(
        kind=kind,
        weight=weight,
        sizes=tuple(sizes),
        gravity=density,
        evidence=tuple(evidence),
        verdict=verdict(evidence),
    )


def _as_typed(one: Evidence, typed: str) -> Evidence:
    """Evidence whose first figure keeps what was typed for it."""
    first, *rest = one.figures
    return replace(one, figures=(replace(first, typed=typed[:_LONGEST]), *rest))


def _nothing_read(kind: Kind | None) -> str:
    if kind is not None and not kind.gross_g:
        return f"{kind.name} has no set weight: name the coin or bar itself, or give another reading."
    return "Give at least one reading: a weight, a size, what a magnet does, how the edge looks."


def _weights(fields: Fields, name: str) -> Shown | None:
    shown = fields.read(name, read_shown, None)
    if shown is not None and len(shown.portions) > 1 and name in {"weight", "wet", "sample"}:
        fields.fault(name, "One piece is weighed in one portion; part repeated readings by a comma.")
    return shown


def _looks(fields: Fields, kind: Kind, judge: Callable[[Edge, Kind], Evidence] = edge) -> list[Evidence]:
    pulled = fields.read("magnet", lambda text: _one_of(Magnet, text), None)
    looks = fields.read("edge", lambda text: _one_of(Edge, text), None)
    found = [] if pulled is None else [magnet(pulled, kind)]
    return found if looks is None else [*found, judge(looks, kind)]


def _one_of(words: type[W], text: str) -> W:
    said = " ".join(text.lower().split())
    known = {str(word): word for word in words}
    if said not in known:
        raise UnreadableError(f"{text.strip()[:30]!r} is none of these.", instead=list(known))
    return known[said]


def _in_water(
    kit: Kit, fields: Fields, kind: Kind, weighed: tuple[Scale, Shown | None, Shown | None]
) -> Gravity | None:
    scale, dry, wet = weighed
    way = fields.read("way", lambda text: _one_of(Way, text), Way.HUNG)
    celsius = fields.read("celsius", read_degrees, None)
    thread = fields.read("thread", read_length, Decimal(0))
    if wet is None or not fields.sound:
        return None
    if dry is None:
        fields.fault("weight", "A density needs the weight in air as well.")
        return None
    if celsius is None:
        fields.fault("celsius", "Say how warm the water was; a room's temperature is near enough.")
        return None
    bath = Wet(way=way, shown_g=wet.once, celsius=float(celsius), thread_mm=float(thread))
    thermometer, claimed = instruments(kit).thermometer, alloy_of(kind)
    return _refused(fields, "wet", weigh_in_water, scale, dry.once, bath, thermometer, claimed=claimed)


def _refused(fields: Fields, name: str, work: Callable[P, T], /, *args: P.args, **kwargs: P.kwargs) -> T | None:
    """Work something out; what it cannot use is told at a field."""
    try:
        return work(*args, **kwargs)
    except InputError as error:
        fields.fault(name, str(error))
        return None


def try_heap(kit: Kit, form: Mapping[str, str]) -> HeapTests:
    """Work out a heap's ounces and wear, and what hides in it where `strangers` or `sample` say so.

    Fields: `kind` or `heap`; `amount` (pieces, rolls or face; the heap's own if left out); `weight`, `scale`, `band`;
    `strangers` (kinds that may hide, parted by commas; `none`), `sample_count`, `sample` (pieces of the same roll that
    surely belong, and their weight); `magnet`; `edge` (how the edges look, every one seen).

    Raises:
        Faults: every fault of the form.
    """
    fields = Fields(form, source="the weighing")
    kind = read_kind(kit, fields)
    shown = fields.read("weight", read_shown, None, needed=True)
    scale, band = read_scale(kit, fields, (shown,)), read_band(fields)
    count = None if kind is None else _count(kit, fields, kind)
    weight = mix = None
    if kind is not None and shown is not None and fields.sound:
        pieces = None if count is None else float(count)
        weight = _refused(fields, "kind", weigh_heap, scale, shown.floats, kind, count=pieces, band=band)
    if weight is not None and kind is not None and count is not None and kind.gross_g:
        mix = _hidden(kit, fields, kind, (scale, weight, count))
    looks = [] if kind is None else _looks(fields, kind, edges)
    fields.done()
    assert kind is not None
    assert weight is not None
    weighed = _as_typed(weight.evidence, fields.raw("weight"))
    evidence = [weighed] if mix is None else [weighed, mix.evidence]
    return HeapTests(
        kind=kind,
        count=count,
        weight=weight,
        mix=mix,
        evidence=(*evidence, *looks),
        verdict=verdict([*evidence, *looks], tests=HEAP_TESTS),
    )


def _count(kit: Kit, fields: Fields, kind: Kind) -> Decimal | None:
    """How many pieces a form says, or its heap holds; none where nobody knows."""
    amount = fields.read("amount", partial(read_amount, kind=kind), None)
    heap = fields.read("heap", partial(read_heap, kit.holdings()), None)
    if amount is None and heap is not None:
        amount = heap.amount
    if amount is None:
        return None
    if amount.count is not None:
        return Decimal(amount.count)
    return amount.face / kind.face if amount.face is not None and kind.face else None


#: Rolls and small bags alone are told piece by piece; a bag goes roll by roll.
MOST_IN_A_ROLL = 400


def _hidden(kit: Kit, fields: Fields, kind: Kind, weighed: tuple[Scale, HeapWeight, Decimal]) -> HiddenMix | None:
    scale, weight, count = weighed
    band = read_band(fields)
    strangers = _strangers(kit, fields, kind)
    sample, of = _weights(fields, "sample"), fields.read("sample_count", read_count, None)
    if sample is not None and of is None:
        fields.fault("sample_count", "Say how many pieces the sample is of.")
    if not strangers or count != count.to_integral_value() or count > MOST_IN_A_ROLL or not fields.sound:
        return None
    own = sort_of(kind, band)
    if sample is not None and of is not None:
        own = sampled(own, of, scale.weigh([sample.once]))
    return _refused(fields, "strangers", hidden_mix, weight.weight, int(count), own, strangers)


def _strangers(kit: Kit, fields: Fields, kind: Kind) -> list[Sort]:
    said = fields.raw("strangers")
    if said.lower() == "none":
        return []
    kinds = list[Kind]()
    if said:
        for name in said.split(","):
            found = _refused(fields, "strangers", read_named, kit.catalog(), name)
            kinds += [] if found is None else [found.kind]
    else:
        kinds = list(likely_strangers(kit, kind))
    sorts = (_refused(fields, "strangers", sort_of, one) for one in kinds)
    return [one for one in sorts if one is not None]


def likely_strangers(kit: Kit, kind: Kind) -> tuple[Kind, ...]:
    """What most often hides among a kind: the clad coin of its denomination."""
    others = [one for one in beside(kind, kit.catalog()) if not one.fineness]
    return tuple(others[:1]) if kind.fineness else ()


def try_ware(kit: Kit, form: Mapping[str, str]) -> WareTests:
    """Read a household piece. Fields: `mark`, `built` (a construction), `weight`, `magnet`.

    Raises:
        Faults: every fault of the form.
    """
    del kit
    fields = Fields(form, source="the ware")
    built = fields.read("built", construction, None)
    shown = fields.read("weight", read_shown, None)
    seen = fields.read("magnet", lambda text: _one_of(Magnet, text), None)
    if not fields.raw("mark") and shown is None:
        fields.fault("mark", "Give the mark that is struck on it, or its weight.")
    fields.done()
    grams = None if shown is None else sum((sum(one, Decimal(0)) / len(one) for one in shown.portions), Decimal(0))
    ware = look_at_ware(fields.raw("mark"), built=built, gross_g=grams, seen=seen)
    return WareTests(ware=ware, evidence=ware.evidence, verdict=verdict(ware.evidence, tests=WARE_TESTS))
