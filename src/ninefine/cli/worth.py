"""`ninefine worth`: what each way out would pay for the stack, or for one lot."""

from datetime import date

import click

from ninefine.cli.common import Day, json_option, kit_of
from ninefine.cli.show import ledger, money, percent, say, say_json
from ninefine.desk.exits import lot_ways, worth
from ninefine.desk.say import worth_sentence
from ninefine.measure.numbers import read_positive
from ninefine.worth.ways_out import WayOut


@click.command("worth", short_help="What each way out would pay.")
@click.option("--lot", metavar="NAME", help="One lot instead of the whole stack.")
@click.option("--on", type=Day(), help="A past day, as 2023-12-31: what was held, and bid, by then.")
@click.option("--spot", metavar="PRICE", help="A price of silver to use instead of the one on record.")
@json_option
@click.pass_context
def worth_command(ctx: click.Context, lot: str | None, on: date | None, spot: str | None, *, as_json: bool) -> None:
    r"""Say what each way out would pay today, after everything it takes off, best first.

    \b
    Examples:
      ninefine worth
      ninefine worth --lot L3 --spot 66
    """
    kit = kit_of(ctx)
    given = None if spot is None else read_positive(spot.removeprefix("$"), what="spot")
    whole = worth(kit, on=on, spot=given)
    ways = whole.ways if lot is None else lot_ways(kit, lot, spot=given)
    if as_json:
        say_json(
            {
                "lot": lot,
                "prices_usd_per_ozt": whole.now.spots,
                "melt_usd_trade": whole.melt_trade if lot is None else None,
                "melt_usd_scale": whole.melt_scale if lot is None else None,
                "exits": [_record(way) for way in ways],
            }
        )
        return
    if lot is None:
        say(worth_sentence(whole, kit.journal.currency))
    if not ways:
        say('No way out has been set down yet. Try: ninefine exit "the shop" --bid "90=95% of melt"')
        return
    rows = [
        [
            way.exit.name,
            money(way.net),
            percent(way.of_melt),
            money(sum((paid.taken_off for paid in way.paid), way.net - way.net)),
        ]
        for way in ways
    ]
    say()
    say(ledger(["way out", "net", "of trade melt", "taken off"], rows))
    for way in ways:
        if way.unsold:
            say(f"{way.exit.name} has no bid for: {', '.join(way.unsold)} (melt {money(way.unsold_melt)}).")


def _record(way: WayOut) -> dict[str, object]:
    return {
        "exit": way.exit.name,
        "net_usd": way.net,
        "net_share_of_trade_melt": way.of_melt,
        "lines_usd": [
            {"for": line.kind.value, "words": line.words, "usd": line.amount}
            for paid in way.paid
            for line in paid.lines
        ],
        "no_bid_for": list(way.unsold),
        "days_to_pay": way.exit.days,
    }
