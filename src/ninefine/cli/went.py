"""Commands for silver that left otherwise than sold, and for lots as such: swap, lose, refine, split, join, use."""

from typing import Any

import click

from ninefine.cli.common import ON_HELP, booked, form_of, json_option, kit_of
from ninefine.cli.show import money, ounces, percent, say, say_json
from ninefine.desk import lots, refining, went
from ninefine.desk.goods import split_line

_PAPER = click.option("--paper", metavar="NUMBER", help="Number of the receipt, statement or report.")
_NOTE = click.option("--note", metavar="WORDS", help="A remark.")


def _heaps(form: dict[str, str], heaps: tuple[str, ...], amount: str = "amount") -> None:
    """Put `HEAP` or `HEAP=AMOUNT` arguments into a form's numbered fields."""
    for number, text in enumerate(heaps, 1):
        name, _, much = text.partition("=")
        form[f"heap-{number}"], form[f"{amount}-{number}"] = name.strip(), much.strip()


def _each(form: dict[str, str], field: str, texts: tuple[str, ...]) -> None:
    for number, text in enumerate(texts, 1):
        form[f"{field}-{number}"] = text


@click.command("swap", short_help="Book silver exchanged for silver.")
@click.argument("heaps", nargs=-1, required=True, metavar="HEAP[=AMOUNT]...")
@click.option(
    "--into",
    multiple=True,
    required=True,
    metavar="LINE",
    help="What came: `AMOUNT of KIND for SUM`; may be given again.",
)
@click.option("--for", "values", multiple=True, metavar="SUM", help="What each heap counted for, in order.")
@click.option("--received", metavar="SUM", help="Cash that came with it.")
@click.option("--paid", metavar="SUM", help="Cash paid on top.")
@click.option("--whom", metavar="NAME", help="With whom.")
@click.option(
    "--lot", "names", multiple=True, metavar="NAME", help="A name for the lot of each line that came, in order."
)
@click.option("--place", metavar="CODE", help="Where what came was put.")
@click.option("--carriage", metavar="SUM", help="Postage and insurance; part of what came cost.")
@click.option("--tax", metavar="SUM", help="Sales tax paid; part of what came cost.")
@click.option("--spot", metavar="PRICE", help="Spot that quotes are struck on; else the book's price of that day.")
@click.option("--on", metavar="DATE", help=ON_HELP)
@_PAPER
@_NOTE
@json_option
@click.pass_context
def swap_command(ctx: click.Context, /, heaps: tuple[str, ...], **options: Any) -> None:
    r"""Book a swap: what went leaves at what it counted for, what came is a new lot that costs what it counted for.

    The two sides and the cash must balance; one sum may be left out, and is told from the others.

    \b
    Example:
      ninefine swap "L4=20 face" --for 24x --into "15 of 1 oz round" --paid 15 --whom "the club"
    """
    as_json, into, values, names = (options.pop(name) for name in ("as_json", "into", "values", "names"))
    form = form_of(options)
    _heaps(form, heaps, "out")
    _each(form, "for", values)
    for number, line in enumerate(into, 1):
        form[f"amount-{number}"], form[f"kind-{number}"], form[f"value-{number}"] = split_line(line)
    _each(form, "lot", names)
    kit = kit_of(ctx)
    booked(kit, went.swap(kit, form), as_json=as_json)


@click.command("lose", short_help="Book silver lost, stolen, destroyed or given away.")
@click.argument("heaps", nargs=-1, required=True, metavar="HEAP[=AMOUNT]...")
@click.option("--why", type=click.Choice(went.WHY), default="lost", show_default=True, help="What became of it.")
@click.option("--whom", metavar="NAME", help="To whom it was given.")
@click.option("--worth", "values", multiple=True, metavar="SUM", help="What each heap was worth that day, in order.")
@click.option("--paid", multiple=True, metavar="SUM", help="What an insurer paid for each heap, in order.")
@click.option("--on", metavar="DATE", help=ON_HELP)
@_PAPER
@_NOTE
@json_option
@click.pass_context
def lose_command(ctx: click.Context, /, heaps: tuple[str, ...], **options: Any) -> None:
    r"""Book silver that is gone and was not sold. It stands apart in the year's gains, and in no total.

    A parcel on its way can be lost too.

    \b
    Examples:
      ninefine lose "L2=5 pieces" --why stolen --paper "police report 114" --paid 120
      ninefine lose "L3=10 pieces" --why "given away" --whom Ned --worth spot
    """
    as_json, values, paid = (options.pop(name) for name in ("as_json", "values", "paid"))
    form = form_of(options)
    _heaps(form, heaps)
    _each(form, "value", values)
    _each(form, "paid", paid)
    kit = kit_of(ctx)
    booked(kit, went.lose(kit, form), as_json=as_json)


