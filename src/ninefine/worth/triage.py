"""Triage: for each piece laid aside, whether to keep it, sell it to a collector, or put it back in the heap."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from types import MappingProxyType

from ninefine.errors import InputError, RangeError
from ninefine.market.exits import Exit
from ninefine.measure.numbers import plain
from ninefine.worth.band import band_at
from ninefine.worth.collectors import NO_SHARES, CollectorExit, CollectorSale, FlawShares, sell
from ninefine.worth.grades import Grade
from ninefine.worth.guide import Guide
from ninefine.worth.piece import AsMetal, Piece, as_metal
from ninefine.worth.span import ZERO, Grading, Span, total
from ninefine.worth.verdict import Against, Collected, InHeap, Triaged, Verdict


@dataclass(frozen=True, slots=True, kw_only=True)
class TriageRules:
    """What pieces are held against; all figures are the person's own.

    Attributes:
        guide: their sheets.
        spots: price of a fine troy ounce by metal.
        exits: buyers of metal.
        collectors: ways out for single pieces.
        shares: what pieces that are not sound bring.
        threshold: money; a piece is pulled only for more than this over what it brings in the heap.
        hourly: what an hour of their own time is worth.
        against: what it brings in the heap: its melt, or the best bid of a buyer of metal.
    """

    guide: Guide
    spots: Mapping[str, Decimal]
    exits: tuple[Exit, ...] = ()
    collectors: tuple[CollectorExit, ...] = ()
    shares: FlawShares = NO_SHARES
    threshold: Decimal = ZERO
    hourly: Decimal = ZERO
    against: Against = Against.MELT


def triage(piece: Piece, rules: TriageRules) -> Triaged:
    """Hold one piece against the rules.

    Raises:
        RangeError: its metal has no price, or it is of a kind that must be weighed and was not.
    """
    metal = as_metal(piece, rules.exits, rules.spots, rules.guide.currency)
    in_heap = _in_heap(metal, rules.against)
    collected: Collected | None = None
    unpriced = ""
    try:
        collected = _collected(piece, rules)
    except InputError as error:
        unpriced = str(error)
    best = collected.best if collected is not None else None
    if collected is not None and best is None:
        unpriced = "No way out to collectors takes it." if rules.collectors else "No way out to collectors is set down."
    return Triaged(
        piece=piece,
        metal=metal,
        in_heap=in_heap,
        collected=collected,
        unpriced=unpriced,
        extra=best.net.less(in_heap.amount) if best is not None else None,
        threshold=rules.threshold,
        pays_from=_pays_from(piece, rules, best.exit, in_heap.amount) if best is not None else None,
        cautions=_cautions(piece, metal, collected, rules),
    )


def _in_heap(metal: AsMetal, against: Against) -> InHeap:
    if metal.face is not None:
        return InHeap(amount=metal.face, by=Against.FACE)
    if against is Against.BID and metal.bids:
        return InHeap(amount=metal.bids[0].net, by=Against.BID)
    return InHeap(amount=metal.melt, by=Against.MELT)


def _collected(piece: Piece, rules: TriageRules) -> Collected:
    """What a piece is worth to collectors.

    Raises:
        NotFoundError: no sheet lists it, or no share is set for what is wrong with it.
        RangeError: no grade was said, the sheet does not reach it, or such pieces are sold as metal.
    """
    band = piece.band
    if band is None:
        raise RangeError("No grade was said.", expected="A collector's price goes by a grade, if only a band.")
    share = rules.shares.share(band)
    if not share:
        raise RangeError(f"It is {band.details}, and by your shares such a piece is sold as metal.")
    price = rules.guide.price(piece.kind.slug, piece.issue, band.sound)
    worth = price.worth.share(share, rules.guide.currency)
    sales = [_sell(way, worth, rules) for way in rules.collectors]
    sales.sort(key=lambda sale: (not sale.taken, -sale.net.mid))
    return Collected(price=price, worth=worth, share=rules.shares.words(band), sales=tuple(sales))


def _sell(way: CollectorExit, worth: Span, rules: TriageRules) -> CollectorSale:
    return sell(way, worth, hourly=rules.hourly, currency=rules.guide.currency)


def _pays_from(piece: Piece, rules: TriageRules, way: CollectorExit, in_heap: Decimal) -> Grade | None:
    """The lowest grade of a piece's band from which, all the way up, one way out pays in the middle."""
    if piece.band is None:
        return None
    found = None
    share = rules.shares.share(piece.band)
    for grade in reversed(piece.band.grades):
        worth = rules.guide.price(piece.kind.slug, piece.issue, band_at(grade)).worth
        sale = _sell(way, worth.share(share, rules.guide.currency), rules)
        if not sale.taken or sale.net.mid - in_heap <= rules.threshold:
            break
        found = grade
    return found


def _cautions(piece: Piece, metal: AsMetal, collected: Collected | None, rules: TriageRules) -> tuple[str, ...]:
    cautions = [*metal.cautions]
    if rules.against is Against.BID and metal.face is None and not metal.bids:
        cautions.append("No buyer of metal bids for it, so it is held against its melt.")
    if piece.rank and piece.look_for:
        cautions.append(f"A {piece.rank} date ({piece.look_for}): check it before believing it.")
    if collected is not None:
        note = collected.price.curve.note
        cautions += [*collected.price.cautions, *([f"{collected.price.curve.sheet}: {note}"] if note else [])]
        cautions += [
            f"{sale.exit.name} takes no piece that brings less than {plain(sale.exit.least)}."
            for sale in collected.sales
            if not sale.taken
        ]
        best = collected.best
        if best is not None and best.lines[0].amount.low < best.exit.least:
            cautions.append(f"At its low end it brings less than {best.exit.name} takes.")
    return tuple(cautions)


@dataclass(frozen=True, slots=True, kw_only=True)
class TriageTotal:
    """What a triage comes to.

    Attributes:
        pieces: how many got each verdict.
        in_heap: what the pulled pieces would bring in the heap.
        net, extra: what they would net by each one's best way out, and over `in_heap`.
        minutes: of one's own time that selling them takes.
    """

    pieces: Mapping[Verdict, int]
    in_heap: Decimal
    net: Span
    extra: Span
    minutes: Decimal


def triage_total(found: Iterable[Triaged], grading: Grading = Grading.TOGETHER, currency: str = "USD") -> TriageTotal:
    """Add a triage up: counts of each verdict, and the money of the pieces that are pulled.

    Args:
        found: the answers, piece by piece.
        grading: whether the grading of the pieces errs together or apart.
        currency: the book's.
    """
    every = tuple(found)
    pulled = [one for one in every if one.verdict is Verdict.PULL]
    sales = [one.best for one in pulled if one.best is not None]
    net = total((sale.net for sale in sales), grading, currency)
    in_heap = sum((one.in_heap.amount for one in pulled), ZERO)
    return TriageTotal(
        pieces=MappingProxyType({verdict: sum(one.verdict is verdict for one in every) for verdict in Verdict}),
        in_heap=in_heap,
        net=net,
        extra=net.less(in_heap),
        minutes=sum((sale.exit.minutes for sale in sales), ZERO),
    )
