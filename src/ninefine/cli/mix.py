"""`ninefine tally`, `mix`, `search` and `searched`: a heap told apart from a table, and what its dates say and pay."""

from decimal import Decimal
from functools import partial
from pathlib import Path
from typing import Any

import click

from ninefine.cli.common import ON_HELP, Day, booked, form_of, json_option, kit_of, say_and_book
from ninefine.cli.handed import read_table
from ninefine.cli.show import ledger, money, percent, say, say_json
from ninefine.desk import mix as mixes
from ninefine.desk import searched as after_search
from ninefine.desk import sorting
from ninefine.desk.assumptions import keep_survival
from ninefine.desk.paste import keep_paste, read_paste
from ninefine.desk.say_sorting import after_sentence, before_sentence
from ninefine.desk.searching import Before, before
from ninefine.errors import BookError
from ninefine.measure.numbers import to_places
from ninefine.sorting.chances import say_chance
from ninefine.sorting.reading import Look
from ninefine.sorting.signs import Sign

SURVIVAL = (
    click.option("--loss", metavar="PER_CENT", help="Lost each year of the pieces left; 0 is flat survival."),
    click.option("--until", metavar="YEAR", help="The year to which the loss runs; 1964 if left out."),
    click.option("--melt", "melts", multiple=True, metavar="YEAR:PER_CENT", help="A melt and what it took: 1980:20%."),
)


def _survival(command: Any) -> Any:
    for option in reversed(SURVIVAL):
        command = option(command)
    return command


@click.command("tally", short_help="Book a heap as told apart by date, from a table of counts.")
@click.argument("heap")
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--of", "what", metavar="WHAT", help="The denomination of lines that name none: dime, quarter, half.")
@click.option("--columns", multiple=True, metavar="HEADING=NAME", help="What a column is, where its heading hides it.")
@click.option("--on", type=Day(), help=ON_HELP)
@click.option("--note", metavar="WORDS", help="A remark.")
@json_option
@click.pass_context
def tally_command(ctx: click.Context, /, heap: str, file: Path, columns: tuple[str, ...], **options: Any) -> None:
    r"""Book HEAP as told apart by year and mint, by a table of counts in FILE (CSV, or a workbook's first sheet).

    What the table does not tell stays in the heap. All of it is read, or, where a line is at fault, nothing is booked.

    \b
    Example:
      ninefine tally L1/us-dime-90 examples/quarry_dimes.csv --of dime
    """
    kit = kit_of(ctx)
    form = {
        "table": read_table(file),
        "what": options["what"] or "",
        "columns": "\n".join(columns),
        "slip": file.name,
    }
    read_paste(kit, form)
    number = sorting.begin(kit, heap)
    try:
        keep_paste(kit, number, form)
        stored = sorting.finish(kit, number, note=options["note"] or "", on=options["on"])
    except BookError:
        sorting.put_aside(kit, number)
        raise
    booked(kit, stored, as_json=options["as_json"])


@click.command("mix", short_help="What the dates of a lot or an open tally say.")
@click.argument("of", required=False, default="")
@click.option("--what", metavar="WHAT", help="Set beside: dime, quarter, half, dollar, or one design by its slug.")
@click.option("--from", "first", metavar="YEAR", help="The oldest date that the bag may hold.")
@click.option("--to", "last", metavar="YEAR", help="The latest.")
@_survival
@click.option("--years", "by_year", is_flag=True, help="List found and expected year by year.")
@click.option("--keep", is_flag=True, help="Keep the assumption of survival in the book.")
@json_option
@click.pass_context
def mix_command(ctx: click.Context, /, of: str, **options: Any) -> None:
    r"""Set the dates OF a lot, or of an open tally ("tally 2"), beside what mintage and an assumption would have.

    Says what is consistent, never what was done to a bag. The assumption of survival is yours, and always shown.

    \b
    Examples:
      ninefine mix L17
      ninefine mix "tally 2" --what quarter --loss 1%
    """
    as_json, by_year, keep = (options.pop(name) for name in ("as_json", "by_year", "keep"))
    form = form_of(options | {"of": of, "melts": "\n".join(options.pop("melts"))})
    kit = kit_of(ctx)
    found = mixes.mix(kit, form)
    show = partial(_say_mix, found, by_year=by_year)
    book = partial(keep_survival, kit, form) if keep else None
    say_and_book(kit, show, _mix_record(found), book, as_json=as_json)


