"""`ninefine returns`: how the silver has done."""

from collections.abc import Sequence
from typing import Any

import click

from ninefine.cli.common import form_of, json_option, kit_of
from ninefine.cli.show import ledger, money, ounces, say, say_json
from ninefine.desk.performance import NO_BASIS, Performance, flow_words, performance, rate_words, worth_by_month
from ninefine.worth.history import Point
from ninefine.worth.rate import Rate


@click.command("returns", short_help="How the silver has done: cost an ounce, gain, yearly return.")
@click.option("--on", metavar="DATE", help="A past day, as 2023-12-31.")
@click.option("--spot", metavar="PRICE", help="A price of silver to use instead of the one on record.")
@click.option("--by", metavar="EXIT", help="Value what is held by what this way out would pay; melt if left out.")
@click.option(
    "--ask", metavar="QUOTE", help="What one-ounce rounds would have cost, as `spot+3`: the same money in them."
)
@click.option("--bid", metavar="QUOTE", help="What those would bring; spot if left out.")
@click.option("--months", is_flag=True, help="Worth through time, month by month.")
@click.option("--flows", is_flag=True, help="List the money in and out.")
@json_option
@click.pass_context
def returns_command(ctx: click.Context, /, **options: Any) -> None:
    r"""Say how the silver has done, against cash and in constant dollars. No figure here is a tax figure.

    \b
    Examples:
      ninefine returns
      ninefine returns --on 2023-12-31
      ninefine returns --ask spot+2.50 --bid spot-1.50 --months
    """
    as_json, months, flows = (options.pop(name) for name in ("as_json", "months", "flows"))
    kit = kit_of(ctx)
    found = performance(kit, form_of(options))
    points = worth_by_month(kit, last=found.now.on) if months else ()
    if as_json:
        say_json(_returns_record(found, points))
        return
    _show_returns(found)
    if flows:
        say()
        rows = [[flow.on.isoformat(), flow_words(flow), money(flow.amount)] for flow in found.flows.flows]
        say(ledger(["day", "what", "in and out"], rows, left=2))
    if points:
        say()
        say(_month_table(points))


def _show_returns(found: Performance) -> None:
    if found.worth is None:
        say("Nothing is held that has a price, so there is nothing to reckon.")
        return
    say(
        f"Put in {money(found.flows.put_in)}, taken out {money(found.flows.taken_out)}; {found.valued} is worth "
        f"{money(found.worth)} by {found.valued_by}: {money(found.gain)} against all in cash, {rate_words(found.rate)}."
    )
    if found.constant is not None and found.real_gain is not None:
        years = ", ".join(map(str, found.constant.stood_in))
        stood = f" ({years} by that year's index)" if years else ""
        say(
            f"In dollars of {found.constant.year}{stood}: {money(found.constant.amount)} put in on balance, "
            f"{money(found.real_gain)} gained, {rate_words(found.real_rate)}."
        )
    if found.flows.estimated:
        count = len(found.flows.estimated)
        are = "is" if count == 1 else "are"
        say(f"{count} of the flows {are} silver that came or went without money, at its melt that day.")
    if found.flows.uncounted:
        entries = ", ".join(map(str, found.flows.uncounted))
        say(f"Entries {entries} are left out: no price is known of their day.")
    if found.rounds is not None:
        say(
            f"The same money in one-ounce rounds would be {ounces(found.rounds.ounces)} of them, worth "
            f"{money(found.rounds.worth)}."
        )
    if found.move is not None:
        say(
            f"A tenth more of spot would add {money(found.move.moves)}; {money(found.move.led_by_collectors)} of the "
            "worth is led by collectors and would not move at first."
        )
    _show_costs(found)


def _show_costs(found: Performance) -> None:
    rows = [
        [share.name, ounces(share.ozt), money(share.basis), money(share.cost_per_ozt), ounces(share.uncosted_ozt)]
        for share in found.forms
    ]
    say()
    say(ledger(["form", "ozt trade", "cost", "cost an ozt", "cost not known ozt"], rows))
    say(NO_BASIS)
    if found.exits:
        say()
        gains_ = [
            [one.exit.name, money(one.net), money(one.cost), money(one.gain), money(one.even)] for one in found.exits
        ]
        say(ledger(["way out", "would pay", "cost", "gain", "even at spot"], gains_))


def _month_table(points: Sequence[Point]) -> str:
    rows = [
        [
            point.on.isoformat(),
            ounces(point.ozt.get("XAG")) if point.ozt else ounces(None),
            money(point.melt),
            money(point.cost),
            point.stamps["XAG"].kind.value if "XAG" in point.stamps else "-",
        ]
        for point in points
    ]
    return ledger(["month's end", "ozt trade", "melt", "cost", "price"], rows)


def _rate_record(rate: Rate | None) -> dict[str, object] | None:
    if rate is None:
        return None
    return {"yearly_share": rate.yearly, "days": rate.days, "others": list(rate.others)}


def _returns_record(found: Performance, points: Sequence[Point]) -> dict[str, object]:
    return {
        "on": found.now.on.isoformat() if found.now.on else None,
        "worth_usd": found.worth,
        "valued_by": found.valued_by,
        "put_in_usd": found.flows.put_in,
        "taken_out_usd": found.flows.taken_out,
        "gain_usd": found.gain,
        "rate": _rate_record(found.rate),
        "real_rate": _rate_record(found.real_rate),
        "constant_dollars_of": None if found.constant is None else found.constant.year,
        "net_put_in_constant_usd": None if found.constant is None else found.constant.amount,
        "real_gain_usd": found.real_gain,
        "cost_usd_per_ozt_trade": found.cost_per_ozt,
        "forms": [
            {
                "form": share.name,
                "fine_ozt_trade": share.ozt,
                "cost_usd": share.basis,
                "cost_usd_per_ozt_trade": share.cost_per_ozt,
                "cost_not_known_fine_ozt_trade": share.uncosted_ozt,
                "share": share.part,
            }
            for share in found.forms
        ],
        "exits": [
            {
                "exit": one.exit.name,
                "net_usd": one.net,
                "cost_usd": one.cost,
                "gain_usd": one.gain,
                "break_even_spot_usd_per_ozt": one.even,
                "no_bid_for": list(one.unsold),
            }
            for one in found.exits
        ],
        "rounds_instead": None
        if found.rounds is None
        else {"ozt": found.rounds.ounces, "worth_usd": found.rounds.worth, "lowest_ozt": found.rounds.lowest},
        "tenth_more_of_spot_usd": None if found.move is None else found.move.moves,
        "flows": [
            {"on": flow.on.isoformat(), "usd": flow.amount, "what": flow.what.value, "estimated": flow.estimated}
            for flow in found.flows.flows
        ],
        "months": [
            {
                "on": point.on.isoformat(),
                "fine_ozt_trade": dict(point.ozt),
                "melt_usd": point.melt,
                "cost_usd": point.cost,
                "price_kind": {metal: stamp.kind.value for metal, stamp in point.stamps.items()},
            }
            for point in points
        ],
    }
