"""`ninefine plan sell`: which pieces to sell by which ways out; shown, and booked only when asked."""

from typing import Any

import click

from ninefine.cli.common import booked, booked_all, form_of, json_option, kit_of
from ninefine.cli.show import ledger, money, ounces, say, say_json
from ninefine.desk.heaps import say_goods
from ninefine.desk.kit import Kit
from ninefine.desk.plan_say import NOT_ADVICE, left_by_kind, paid_words, part_ounces, part_tax, reason, selling_sentence
from ninefine.desk.plan_selling import SellingPlan, book_sales, plan_selling, sale_form
from ninefine.desk.plan_typed import GOALS
from ninefine.errors import UnreadableError
from ninefine.measure.numbers import read_reference, to_places
from ninefine.plan.selling import Outcome, Trip


@click.command("sell", short_help="Which pieces to sell, by which ways out, for a sum or an amount.")
@click.argument("sum", required=False, metavar="[SUM]")
@click.option("--amount", metavar="AMOUNT", help="Sell exactly so much instead: `400 face`, `60 ozt`, `40 pieces`.")
@click.option("--goal", type=click.Choice(tuple(GOALS)), help="What the plan makes best.")
@click.option("--by", metavar="DAY", help="The money must be there by then: a date, a weekday, or `10 days`.")
@click.option("--after-tax", is_flag=True, help="The sum is needed after tax.")
@click.option("--kind", metavar="KIND", help="Only this kind: `90%` is all small coin of 90%.")
@click.option("--keep", metavar="NAMES", help="Lots, heaps or kinds to leave alone, parted by commas.")
@click.option("--lift-marks", is_flag=True, help="What is set apart may go too.")
@click.option("--long-only", is_flag=True, help="Only what is held for long.")
@click.option("--ways", metavar="NAMES", help="Only these ways out, parted by commas.")
@click.option("--most-trips", metavar="NUMBER", help="Use no more ways out than this.")
@click.option("--short-rate", metavar="PERCENT", help="Your tax rate on short-term gains; else the one settled.")
@click.option("--long-rate", metavar="PERCENT", help="Your tax rate on long-term gains; else the one settled.")
@click.option("--loss-limit", metavar="SUM", help="How much of a year's loss counts against other income.")
@click.option("--bother", metavar="SUM", help="What each line counts as costing, so that none is there for pennies.")
@click.option("--alone", is_flag=True, help="Leave out the year's gains so far.")
@click.option("--spot", metavar="PRICE", help="Spot that bids are struck on; else the book's price.")
@click.option("--book-it", metavar="WHICH", help="Book the plan's sale of this number, or all; the plan is made anew.")
@json_option
@click.pass_context
def plan_sell_command(ctx: click.Context, /, **options: Any) -> None:
    r"""Plan a sale: whole pieces, chosen lot by lot and way out by way out, proven best to the cent.

    Nothing is booked unless --book-it says which of the plan's sales, or all. Tax is reckoned at the rates you type:
    it is not advice; ask a licensed preparer.

    \b
    Examples:
      ninefine plan sell 5000 --by friday
      ninefine plan sell --amount "400 face" --goal most-kept --short-rate 32 --long-rate 28
      ninefine plan sell 2500 --after-tax --keep "L1, us-dollar-morgan" --most-trips 1
    """
    as_json, number = options.pop("as_json"), options.pop("book_it")
    flags = {"after_tax": "yes", "long_only": "yes", "lift_marks": "no", "alone": "no"}
    names = {"lift_marks": "marks", "alone": "so_far"}
    form = {names.get(flag, flag): word for flag, word in flags.items() if options.pop(flag)}
    kit = kit_of(ctx)
    plan = plan_selling(kit, form | form_of(options))
    if number is not None:
        _book(kit, plan, number, as_json=as_json)
    elif as_json:
        say_json(_record(plan))
    else:
        _show(kit, plan)


