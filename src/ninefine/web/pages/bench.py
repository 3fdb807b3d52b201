"""The bench: what was tested and what that came to, the ways to each test, and one piece with all its tests."""

from collections.abc import Sequence

from starlette.responses import Response

from ninefine.assay.verdict import Finding
from ninefine.desk.bench import Bench, all_benches, bench
from ninefine.desk.bench_table import PackRow, pack_rows
from ninefine.desk.heaps import heap_name
from ninefine.measure.numbers import read_reference
from ninefine.web.ledger import Cell, Column, Ledger, Of, Row, Weight
from ninefine.web.pages.asked import A_PAGE, first_of, turned
from ninefine.web.pages.bench_show import evidence_ledger, ways
from ninefine.web.pages.booked import said
from ninefine.web.visit import Visit, shown

_WORDS = {
    Finding.NOTHING_AGAINST: "nothing against it",
    Finding.UNSETTLED: "not settled",
    Finding.SET_ASIDE: "set aside",
}


def page(visit: Visit) -> Response:
    """What was tested, the last first."""
    every, first = all_benches(visit.kit), first_of(visit)
    return visit.page(
        "bench.html",
        stage="bench",
        said=said(visit),
        ways=ways(visit),
        tested=len(every),
        aside=sum(one.verdict.finding is Finding.SET_ASIDE for one in every),
        open=sum(one.verdict.finding is Finding.UNSETTLED for one in every),
        table=_tested(visit, every[first : first + A_PAGE]),
        packs=_packs(pack_rows(visit.kit)),
        newer=turned(visit, "bench", first - A_PAGE) if first else "",
        older=turned(visit, "bench", first + A_PAGE) if len(every) > first + A_PAGE else "",
    )


def _tested(visit: Visit, every: Sequence[Bench]) -> Ledger:
    return Ledger(
        caption="What was tested, the last first",
        columns=(
            Column(key="what", head="What"),
            Column(key="verdict", head="Verdict"),
            Column(key="last", head="Last tested", of=Of.DATE),
        ),
        rows=[
            Row(
                cells={
                    "what": Cell(value=one.words, href=visit.path_to("bench_tested", entry=one.name)),
                    "verdict": _WORDS[one.verdict.finding],
                    "last": one.last,
                },
                note=one.verdict.says,
                weight=Weight.LOOK if one.verdict.finding is Finding.SET_ASIDE else Weight.PLAIN,
            )
            for one in every
        ],
        empty="Nothing was tested yet.",
    )


def _packs(rows: Sequence[PackRow]) -> Ledger:
    return Ledger(
        caption="Rolls and bags: what they weigh, without paper, and from how many on clad pieces show",
        columns=(
            Column(key="what", head="Of"),
            Column(key="count", head="Pieces", of=Of.COUNT),
            Column(key="unworn", head="As struck", of=Of.FIGURE, places=1, unit="g"),
            Column(key="trade", head="By the trade's count", of=Of.FIGURE, places=1, unit="g"),
            Column(key="low", head="99 in 100: from", of=Of.FIGURE, places=1, unit="g"),
            Column(key="high", head="to", of=Of.FIGURE, places=1, unit="g"),
            Column(key="clad", head="One clad takes off", of=Of.FIGURE, unit="g"),
            Column(key="shows", head="Clad shows from", of=Of.COUNT),
        ),
        rows=[
            Row(
                cells={
                    "what": f"{one.kind.name}, a {one.pack}",
                    "count": one.count,
                    "unworn": one.unworn_g,
                    "trade": one.trade_g,
                    "low": one.low_g,
                    "high": one.high_g,
                    "clad": one.clad_g,
                    "shows": one.shows_from,
                }
            )
            for one in rows
        ],
        wide=True,
    )


def tested(visit: Visit) -> Response:
    """One piece or heap with every test of it."""
    one = bench(visit.kit, read_reference(visit.part("entry")) or 0)
    again = {"piece": one.piece, "kind": one.kind}
    if one.heap is not None:
        again["heap"] = heap_name(one.heap)
    held = {name: text for name, text in again.items() if text}
    roll = bool({"heap-weight", "hidden-mix"} & {line.test for line in one.verdict.evidence})
    return visit.page(
        "bench_tested.html",
        stage="bench",
        said=said(visit),
        one=one,
        finding=_WORDS[one.verdict.finding],
        table=evidence_ledger(one.verdict.evidence, "Its tests; of one made several times, the last"),
        entries=[(serial, visit.path_to("entry", serial=serial)) for serial in one.serials],
        again=visit.path_to("bench_roll" if roll else "bench_piece", asking=held),
        water="" if roll else visit.path_to("bench_water", asking=held),
        ways=ways(visit),
    )


routes = [shown("/bench", page, name="bench"), shown("/bench/tested/{entry}", tested, name="bench_tested")]