def _say_mix(found: mixes.Mix, *, by_year: bool) -> None:
    reading = found.reading
    say(reading.words)
    words = mixes.loss_words(found.expected.survival, found.fitted)
    if words:
        say(words)
    say()
    groups = found.years if by_year else found.mints
    head = "year" if by_year else "mint"
    rows = [
        [group.label, str(to_places(group.expected, 1)), f"{group.found:,}", percent(group.share)] for group in groups
    ]
    say(ledger([head, "expected", "found", "of the mix"], rows))
    if reading.signs:
        say()
        say(ledger(["sign", "expected", "found", "chance", "coins to tell a half"], _sign_rows(found)))
    if reading.looks:
        say()
        say(
            ledger(
                ["together by", "test", "chance", "size w", "coins to tell"],
                [_look(one) for one in reading.looks],
                left=2,
            )
        )
    for one in reading.beside.outside:
        say(f"Not set beside it: {one.count:,} of {one.kind} {one.issue}: {one.why}.".replace(" :", ":"))


def _sign_rows(found: mixes.Mix) -> list[list[str]]:
    coins = {catch.sign.name: catch.pieces for catch in found.catches}
    return [
        [
            sign.title + (" (too many)" if sign.many else ""),
            str(to_places(sign.expected, 1)),
            f"{sign.found:,}",
            say_chance(sign.chance),
            _count(coins.get(sign.name)),
        ]
        for sign in found.reading.signs
    ]


def _look(look: Look) -> list[str]:
    size = "-" if look.effect is None else f"{look.effect.less_chance:.2f}"
    return [look.by, look.tested.deciding.how, say_chance(look.chance), size, _count(look.to_tell)]


def _count(count: int | None) -> str:
    return "-" if count is None else f"{count:,}"


def _mix_record(found: mixes.Mix) -> dict[str, object]:
    reading = found.reading
    return {
        "of": found.source.key,
        "what": found.what,
        "first_year": found.expected.first_year,
        "last_year": found.expected.last_year,
        "survival": found.expected.survival.sentence,
        "verdict": reading.verdict,
        "chance": reading.chance,
        "chance_error": reading.error,
        "dated_pieces": reading.beside.pieces,
        "unchecked_share_of_mix": found.expected.unchecked,
        "issues": [
            {"issue": one.label, "found": one.found, "expected": to_places(one.expected, 6)} for one in found.issues
        ],
        "signs": [_sign_record(sign) for sign in reading.signs],
        "looks": [
            {
                "by": look.by,
                "test": look.tested.deciding.how,
                "chance": look.chance,
                "w_less_chance": None if look.effect is None else look.effect.less_chance,
                "pieces_to_tell": look.to_tell,
            }
            for look in reading.looks
        ],
    }


def _sign_record(sign: Sign) -> dict[str, object]:
    return {
        "sign": sign.name,
        "expected": to_places(sign.expected, 6),
        "found": sign.found,
        "chance": sign.chance,
        "chance_of_none": sign.none_chance,
        "share_gone_to_tell": sign.gone_to_tell,
    }


@click.command("search", short_help="What searching a bag may pay, before it is opened.")
@click.argument("size", required=False, default="")
@click.option("--of", "what", metavar="WHAT", help="dime, quarter, half, dollar, or one design by its slug.")
@click.option("--from", "first", metavar="YEAR", help="The oldest date that the bag may hold.")
@click.option("--to", "last", metavar="YEAR", help="The latest.")
@_survival
@click.option("--left", metavar="PER_CENT", help="Of the dates sought, what is still there; 100 if nobody searched.")
@click.option("--speed", metavar="PIECES", help="Pieces that you tell apart in an hour.")
@click.option("--hour", metavar="SUM", help="What an hour is worth to you.")
@click.option("--grade", metavar="GRADE", help="Price finds by your guide sheets at this grade: G4, VG8.")
@click.option("--worth", multiple=True, metavar="DATE=SUM", help="Over melt, by date or rank: 1921-D=60, better=4.")
@json_option
@click.pass_context
def search_command(ctx: click.Context, /, size: str, **options: Any) -> None:
    r"""Work out what searching a bag of a SIZE may pay: chances and numbers of finds, money an hour at your speed.

    \b
    Examples:
      ninefine search "250 face" --of us-dime-mercury --worth 1916-D=600 --worth 1921-D=60
      ninefine search "1000 face" --of quarter --left 10 --grade G4 --hour 12
    """
    as_json = options.pop("as_json")
    options |= {"size": size, "melts": "\n".join(options.pop("melts")), "worth": "\n".join(options.pop("worth"))}
    kit = kit_of(ctx)
    found = before(kit, form_of(options))
    if as_json:
        say_json(_search_record(found))
        return
    say(before_sentence(found, kit.journal.currency))
    say(found.expected.survival.sentence)
    rows = [
        [
            hope.struck.key,
            hope.struck.rank or "by price",
            _count(int(to_places(1 / hope.likely.sought.share, 0)) if hope.likely.sought.share else None),
            str(to_places(hope.likely.expected, 2)),
            say_chance(hope.likely.chance),
            _count(hope.likely.for_half),
            _count(hope.likely.for_nearly),
            money(hope.over_melt),
        ]
        for hope in found.hopes
    ]
    heads = ["date", "sought as", "one in", "expected", "one or more", "coins for 50%", "coins for 95%", "over melt"]
    say()
    say(ledger(heads, rows, left=2))