def _book(kit: Kit, plan: SellingPlan, number: str, *, as_json: bool) -> None:
    trips = plan.outcome.trips if plan.outcome is not None else ()
    forms = [sale_form(plan.problem, trip) for trip in trips]
    if number == "all" and forms:
        booked_all(kit, book_sales(kit, forms), as_json=as_json)
        return
    sale = read_reference(number) or 0
    if not 1 <= sale <= len(forms):
        many = "1 sale" if len(forms) == 1 else f"{len(forms)} sales"
        raise UnreadableError(f"The plan has {many}, and {number!r} is none of them.", instead=("1", "all"))
    booked(kit, book_sales(kit, [forms[sale - 1]])[0], as_json=as_json)


def _show(kit: Kit, plan: SellingPlan) -> None:
    say(selling_sentence(plan))
    outcome = plan.outcome
    for at, trip in enumerate(outcome.trips if outcome is not None else (), 1):
        days = f", {paid_words(trip.way)}" if paid_words(trip.way) else ""
        say()
        say(f"Sale {at}: to {trip.way.name}{days}; {money(trip.gross)} less {money(trip.fees)}.")
        say(_parts(kit, plan, trip))
        for part in trip.parts:
            say(f"  {part.stock.lot.name}: {reason(plan.problem, part)}.")
    if outcome is not None:
        say()
        say(_beside(plan, outcome))
        stays = "; ".join(f"{much} of {name}" for name, much, _ in left_by_kind(plan))
        say(f"Stays: {stays or 'nothing of what may be sold'}.")
    if plan.problem.held_back:
        limits = ", ".join(dict.fromkeys(one.limit for one in plan.problem.held_back))
        say(f"Left alone: {len(plan.problem.held_back)} heaps ({limits}).")
    for line in plan.cautions:
        say(line)
    say(NOT_ADVICE)


def _parts(kit: Kit, plan: SellingPlan, trip: Trip) -> str:
    rows = [
        [
            part.stock.lot.name,
            say_goods(part.stock.heap.kind, part.stock.heap.issue, kit.catalog()),
            str(part.steps) if part.stock.step is not None else "all",
            ounces(part_ounces(part)),
            money(part.proceeds),
            money(part.fees),
            money(part.basis) if part.stock.lot.cost_known else "not known",
            money(part.gain),
            part.term.value,
            money(part_tax(plan.problem, part)),
        ]
        for part in trip.parts
    ]
    heads = ["lot", "goods", "much", "ozt trade", "proceeds", "fees", "basis", "gain", "term", "tax"]
    return ledger(heads, rows, left=2)


def _beside(plan: SellingPlan, outcome: Outcome) -> str:
    rows = [_compared("this plan", outcome)]
    rows += [
        _compared(one.words, one.outcome) if one.outcome is not None else [one.words, "-", "-", "-", "-"]
        for one in plan.beside
    ]
    return ledger(["plan", "in hand", "tax", "kept", "ozt trade"], rows)


def _compared(words: str, done: Outcome) -> list[str]:
    return [words, money(done.net), money(done.tax), money(done.kept), ounces(to_places(done.ozt, 4))]


def _record(plan: SellingPlan) -> dict[str, object]:
    done, clash = plan.outcome, plan.clash
    return {
        "sentence": selling_sentence(plan),
        "proven": plan.proven,
        "in_hand_usd": None if done is None else done.net,
        "tax_usd": None if done is None else done.tax,
        "kept_usd": None if done is None else done.kept,
        "clashing_limits": [] if clash is None else list(clash.limits),
        "nearest_usd": None if clash is None or clash.nearest is None else clash.nearest.net,
        "in_days": None if clash is None else clash.in_days,
        "sales": [
            {
                "exit": trip.way.name,
                "gross_usd": trip.gross,
                "fees_usd": trip.fees,
                "lines": [
                    {
                        "heap": part.stock.name,
                        "steps": part.steps,
                        "ozt_trade": part_ounces(part),
                        "proceeds_usd": part.proceeds,
                        "fees_usd": part.fees,
                        "basis_usd": part.basis if part.stock.lot.cost_known else None,
                        "gain_usd": part.gain,
                        "term": part.term.value,
                    }
                    for part in trip.parts
                ],
            }
            for trip in (done.trips if done is not None else ())
        ],
        "cautions": list(plan.cautions),
    }
