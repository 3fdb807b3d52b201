"""Commands for what happens to the silver: buy, receive, credit, weigh, sort, move, sell."""

from typing import Any

import click

from ninefine.cli.common import ON_HELP, booked, form_of, json_option, kit_of
from ninefine.cli.show import money, say
from ninefine.desk import arrivals, purchase, records, sale, sorting
from ninefine.desk.goods import split_line
from ninefine.errors import UnreadableError


def _numbered(form: dict[str, str], names: tuple[str, str], pairs: tuple[str, ...], example: str) -> None:
    """Put `NAME=VALUE` arguments into a form's numbered fields."""
    for number, pair in enumerate(pairs, 1):
        name, found, value = pair.rpartition("=")
        if not found:
            raise UnreadableError(f"{pair!r} has no '=' in it.", instead=(example,))
        form[f"{names[0]}-{number}"], form[f"{names[1]}-{number}"] = name.strip(), value.strip()


@click.command("buy", short_help="Book a purchase.")
@click.argument("lines", nargs=-1, required=True)
@click.option("--on", help=ON_HELP)
@click.option("--seller", help="From whom.")
@click.option("--place", help="Where it lies: a location code of your own.")
@click.option("--lot", "lots", multiple=True, help="A name for the lot of each line, in order; else L1, L2, ...")
@click.option("--spot", help="Spot that a quote is struck on; else the book's price of that day.")
@click.option("--carriage", help="Postage and insurance.")
@click.option("--surcharge", help="Added for the way of paying.")
@click.option("--tax", help="Sales tax paid.")
@click.option("--fees", help="Wire and other fees.")
@click.option("--travel", help="What fetching it cost.")
@click.option("--discount", help="Taken off.")
@click.option("--on-its-way", is_flag=True, help="Paid for and not here yet: `receive` books its coming.")
@click.option("--paper", help="Number of the receipt or invoice.")
@click.option("--note", help="A remark.")
@json_option
@click.pass_context
def buy_command(ctx: click.Context, /, lines: tuple[str, ...], lots: tuple[str, ...], **options: Any) -> None:
    r"""Book a purchase: one or more LINES, each `AMOUNT of KIND at QUOTE` or `AMOUNT of KIND for SUM`.

    \b
    Example:
      ninefine buy "100 face of 90% halves at 24.60x" --carriage 9.95 --seller "the Tuesday shop" --on 2024-03-05
    """
    as_json, on_its_way = options.pop("as_json"), options.pop("on_its_way")
    form = form_of(options)
    form["arrived"] = "no" if on_its_way else "yes"
    for number, line in enumerate(lines, 1):
        form[f"amount-{number}"], form[f"kind-{number}"], form[f"price-{number}"] = split_line(line)
    for number, lot in enumerate(lots, 1):
        form[f"lot-{number}"] = lot
    kit = kit_of(ctx)
    booked(kit, purchase.buy(kit, form), as_json=as_json)


@click.command("receive", short_help="Book a parcel as counted.")
@click.argument("counted", nargs=-1, required=True, metavar="LOT=AMOUNT...")
@click.option("--on", help=ON_HELP)
@click.option("--place", help="Where it was put.")
@click.option("--claim", help="What is asked back of the seller.")
@click.option("--note", help="A remark.")
@json_option
@click.pass_context
def receive_command(ctx: click.Context, /, counted: tuple[str, ...], **options: Any) -> None:
    r"""Book a parcel as counted against what was ordered.

    \b
    Example:
      ninefine receive "L4=249.50 face" --place A1 --claim 11.70
    """
    as_json = options.pop("as_json")
    form = form_of(options)
    _numbered(form, ("lot", "counted"), counted, "L4=250 face")
    kit = kit_of(ctx)
    booked(kit, arrivals.receive(kit, form), as_json=as_json)


@click.command("credit", short_help="Book money that a seller paid back.")
@click.argument("amount")
@click.argument("lots", nargs=-1, required=True)
@click.option("--on", help=ON_HELP)
@click.option("--note", help="A remark.")
@json_option
@click.pass_context
def credit_command(ctx: click.Context, /, amount: str, lots: tuple[str, ...], **options: Any) -> None:
    r"""Book AMOUNT paid back by a seller on LOTS; their cost falls by it.

    \b
    Example:
      ninefine credit 34.01 L4 --note "three clad quarters, a false dime"
    """
    as_json = options.pop("as_json")
    form = form_of(options) | {"amount": amount, "lots": ",".join(lots)}
    kit = kit_of(ctx)
    booked(kit, arrivals.credit(kit, form), as_json=as_json)


