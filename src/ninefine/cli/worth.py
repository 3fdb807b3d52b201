"""`ninefine worth`: what each way out would pay for the stack, or for one lot."""

from collections.abc import Sequence
from datetime import date
from decimal import Decimal

import click

from ninefine.cli.common import Day, json_option, kit_of
from ninefine.cli.show import ledger, money, percent, say, say_json
from ninefine.desk.exits import lot_evens, worth
from ninefine.desk.holdings import lot_line, summary
from ninefine.desk.kit import Kit
from ninefine.desk.say import lot_sentence, worth_sentence
from ninefine.measure.numbers import read_positive
from ninefine.worth.ways_out import WayOut

NO_EXITS = 'No way out has been set down yet. Try: ninefine exit "the shop" --bid "90=95% of melt"'
#: How many kinds without a bid are named.
FEW = 3


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
    if lot is not None:
        _of_lot(kit, lot, given, as_json=as_json)
        return
    whole = worth(kit, on=on, spot=given)
    if as_json:
        say_json(
            {
                "lot": None,
                "prices_usd_per_ozt": whole.now.spots,
                "melt_usd_trade": whole.melt_trade,
                "melt_usd_scale": whole.melt_scale,
                "exits": [_record(way) for way in whole.ways],
            }
        )
        return
    say(worth_sentence(whole, kit.journal.currency))
    if not whole.ways:
        say(NO_EXITS)
        return
    rows = [[way.exit.name, money(way.net), percent(way.of_melt), money(way.taken_off)] for way in whole.ways]
    say()
    say(ledger(["way out", "net", "of trade melt", "taken off"], rows))
    _say_unsold(whole.ways)


def _of_lot(kit: Kit, name: str, spot: Decimal | None, *, as_json: bool) -> None:
    """What each exit would pay for one lot, beside what it cost."""
    found = lot_evens(kit, name, spot=spot)
    if as_json:
        say_json(
            {
                "lot": name,
                "prices_usd_per_ozt": summary(kit, spot=spot).spots,
                "exits": [
                    _record(one.way) | {"gain_usd": one.gain, "break_even_spot_usd_per_ozt": one.even} for one in found
                ],
            }
        )
        return
    say(lot_sentence(lot_line(kit, name), found, kit.journal.currency))
    if not found:
        say(NO_EXITS)
        return
    rows = [
        [
            one.way.exit.name,
            money(one.way.net),
            percent(one.way.of_melt),
            money(one.way.taken_off),
            money(one.gain),
            money(one.even),
        ]
        for one in found
        if one.way.paid
    ]
    if rows:
        say()
        say(ledger(["way out", "net", "of trade melt", "taken off", "gain", "even at spot"], rows))
    _say_unsold([one.way for one in found])


def _say_unsold(ways: Sequence[WayOut]) -> None:
    """Which goods a way out has no bid for: the first few by name."""
    for way in ways:
        if way.unsold and not way.paid:
            say(f"{way.exit.name} has no bid for any of it.")
        elif way.unsold:
            more = len(way.unsold) - FEW
            rest = f"; and {more} more" if more > 0 else ""
            names = "; ".join(way.unsold[:FEW])
            say(f"{way.exit.name} has no bid for: {names}{rest} (melt {money(way.unsold_melt)}).")


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
