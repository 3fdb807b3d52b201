"""Commands for silver that came otherwise than bought: given, inherit, opening."""

from typing import Any

import click

from ninefine.cli.common import ON_HELP, booked, form_of, json_option, kit_of
from ninefine.desk import came
from ninefine.desk.goods import split_line

_LOT = click.option(
    "--lot",
    "lots",
    multiple=True,
    metavar="NAME",
    help="A name for the lot of each line, in order; else L1, L2, and on.",
)
_OWN = click.option("--own-use", is_flag=True, help="It serves the household itself (tableware); losses stand apart.")
_PLACE = click.option("--place", metavar="CODE", help="Where it lies: a location code of your own.")
_PAPER = click.option("--paper", metavar="NUMBER", help="Number of the letter, appraisal or receipt.")
_NOTE = click.option("--note", metavar="WORDS", help="A remark.")


def _lines(form: dict[str, str], lines: tuple[str, ...], sum_field: str, lots: tuple[str, ...], *, own: bool) -> None:
    """Put lines of goods into a form's numbered fields; what stands after `for` or `at` is the sum."""
    for number, line in enumerate(lines, 1):
        form[f"amount-{number}"], form[f"kind-{number}"], form[f"{sum_field}-{number}"] = split_line(line)
        if own:
            form[f"own-{number}"] = "yes"
    for number, lot in enumerate(lots, 1):
        form[f"lot-{number}"] = lot


@click.command("given", short_help="Book a gift received, with its giver's cost and date.")
@click.argument("lines", nargs=-1, required=True)
@click.option("--giver", metavar="NAME", help="Who gave it.")
@click.option("--acquired", metavar="DATE", help="The giver's own date; left out where nobody knows.")
@click.option("--worth", "values", multiple=True, metavar="SUM", help="What each line was worth on the day, in order.")
@click.option("--on", metavar="DATE", help=ON_HELP)
@_LOT
@_PLACE
@_OWN
@_PAPER
@_NOTE
@json_option
@click.pass_context
def given_command(
    ctx: click.Context, /, lines: tuple[str, ...], lots: tuple[str, ...], values: tuple[str, ...], **options: Any
) -> None:
    r"""Book a gift: one or more LINES, each `AMOUNT of KIND for SUM`, where SUM is what it had cost the giver.

    A line without a SUM has a cost that nobody knows, which is never taken for nothing. A gift keeps its giver's cost
    and date; one that was worth less on the day has that worth as its basis for a loss.

    \b
    Example:
      ninefine given "10 of 1 oz round for 250" --giver "Aunt Ida" --acquired 2011-05-06 --worth 240
    """
    as_json, own, acquired = options.pop("as_json"), options.pop("own_use"), options.pop("acquired")
    form = form_of(options)
    _lines(form, lines, "basis", lots, own=own)
    for number, value in enumerate(values, 1):
        form[f"value-{number}"] = value
    if acquired:
        form |= {f"acquired-{number}": acquired for number in range(1, len(lines) + 1)}
    kit = kit_of(ctx)
    booked(kit, came.give(kit, form), as_json=as_json)


@click.command("inherit", short_help="Book an inheritance, at its value on the day of death.")
@click.argument("lines", nargs=-1, required=True)
@click.option("--died", metavar="DATE", required=True, help="The day of death: from then on it counts as owned.")
@click.option("--whose", metavar="NAME", help="Whose estate it was.")
@click.option("--valued-on", metavar="DATE", help="The day of the value, where it is not the day of death.")
@click.option("--valued-by", metavar="WORDS", help="Who set the value, and how.")
@click.option("--on", metavar="DATE", help="The day it came to hand, as 2024-03-01; today if left out.")
@_LOT
@_PLACE
@_OWN
@_PAPER
@_NOTE
@json_option
@click.pass_context
def inherit_command(ctx: click.Context, /, lines: tuple[str, ...], lots: tuple[str, ...], **options: Any) -> None:
    r"""Book an inheritance: one or more LINES, each `AMOUNT of KIND for SUM`, where SUM is its value at death.

    SUM may be a quote, as `at 100% of melt`: it is struck on the price of that day, and the entry says whose price it
    was. A line without a SUM has a value that nobody knows.

    \b
    Example:
      ninefine inherit "40 face of 90% halves for 1500" --died 2025-11-20 --whose Grandfather --valued-by "an appraisal"
    """
    as_json, own = options.pop("as_json"), options.pop("own_use")
    form = form_of(options)
    _lines(form, lines, "value", lots, own=own)
    kit = kit_of(ctx)
    booked(kit, came.inherit(kit, form), as_json=as_json)


@click.command("opening", short_help="Book silver that was held before the book.")
@click.argument("lines", nargs=-1, required=True)
@click.option("--acquired", metavar="DATE", help="When it was acquired; left out where nobody knows.")
@click.option(
    "--how", type=click.Choice(came.HOW), help="How it had come, if anybody knows: it decides what the law makes of it."
)
@click.option("--seller", metavar="NAME", help="Of whom it had come.")
@click.option("--on", metavar="DATE", help="The day from which the book counts it, as 2024-03-01; today if left out.")
@_LOT
@_PLACE
@_OWN
@_PAPER
@_NOTE
@json_option
@click.pass_context
def opening_command(ctx: click.Context, /, lines: tuple[str, ...], lots: tuple[str, ...], **options: Any) -> None:
    r"""Book what was there before the book: one or more LINES, each `AMOUNT of KIND for SUM`, where SUM is its cost.

    A line without a SUM has a cost that nobody knows; that is said wherever costs are summed, and it is never taken for
    nothing. The options speak of every line: book lines with different pasts one by one.

    \b
    Examples:
      ninefine opening "200 face of 90%" --place C3
      ninefine opening "20 of 1 oz round for 310" --acquired 2009-02-03 --how bought --on 2024-01-01
    """
    as_json, own = options.pop("as_json"), options.pop("own_use")
    each = {name: options.pop(name) for name in ("acquired", "how", "seller", "place")}
    form = form_of(options)
    _lines(form, lines, "cost", lots, own=own)
    for name, text in each.items():
        if text:
            form |= {f"{name}-{number}": text for number in range(1, len(lines) + 1)}
    kit = kit_of(ctx)
    booked(kit, came.open_with(kit, form), as_json=as_json)
