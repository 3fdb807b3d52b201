"""`ninefine sheets`, `sheet` and `sets`: the person's own collector prices, and the sets that they are held against."""

from pathlib import Path
from typing import Any

import click

from ninefine.cli.common import Day, booked, form_of, json_option, kit_of
from ninefine.cli.handed import columns_named, read_table
from ninefine.cli.show import ledger, money, say, say_json
from ninefine.desk import records
from ninefine.desk import sets as date_sets
from ninefine.desk import sheets as guide_sheets
from ninefine.desk.heaps import say_goods
from ninefine.desk.kit import Kit
from ninefine.desk.say_sorting import set_sentence
from ninefine.sorting.sets import SetBy

NONE_YET = 'No sheet has been set down yet. Try: ninefine sheet prices.csv --name "the spring show"'


@click.command("sheets", short_help="Your guide sheets, or what they say of a piece.")
@click.argument("what", required=False, default="")
@click.option("--at", "grade", metavar="GRADE", help="With WHAT: its grade, or a band of grades.")
@json_option
@click.pass_context
def sheets_command(ctx: click.Context, what: str, grade: str | None, *, as_json: bool) -> None:
    r"""List your guide sheets with their age; or say what they hold WHAT to be worth at a grade.

    \b
    Examples:
      ninefine sheets
      ninefine sheets "merc dime 1921-D" --at VG8
    """
    kit = kit_of(ctx)
    if what:
        _ask(kit, {"what": what, "grade": grade or ""}, as_json=as_json)
        return
    lines = guide_sheets.sheet_lines(kit)
    if as_json:
        say_json(
            {
                "sheets": [
                    {
                        "sheet": line.sheet.name,
                        "on": line.sheet.on,
                        "prices": len(line.sheet.rows),
                        "oldest_days": line.age,
                        "stale": line.stale,
                        "entry": line.serial,
                        "note": line.sheet.note,
                    }
                    for line in lines
                ]
            }
        )
        return
    if not lines:
        say(NONE_YET)
        return
    rows = [
        [
            line.sheet.name,
            line.sheet.on.isoformat(),
            f"{len(line.sheet.rows):,}",
            f"{line.age:,}",
            "stale" if line.stale else "",
        ]
        for line in lines
    ]
    say(ledger(["sheet", "of", "prices", "days old", ""], rows, left=2))
    for line in lines:
        if line.sheet.note:
            say(f"{line.sheet.name}: {line.sheet.note}")


def _ask(kit: Kit, form: dict[str, str], *, as_json: bool) -> None:
    """What the sheets say of one piece."""
    asked = guide_sheets.ask(kit, form)
    price = asked.price
    if as_json:
        say_json(
            {
                "kind": price.kind,
                "issue": price.issue,
                "grade": str(price.band),
                "low_usd": price.worth.low,
                "mid_usd": price.worth.mid,
                "high_usd": price.worth.high,
                "sheet": price.curve.sheet,
                "on": price.curve.on,
                "days_old": price.age,
                "stale": price.stale,
                "cautions": list(price.cautions),
            }
        )
        return
    goods = say_goods(asked.named.kind.slug, asked.named.issue.replace(":", ", "), kit.catalog())
    say(
        f"A sound {goods} in {price.band} is worth {money(price.worth.low)} to {money(price.worth.high)}, in the "
        f"middle {money(price.worth.mid)}, by {price.curve.sheet} of {price.curve.on}."
    )
    for words in (*price.worked, *price.cautions, *((price.curve.note,) if price.curve.note else ())):
        say(words)


@click.command("sheet", short_help="Set a guide sheet down from a table of prices.")
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--name", metavar="NAME", required=True, help="What you call the sheet; one of that name is replaced.")
@click.option("--on", metavar="DATE", help="The day of its prices; today if left out.")
@click.option("--source", metavar="WORDS", help="Whose prices they are.")
@click.option("--kind", metavar="KIND", help="The kind of lines that name none.")
@click.option("--columns", multiple=True, metavar="HEADING=NAME", help="What a column is; `-` leaves it out.")
@click.option("--note", metavar="WORDS", help="To be shown beside every price.")
@click.option("--entered", type=Day(), help="The day on which it is set down; today if left out.")
@click.option("--show", is_flag=True, help="Show how it is read; set nothing down.")
@click.option("--strike", is_flag=True, help="Strike the sheet of this NAME off instead; FILE is `-`.")
@json_option
@click.pass_context
def sheet_command(ctx: click.Context, /, file: Path, columns: tuple[str, ...], **options: Any) -> None:
    r"""Set the prices in FILE down as a guide sheet: a CSV in UTF-8, or a workbook's first sheet.

    One price to a line (kind, issue or year and mint, grade, low, high), or one issue to a line and a column for each
    grade. All of it is read, or, where anything is at fault, every fault is told with its line and nothing is kept.

    \b
    Examples:
      ninefine sheet prices.csv --name "the spring show" --on 2026-06-01 --show
      ninefine sheet list.xlsx --name "a friend's list" --columns "Yr=year" --columns "Remarks=-"
    """
    as_json, show, strike, entered = (options.pop(name) for name in ("as_json", "show", "strike", "entered"))
    kit = kit_of(ctx)
    if strike:
        booked(kit, records.set_down(kit, guide_sheets.TABLE, options["name"], None, on=entered), as_json=as_json)
        return
    form = form_of(options) | {"table": read_table(file), **columns_named(columns)}
    if not show:
        booked(kit, guide_sheets.put_sheet(kit, form, on=entered), as_json=as_json)
        return
    read = guide_sheets.read_sheet_form(kit, form)
    if as_json:
        say_json({"nothing_was_written": True, **read.as_dict()})
        return
    rows = [
        [say_goods(row.kind, row.issue, kit.catalog()), str(row.grade), money(row.low), money(row.high)]
        for row in read.rows
    ]
    say(ledger(["piece", "grade", "low", "high"], rows, left=2))
    say(f"{len(read.rows):,} prices of {read.on} as {read.name}. Nothing was written.")


