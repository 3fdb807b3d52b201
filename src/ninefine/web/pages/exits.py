"""Exits: the stack by every way out, line by line; one lot's ways out, and the spot at which each is even."""

from collections.abc import Mapping, Sequence
from functools import partial

from starlette.responses import Response

from ninefine.desk.exits import LotWay, Worth, lot_evens, worth
from ninefine.desk.holdings import lot_line
from ninefine.desk.prices import METAL_NAMES
from ninefine.desk.records import metal_name, set_down
from ninefine.desk.tables import rows_said_by
from ninefine.market.prices import Stamp
from ninefine.papers.charts import Bar, exit_bars
from ninefine.web.charts import Picture
from ninefine.web.format import money
from ninefine.web.ledger import Cell, Column, Ledger, Of, Row, Step, Weight, Worked
from ninefine.web.pages.asked import ask, settle
from ninefine.web.pages.booked import lead_on, said
from ninefine.web.visit import Visit, done, shown
from ninefine.worth.ways_out import WayOut

#: Ways out drawn as bars.
MOST_DRAWN = 12
#: Kinds without a bid that are named; the others are counted.
MOST_NAMED = 3


def page(visit: Visit) -> Response:
    """The whole stack by every way out, best first."""
    kit = visit.kit
    fields = ask(visit, "spot", "lot")
    spot = fields.positive("spot")
    settle(visit, fields)
    found = worth(kit, spot=spot)
    return visit.page(
        "exits.html",
        stage="exits",
        status=200 if visit.form.ok else 400,
        worth=found,
        best=found.ways[0] if found.ways else None,
        stamps=_stamps(found) if spot is None else [],
        ways=_ways(visit, found.ways),
        bars=_bars(visit, found),
        limits=_cautions(found.ways[:1]),
        cautions=_cautions(found.ways[1:]),
        held=bool(found.now.here.lines),
        said=said(visit),
    )


def _stamps(found: Worth) -> list[tuple[str, Stamp]]:
    """The price of each metal held, silver first."""
    stamps = found.now.stamps
    return [(name, stamps[metal]) for metal, name in METAL_NAMES.items() if metal in stamps]


def _ways(visit: Visit, ways: Sequence[WayOut]) -> Ledger:
    unit, entries = visit.kit.journal.currency, rows_said_by(visit.kit, "exit")
    return Ledger(
        caption="What reaches your pocket by each way out, the best first",
        columns=(
            Column(key="exit", head="Way out"),
            Column(key="gross", head="Would pay", of=Of.MONEY, unit=unit),
            Column(key="off", head="Taken off", of=Of.MONEY, unit=unit),
            Column(key="net", head="Net", of=Of.MONEY, unit=unit),
            Column(key="melt", head="Net of trade melt", of=Of.PERCENT),
            Column(key="days", head="Paid within", of=Of.COUNT, unit="days"),
        ),
        rows=[
            Row(
                cells={
                    "exit": Cell(
                        value=way.exit.name, href=visit.path_to("exit.change", asking={"name": way.exit.name})
                    ),
                    "gross": way.gross,
                    "off": way.taken_off,
                    "net": way.net,
                    "melt": None if way.of_melt is None else way.of_melt * 100,
                    "days": way.exit.days,
                },
                note=no_bid(way),
                weight=Weight.PLAIN if way.paid else Weight.QUIET,
                worked=Worked(title="Its settlement", steps=settlement(way, entries)) if way.paid else None,
            )
            for way in ways
        ],
        empty="No way out has been set down yet.",
    )


def no_bid(way: WayOut) -> str:
    """What an exit has no bid for, with the melt of that; its own note where it buys all."""
    if not way.unsold:
        return way.exit.note
    more = len(way.unsold) - MOST_NAMED
    names = ", ".join(way.unsold[:MOST_NAMED]) + (f" and {more} more" if more > 0 else "")
    return f"no bid for {names} (melt {money(way.unsold_melt)})"


