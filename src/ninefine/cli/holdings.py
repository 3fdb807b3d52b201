"""`ninefine holdings` and `ninefine waiting`: what is held on any date, and what is waiting to be done."""

from datetime import date
from decimal import Decimal

import click

from ninefine.catalog.kinds import Basis
from ninefine.cli.common import Day, json_option, kit_of
from ninefine.cli.show import ledger, money, ounces, percent, say, say_json
from ninefine.desk.holdings import LotLine, Summary, goods_lines, lot_lines, summary
from ninefine.desk.records import metal_name
from ninefine.desk.say import holdings_sentence
from ninefine.desk.waiting import waiting
from ninefine.measure.numbers import plain, read_positive


@click.command("holdings", short_help="What you hold, now or on any date.")
@click.option("--on", type=Day(), help="A past day, as 2023-12-31: what was held then.")
@click.option(
    "--basis",
    type=click.Choice([basis.value for basis in Basis]),
    default="trade",
    show_default=True,
    help="Which ounces to count: as struck, by the trade's count of worn coin, or as weighed.",
)
@click.option("--spot", metavar="PRICE", help="A price of silver to use instead of the one on record.")
@click.option("--lots", "with_lots", is_flag=True, help="List every lot.")
@json_option
@click.pass_context
def holdings_command(
    ctx: click.Context, on: date | None, basis: str, spot: str | None, *, with_lots: bool, as_json: bool
) -> None:
    r"""Say what is held, by form and by kind, on one ounce basis.

    \b
    Examples:
      ninefine holdings
      ninefine holdings --on 2023-12-31 --basis unworn
      ninefine holdings --spot 66 --lots
    """
    kit = kit_of(ctx)
    given = None if spot is None else read_positive(spot.removeprefix("$"), what="spot")
    now = summary(kit, on=on, basis=Basis(basis), spot=given)
    lots = lot_lines(kit, on=on, basis=Basis(basis), most=100_000) if with_lots or as_json else []
    if as_json:
        say_json(as_record(now, lots))
        return
    say(holdings_sentence(now, kit.journal.currency))
    _show_shares(now)
    if with_lots:
        say()
        say(_lot_table(lots, now.basis))


def _show_shares(now: Summary) -> None:
    rows = []
    for metal in now.here.metals:
        for share in now.here.by_form(metal):
            name = share.name if metal == "XAG" else f"{metal_name(metal)}, {share.name}"
            rows.append(
                [
                    name,
                    ounces(share.ozt),
                    percent(share.part),
                    money(share.gross_g, 1),
                    money(share.basis),
                    money(share.melt),
                ]
            )
    if rows:
        say()
        say(ledger(["form", f"ozt {now.basis.value}", "share", "gross g", "cost", "melt"], rows))
    kinds = [
        [line.kind.name, line.place or "-", _much(line.count, line.face), ounces(line.ozt), line.basis.value]
        for line in goods_lines(now.here)
    ]
    if kinds:
        say()
        say(ledger(["kind", "place", "how much", "ozt", "basis"], kinds, left=2))


def _much(count: int | None, face: Decimal | None) -> str:
    if face is not None:
        return f"{plain(face)} face"
    return "by weight" if count is None else f"{count:,} piece{'' if count == 1 else 's'}"


def _lot_table(lots: list[LotLine], basis: Basis) -> str:
    rows = [
        [
            line.lot.name,
            line.lot.acquired.isoformat() if line.lot.acquired else "not known",
            line.lot.kind,
            _much(line.count, line.face),
            ounces(line.ozt),
            money(line.cost),
        ]
        for line in lots
    ]
    return ledger(["lot", "acquired", "kind", "held", f"ozt {basis.value}", "cost"], rows, left=3)


def as_record(now: Summary, lots: list[LotLine]) -> dict[str, object]:
    """The summary with the unit and the ounce basis of every figure in its name."""
    basis = now.basis.value
    return {
        "on": now.on.isoformat() if now.on else None,
        "ounce_basis": basis,
        "prices": {
            metal: {
                "usd_per_ozt": stamp.per_ozt,
                "on": stamp.on.isoformat(),
                "whose": stamp.whose,
                "kind": stamp.kind.value,
                "note": stamp.note,
            }
            for metal, stamp in now.stamps.items()
        },
        f"fine_ozt_{basis}": {metal: now.here.ozt(metal) for metal in now.here.metals},
        f"awaited_fine_ozt_{basis}": {metal: now.awaited.ozt(metal) for metal in now.awaited.metals},
        "unweighed_fine_ozt_trade": now.here.unweighed_ozt,
        "cost": now.here.cost,
        "melt": now.here.melt(),
        "constitutional_share": now.here.constitutional_share(),
        "constitutional_face_usd": now.face_90,
        "cost_per_constitutional_face_usd": now.cost_per_face_90,
        "by_form": [
            {
                "form": share.name,
                "metal": metal,
                f"fine_ozt_{basis}": share.ozt,
                "share": share.part,
                "cost": share.basis,
                "melt": share.melt,
            }
            for metal in now.here.metals
            for share in now.here.by_form(metal)
        ],
        "by_place": [
            {"place": share.name, "metal": metal, f"fine_ozt_{basis}": share.ozt, "gross_g": share.gross_g}
            for metal in now.here.metals
            for share in now.here.by_place(metal)
        ],
        "lots": [
            {
                "lot": line.lot.name,
                "acquired": line.lot.acquired.isoformat() if line.lot.acquired else None,
                "came_on": line.lot.came.isoformat(),
                "came_by": line.lot.how.value,
                "cost_known": line.lot.cost_known,
                "cost_held": line.basis,
                f"fine_ozt_{basis}": line.ozt,
                "heaps": [
                    {
                        "kind": held.heap.kind,
                        "issue": held.heap.issue,
                        "place": held.heap.place,
                        "count": held.heap.count,
                        "face": held.heap.face,
                        "gross_g": held.heap.gross_g,
                        "cost": held.heap.basis,
                    }
                    for held in line.heaps
                ],
            }
            for line in lots
        ],
    }


@click.command("waiting", short_help="What is waiting to be done.")
@json_option
@click.pass_context
def waiting_command(ctx: click.Context, *, as_json: bool) -> None:
    r"""Say what is waiting: parcels, heaps, claims, stale prices, lots about to turn long-term.

    \b
    Example:
      ninefine waiting
    """
    items = waiting(kit_of(ctx))
    if as_json:
        say_json(
            {
                "waiting": [
                    {"stage": item.stage.value, "about": item.about, "words": item.words, "urgent": item.urgent}
                    for item in items
                ]
            }
        )
        return
    say("Nothing is waiting." if not items else f"{len(items)} thing{'s' if len(items) > 1 else ''} waiting.")
    for item in items:
        say(f"  {item.stage.value:9} {item.words}")
