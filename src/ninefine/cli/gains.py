"""`ninefine gains` and `ninefine reported`: a year's gains, and brokers' reports beside them."""

from typing import Any

import click

from ninefine.cli.common import booked, form_of, json_option, kit_of
from ninefine.cli.show import ledger, money, say, say_json
from ninefine.desk import gains as desk_gains
from ninefine.desk.book_settings import Method
from ninefine.desk.gains import GainLine, GainsTable, describe_disposal
from ninefine.desk.kit import Kit
from ninefine.worth.reported import Match

CAUTION = "ninefine reminds and never decides: ask a licensed preparer before you file."


@click.command("gains", short_help="The gains of a year, lot by lot.")
@click.argument("year", type=int, required=False)
@click.option("--method", type=click.Choice([method.value for method in Method]), help="Else the book's own.")
@json_option
@click.pass_context
def gains_command(ctx: click.Context, year: int | None, method: str | None, *, as_json: bool) -> None:
    r"""Show what left in YEAR, the last one with a sale if left out: proceeds net of fees, basis, gain, term.

    `ninefine paper gains` makes a file of it, in the order of U.S. Form 8949.

    \b
    Examples:
      ninefine gains
      ninefine gains 2026 --method average
    """
    kit = kit_of(ctx)
    table = desk_gains.gains(kit, year, method=None if method is None else Method(method))
    if as_json:
        say_json(_gains_record(table))
        return
    _show_gains(kit, table)


def _show_gains(kit: Kit, table: GainsTable) -> None:
    if not table.lines and not table.apart:
        say(f"Nothing left the book in {table.year}.")
        return
    say(f"{len(table.lines)} sold in {table.year}, by {_by(table.method)}: {money(table.whole.gain)} gained in all.")
    _show_lines(table)
    _show_sums(table)
    _show_apart(kit, table)
    for line in table.lines:
        if line.late or line.row.note:
            note = f"{line.row.note}; " if line.row.note else ""
            say(f"{line.description}: {note}{line.identified}.")
    for match in table.reports.matches:
        say(_report_words(match))
    say(CAUTION)


def _by(method: Method) -> str:
    return "average cost" if method is Method.AVERAGE else "each lot's own cost"


def _show_lines(table: GainsTable) -> None:
    rows = [
        [
            line.description,
            line.acquired,
            line.sold.isoformat(),
            line.term.value,
            money(line.proceeds),
            money(line.basis),
            line.codes,
            money(line.adjustment),
            money(line.gain),
        ]
        for line in table.lines
    ]
    if rows:
        say()
        heads = ["what", "acquired", "sold", "term", "proceeds", "basis", "code", "adjustment", "gain"]
        say(ledger(heads, rows, left=4))
    say()


def _show_sums(table: GainsTable) -> None:
    for name, sums in (("Short term", table.short), ("Long term", table.long), ("Term not known", table.untold)):
        if sums.rows:
            say(f"{name}: proceeds {money(sums.net)}, basis {money(sums.basis)}, gain {money(sums.gain)}.")
    if table.whole.untold:
        say(f"Of {table.whole.untold} of them nobody knows the cost: they are in no sum.")
    if table.own_use.rows:
        say(f"Among them, of the household's own use: gain {money(table.own_use.gain)}; losses do not count.")
    if table.other.gain != table.whole.gain:
        other = Method.LOTS if table.method is Method.AVERAGE else Method.AVERAGE
        say(f"By {_by(other)} the gain would be {money(table.other.gain)}.")


def _show_apart(kit: Kit, table: GainsTable) -> None:
    for line in table.apart:
        gone = line.row.disposal
        basis = money(line.basis) if line.basis is not None else "not known"
        said = f"{gone.left.value.capitalize()} on {line.sold.isoformat()}: {describe_disposal(kit, gone)}"
        say(f"{said}, basis {basis}" + (f", {money(gone.proceeds)} paid for it." if gone.proceeds else "."))


