"""`ninefine paper` and `ninefine set`: the papers that others ask for, and what they rest on."""

from pathlib import Path
from typing import Any

import click

from ninefine.cli.common import booked, form_of, json_option, kit_of
from ninefine.cli.show import say
from ninefine.desk.paper_tables import set_row, setting, strike_row
from ninefine.desk.papers import PAPERS, file_of, make_paper, sheet_for
from ninefine.errors import InputError, StoreError, UnreadableError
from ninefine.papers.as_pdf import read_sheet
from ninefine.papers.as_text import as_text
from ninefine.papers.formats import FORMATS

#: Tells a spreadsheet that a file is UTF-8; a terminal has no need of it.
BYTE_ORDER_MARK = b"\xef\xbb\xbf"
#: Endings that say which format is wanted.
_ENDINGS = {f".{'txt' if name == 'text' else name}": name for name in FORMATS} | {".htm": "html"}


@click.command("paper", short_help="Make a paper: inventory, letter, gains, labels and more.")
@click.argument("name", metavar="[NAME]", required=False)
@click.option("--as", "kind", metavar="FORMAT", help="pdf, html, xlsx, csv, text or ics; else by FILE's ending.")
@click.option("--out", type=click.Path(path_type=Path), metavar="FILE", help="Where to write it; `-` for here.")
@click.option("--anew", is_flag=True, help="Write over FILE if it is there.")
@click.option("--size", metavar="SIZE", help="A4 or Letter; by the book's currency if left out.")
@click.option("--redact", metavar="WHAT", help="Leave out: values,costs,places,sellers,people,notes.")
@click.option("--on", metavar="DATE", help="As of a past day: inventory, letter, storage.")
@click.option("--exit", "exit_name", metavar="NAME", help="Whom a quick sale would go to: letter.")
@click.option("--entry", metavar="NUMBER", help="The purchase's entry: purchase.")
@click.option("--year", metavar="YEAR", help="The year of the gains.")
@click.option("--lots", metavar="NAMES", help="Lots or heaps, parted by commas: bag-slips, tube-labels.")
@click.option("--goods", metavar="NAMES", help="Goods, parted by commas: card.")
@click.option("--spots", metavar="LADDER", help="As `60 to 80 by 2`: card.")
@click.pass_context
def paper_command(ctx: click.Context, /, name: str | None, **options: Any) -> None:
    r"""Make the paper NAME; without a NAME, list the papers. Shown here as text unless FILE or FORMAT says otherwise.

    \b
    Examples:
      ninefine paper
      ninefine paper inventory --out inventory.pdf --redact places
      ninefine paper letter --as text
      ninefine paper gains --year 2026 --out gains.csv
      ninefine paper card --goods "90,dollars" --spots "60 to 80 by 2" --out card.html
    """
    if name is None:
        for paper in PAPERS.values():
            say(f"{paper.name:<12} {paper.words}")
        return
    kind, out, anew, size = (options.pop(key) for key in ("kind", "out", "anew", "size"))
    wanted = _format(kind, out)
    kit = kit_of(ctx)
    sheet = sheet_for(kit) if size is None else read_sheet(size)
    form = form_of(options | {"exit": options.pop("exit_name")})
    document = make_paper(kit, name, form)
    if wanted == "text" and _is_here(out):
        click.echo(as_text(document), nl=False)
        return
    _, _, data = file_of(document, wanted, sheet)
    if _is_here(out):
        click.echo(data.removeprefix(BYTE_ORDER_MARK), nl=False)
    else:
        _write(out, data, anew=anew)
        say(f'Wrote "{document.title}" to {out}: {len(data):,} bytes.')


def _is_here(out: Path | None) -> bool:
    return out is None or str(out) == "-"


def _format(kind: str | None, out: Path | None) -> str:
    """The format asked for, else what the file's ending says, else text."""
    if kind is not None:
        if kind.lower() not in FORMATS:
            raise UnreadableError(f"No paper can be had as {kind[:20]!r}.", instead=tuple(FORMATS))
        if kind.lower() in {"pdf", "xlsx"} and out is None:
            raise InputError(f"A paper as {kind.lower()} is a file.", expected="Say where to write it: --out FILE.")
        return kind.lower()
    if out is None or str(out) == "-":
        return "text"
    if out.suffix.lower() not in _ENDINGS:
        raise UnreadableError(f"{out.name[:40]!r} does not say what it is to be.", instead=tuple(_ENDINGS))
    return _ENDINGS[out.suffix.lower()]


def _write(out: Path, data: bytes, *, anew: bool) -> None:
    try:
        with out.open("wb" if anew else "xb") as file:
            file.write(data)
    except FileExistsError as error:
        raise StoreError(f"There is a file {str(out)!r} already. Add --anew to write over it.") from error
    except OSError as error:
        raise StoreError(f"{str(out)!r} cannot be written: {error.strerror}.") from error


@click.command("set", short_help="Set down what papers rest on: asks, places, people, reviews.")
@click.argument("table", metavar="TABLE")
@click.argument("key", metavar="NAME")
@click.argument("fields", nargs=-1, metavar="[FIELD=VALUE]...")
@click.option("--strike", is_flag=True, help="Strike it off instead.")
@json_option
@click.pass_context
def set_command(
    ctx: click.Context, table: str, key: str, fields: tuple[str, ...], *, strike: bool, as_json: bool
) -> None:
    r"""Set down, in one of the TABLEs, what papers rest on: the row NAME with its fields; or strike it.

    \b
    Tables and their fields:
      ask     what, quote, whose, on, note   what sellers ask: replacement values
      place   where, limit, note             a location code, and what it bears
      person  about, reach, note             whom your family may ask
      review  on, every, note                what to look at again, every so many months
      cover   limit, note                    an insurance
      apart   why                            a lot, heap or kind not to be melted

    \b
    Examples:
      ninefine set ask "90 at the counter" what=90 quote=50.60x whose="the shop"
      ninefine set place A1 "where=left drawer" "limit=25 kg"
      ninefine set review "the insurance" on=2027-01-15 every=12
    """
    known = setting(table)
    kit = kit_of(ctx)
    if strike:
        booked(kit, strike_row(kit, table, key), as_json=as_json)
        return
    form: dict[str, str] = {}
    for field in fields:
        name, found, value = field.partition("=")
        if not found:
            raise UnreadableError(
                f"{field[:40]!r} has no '='.", instead=[f"{field_name}=..." for field_name, _, _ in known.fields]
            )
        form[name.strip()] = value.strip()
    booked(kit, set_row(kit, table, key, form), as_json=as_json)
