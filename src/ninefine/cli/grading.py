"""`ninefine collector`, `grader` and `grading`: ways out for single pieces, and whether grading one pays."""

from typing import Any

import click

from ninefine.cli.common import ON_HELP, Day, booked, form_of, json_option, kit_of
from ninefine.cli.show import ledger, money, percent, say, say_json
from ninefine.desk import records
from ninefine.desk.collectors import COLLECTOR, GRADER, put_collector, put_grader
from ninefine.desk.grading import Graded
from ninefine.desk.grading import grading as work_out
from ninefine.desk.say_sorting import details_sentence, even_words, grading_sentence
from ninefine.worth.span import End


@click.command("collector", short_help="Set down a way out to collectors, piece by piece.")
@click.argument("name")
@click.option("--of-sheet", "pct_of_sheet", metavar="PER_CENT", help="Of the sheet's price; 100 if left out.")
@click.option("--fee", "fee_pct", metavar="PER_CENT", help="Of what a piece brings.")
@click.option("--each", "fee", metavar="SUM", help="A further fee for each piece.")
@click.option("--postage", metavar="SUM", help="Of each piece.")
@click.option("--costs", metavar="SUM", help="Other costs of each piece.")
@click.option("--minutes", metavar="NUMBER", help="Of your own time for each piece.")
@click.option("--least", metavar="SUM", help="It takes no piece that brings less.")
@click.option("--days", metavar="NUMBER", help="Until paid.")
@click.option("--on", type=Day(), help=ON_HELP)
@click.option("--note", metavar="WORDS", help="A remark.")
@click.option("--strike", is_flag=True, help="Strike it off instead.")
@json_option
@click.pass_context
def collector_command(ctx: click.Context, /, name: str, **options: Any) -> None:
    r"""Set down the way out NAME for single pieces: what part of a sheet's price it brings, and all that it takes off.

    \b
    Examples:
      ninefine collector "the club table" --of-sheet 80 --minutes 5
      ninefine collector "the online sale" --fee 13 --each 0.40 --postage 5 --minutes 15 --least 15
    """
    as_json, strike, on = options.pop("as_json"), options.pop("strike"), options.pop("on")
    kit = kit_of(ctx)
    if strike:
        stored = records.set_down(kit, COLLECTOR, name, None, on=on)
    else:
        stored = put_collector(kit, form_of(options) | {"name": name}, on=on)
    booked(kit, stored, as_json=as_json)


@click.command("grader", short_help="Set down a grader's table of fees.")
@click.argument("name")
@click.option("--tier", "tiers", multiple=True, metavar="LIMIT:FEE", help="Fee up to a declared value: 300:22, any:90.")
@click.option("--per-piece", metavar="SUM", help="Any other charge for each piece.")
@click.option("--parcel", metavar="SUM", help="Postage and handling of a parcel, there and back.")
@click.option("--insurance", "insurance_pct", metavar="PER_CENT", help="Of the declared value, there and back.")
@click.option("--membership", metavar="SUM", help="A year.")
@click.option("--pieces-a-year", metavar="NUMBER", help="Pieces that share the membership.")
@click.option("--minutes", metavar="NUMBER", help="Of your own time for each piece.")
@click.option("--source", metavar="WORDS", help="Where you read the fees.")
@click.option("--read-on", metavar="DATE", help="The day on which you did.")
@click.option("--on", type=Day(), help=ON_HELP)
@click.option("--strike", is_flag=True, help="Strike it off instead.")
@json_option
@click.pass_context
def grader_command(ctx: click.Context, /, name: str, tiers: tuple[str, ...], **options: Any) -> None:
    r"""Set down the fees of the grader NAME, as you read them. Fees change: keep the day with them.

    \b
    Example:
      ninefine grader "the table of fees" --tier 300:22 --tier 1500:40 --tier any:90 --parcel 36 --insurance 1
    """
    as_json, strike, on = options.pop("as_json"), options.pop("strike"), options.pop("on")
    kit = kit_of(ctx)
    if strike:
        stored = records.set_down(kit, GRADER, name, None, on=on)
    else:
        stored = put_grader(kit, form_of(options) | {"name": name, "tiers": "\n".join(tiers)}, on=on)
    booked(kit, stored, as_json=as_json)


@click.command("grading", short_help="Whether having a piece graded by a third party pays.")
@click.argument("piece")
@click.option(
    "--as", "outcomes", multiple=True, metavar="GRADE:CHANCE", help="What may come back; chances sum to 100%."
)
@click.option("--raw", metavar="GRADE", help="Its grade as it would be sold ungraded; as laid aside if left out.")
@click.option("--declared", metavar="SUM", help="The value declared for it.")
@click.option("--pieces", metavar="NUMBER", help="How many share the parcel; one if left out.")
@click.option("--fees", metavar="NAME", help="The grader's table of fees; the first if left out.")
@click.option("--raw-exit", metavar="NAME", help="Sold ungraded by this way out; the first if left out.")
@click.option("--graded-exit", metavar="NAME", help="Sold in its holder by this one; the first if left out.")
@click.option("--end", type=click.Choice([str(end) for end in End]), help="Which end of the sheet's prices.")
@json_option
@click.pass_context
def grading_command(ctx: click.Context, /, piece: str, outcomes: tuple[str, ...], **options: Any) -> None:
    r"""Work out what grading PIECE gains on average; PIECE is the label of one laid aside, or a kind with its date.

    Outcomes with details count: they are the usual loser. A price of your own may follow a chance: "MS62: 20%, 900".

    \b
    Example:
      ninefine grading "quarter 1932-D" --raw MS60 --as MS61:50% --as MS62:20% --as "MS60 details:30%" --declared 1100
    """
    as_json = options.pop("as_json")
    kit = kit_of(ctx)
    laid = piece in kit.holdings().tables.get("piece", {})
    form = form_of(options) | {"piece" if laid else "what": piece, "outcomes": "\n".join(outcomes)}
    found = work_out(kit, form)
    if as_json:
        say_json(_record(found))
        return
    answer = found.answer
    say(grading_sentence(kit, found))
    say(details_sentence(found))
    rows = [
        [
            str(one.outcome.band),
            percent(one.outcome.chance, 1),
            money(one.price),
            money(one.net),
            even_words(one.break_even),
        ]
        for one in answer.outcomes
    ]
    say()
    say(ledger(["comes back as", "chance", "by the sheet", "nets", "breaks even"], rows))
    say()
    lines = [["on average it nets", money(answer.expected)]]
    lines += [[line.words, money(-line.amount)] for line in answer.costs]
    lines += [["what it nets ungraded", money(-answer.raw)], ["gain on average", money(answer.gain)]]
    say(ledger(["line", "USD" if kit.journal.currency == "USD" else kit.journal.currency], lines))
    for words in answer.cautions:
        say(words)


def _record(found: Graded) -> dict[str, object]:
    answer = found.answer
    even = answer.details_break_even
    return {
        "kind": found.case.kind,
        "issue": found.case.issue,
        "raw_net_usd": answer.raw,
        "expected_net_usd": answer.expected,
        "cost_usd": answer.cost,
        "gain_usd": answer.gain,
        "pays": answer.pays,
        "details_chance": answer.details,
        "details_break_even": None if even is None else even.chance,
        "outcomes": [
            {
                "band": str(one.outcome.band),
                "chance": one.outcome.chance,
                "sheet_usd": one.price,
                "net_usd": one.net,
                "break_even": None if one.break_even is None else one.break_even.chance,
            }
            for one in answer.outcomes
        ],
        "cautions": list(answer.cautions),
    }
