"""`ninefine plan whatif` and `ninefine plan steady`: paths of spot, and a steady sum in the past. Nothing is booked."""

from typing import Any

import click

from ninefine.cli.common import form_of, json_option, kit_of
from ninefine.cli.show import ledger, money, ounces, say, say_json
from ninefine.desk.plan_whatif import Steady, WhatIf, plan_steady, plan_whatif
from ninefine.desk.plan_whatif_say import NOT_A_FORECAST, best_words, cover_words, steady_sentence, whatif_sentence
from ninefine.measure.numbers import to_places


@click.command("whatif", short_help="What the stack would bring as spot moves, on paths of your own or of the past.")
@click.option("--path", metavar="SPOTS", help="A path of your own: a spot for each month from now on, `66, 60, 55`.")
@click.option("--shock", metavar="PERCENT", help="One move at once: -20, 15%.")
@click.option("--months", metavar="NUMBER", help="Months ahead that paths are drawn for; 24 if left out.")
@click.option("--paths", metavar="NUMBER", help="How many paths are drawn; 1000 if left out.")
@click.option("--block", metavar="NUMBER", help="Months that stay together as they were; 12 if left out.")
@click.option("--seed", metavar="NUMBER", help="The seed; the same one draws the same paths; 1 if left out.")
@click.option("--first-year", metavar="YEAR", help="Draw from no earlier year; 1960 is the first.")
@click.option("--last-year", metavar="YEAR", help="Draw from no later year.")
@click.option("--spot", metavar="PRICE", help="Spot to begin from; else the book's price.")
@json_option
@click.pass_context
def plan_whatif_command(ctx: click.Context, /, **options: Any) -> None:
    r"""Say what each way out would pay as spot moves, where the best one changes, and what insurance leaves uncovered.

    Drawn paths string together months of the packaged history anew. They are intervals, never a forecast.

    \b
    Examples:
      ninefine plan whatif --shock -20
      ninefine plan whatif --months 36 --first-year 1975 --seed 7
      ninefine plan whatif --path "66, 60, 55, 80"
    """
    as_json = options.pop("as_json")
    found = plan_whatif(kit_of(ctx), form_of(options))
    if as_json:
        say_json(_record(found))
        return
    say(whatif_sentence(found))
    say()
    say(ledger(["month", *_heads(found)], _months(found)))
    say()
    heads = ["way out", "today", *_heads(found), "even at"]
    say(ledger(heads, [[row.name, money(row.now), *map(money, row.ends), money(row.even)] for row in found.rows]))
    say()
    say(best_words(found.best))
    say(cover_words(found))
    say(f"{found.fan.words[0].upper()}{found.fan.words[1:]}. {NOT_A_FORECAST}")


def _heads(found: WhatIf) -> list[str]:
    return ["spot"] if found.fan.paths == 1 else [f"{cut}%" for cut in found.fan.cuts]


def _months(found: WhatIf) -> list[list[str]]:
    """About a dozen months of a fan, the first and the last among them."""
    step = max(1, found.fan.months // 12)
    months = [*range(0, found.fan.months, step), found.fan.months]
    if found.fan.at_once:
        return [[words, *map(money, row)] for words, row in zip(("now", "at once"), found.fan.rows, strict=True)]
    return [[str(month), *map(money, found.fan.rows[month])] for month in months]


def _record(found: WhatIf) -> dict[str, object]:
    cover = found.covered
    return {
        "sentence": whatif_sentence(found),
        "paths": found.fan.words,
        "spot_usd_per_ozt": found.spot,
        "cuts_percent": list(found.fan.cuts),
        "months_usd_per_ozt": [list(row) for row in found.fan.rows],
        "exits": [
            {"name": row.name, "today_usd": row.now, "end_usd": list(row.ends), "break_even_usd_per_ozt": row.even}
            for row in found.rows
        ],
        "best": [{"exit": one.way, "from_usd_per_ozt": one.first} for one in found.best],
        "cover": None
        if cover is None
        else {
            "limit_usd": cover.limit,
            "replacement_usd": cover.replacement,
            "opens_at_usd_per_ozt": cover.opens_at,
        },
    }


@click.command("steady", short_help="What a steady sum each month would have bought, against a lump sum.")
@click.argument("monthly", metavar="SUM")
@click.option("--kind", metavar="KIND", help="What is bought; one-ounce rounds if left out.")
@click.option("--ask", metavar="QUOTE", help="What is asked over spot: `spot+3`, `4% over`; spot itself if left out.")
@click.option("--since", metavar="MONTH", help="The first month, as 2011-04; ten years back if left out.")
@click.option("--until", metavar="MONTH", help="The last month; the table's last if left out.")
@json_option
@click.pass_context
def plan_steady_command(ctx: click.Context, /, **options: Any) -> None:
    r"""Say what a steady sum each month would have bought in the past: whole pieces, change carried on.

    Prices are monthly averages. What has been says nothing of what will be.

    \b
    Examples:
      ninefine plan steady 500 --ask spot+3
      ninefine plan steady 300 --kind 90% --ask "4% over" --since 2011-04 --until 2020-03
    """
    as_json = options.pop("as_json")
    kit = kit_of(ctx)
    found = plan_steady(kit, form_of(options))
    if as_json:
        say_json(_steady_record(found))
        return
    say(steady_sentence(found, kit.journal.currency))
    say()
    rows = [
        [
            words,
            str(run.units),
            ounces(run.ozt),
            money(run.spent),
            money(run.per_ozt),
            money(run.change),
            money(run.worth),
        ]
        for words, run in (("month by month", found.beside.steady), ("all at once", found.beside.lump))
    ]
    say(ledger(["way", "units", "ozt trade", "spent", "an ounce", "left over", "melt at the end"], rows))
    say(f"Prices are averages of months, which nobody could buy at. {NOT_A_FORECAST}")


def _steady_record(found: Steady) -> dict[str, object]:
    windows = found.windows
    return {
        "sentence": steady_sentence(found),
        "months": len(found.window),
        **{
            name: {
                "units": run.units,
                "ozt_trade": run.ozt,
                "spent_usd": run.spent,
                "usd_per_ozt": None if run.per_ozt is None else to_places(run.per_ozt, 6),
                "left_over_usd": run.change,
                "melt_at_end_usd": run.worth,
            }
            for name, run in (("steady", found.beside.steady), ("lump", found.beside.lump))
        },
        "windows": windows.count,
        "windows_steady_ahead": windows.steady_ahead,
        "ozt_for_each_of_lump": list(windows.ahead),
    }