@click.command("weigh", short_help="Book a heap's weight on the scale.")
@click.argument("weights", nargs=-1, required=True, metavar="HEAP=WEIGHT...")
@click.option("--on", help=ON_HELP)
@click.option("--readability", help="The scale's smallest step, as `0.1 g`.")
@click.option("--note", help="A remark.")
@json_option
@click.pass_context
def weigh_command(ctx: click.Context, /, weights: tuple[str, ...], **options: Any) -> None:
    r"""Book weights; a heap is named by its lot, and by kind and place where the lot has several.

    \b
    Example:
      ninefine weigh "L4=6180 g"
      ninefine weigh "L4/us-dime-90=2882.1 g" "L4/us-quarter-90=3015 g" --readability "0.1 g"
    """
    as_json = options.pop("as_json")
    form = form_of(options)
    _numbered(form, ("heap", "weight"), weights, "L4=6180 g")
    kit = kit_of(ctx)
    booked(kit, arrivals.weigh(kit, form), as_json=as_json)


@click.command("sort", short_help="Book a heap as told apart.")
@click.argument("heap")
@click.argument("rows", nargs=-1, required=True, metavar="KIND=AMOUNT...")
@click.option("--on", help=ON_HELP)
@click.option("--by", "method", type=click.Choice(["weight", "value"]), default="weight", help="How cost is shared.")
@click.option("--note", help="A remark.")
@json_option
@click.pass_context
def sort_command(ctx: click.Context, /, heap: str, rows: tuple[str, ...], **options: Any) -> None:
    r"""Book HEAP as told apart into KINDs; they keep the lot's date and share its cost.

    A kind is plain words or a slug; `=100 pieces for 210` gives the value of a row, needed with --by value.

    \b
    Example:
      ninefine sort L4 "90% dimes=118 face" "90% quarters=123 face" "90% halves=9 face"
      ninefine sort L4/us-dime-90 "merc dime 1921-D=1" "us-dime-90=1179"
    """
    as_json = options.pop("as_json")
    form = form_of(options) | {"heap": heap}
    _numbered(form, ("kind", "amount"), rows, "90% dimes=118 face")
    for name in [name for name in form if name.startswith("amount-")]:
        amount, found, value = form[name].partition(" for ")
        if found:
            form[name], form[name.replace("amount", "value")] = amount, value
    kit = kit_of(ctx)
    booked(kit, sorting.sort(kit, form), as_json=as_json)


@click.command("move", short_help="Book a move to another place.")
@click.argument("heap")
@click.argument("to")
@click.option("--amount", help="How much of it; all of it if left out.")
@click.option("--on", help=ON_HELP)
@click.option("--note", help="A remark.")
@json_option
@click.pass_context
def move_command(ctx: click.Context, /, heap: str, to: str, **options: Any) -> None:
    r"""Book a move of HEAP, or part of it, TO another place.

    \b
    Example:
      ninefine move L4/us-dime-90 B2 --amount "50 pieces"
    """
    as_json = options.pop("as_json")
    form = form_of(options) | {"heap": heap, "to": to}
    kit = kit_of(ctx)
    booked(kit, records.move(kit, form), as_json=as_json)


@click.command("sell", short_help="Book a sale.")
@click.argument("what", nargs=-1, required=True, metavar="HEAP=AMOUNT... | AMOUNT")
@click.option("--of", "kind", help="With a bare AMOUNT: which kind to sell by a rule.")
@click.option("--rule", type=click.Choice(list(sale.RULES)), default="first-in", help="Which lots go first.")
@click.option("--at", "price", help="The price: a sum for all, or a quote such as 44.83x.")
@click.option("--exit", "exit_name", help="One of your ways out; its bid is the price if --at is left out.")
@click.option("--buyer", help="To whom.")
@click.option("--fees", help="What the sale cost; an exit's own fees if left out.")
@click.option("--spot", help="Spot that a bid is struck on; else the book's price of that day.")
@click.option("--on", help=ON_HELP)
@click.option("--paper", help="Number of the receipt.")
@click.option("--note", help="A remark.")
@click.option("--show", is_flag=True, help="Show lots, basis, gain and term; book nothing.")
@json_option
@click.pass_context
def sell_command(ctx: click.Context, /, what: tuple[str, ...], **options: Any) -> None:
    r"""Book a sale: of heaps named one by one, or of an AMOUNT of a kind by a rule, fixed now and for good.

    \b
    Example:
      ninefine sell "L4=150 face" "L3=200 face" --at 44.83x --buyer "the Tuesday shop"
      ninefine sell "400 face" --of "90%" --rule first-in --at 44.83x --show
    """
    as_json, show = options.pop("as_json"), options.pop("show")
    form = form_of(options)
    form["exit"] = form.pop("exit_name", "")
    if len(what) == 1 and "=" not in what[0]:
        form["amount"] = what[0]
    else:
        _numbered(form, ("heap", "amount"), what, "L4=150 face")
    kit = kit_of(ctx)
    plan = sale.read_sale(kit, form)
    if show:
        for row in plan.rows:
            say(
                f"lot {row.lot}: {row.amount_words}, proceeds {money(row.proceeds)}, basis {money(row.basis)}, "
                f"gain {money(row.gain)}, {row.term} term"
            )
        say(f"In all: proceeds {money(plan.proceeds)}, fees {money(plan.fees)}, gain {money(plan.gain)}.")
        return
    booked(kit, sale.sell(kit, plan), as_json=as_json)
