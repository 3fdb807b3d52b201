"""`ninefine quote`: a quote said in every other way. Opens no book, so that it answers in a blink."""

from decimal import Decimal
from fractions import Fraction

import click

from ninefine.cli.show import ledger, money, percent, say, say_json
from ninefine.errors import UnreadableError
from ninefine.market.answer import QuoteAnswer, answer
from ninefine.market.content import content, content_names
from ninefine.market.read_quote import read_quote
from ninefine.market.terms import Terms
from ninefine.measure.mass import read_mass
from ninefine.measure.numbers import plain, read_positive, to_places

#: Places kept in `--json`: far beyond a cent, short of the noise of a fraction cut off.
JSON_PLACES = 12


@click.command("quote", short_help="Say a quote in every other way, at a spot.")
@click.argument("text")
@click.option(
    "--spot", metavar="PRICE", help="Dollars per fine troy ounce; needed for quotes struck on spot, and for premiums."
)
@click.option(
    "--face-kind",
    metavar="NAME",
    default="90",
    show_default=True,
    help=f"What is quoted: {', '.join(content_names())}.",
)
@click.option("--face", metavar="AMOUNT", help="Face dollars on offer: for a flat price, or with --weight.")
@click.option("--weight", metavar="WEIGHT", help="Weight of that face on the scale, as `1461 g`.")
@click.option("--json", "as_json", is_flag=True, help="Print JSON: exact decimals as strings.")
def quote_command(
    text: str, spot: str | None, face_kind: str, face: str | None, weight: str | None, *, as_json: bool
) -> None:
    r"""Say the quote TEXT in every other way: times face, by the ounce on each basis, over spot, by the piece.

    Read are 23.4x, 23.40 a dollar, 234 a roll of quarters, spot+1.20, 75c back of spot, 4% over, 95% of melt, 2.30 a
    dime, 0.93 a gram, 5850 for 250 face. Needs no book.

    \b
    Examples:
      ninefine quote "49x" --spot 66
      ninefine quote "spot+1.20" --spot 31.50
      ninefine quote "75c back of spot" --spot 31.50 --face-kind dollars
      ninefine quote "22.5x" --spot 32 --face 60 --weight "1461 g"
    """
    terms = _terms(face_kind, spot, face, weight)
    result = answer(read_quote(text), terms)
    if as_json:
        say_json(as_record(result))
    else:
        _show(result)


def _terms(face_kind: str, spot: str | None, face: str | None, weight: str | None) -> Terms:
    units = None if face is None else Fraction(read_positive(face, what="face"))
    if weight is not None and units is None:
        raise UnreadableError("A weight needs to know of how much face.", instead=('--face 60 --weight "1461 g"',))
    scale = None if weight is None or units is None else Fraction(read_mass(weight).grams) / units
    return Terms(
        content=content(face_kind),
        spot=None if spot is None else Fraction(read_positive(spot.removeprefix("$"), what="spot")),
        units=units,
        scale_g=scale,
    )


def as_record(result: QuoteAnswer) -> dict[str, object]:
    """The answer with the unit and the ounce basis of every figure in its name."""
    figures = {
        name: _figure(getattr(result, name))
        for name in (
            "times_face",
            "usd_per_face_dollar",
            "usd_per_ozt_trade",
            "usd_per_ozt_unworn",
            "usd_per_ozt_scale",
            "premium_usd_per_ozt_trade",
            "premium_usd_per_ozt_unworn",
            "premium_usd_per_ozt_scale",
            "premium_pct_trade",
            "premium_pct_unworn",
            "premium_pct_scale",
            "pct_of_melt_trade",
            "pct_of_melt_unworn",
            "pct_of_melt_scale",
            "usd_per_gram_gross_trade",
            "usd_per_gram_gross_unworn",
        )
    }
    return {
        "quote": result.quote.text(JSON_PLACES),
        "goods": result.goods,
        "spot_usd_per_ozt": _figure(result.spot),
        **figures,
        "usd_by_piece": {piece.name: _figure(piece.usd) for piece in result.pieces},
        "notes": list(result.notes),
    }


def _figure(value: Decimal | None) -> str | None:
    return None if value is None else plain(to_places(value, JSON_PLACES))


def _show(result: QuoteAnswer) -> None:
    head = f"{result.quote.text(4)} for {result.goods}"
    if result.usd_per_face_dollar is not None:
        head += f" is {money(result.usd_per_face_dollar)} a face dollar,"
    else:
        head += " is"
    head += f" {money(result.usd_per_ozt_trade)} a trade ounce"
    if result.premium_pct_trade is not None:
        side = "over" if result.premium_pct_trade >= 0 else "under"
        head += f", {percent(abs(result.premium_pct_trade) / 100)} {side} spot {money(result.spot)}"
    say(head + ".")
    rows = [
        _row("trade", result.usd_per_ozt_trade, result.premium_usd_per_ozt_trade, result.premium_pct_trade),
        _row("unworn", result.usd_per_ozt_unworn, result.premium_usd_per_ozt_unworn, result.premium_pct_unworn),
    ]
    if result.usd_per_ozt_scale is not None:
        rows.append(_row("scale", result.usd_per_ozt_scale, result.premium_usd_per_ozt_scale, result.premium_pct_scale))
    say()
    say(ledger(["ounces", "USD per ozt", "premium USD", "premium"], rows))
    if result.pieces:
        say()
        say(ledger(["piece", "USD"], [[piece.name, money(piece.usd)] for piece in result.pieces]))
    for note in result.notes:
        say()
        say(note)


def _row(name: str, per_ozt: Decimal, over: Decimal | None, pct: Decimal | None) -> list[str]:
    return [name, money(per_ozt), money(over), percent(None if pct is None else pct / 100)]
