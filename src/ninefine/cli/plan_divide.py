"""`ninefine plan divide`: what lies here, shared out among people; nothing is booked."""

from typing import Any

import click

from ninefine.cli.common import form_of, json_option, kit_of
from ninefine.cli.show import ledger, money, say, say_json
from ninefine.desk.plan_dividing import FIRSTS, Dividing, dividing_sentence, plan_dividing, proof_words
from ninefine.plan.division import Sharing


@click.command("divide", short_help="Share silver out fairly, with the least cash to balance.")
@click.argument("people", nargs=-1, required=True, metavar="NAME[=SHARE]...")
@click.option(
    "--wish",
    "wishes",
    multiple=True,
    metavar="LINE",
    help="What somebody would like: `Ada: R 60, L4 40`; each has 100 points to spread.",
)
@click.option("--lots", metavar="NAMES", help="Only these lots or heaps, parted by commas.")
@click.option("--whole", metavar="NAMES", help="Lots or heaps that stay in one piece.")
@click.option("--value", metavar="BY", help="By what it is evened out: melt, or a way out whose bid counts.")
@click.option(
    "--worth", "worths", multiple=True, metavar="LINE", help="What one piece of a lot is worth instead: `L4 51.00`."
)
@click.option("--first", type=click.Choice(tuple(FIRSTS)), help="What comes first.")
@click.option("--most-cash", metavar="SUM", help="No more cash than this may change hands.")
@click.option("--spot", metavar="PRICE", help="Spot that worth is struck on; else the book's price.")
@json_option
@click.pass_context
def plan_divide_command(ctx: click.Context, /, people: tuple[str, ...], **options: Any) -> None:
    r"""Share silver out among heirs or partners: whole pieces, wishes, and the least cash to even it out.

    Everyone is due a share of one worth that all agree on. It decides nothing: a will, the law and an executor do.

    \b
    Examples:
      ninefine plan divide Ada Ben Cleo
      ninefine plan divide Ada=1/2 Ben=1/4 Cleo=1/4 --wish "Ada: R 60, L4 40" --first no-envy
    """
    as_json, wishes, worths = (options.pop(name) for name in ("as_json", "wishes", "worths"))
    form = form_of(options) | {"people": "\n".join(people), "wishes": "\n".join(wishes), "worths": "\n".join(worths)}
    found = plan_dividing(kit_of(ctx), form)
    if as_json:
        say_json(_record(found))
        return
    say(dividing_sentence(found))
    if found.sharing is not None:
        _show(found, found.sharing)
    say("A will, the law and an executor decide; this only reckons.")


def _show(found: Dividing, sharing: Sharing) -> None:
    names = [lot.person.name for lot in sharing.lots]
    rows = [
        [thing.name, *(str(lot.pieces[at]) for lot in sharing.lots), str(thing.count), money(thing.worth)]
        for at, thing in enumerate(found.estate.things)
    ]
    say()
    say(ledger(["pieces, or face dollars", *names, "all", "one is worth"], rows))
    say()
    people = [
        [
            lot.person.name,
            money(lot.worth),
            money(lot.cash),
            money(lot.due),
            f"{float(lot.points):.1f}",
            str(lot.wished),
        ]
        for lot in sharing.lots
    ]
    say(ledger(["who", "in pieces", "in cash", "due", "points met", "of"], people))
    say(proof_words(found))


def _record(found: Dividing) -> dict[str, object]:
    sharing = found.sharing
    return {
        "sentence": dividing_sentence(found),
        "proven": sharing is not None and sharing.proven,
        "cash_moved_usd": None if sharing is None else sharing.moved,
        "payments": [
            {"by": one.by, "to": one.to, "usd": one.amount} for one in (sharing.payments if sharing is not None else ())
        ],
        "people": [
            {
                "name": lot.person.name,
                "due_usd": lot.due,
                "worth_usd": lot.worth,
                "cash_usd": lot.cash,
                "pieces": dict(zip((stock.name for stock in found.stocks), lot.pieces, strict=True)),
            }
            for lot in (sharing.lots if sharing is not None else ())
        ],
        "envies": [
            {"who": one.who, "whom": one.whom, "things": list(one.things)}
            for one in (sharing.envies if sharing is not None else ())
        ],
    }