@click.command("sets", short_help="What a date set lacks, and what may go back.")
@click.argument("what", required=False, default="")
@click.option("--by", type=click.Choice([str(by) for by in SetBy]), help="One of each; year and mint if left out.")
@click.option("--from", "first", metavar="YEAR", help="Its oldest date; all that were struck if left out.")
@click.option("--to", "last", metavar="YEAR", help="Its latest.")
@click.option("--at", "grade", metavar="GRADE", help="The grade at which gaps are priced; F12 if left out.")
@click.option("--proofs", is_flag=True, help="Dates struck as proofs alone have a place too.")
@click.option("--keep", "name", metavar="NAME", help="Keep the set under this name.")
@click.option("--strike", metavar="NAME", help="Keep the set of this name no longer.")
@json_option
@click.pass_context
def sets_command(ctx: click.Context, /, what: str, **options: Any) -> None:
    r"""Say what a set of WHAT lacks, cheapest gaps first; WHAT is a kind, a denomination, or the name of a kept set.

    Without WHAT, the kept sets. A set is filled from what is held and told apart, the best piece for each place.

    \b
    Examples:
      ninefine sets "mercury dime" --at G4
      ninefine sets "mercury dime" --keep "the blue album"
      ninefine sets "the blue album"
    """
    as_json, strike = options.pop("as_json"), options.pop("strike")
    proofs = "yes" if options.pop("proofs") else ""
    kit = kit_of(ctx)
    if strike:
        booked(kit, records.set_down(kit, date_sets.TABLE, strike, None), as_json=as_json)
        return
    if not what:
        _say_sets(kit, as_json=as_json)
        return
    if what in kit.holdings().tables.get(date_sets.TABLE, {}):
        asked = date_sets.set_named(kit, what)
    else:
        form = form_of(options | {"what": what, "proofs": proofs})
        if options["name"]:
            booked(kit, date_sets.put_set(kit, form), as_json=as_json)
            return
        asked = date_sets.read_set(kit, form)
    seen = date_sets.view(kit, asked)
    if as_json:
        say_json(_record(seen))
        return
    say(set_sentence(seen, kit.journal.currency))
    rows = [
        [
            say_goods(lack.want.kind, lack.want.label, kit.catalog()),
            lack.issue.rank or "-",
            f"{lack.issue.mintage:,}" if lack.issue.mintage is not None else "-",
            money(lack.price),
        ]
        for lack in seen.state.lacks
    ]
    if rows:
        say()
        say(ledger(["lacking", "sought as", "struck", "by your sheets"], rows, left=2))
    if seen.state.back:
        say()
    for piece in seen.state.back:
        say(f"May go back: {piece.count} of {piece.ref}.")


def _say_sets(kit: Kit, *, as_json: bool) -> None:
    """The kept sets."""
    seen = [date_sets.view(kit, asked) for asked in date_sets.sets(kit)]
    if as_json:
        say_json({"sets": [_record(one) for one in seen]})
        return
    if not seen:
        say('No set is kept yet. Try: ninefine sets "mercury dime" --keep "the blue album"')
        return
    rows = [
        [
            one.asked.name,
            str(len(one.wants)),
            str(len(one.state.kept)),
            str(len(one.state.lacks)),
            money(one.state.cost),
        ]
        for one in seen
    ]
    say(ledger(["set", "places", "filled", "lacking", "gaps with a price"], rows))


def _record(seen: date_sets.SetView) -> dict[str, object]:
    state = seen.state
    return {
        "set": seen.asked.name,
        "of": seen.asked.what,
        "places": len(seen.wants),
        "kept": [{"place": one.want.label, "kind": one.want.kind, "piece": one.piece.ref} for one in state.kept],
        "lacking": [
            {"place": one.want.label, "kind": one.want.kind, "sheet_mid_usd": one.price} for one in state.lacks
        ],
        "gaps_priced_usd": state.cost,
        "gaps_without_price": state.unpriced,
        "may_go_back": [{"piece": one.ref, "count": one.count} for one in state.back],
    }