def _search_record(found: Before) -> dict[str, object]:
    seen = found.prospect
    return {
        "of": found.what,
        "pieces": found.pieces,
        "survival": found.expected.survival.sentence,
        "share_still_there": found.left,
        "pieces_per_hour": found.sitter.pieces_per_hour,
        "hours": seen.hours,
        "finds_expected": to_places(seen.finds, 6),
        "worth_over_melt_usd": to_places(seen.worth, 2),
        "spread_usd": to_places(seen.spread, 2),
        "per_hour_usd": to_places(seen.per_hour, 2),
        "pays": seen.pays,
        "dates": [
            {
                "date": hope.struck.key,
                "rank": hope.struck.rank,
                "expected": to_places(hope.likely.expected, 6),
                "chance": hope.likely.chance,
                "pieces_for_50_percent": hope.likely.for_half,
                "pieces_for_95_percent": hope.likely.for_nearly,
                "over_melt_usd": hope.over_melt,
                "mintage_unchecked": hope.struck.unchecked,
            }
            for hope in found.hopes
        ],
    }


@click.command("searched", short_help="What the search of a lot did pay.")
@click.argument("lot")
@click.option("--hours", metavar="NUMBER", help="That it took; as set down before if left out.")
@click.option("--hour", metavar="SUM", help="What an hour is worth to you.")
@click.option("--find", "finds", multiple=True, metavar="FIND=SUM", help="One not in the book: `9 quarters=1.50` each.")
@click.option("--keep", is_flag=True, help="Set the hours down in the book.")
@json_option
@click.pass_context
def searched_command(ctx: click.Context, /, lot: str, **options: Any) -> None:
    r"""Say what the search of LOT did pay: finds that were sold, less their own metal, over the hours it took.

    Finds are pieces that were pulled, and dates that sorters look for; what each netted is in the book.

    \b
    Example:
      ninefine searched L17 --hours 6.5 --hour 10 --find "9 bright quarters=1.50"
    """
    as_json, keep = options.pop("as_json"), options.pop("keep")
    form = form_of(options | {"lot": lot, "finds": "\n".join(options.pop("finds"))})
    kit = kit_of(ctx)
    found = after_search.after(kit, form)
    show = partial(_say_searched, found, kit.journal.currency)
    book = partial(after_search.keep_search, kit, form) if keep else None
    say_and_book(kit, show, _searched_record(found), book, as_json=as_json)


def _say_searched(found: after_search.After, currency: str) -> None:
    say(after_sentence(found, currency))
    rows = [
        [f"{one.pieces} of {one.what}", money(one.net), money(one.melt), money(one.find.worth)] for one in found.sold
    ]
    rows += [[f"{one.pieces} of {one.what}", "-", "-", money(one.worth)] for one in found.typed]
    if rows:
        say()
        say(ledger(["find", "net", "melt that day", "over melt"], rows))
    for answer in found.unsold:
        say(f"Pulled and not sold: {answer.laid.label}.")


def _searched_record(found: after_search.After) -> dict[str, object]:
    finds: list[dict[str, object]] = [
        {
            "find": one.what,
            "pieces": one.pieces,
            "net_usd": one.net,
            "melt_usd": one.melt,
            "over_melt_usd": one.find.worth,
            "entry": one.serial,
            f"fine_ozt_{one.fine.basis}": one.fine.ozt,
        }
        for one in found.sold
    ]
    finds += [{"find": one.what, "pieces": one.pieces, "over_melt_usd": one.worth} for one in found.typed]
    per_hour: Decimal | None = None if found.paid is None else to_places(found.paid.per_hour, 2)
    return {
        "lot": found.lot,
        "hours": found.hours,
        "over_melt_usd": found.worth,
        "per_hour_usd": per_hour,
        "paid": None if found.paid is None else found.paid.paid,
        "finds": finds,
        "not_sold": [one.laid.label for one in found.unsold],
    }
