"""`ninefine plan buy`: the best basket over offers, from a file or from the book."""

from pathlib import Path

import click

from ninefine.catalog.shelf import load_catalog
from ninefine.cli.common import form_of, json_option, kit_of
from ninefine.cli.records import read_text
from ninefine.cli.show import ledger, say, say_json
from ninefine.desk.plan_purchase import Beside, PlannedPurchase, beside, plan_purchase, planned, read_wishes
from ninefine.desk.plan_purchase_say import (
    MIND,
    cost_per_ozt,
    freed_words,
    gain_words,
    missed_words,
    money,
    nearest_words,
    ounces,
    ounces_said,
    reason_words,
    sentence,
    top_up_words,
    way_said,
)
from ninefine.errors import NotFoundError
from ninefine.intake.offers_toml import read_offers
from ninefine.market.goods import contents_with
from ninefine.measure.numbers import plain, to_places
from ninefine.plan.buying_plan import best_basket, market
from ninefine.plan.solver import Patience, Progress


@click.command("buy", short_help="The best basket over offers, for a budget or a weight.")
@click.argument("budget", required=False)
@click.option(
    "--from", "file", type=click.Path(path_type=Path), metavar="FILE", help="Offers in a file; no book needed."
)
@click.option("--weight", metavar="OZT", help="At least so many fine ounces.")
@click.option("--goal", metavar="WORD", help="silver: the most of it; money: the least; loss: the least if sold back.")
@click.option("--count", metavar="WORD", help="Ounces that count: known (scale where weighed), trade, unworn.")
@click.option("--share-least", metavar="PER CENT", help="Of the ounces, at least this much constitutional coin.")
@click.option("--share-most", metavar="PER CENT", help="Of the ounces, at most this much constitutional coin.")
@click.option("--sellers", metavar="NUMBER", help="No more sellers than this.")
@click.option("--each", metavar="AMOUNT", help="No more than this to any one offer.")
@click.option("--rolls", is_flag=True, help="Coin that comes in rolls by whole rolls only.")
@click.option("--whole", metavar="NAMES", help="Offers taken whole or left, between commas; or all.")
@click.option("--together", metavar="NAMES", help='Offers that one trip serves: "A + C".')
@click.option("--must", metavar="NAMES", help="Offers that must be in.")
@click.option("--never", metavar="NAMES", help="Offers that are left out.")
@click.option("--spot", metavar="PRICE", help="Dollars per fine troy ounce; else the file's, or the book's of today.")
@click.option("--exit", "exit_name", metavar="NAME", help="Which way out to sell back to; else the first.")
@click.option("--beside", "and_beside", is_flag=True, help="Also the next best baskets and what each limit costs.")
@click.option(
    "--seconds", type=click.FloatRange(min=0.1), default=30, show_default=True, help="The longest it may take."
)
@json_option
@click.pass_context
def plan_buy_command(
    ctx: click.Context,
    /,
    file: Path | None,
    *,
    and_beside: bool,
    rolls: bool,
    seconds: float,
    as_json: bool,
    **typed: str,
) -> None:
    r"""The basket that makes most of BUDGET, or that brings a weight for the least, over the offers on the table.

    Tiers, carriage, surcharges, tax lines, least orders and miles all count; whole pieces and face dollars only. The
    answer is proven best, or says how far from the best it may be. Nothing is booked.

    \b
    Examples:
      ninefine plan buy 3100 --from examples/elm_hollow.toml --whole A,B,D
      ninefine plan buy --weight 100 --goal loss --sellers 2
    """
    form = form_of({**typed, "rolls": "yes" if rolls else None, "exit": typed.pop("exit_name", None)})
    patience = Patience(seconds=seconds, told=None if as_json else _tell)
    found = (
        _from_file(file, form, patience) if file is not None else plan_purchase(kit_of(ctx), form, patience=patience)
    )
    more = beside(found) if and_beside else None
    if as_json:
        say_json(as_record(found, more))
    else:
        _show(found, more)


def _from_file(file: Path, form: dict[str, str], patience: Patience) -> PlannedPurchase:
    sheet = read_offers(read_text(file), str(file))
    wishes, spot = read_wishes(form, [offer.name for offer in sheet.offers], needs_exit=sheet.exit is None)
    price = spot if spot is not None else sheet.spot
    if price is None:
        raise NotFoundError(f"{file} gives no spot.", expected="Give one.", instead=("--spot 32.00",))
    named = form.get("exit", "")
    if named and (sheet.exit is None or sheet.exit.name != named):
        raise NotFoundError(
            f"{file} has no way out {named[:40]!r}.", instead=[] if sheet.exit is None else [sheet.exit.name]
        )
    over = market(sheet.offers, price, way_out=sheet.exit, resolve=contents_with(load_catalog().kind))
    words = "as you gave it" if spot is not None else f"from {file}"
    return planned(best_basket(over, wishes, patience=patience), words, patience)


