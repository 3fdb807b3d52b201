"""`ninefine plan swap`: what changing one form or metal for another costs, and when it pays. Nothing is booked."""

from typing import Any

import click

from ninefine.cli.common import form_of, json_option, kit_of
from ninefine.cli.show import ledger, money, say, say_json
from ninefine.desk.plan_say import NOT_ADVICE
from ninefine.desk.plan_swap_say import guess_words, swap_sentence
from ninefine.desk.plan_swapping import Swapping, plan_swapping
from ninefine.desk.sale import RULES
from ninefine.measure.numbers import to_places


@click.command("swap", short_help="What changing silver for gold or another form costs, and when it pays.")
@click.argument("amount")
@click.option("--kind", metavar="KIND", required=True, help="What is given.")
@click.option("--take", metavar="KIND", required=True, help="What is taken: `1 oz round`, `gold eagle 1/10 oz`.")
@click.option("--exit", "exit", metavar="NAME", help="The way out that the given is sold by.")
@click.option("--price", metavar="QUOTE", help="Or the price that it is sold at.")
@click.option("--rule", type=click.Choice(tuple(RULES)), help="Which lots go first.")
@click.option("--ask", metavar="QUOTE", help="What is asked for what is taken: `spot+3`, `4% over`.")
@click.option("--bid", metavar="QUOTE", help="What would be paid for it on going back.")
@click.option("--again", metavar="QUOTE", help="What would be asked for the given on going back.")
@click.option("--short-rate", metavar="PERCENT", help="Your tax rate on short-term gains; else the one settled.")
@click.option("--long-rate", metavar="PERCENT", help="Your tax rate on long-term gains; else the one settled.")
@click.option("--spot", metavar="PRICE", help="Spot of silver; else the book's price.")
@click.option("--other-spot", metavar="PRICE", help="Spot of the other metal; else the book's price.")
@json_option
@click.pass_context
def plan_swap_command(ctx: click.Context, /, **options: Any) -> None:
    r"""Work out what a change costs in premium and tax, and the ratio (or the bid) at which it would have paid.

    A change is a sale and a purchase; where you live it may be taxed as one. It books nothing: `ninefine swap` does.

    \b
    Examples:
      ninefine plan swap "100 face" --kind 90% --exit "the shop" --take "1 oz round" --ask spot+2 --bid spot-1
      ninefine plan swap "400 face" --kind 90% --price 44.83x --take "gold eagle 1/10 oz" --ask "8% over"
    """
    as_json = options.pop("as_json")
    found = plan_swapping(kit_of(ctx), form_of(options))
    if as_json:
        say_json(_record(found))
        return
    change = found.change
    say(swap_sentence(found))
    say()
    rows = [
        ["melt given", money(to_places(change.given_melt, 2))],
        ["brought by its sale", money(found.sale.proceeds - found.sale.fees)],
        ["tax", money(change.tax)],
        [f"paid for {change.units:,} at {money(change.price)}", money(change.paid)],
        ["left over", money(change.cash)],
        ["melt taken", money(to_places(change.taken_melt, 2))],
        ["going back at once would bring", money(change.back)],
        ["having the given again would cost", money(change.again)],
    ]
    say(ledger(["what", "sum"], rows))
    if guess_words(found):
        say(guess_words(found))
    say(NOT_ADVICE)


def _record(found: Swapping) -> dict[str, object]:
    change = found.change
    return {
        "sentence": swap_sentence(found),
        "units": change.units,
        "ozt_trade_taken": to_places(change.ozt, 6),
        "paid_usd": change.paid,
        "left_over_usd": change.cash,
        "tax_usd": change.tax,
        "premium_usd": to_places(change.premium, 2),
        "ratio": to_places(change.ratio, 4),
        "pays_at_ratio": None if change.pays_at is None else to_places(change.pays_at, 4),
        "pays_at_bid_percent": to_places(change.bid_at, 4),
    }
