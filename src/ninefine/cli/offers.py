"""`ninefine offers`: offers side by side, from a file or from the book."""

from decimal import Decimal
from pathlib import Path

import click

from ninefine.catalog.shelf import load_catalog
from ninefine.cli.common import json_option, kit_of
from ninefine.cli.records import read_text
from ninefine.cli.show import ledger, money, ounces, percent, say, say_json
from ninefine.desk.offers import SideBySide, sentence, weigh
from ninefine.errors import NotFoundError
from ninefine.intake.offers_toml import read_offers
from ninefine.market.compare import Ranked, compare
from ninefine.market.goods import contents_with
from ninefine.measure.numbers import plain, read_positive, to_places

PLACES = 12


@click.command("offers", short_help="Compare the offers in a file, or those in the book.")
@click.argument("file", type=click.Path(path_type=Path), required=False)
@click.option(
    "--spot", metavar="PRICE", help="Dollars per fine troy ounce; else the file's own, or the book's price of today."
)
@click.option(
    "--exit",
    "exit_name",
    default="",
    metavar="NAME",
    help="Which way out to sell back to; else the file's or book's first.",
)
@json_option
@click.pass_context
def offers_command(ctx: click.Context, file: Path | None, spot: str | None, exit_name: str, *, as_json: bool) -> None:
    r"""Compare the offers in FILE, or without one those in the book: landed cost, by the fine ounce.

    `examples/elm_hollow.toml` shows what FILE says. A file needs no book.

    \b
    Examples:
      ninefine offers examples/elm_hollow.toml --spot 32
      ninefine offers --exit "the shop"
    """
    given = None if spot is None else read_positive(spot.removeprefix("$"), what="spot")
    side_by_side = (
        _from_file(file, given, exit_name) if file is not None else weigh(kit_of(ctx), spot=given, exit_name=exit_name)
    )
    if as_json:
        say_json(as_record(side_by_side))
    else:
        _show(side_by_side)


def _from_file(file: Path, spot: Decimal | None, exit_name: str) -> SideBySide:
    sheet = read_offers(read_text(file), str(file))
    price = spot if spot is not None else sheet.spot
    if price is None:
        raise NotFoundError(f"{file} gives no spot.", expected="Give one.", instead=("--spot 32.00",))
    way = sheet.exit
    if exit_name and (way is None or way.name != exit_name):
        named = [] if way is None else [way.name]
        raise NotFoundError(f"{file} has no way out {exit_name[:40]!r}.", instead=named)
    ranked = compare(sheet.offers, price, way, resolve=contents_with(load_catalog().kind))
    words = "as you gave it" if spot is not None else f"from {file}"
    return SideBySide(spot=price, spot_words=words, exit=way, ranked=tuple(ranked))


def _show(side_by_side: SideBySide) -> None:
    say(sentence(side_by_side))
    if not side_by_side.ranked:
        return
    rows = [
        [
            str(row.rank),
            row.name,
            money(row.landed.total),
            ounces(row.landed.ozt[row.basis]),
            row.basis.value,
            money(row.cost_per_ozt, 3),
            money(row.premium_usd, 2),
            percent(row.premium_pct / 100),
        ]
        for row in side_by_side.ranked
    ]
    say()
    say(ledger(["", "offer", "landed", "fine ozt", "basis", "USD per ozt", "premium", "premium %"], rows, left=2))
    if side_by_side.exit is not None:
        say()
        say(f"Sold back to {side_by_side.exit.name} today:")
        back = [
            [
                row.name,
                money(None if row.paid is None else row.paid.net),
                money(row.loss),
                percent(None if row.loss_pct is None else row.loss_pct / 100),
                money(row.break_even, 3),
                percent(None if row.rise_pct is None else row.rise_pct / 100),
            ]
            for row in side_by_side.ranked
        ]
        say(ledger(["offer", "would pay", "loss", "loss %", "even at spot", "rise needed"], back))
    for row in side_by_side.ranked:
        for caution in row.landed.cautions:
            say(f"Mind, {row.name}: {caution}")


def as_record(side_by_side: SideBySide) -> dict[str, object]:
    """The comparison with the unit and the ounce basis of every figure in its name."""
    return {
        "spot_usd_per_ozt": side_by_side.spot,
        "spot_from": side_by_side.spot_words,
        "exit": None if side_by_side.exit is None else side_by_side.exit.name,
        "offers": [_record(row) for row in side_by_side.ranked],
    }


def _record(row: Ranked) -> dict[str, object]:
    return {
        "rank": row.rank,
        "offer": row.name,
        "landed_usd": row.landed.total,
        "cost_lines_usd": [
            {"for": line.kind.value, "words": line.words, "usd": line.amount} for line in row.landed.lines
        ],
        "ranked_on_basis": row.basis.value,
        **{f"fine_ozt_{basis.value}": _figure(ozt) for basis, ozt in row.landed.ozt.items()},
        **{f"usd_per_ozt_{basis.value}": _figure(row.landed.cost_per_ozt(basis)) for basis in row.landed.ozt},
        **{f"premium_pct_{basis.value}": _figure(row.landed.premium_pct(basis)) for basis in row.landed.ozt},
        "sold_back_usd": None if row.paid is None else row.paid.net,
        "round_trip_loss_usd": row.loss,
        "round_trip_loss_pct": _figure(row.loss_pct),
        "break_even_spot_usd_per_ozt": _figure(row.break_even),
        "cautions": list(row.landed.cautions),
    }


def _figure(value: Decimal | None) -> str | None:
    return None if value is None else plain(to_places(value, PLACES))