def settlement(way: WayOut, entries: Mapping[str, int]) -> list[Step]:
    """Every line of what an exit would pay, metal by metal."""
    steps = [
        Step(what=str(line.kind), how=line.words, result=money(line.amount)) for paid in way.paid for line in paid.lines
    ]
    whence = "; ".join(
        f"spot {money(paid.spot)} an ozt of {metal_name(paid.sold[0].content.metal)}" for paid in way.paid
    )
    entry = entries.get(way.exit.name)
    said_by = f"; its bids and fees as set down by entry {entry} of the book" if entry else ""
    steps.append(Step(what="net", result=money(way.net), whence=f"Struck on {whence}{said_by}."))
    return steps


def _cautions(ways: Sequence[WayOut]) -> list[str]:
    lines = ((way.exit.name, line) for way in ways for paid in way.paid for line in paid.cautions)
    return [line if line.startswith(name) else f"{name}: {line}" for name, line in lines]


def _bars(visit: Visit, found: Worth) -> Picture | None:
    ways = [way for way in found.ways if way.paid][:MOST_DRAWN]
    if not ways:
        return None
    bars = [
        Bar(name=way.exit.name, length=way.net, words=money(way.net), look=place == 0) for place, way in enumerate(ways)
    ]
    told = "; ".join(f"{bar.name} {bar.words}" for bar in bars)
    unit = f"net, {visit.kit.journal.currency}, for what each buys"
    draw = partial(exit_bars, bars, unit=unit, line=found.melt_trade, line_words="melt, trade count")
    return visit.picture(
        draw,
        alt=f"What each way out would pay, net: {told}.",
        caption="The dashed line is the melt of everything, which nobody need pay. A short bar may buy only a part.",
        size=(720, 48 + 44 * len(bars)),
    )


def lot(visit: Visit) -> Response:
    """One lot by every way out, and the spot at which each would pay back what it cost."""
    kit, name = visit.kit, visit.asked("lot")
    fields = ask(visit, "spot", "lot")
    spot = fields.positive("spot")
    settle(visit, fields)
    line, ways = lot_line(kit, name), lot_evens(kit, name, spot=spot)
    return visit.page(
        "exits_lot.html",
        stage="exits",
        status=200 if visit.form.ok else 400,
        line=line,
        best=ways[0] if ways else None,
        stamp=None if spot is not None or kit.spot_or_none() is None else kit.stamp(),
        ways=_lot_ways(visit, ways),
        cautions=_cautions([one.way for one in ways]),
    )


def _lot_ways(visit: Visit, ways: Sequence[LotWay]) -> Ledger:
    unit, entries = visit.kit.journal.currency, rows_said_by(visit.kit, "exit")
    return Ledger(
        caption="What each way out would pay for it, the best first",
        columns=(
            Column(key="exit", head="Way out"),
            Column(key="net", head="Net", of=Of.MONEY, unit=unit),
            Column(key="gain", head="Over its cost", of=Of.MONEY, unit=unit, signed=True),
            Column(key="melt", head="Net of trade melt", of=Of.PERCENT),
            Column(key="even", head="Even at spot", of=Of.MONEY, places=3, unit=unit),
            Column(key="days", head="Paid within", of=Of.COUNT, unit="days"),
        ),
        rows=[
            Row(
                cells={
                    "exit": one.way.exit.name,
                    "net": one.way.net if one.way.paid else None,
                    "gain": one.gain if one.way.paid and not one.way.unsold else None,
                    "melt": None if one.way.of_melt is None else one.way.of_melt * 100,
                    "even": one.even,
                    "days": one.way.exit.days,
                },
                note=no_bid(one.way),
                weight=Weight.PLAIN if one.way.paid else Weight.QUIET,
                worked=Worked(title="Its settlement", steps=settlement(one.way, entries)) if one.way.paid else None,
            )
            for one in ways
        ],
        empty="No way out has been set down yet.",
    )


def strike(visit: Visit) -> Response:
    """Strike a way out."""
    stored = set_down(visit.kit, "exit", visit.form.text("name"), None)
    return lead_on(visit, stored, "exits")


routes = [
    shown("/exits", page, name="exits"),
    shown("/exits/lot", lot, name="exits.lot"),
    done("/exits/strike", strike, name="exit.strike"),
]
