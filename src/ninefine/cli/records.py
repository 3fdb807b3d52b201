"""Commands that keep things right: price, exit, offer, kind, note, mend, withdraw."""

from datetime import date
from pathlib import Path
from typing import Any

import click

from ninefine.cli.common import ON_HELP, Day, booked, booked_all, form_of, json_option, kit_of
from ninefine.desk import records, tables
from ninefine.errors import NotFoundError, UnreadableError
from ninefine.intake.offers_toml import read_offers


@click.command("price", short_help="Set down a price that you read.")
@click.argument("per_ozt")
@click.option("--on", metavar="DATE", help=ON_HELP)
@click.option("--at", metavar="TIME", help="The time of day, as 10:15.")
@click.option("--metal", metavar="METAL", default="silver", show_default=True, help="Or gold, platinum, palladium.")
@click.option(
    "--side",
    type=click.Choice(["spot", "bid", "ask"]),
    default="spot",
    show_default=True,
    help="What one is paid (bid), what one pays (ask), or neither.",
)
@click.option("--whose", metavar="WORDS", help="Where you read it.")
@click.option("--note", metavar="WORDS", help="A remark.")
@json_option
@click.pass_context
def price_command(ctx: click.Context, /, per_ozt: str, **options: Any) -> None:
    r"""Set down a price PER_OZT, dollars per fine troy ounce, with its day and whose it is.

    \b
    Example:
      ninefine price 32.00 --on 2024-11-05 --at 10:15 --whose "the shop's screen"
    """
    as_json = options.pop("as_json")
    kit = kit_of(ctx)
    booked(kit, records.price(kit, form_of(options) | {"per_ozt": per_ozt}), as_json=as_json)


@click.command("exit", short_help="Set down a way out: its bids and fees.")
@click.argument("name")
@click.option("--bid", "bids", multiple=True, metavar="WHAT=QUOTE", help="What it pays for what; may be given again.")
@click.option("--fee", "fees", multiple=True, metavar="NAME=VALUE", help="A condition, as above; may be given again.")
@click.option("--on", type=Day(), help=ON_HELP)
@click.option("--note", metavar="WORDS", help="A remark.")
@click.option("--strike", is_flag=True, help="Strike it off instead.")
@json_option
@click.pass_context
def exit_command(
    ctx: click.Context,
    name: str,
    bids: tuple[str, ...],
    fees: tuple[str, ...],
    on: date | None,
    note: str | None,
    *,
    strike: bool,
    as_json: bool,
) -> None:
    r"""Set down the way out NAME as it is from a day on, or strike it. The first that you set down is the usual one.

    A bid is for goods by their widest or narrowest name: silver, a form (constitutional, bullion, household), a way of
    quoting (90, dollars, 40, war, ozt, sterling) or a slug of the catalog; the narrowest that fits holds.

    \b
    Conditions:
      basis                    unworn, trade or scale: the ounces that bids count
      fee_pct                  per cent of proceeds
      payable_pct              per cent of assayed silver that is paid for
      treatment.per_gross_ozt  a refiner's charge, and treatment.minimum
      parcels.count            how many parcels, or parcels.face in each;
                               parcels.fee and parcels.postage for one
      costs                    flat costs
      travel.miles             there and back, at travel.per_mile
      minimum, capacity        least and most at once: 500 face, 50 ozt, 1500
      days                     days until paid

    \b
    Examples:
      ninefine exit "the shop" --bid "90=95% of melt" --bid "ozt=spot-1.50"
      ninefine exit "the refiner" --bid silver=spot --fee basis=scale --fee payable_pct=95 --fee costs=48
    """
    kit = kit_of(ctx)
    if strike:
        booked(kit, records.set_down(kit, "exit", name, None, on=on), as_json=as_json)
        return
    row: dict[str, object] = dict(tables.nested(dict(_pair(fee) for fee in fees)))
    row |= {"name": name, "bids": [{"what": what, "quote": quote} for what, quote in map(_pair, bids)]}
    if note:
        row["note"] = note
    booked(kit, tables.set_exit(kit, row, on=on), as_json=as_json)


@click.command("offer", short_help="Set down an offer to weigh.")
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--strike", "strike_name", metavar="NAME", help="Strike the offer of this name off instead; FILE is `-`.")
@json_option
@click.pass_context
def offer_command(ctx: click.Context, file: Path, strike_name: str | None, *, as_json: bool) -> None:
    r"""Set down every offer in FILE in the book, or strike one. `examples/elm_hollow.toml` shows what FILE says.

    \b
    Examples:
      ninefine offer examples/elm_hollow.toml
      ninefine offer - --strike "the classified"
    """
    kit = kit_of(ctx)
    if strike_name is not None:
        booked(kit, records.set_down(kit, "offer", strike_name, None), as_json=as_json)
        return
    sheet = read_offers(read_text(file), str(file))
    booked_all(kit, tables.set_offers(kit, [offer.as_dict() for offer in sheet.offers]), as_json=as_json)


