"""Commands for what happens to the silver: buy, receive, claim, credit, weigh, sort, move, sell."""

from typing import Any

import click

from ninefine.cli.common import ON_HELP, booked, form_of, json_option, kit_of
from ninefine.cli.sale import show_sale
from ninefine.cli.show import ledger, money, say, say_json
from ninefine.desk import arrivals, claims, purchase, records, sale, sorting
from ninefine.desk.goods import split_line
from ninefine.errors import UnreadableError
from ninefine.measure.numbers import as_price


def _numbered(form: dict[str, str], names: tuple[str, str], pairs: tuple[str, ...], example: str) -> None:
    """Put `NAME=VALUE` arguments into a form's numbered fields."""
    for number, pair in enumerate(pairs, 1):
        name, found, value = pair.rpartition("=")
        if not found:
            raise UnreadableError(f"{pair!r} has no '=' in it.", instead=(example,))
        form[f"{names[0]}-{number}"], form[f"{names[1]}-{number}"] = name.strip(), value.strip()


@click.command("buy", short_help="Book a purchase.")
@click.argument("lines", nargs=-1, required=True)
@click.option("--on", metavar="DATE", help=ON_HELP)
@click.option("--seller", metavar="NAME", help="From whom.")
@click.option("--place", metavar="CODE", help="Where it lies: a location code of your own.")
@click.option(
    "--lot",
    "lots",
    multiple=True,
    metavar="NAME",
    help="A name for the lot of each line, in order; else L1, L2, and on.",
)
@click.option(
    "--spot",
    metavar="PRICE",
    help="Silver by the fine troy ounce, where a quote is struck on it; else the book's price of that day.",
)
@click.option("--carriage", metavar="SUM", help="Postage and insurance.")
@click.option("--surcharge", metavar="SUM", help="What the way of paying added (a card's per cent, as a sum).")
@click.option("--tax", metavar="SUM", help="Sales tax paid.")
@click.option("--fees", metavar="SUM", help="A wire's fee and other fees.")
@click.option("--travel", metavar="SUM", help="What fetching it cost.")
@click.option("--discount", metavar="SUM", help="What was taken off.")
@click.option("--on-its-way", is_flag=True, help="Paid for and not here yet: `receive` books its coming.")
@click.option("--paper", metavar="NUMBER", help="Number of the receipt or invoice.")
@click.option("--note", metavar="WORDS", help="A remark.")
@json_option
@click.pass_context
def buy_command(ctx: click.Context, /, lines: tuple[str, ...], lots: tuple[str, ...], **options: Any) -> None:
    r"""Book a purchase: one or more LINES, each `AMOUNT of KIND at QUOTE` or `AMOUNT of KIND for SUM`.

    An AMOUNT is face, pieces, rolls or a weight: `250 face`, `40 pieces`, `3 rolls`, `412.6 g`; a comma parts two
    measures of the same goods: `60 face, 1461 g`. A KIND is plain words or a slug of the catalog (`ninefine look`
    finds it). A QUOTE is a price as the trade says it: 23.4x, 23.40 a dollar, 2.30 each, spot+1.20, 4% over, 95% of
    melt. Each line becomes a lot; costs are shared over the lots by price.

    \b
    Examples:
      ninefine buy "100 face of 90% halves at 24.60x" --carriage 9.95 --seller "the Tuesday shop" --on 2024-03-05
      ninefine buy "5 of 10 oz bar for 1650" "2 rolls of 90% dimes at 23.4x" --place A1
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
@click.option("--on", metavar="DATE", help=ON_HELP)
@click.option("--place", metavar="CODE", help="Where it was put.")
@click.option(
    "--claim", metavar="SUM", help="What you ask back of the seller; the cost falls only when `credit` books the money."
)
@click.option("--note", metavar="WORDS", help="A remark.")
@json_option
@click.pass_context
def receive_command(ctx: click.Context, /, counted: tuple[str, ...], **options: Any) -> None:
    r"""Book a parcel as counted; what was counted replaces what was ordered, and the cost stays.

    \b
    Example:
      ninefine receive "L4=249.50 face" --place A1 --claim 11.70
    """
    as_json = options.pop("as_json")
    form = form_of(options)
    _numbered(form, ("lot", "counted"), counted, "L4=250 face")
    kit = kit_of(ctx)
    booked(kit, arrivals.receive(kit, form), as_json=as_json)


@click.command("claim", short_help="Work out what to ask back for pieces that are not what was sold.")
@click.argument("lot")
@click.argument("wrong", nargs=-1, metavar="[KIND=AMOUNT...]")
@click.option("--keep", "kept", multiple=True, metavar="KIND=AMOUNT", help="Pieces you keep: their melt is taken off.")
@click.option(
    "--spot", metavar="PRICE", help="Dollars per fine troy ounce, for what is kept; else the book's price of today."
)
@json_option
@click.pass_context
def claim_command(
    ctx: click.Context,
    lot: str,
    wrong: tuple[str, ...],
    kept: tuple[str, ...],
    spot: str | None,
    *,
    as_json: bool,
) -> None:
    r"""Work out a claim on LOT for pieces that are not what was sold: their price, less the melt of what you keep.

    Nothing is booked. `receive --claim` books the sum that you ask for, `credit` the money when it comes.

    \b
    Example:
      ninefine claim L4 "clad quarter=3" --keep "40% halves=2 pieces, 22.9 g" --spot 31.50
    """
    form = {"lot": lot, "spot": spot or ""}
    _numbered(form, ("kind", "amount"), (*wrong, *kept), "clad quarter=3")
    for number in range(len(wrong) + 1, len(wrong) + len(kept) + 1):
        form[f"kept-{number}"] = "yes"
    claim = claims.work_out(kit_of(ctx), form)
    if as_json:
        say_json(_claim_record(claim))
        return
    say(f"Claim on lot {claim.lot.name}: {money(claim.total)}.")
    rows = [
        [line.kind.name, money(line.share), money(line.price), money(line.credit), money(line.claim)]
        for line in claim.lines
    ]
    say()
    say(ledger(["what came instead", claim.measure, f"at {as_price(claim.each)}", "kept at melt", "claim"], rows))


def _claim_record(claim: claims.Claim) -> dict[str, object]:
    return {
        "lot": claim.lot.name,
        "sold_by": claim.measure,
        "price_usd_each": claim.each,
        "claim_usd": claim.total,
        "pieces": [
            {
                "kind": line.kind.slug,
                "sold_as": line.share,
                "price_usd": line.price,
                "melt_credit_usd": line.credit,
                "claim_usd": line.claim,
            }
            for line in claim.lines
        ],
    }


@click.command("credit", short_help="Book money that a seller paid back.")
@click.argument("amount")
@click.argument("lots", nargs=-1, required=True)
@click.option("--on", metavar="DATE", help=ON_HELP)
@click.option("--note", metavar="WORDS", help="A remark.")
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
@click.option("--on", metavar="DATE", help=ON_HELP)
@click.option("--readability", help="The scale's smallest step, as `0.1 g`.")
@click.option("--note", metavar="WORDS", help="A remark.")
@json_option
@click.pass_context
def weigh_command(ctx: click.Context, /, weights: tuple[str, ...], **options: Any) -> None:
    r"""Book weights on the scale: 1461 g, 47.0 ozt, 3 lb 3.5 oz.

    A HEAP is part of a lot: L4 where the lot is one heap, else L4/us-dime-90, or L4/us-dime-90@A1 with its place. A
    name that does not fit is answered with those that do.

    \b
    Examples:
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
@click.option("--on", metavar="DATE", help=ON_HELP)
@click.option(
    "--by",
    "method",
    type=click.Choice(["weight", "value"]),
    default="weight",
    show_default=True,
    help="How cost is shared: by fine silver, or by what each row would bring.",
)
@click.option("--note", metavar="WORDS", help="A remark.")
@json_option
@click.pass_context
def sort_command(ctx: click.Context, /, heap: str, rows: tuple[str, ...], **options: Any) -> None:
    r"""Book HEAP as told apart into KINDs; they keep the lot's date and share its cost.

    Rows may take all of the heap or part of it. A row's weight may follow its amount: `=118 face, 2882.1 g`. With
    --by value each row says what it would bring: `=100 pieces for 210`.

    \b
    Examples:
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
@click.option("--on", metavar="DATE", help=ON_HELP)
@click.option("--note", metavar="WORDS", help="A remark.")
@json_option
@click.pass_context
def move_command(ctx: click.Context, /, heap: str, to: str, **options: Any) -> None:
    r"""Book a move of HEAP, or part of it, TO another place. Places are codes of your own; keep their key elsewhere.

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
@click.option("--of", "kind", metavar="KIND", help="With a bare AMOUNT: which kind to sell.")
@click.option(
    "--rule",
    type=click.Choice(list(sale.RULES)),
    help="With a bare AMOUNT: which lots go first; the book's own rule if left out, which is first in, first out.",
)
@click.option("--at", "price", metavar="PRICE", help="A sum for all, or a quote such as 44.83x.")
@click.option("--exit", "exit_name", metavar="NAME", help="A way out; its bid is the price if --at is left out.")
@click.option("--buyer", metavar="NAME", help="To whom.")
@click.option("--fees", metavar="SUM", help="What the sale cost; a way out's own fees if left out.")
@click.option("--spot", metavar="PRICE", help="Spot that a bid is struck on; else the book's price of that day.")
@click.option("--on", metavar="DATE", help=ON_HELP)
@click.option("--paper", metavar="NUMBER", help="Number of the receipt.")
@click.option("--note", metavar="WORDS", help="A remark.")
@click.option("--cash", is_flag=True, help="Paid in cash: for the reminders alone.")
@click.option("--show", is_flag=True, help="Show lots, basis, gain and term, and the other ways; book nothing.")
@json_option
@click.pass_context
def sell_command(ctx: click.Context, /, what: tuple[str, ...], **options: Any) -> None:
    r"""Book a sale: of heaps named one by one, or of an AMOUNT of a kind by a rule.

    Which pieces were sold is fixed by this entry, for good. --show works the sale out first.

    \b
    Examples:
      ninefine sell "L4=150 face" "L3=200 face" --at 44.83x --buyer "the Tuesday shop"
      ninefine sell "400 face" --of "90%" --rule first-in --at 44.83x --show
    """
    as_json, show, cash = options.pop("as_json"), options.pop("show"), options.pop("cash")
    form = form_of(options)
    form["exit"] = form.pop("exit_name", "")
    if len(what) == 1 and "=" not in what[0]:
        form["amount"] = what[0]
    else:
        _numbered(form, ("heap", "amount"), what, "L4=150 face")
    kit = kit_of(ctx)
    plan = sale.read_sale(kit, form)
    if show:
        show_sale(kit, form, plan, in_cash=cash, as_json=as_json)
        return
    booked(kit, sale.sell(kit, plan), as_json=as_json)