def _tell(progress: Progress) -> None:
    """A line for each slice of a long search."""
    best = "nothing yet" if progress.value is None else plain(to_places(progress.value, 4))
    bound = "not known" if progress.bound is None else plain(to_places(progress.bound, 4))
    click.echo(f"{progress.seconds:.0f} s: best so far {best}, bound {bound}", err=True)


def _show(found: PlannedPurchase, more: Beside | None) -> None:
    say(sentence(found))
    plan = found.plan
    if plan.basket is not None:
        rows = [
            [
                reason.invoice.pick.source.name,
                reason.words,
                money(reason.amount),
                ounces(reason.ozt),
                reason.item.basis.value,
                reason_words(reason),
            ]
            for reason in found.reasons
        ]
        say()
        say(_reasons_last(["offer", "bought", "price", "fine ozt", "basis"], rows))
        bills = [
            [invoice.pick.source.name, way_said(invoice) or "-", money(invoice.landed.total), money(invoice.travel)]
            for invoice in plan.basket.invoices
        ]
        say()
        say(ledger(["offer", "paid", "to the seller", "miles"], bills, left=2))
    for one in found.ahead:
        say(f"A little more: {top_up_words(one)}.")
    for out in plan.left_out:
        say(f"Not looked at, {out.offer}: {out.why}")
    if more is not None:
        _show_beside(found, more)
    say(MIND)


def _reasons_last(heads: list[str], rows: list[list[str]]) -> str:
    """A ledger with the reason under each line's words, flush left at its end."""
    table = ledger(heads, [row[:-1] for row in rows], left=2).splitlines()
    return "\n".join([f"{table[0]}  why no more", f"{table[1]}  -----------", *(
        f"{line}  {row[-1]}" for line, row in zip(table[2:], rows, strict=True)
    )])  # fmt: skip


def _show_beside(found: PlannedPurchase, more: Beside) -> None:
    goal = found.plan.wishes.goal
    for place, plan in enumerate(more.runners_up, 2):
        if plan.basket is not None:
            names = " + ".join(invoice.pick.source.name for invoice in plan.basket.invoices)
            each = money(cost_per_ozt(plan.basket))
            say(f"{place}. best, {names}: {ounces_said(plan.basket)} for {money(plan.basket.spend)}, {each} an ounce.")
    for freed in more.limits:
        say(f"{freed_words(freed).capitalize()}: {gain_words(freed.gain, goal)}.")
    for one in more.missed:
        say(f"Without {one.offer}: {missed_words(one, goal)}.")


def as_record(found: PlannedPurchase, more: Beside | None = None) -> dict[str, object]:
    """The plan with the unit and the ounce basis of every figure in its name."""
    plan, basket = found.plan, found.plan.basket
    record: dict[str, object] = {
        "sentence": sentence(found),
        "proof": plan.proof.value,
        "goal": plan.wishes.goal.value,
        "spot_usd_per_ozt": plan.market.spot,
        "spot_from": found.spot_words,
        "spend_usd": None if basket is None else basket.spend,
        "change_usd": plan.change,
        "fine_ozt": None if basket is None else ounces(basket.ozt),
        "bound": None if plan.bound is None else plain(to_places(plan.bound, 6)),
        "lines": [
            {
                "offer": reason.invoice.pick.source.name,
                "way": reason.invoice.landed.way.name,
                "bought": reason.words,
                "price_usd": reason.amount,
                "fine_ozt": ounces(reason.ozt),
                "basis": reason.item.basis.value,
                "why": reason_words(reason),
            }
            for reason in found.reasons
        ],
        "offers_usd": []
        if basket is None
        else [
            {"offer": one.pick.source.name, "to_seller": one.landed.total, "travel": one.travel}
            for one in basket.invoices
        ],
        "a_little_more": [top_up_words(one) for one in found.ahead],
        "clash": [] if found.clash is None else [wish.value for wish in found.clash.wishes],
        "nearest": [] if found.clash is None else [nearest_words(one) for one in found.clash.nearest],
        "not_looked_at": {one.offer: one.why for one in plan.left_out},
    }
    if more is not None:
        goal = plan.wishes.goal
        record["limits"] = {freed_words(one): gain_words(one.gain, goal) for one in more.limits}
        record["without"] = {one.offer: missed_words(one, goal) for one in more.missed}
    return record