@click.command("kind", short_help="Set down a kind of your own.")
@click.argument("name")
@click.option(
    "--weight", metavar="WEIGHT", help="Of one piece, as `31.2 g` or `10 ozt`; left out where held by weight."
)
@click.option("--fineness", metavar="FINENESS", help="As .925, 925 or 92.5%.")
@click.option("--metal", metavar="METAL", help="silver, gold, platinum, palladium.")
@click.option("--form", metavar="FORM", help="constitutional, other-coin, bullion, household.")
@click.option("--face", metavar="AMOUNT", help="Face value of one piece, if it has one.")
@click.option("--diameter", metavar="MM", help="In millimetres.")
@click.option("--thickness", metavar="MM", help="In millimetres.")
@click.option("--note", metavar="WORDS", help="A remark.")
@click.option("--strike", is_flag=True, help="Strike it off instead.")
@json_option
@click.pass_context
def kind_command(ctx: click.Context, /, name: str, **options: Any) -> None:
    r"""Set down the kind NAME, which the catalog does not hold, or strike it. Entries call it own-NAME, with hyphens.

    \b
    Example:
      ninefine kind "club medal" --weight "31.2 g" --fineness .925 --diameter 39
    """
    as_json, strike = options.pop("as_json"), options.pop("strike")
    kit = kit_of(ctx)
    if strike:
        booked(kit, records.set_down(kit, "kind", name, None), as_json=as_json)
        return
    booked(kit, tables.set_kind(kit, name, form_of(options)), as_json=as_json)


@click.command("note", short_help="Keep a remark, a photo or a receipt.")
@click.argument("text", default="")
@click.option("--lot", "lots", metavar="NAME", multiple=True, help="The lot it is about; may be given again.")
@click.option("--about", metavar="NUMBER", help="The number of the entry it is about.")
@click.option("--file", "files", multiple=True, type=click.Path(path_type=Path), help="A photo, receipt or sound.")
@click.option("--on", metavar="DATE", help=ON_HELP)
@json_option
@click.pass_context
def note_command(
    ctx: click.Context,
    text: str,
    lots: tuple[str, ...],
    about: str | None,
    files: tuple[Path, ...],
    on: str | None,
    *,
    as_json: bool,
) -> None:
    r"""Keep a remark, with photos, receipts or sounds, in the book's own file.

    \b
    Example:
      ninefine note "opened on camera, seal whole" --lot L4 --file receipt.jpg
    """
    kit = kit_of(ctx)
    uploads = [records.Upload(name=file.name, data=_bytes(file)) for file in files]
    form = form_of({"text": text, "lots": ",".join(lots), "about": about, "on": on})
    booked(kit, records.note(kit, form, uploads), as_json=as_json)


@click.command("mend", short_help="Put an earlier entry right.")
@click.argument("serial", type=int)
@click.argument("changes", nargs=-1, required=True, metavar="FIELD=VALUE...")
@click.option("--why", default="", help="What was wrong.")
@json_option
@click.pass_context
def mend_command(ctx: click.Context, serial: int, changes: tuple[str, ...], why: str, *, as_json: bool) -> None:
    r"""Put fields of entry SERIAL right; its first wording is kept and shown.

    A FIELD is named by its path in the entry: on, seller, lines.1.price, other_costs.carriage. A wrong name is answered
    with those that the entry has.

    \b
    Example:
      ninefine mend 4 lines.1.price=5850 on=2024-03-06 --why "typed the wrong sum"
    """
    kit = kit_of(ctx)
    booked(kit, records.mend_fields(kit, serial, dict(_pair(change) for change in changes), why=why), as_json=as_json)


@click.command("withdraw", short_help="Say that an earlier entry never happened.")
@click.argument("serial", type=int)
@click.option("--why", default="", help="What was wrong.")
@json_option
@click.pass_context
def withdraw_command(ctx: click.Context, serial: int, why: str, *, as_json: bool) -> None:
    r"""Say that entry SERIAL never happened; it is kept, shown, and counts for nothing.

    \b
    Example:
      ninefine withdraw 7 --why "entered twice"
    """
    kit = kit_of(ctx)
    booked(kit, records.withdraw(kit, serial, why=why), as_json=as_json)


def _pair(text: str) -> tuple[str, str]:
    name, found, value = text.partition("=")
    if not found or not name.strip():
        raise UnreadableError(f"{text!r} has no name before an '='.", instead=("90=22.00x", "on=2024-03-06"))
    return name.strip(), value.strip()


def read_text(path: Path) -> str:
    """A text file's contents.

    Raises:
        NotFoundError: it cannot be read.
        UnreadableError: it is not UTF-8 text.
    """
    try:
        return path.read_text(encoding="utf-8-sig")
    except UnicodeDecodeError as error:
        raise UnreadableError(f"{str(path)!r} is not a text file in UTF-8.") from error
    except OSError as error:
        raise NotFoundError(f"{str(path)!r} cannot be read: {error.strerror}.") from error


def _bytes(path: Path) -> bytes:
    try:
        return path.read_bytes()
    except OSError as error:
        raise NotFoundError(f"{str(path)!r} cannot be read: {error.strerror}.") from error