def _report_words(match: Match) -> str:
    line = match.reported
    who = line.broker or line.name
    if match.serial is None:
        return f"{who} reported {money(line.proceeds)} of {line.on.isoformat()}: {match.why}"
    if match.agrees:
        return f"{who} reported {money(line.proceeds)} of entry {match.serial}, as the book has it."
    off = [f"{money(line.proceeds)} where the book has {money(match.brought)}"] if match.off else []
    off += [f"a basis of {money(line.basis)} where it has {money(match.basis)}"] if match.basis_off else []
    return f"{who} reported of entry {match.serial} {' and '.join(off)}."


def _gains_record(table: GainsTable) -> dict[str, object]:
    return {
        "year": table.year,
        "method": table.method.value,
        "form": table.form.value,
        "gain_usd": table.whole.gain,
        "gain_usd_short_term": table.short.gain,
        "gain_usd_long_term": table.long.gain,
        "gain_usd_term_not_known": table.untold.gain,
        "gain_usd_other_method": table.other.gain,
        "cost_not_known": table.whole.untold,
        "lines": [_gain_record(line) for line in table.lines],
        "apart": [_gain_record(line) | {"left": line.row.disposal.left.value} for line in table.apart],
        "reports": [
            {
                "name": match.reported.name,
                "entry": match.serial,
                "proceeds_usd": match.reported.proceeds,
                "book_proceeds_usd": match.brought,
                "off_usd": match.off,
                "basis_off_usd": match.basis_off,
                "why": match.why,
            }
            for match in table.reports.matches
        ],
        "sales_without_a_report": list(table.reports.unreported),
    }


def _gain_record(line: GainLine) -> dict[str, object]:
    return {
        "description": line.description,
        "acquired": line.acquired,
        "sold": line.sold.isoformat(),
        "proceeds_usd": line.proceeds,
        "basis_usd": line.basis,
        "codes": line.codes,
        "adjustment_usd": line.adjustment,
        "gain_usd": line.gain,
        "term": line.term.value,
        "box": line.box,
        "identified": line.identified,
        "late": line.late,
        "note": line.row.note,
        "entry": line.row.disposal.serial,
        "lot": line.row.disposal.lot,
    }


@click.command("reported", short_help="Set down what a broker reported of a sale.")
@click.argument("proceeds", required=False)
@click.option("--on", metavar="DATE", help="The date of sale that the report names.")
@click.option("--after-fees", is_flag=True, help="The proceeds are reported after fees.")
@click.option("--basis", metavar="SUM", help="The basis as reported.")
@click.option("--to-authority", is_flag=True, help="The basis was reported to the tax authority too.")
@click.option("--entry", metavar="NUMBER", help="The sale's entry; else it is found by day and amount.")
@click.option("--broker", metavar="NAME", help="Who reported it.")
@click.option("--name", metavar="NAME", help="What to call this line of the report.")
@click.option("--note", metavar="WORDS", help="A remark.")
@click.option("--strike", metavar="NAME", help="Strike the line of this name off instead.")
@json_option
@click.pass_context
def reported_command(ctx: click.Context, /, proceeds: str | None, **options: Any) -> None:
    r"""Set PROCEEDS down as a broker reported them (Form 1099-B); `ninefine gains` holds them against the book.

    \b
    Examples:
      ninefine reported 17932 --on 2026-06-12 --broker "Quay Coin"
      ninefine reported --strike "Quay Coin 2026-06-12 17932"
    """
    as_json, strike = options.pop("as_json"), options.pop("strike")
    kit = kit_of(ctx)
    if strike is not None:
        booked(kit, desk_gains.strike_report(kit, strike), as_json=as_json)
        return
    after_fees, to_authority = options.pop("after_fees"), options.pop("to_authority")
    form = form_of(options) | {"proceeds": proceeds or ""}
    form |= {"gross": "no" if after_fees else "", "to_authority": "yes" if to_authority else ""}
    booked(kit, desk_gains.report(kit, form), as_json=as_json)
