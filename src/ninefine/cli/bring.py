"""`ninefine bring`: a person's own list of purchases, holdings or sales, looked at and booked whole."""

from pathlib import Path
from typing import Any

import click

from ninefine.book.entries import Listed
from ninefine.cli.common import form_of, json_option, kit_of
from ninefine.cli.handed import columns_named
from ninefine.cli.show import say, say_json
from ninefine.desk.bring import Look, bring, look_at
from ninefine.errors import Faults, NotFoundError, UnreadableError
from ninefine.intake.heads import words_of

#: So many lines of a list are shown before it is booked.
SHOWN = 20


@click.command("bring", short_help="Bring your own list of purchases, holdings or sales in.")
@click.argument("file", type=click.Path(path_type=Path))
@click.option(
    "--as",
    "purpose",
    type=click.Choice(["purchases", "holdings", "sales", "dealings"]),
    required=True,
    help="What the list is of; dealings are purchases and sales mixed, told apart by a column.",
)
@click.option("--columns", multiple=True, metavar="HEADING=NAME", help="What a column is; `-` leaves it out.")
@click.option("--word", "words", multiple=True, metavar="WORDS=KIND", help="What your words for a coin mean here.")
@click.option("--days", metavar="ORDER", help="How days stand: year-month-day, day-month-year or month-day-year.")
@click.option("--decimals", metavar="MARK", help="What parts decimals: point or comma.")
@click.option("--repeat", is_flag=True, help="An empty day, seller or receipt is the one above it.")
@click.option("--sheet", metavar="NAME", help="Which sheet of a workbook; the first that holds anything if left out.")
@click.option("--head", type=click.IntRange(min=1), metavar="LINE", help="The number of the line of headings.")
@click.option("--on", metavar="DATE", help="The day from which holdings count; today if left out.")
@click.option("--rule", metavar="RULE", help="Which lots go first in sales that name none; the book's own if left out.")
@click.option("--show", is_flag=True, help="Show how it is read; book nothing.")
@click.option("--again", is_flag=True, help="Bring it in though it was brought in before.")
@json_option
@click.pass_context
def bring_command(ctx: click.Context, /, file: Path, **options: Any) -> None:
    r"""Bring the list in FILE into the book: CSV or text in UTF-8, UTF-16 or Windows-1252, or a workbook.

    Columns are known by their headings; what is not known is asked, never guessed. How days and decimals are written is
    told over the whole list. All of it is booked, or, where anything is at fault, every fault is told with its line
    and nothing is. What you say of columns and words is kept for the next list with such headings.

    \b
    Examples:
      ninefine bring silver.xlsx --as purchases --show
      ninefine bring silver.xlsx --as purchases --columns "Price=each" --word "junk=90%" --days month-day-year
      ninefine bring shelf.csv --as holdings --on 2024-01-01
    """
    as_json, show = options.pop("as_json"), options.pop("show")
    form = columns_named(options.pop("columns")) | _words(options.pop("words"))
    form |= {name: "yes" for name in ("repeat", "again") if options.pop(name)}
    form |= {"as": options.pop("purpose")} | form_of(options)
    try:
        data = file.read_bytes()
    except OSError as error:
        raise NotFoundError(f"{str(file)!r} cannot be read: {(error.strerror or str(error)).lower()}.") from error
    kit = kit_of(ctx)
    if show:
        _show(look_at(kit, form, file.name, data), as_json=as_json)
        return
    stored = bring(kit, form, file.name, data)
    facts = [one for one in stored if not isinstance(one.entry, Listed)]
    if as_json:
        say_json({"entries": [one.serial for one in facts], "digest": stored[-1].digest.hex()})
        return
    first, last = facts[0].serial, facts[-1].serial
    which = f"entry {first}" if first == last else f"entries {first} to {last}"
    say(f"Brought {file.name} in: {which}. What was said of its columns is kept.")


def _words(pairs: tuple[str, ...]) -> dict[str, str]:
    """`WORDS=KIND` arguments as a form's numbered fields."""
    form: dict[str, str] = {}
    for number, pair in enumerate(pairs, 1):
        said, found, meant = pair.partition("=")
        if not found:
            raise UnreadableError(
                f"{pair!r} has no '=' in it.", instead=("junk=90%", "walkers=us-half-walking-liberty")
            )
        form |= {f"word-{number}": said.strip(), f"means-{number}": meant.strip()}
    return form


def _show(seen: Look, *, as_json: bool) -> None:
    if as_json:
        say_json(_record(seen))
        return
    say(f"{seen.table.name} is read as {seen.table.how}; days as {seen.sheet.days}, decimals after a "
        f"{seen.sheet.decimals}.")  # fmt: skip
    for heading in seen.headings:
        say(f"  {words_of(heading)}: {seen.meant(heading)}")
    if seen.turned:
        say(f"Every figure below zero, read without its sign: {', '.join(seen.turned)}.")
    if seen.remembered:
        say("What you said before of a list with such headings was used.")
    say()
    for line in seen.lines[:SHOWN]:
        say(f"line {line.line}: {line.sentence}")
    if len(seen.lines) > SHOWN:
        say(f"and {len(seen.lines) - SHOWN} more.")
    _mind(seen)
    if seen.faults:
        raise Faults(seen.faults, source=seen.table.name)
    count = len(seen.lines)
    say(f"{count:,} {'line' if count == 1 else 'lines'} would be booked. Nothing is written yet.")


def _mind(seen: Look) -> None:
    """What was passed over, and what wants a second look."""
    for passed in seen.passed_over:
        say(f"line {passed.line} is passed over: {passed.why}.")
    for doubt in seen.doubts[:SHOWN]:
        say(f"Mind line {doubt.line}: {doubt.sentence}")
    if seen.before is not None:
        say(f"This list was brought in already: entry {seen.before} says so.")


def _record(seen: Look) -> dict[str, object]:
    return {
        "read_as": seen.table.how,
        "days": seen.sheet.days.value,
        "decimals": seen.sheet.decimals.value,
        "columns": [{"heading": words_of(each), "name": each.name} for each in seen.headings],
        "lines": [{"line": line.line, "sentence": line.sentence} for line in seen.lines],
        "passed_over": [{"line": each.line, "why": each.why} for each in seen.passed_over],
        "doubts": [{"line": each.line, "sentence": each.sentence} for each in seen.doubts],
        "faults": [{"where": each.where, "wrong": each.wrong} for each in seen.faults],
        "brought_in_before": seen.before,
        "ready": seen.ready,
    }