@click.command("refine", short_help="Book a refiner's settlement statement.")
@click.argument("heaps", nargs=-1, required=True, metavar="HEAP[=AMOUNT]...")
@click.option("--refiner", metavar="NAME", help="Who melted it.")
@click.option("--gross", metavar="WEIGHT", help="The weight that he took in, as `2460 g`.")
@click.option("--melted", metavar="WEIGHT", help="The weight after the melt.")
@click.option("--assay", metavar="PARTS", help="What he found: .899, 899 or 89.9%.")
@click.option("--payable", metavar="PERCENT", help="Per cent of it that he pays for.")
@click.option("--per-ozt", metavar="PRICE", help="What he pays for a fine troy ounce.")
@click.option("--proceeds", metavar="SUM", help="What that came to before fees; reckoned from the others if left out.")
@click.option("--treatment", metavar="SUM", help="His charge for the melt.")
@click.option("--assay-fee", metavar="SUM", help="His charge for the assay.")
@click.option("--freight", metavar="SUM", help="Freight and insurance.")
@click.option("--fees", metavar="SUM", help="Anything else he takes off.")
@click.option("--on", metavar="DATE", help=ON_HELP)
@click.option("--show", is_flag=True, help="Reckon the statement again; book nothing.")
@_PAPER
@_NOTE
@json_option
@click.pass_context
def refine_command(ctx: click.Context, /, heaps: tuple[str, ...], **options: Any) -> None:
    r"""Book a settlement statement as it stands; --show reckons it again first, against what you thought was there.

    \b
    Example:
      ninefine refine L4 --refiner "Brook Refining" --melted "2450 g" --assay .899 --payable 95 --per-ozt 30 --show
    """
    as_json, show = options.pop("as_json"), options.pop("show")
    form = form_of(options)
    _heaps(form, heaps)
    kit = kit_of(ctx)
    found = refining.read_settlement(kit, form)
    if not show:
        booked(kit, refining.refine(kit, found), as_json=as_json)
        return
    if as_json:
        say_json(
            {
                "found_fine_ozt": found.found_ozt,
                "sent_fine_ozt_trade": found.trade_ozt,
                "sent_fine_ozt_scale": found.scale_ozt,
                "payable_fine_ozt": found.payable_ozt,
                "proceeds_usd": found.entry.proceeds,
                "reckoned_usd": found.reckoned,
                "off_usd": found.off,
                "fees_usd": found.fees,
                "net_usd": found.net,
            }
        )
        return
    if found.found_ozt is not None:
        say(
            f"Found {ounces(found.found_ozt)} fine ozt where {ounces(found.trade_ozt)} were sent by trade count: "
            f"{percent(found.from_trade)} off. {ounces(found.payable_ozt)} are payable."
        )
    if found.off:
        say(f"The statement says {money(found.entry.proceeds)}; its own figures come to {money(found.reckoned)}.")
    say(f"Proceeds {money(found.entry.proceeds)}, fees {money(found.fees)}, net {money(found.net)}.")


@click.command("split", short_help="Make a heap, or part of it, a lot of its own.")
@click.argument("heap")
@click.argument("lot")
@click.option("--amount", metavar="AMOUNT", help="How much of it; all of it if left out.")
@click.option("--on", metavar="DATE", help=ON_HELP)
@_NOTE
@json_option
@click.pass_context
def split_command(ctx: click.Context, /, heap: str, lot: str, **options: Any) -> None:
    r"""Make HEAP, or part of it, the new lot LOT; its share of cost, its date and its past go with it.

    \b
    Example:
      ninefine split L4/us-half-90 kids --amount "20 pieces"
    """
    as_json = options.pop("as_json")
    form = form_of(options) | {"heap": heap, "lot": lot}
    kit = kit_of(ctx)
    booked(kit, lots.split(kit, form), as_json=as_json)


@click.command("join", short_help="Put lots of one date and past together.")
@click.argument("names", nargs=-1, required=True, metavar="LOT...")
@click.option("--on", metavar="DATE", help=ON_HELP)
@_NOTE
@json_option
@click.pass_context
def join_command(ctx: click.Context, /, names: tuple[str, ...], **options: Any) -> None:
    r"""Put lots together: the first takes in what is held of the others. They must have come on one day in one way.

    \b
    Example:
      ninefine join L4 kids
    """
    as_json = options.pop("as_json")
    form = form_of(options) | {"lots": ",".join(names)}
    kit = kit_of(ctx)
    booked(kit, lots.join(kit, form), as_json=as_json)


@click.command("use", short_help="Say that lots serve the household itself.")
@click.argument("names", nargs=-1, required=True, metavar="LOT...")
@click.option("--no-longer", is_flag=True, help="They no longer do.")
@click.option("--on", metavar="DATE", help=ON_HELP)
@_NOTE
@json_option
@click.pass_context
def use_command(ctx: click.Context, /, names: tuple[str, ...], **options: Any) -> None:
    r"""Say that lots serve the household itself, such as tableware: a loss on them is kept apart and does not count.

    \b
    Example:
      ninefine use spoons --on 2024-03-01
    """
    as_json, no_longer = options.pop("as_json"), options.pop("no_longer")
    form = form_of(options) | {"lots": ",".join(names), "no_longer": "yes" if no_longer else ""}
    kit = kit_of(ctx)
    booked(kit, lots.use(kit, form), as_json=as_json)
