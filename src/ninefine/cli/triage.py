"""`ninefine piece`, `triage`, `pull`, `back`, `figures`: pieces laid aside, their verdicts, what is done with them."""

from decimal import Decimal
from typing import Any

import click

from ninefine.cli.common import ON_HELP, Day, booked, booked_all, form_of, json_option, kit_of
from ninefine.cli.show import ledger, money, say, say_json
from ninefine.desk import pieces
from ninefine.desk import triage as desk
from ninefine.desk.judging import judging, put_figures
from ninefine.desk.kit import Kit
from ninefine.desk.say_sorting import triage_sentence
from ninefine.errors import UnreadableError
from ninefine.measure.numbers import read_positive
from ninefine.worth.span import Span
from ninefine.worth.verdict import Against


@click.command("piece", short_help="Lay a piece aside, to be held against its heap.")
@click.argument("label")
@click.argument("heap", required=False, default="")
@click.option("--what", metavar="KIND", help="What it is, with its date; as its heap if left out.")
@click.option("--count", metavar="NUMBER", help="How many alike in every way; one if left out.")
@click.option("--grade", "band", metavar="GRADE", help="A grade or a band: VF20, VG-F, AU50 cleaned.")
@click.option("--grams", metavar="WEIGHT", help="Of one piece on the scale: `2.44 g`.")
@click.option("--wanted", metavar="WORDS", help="Why you would keep it; it is then never to be pulled.")
@click.option("--on", type=Day(), help=ON_HELP)
@click.option("--note", metavar="WORDS", help="A remark.")
@click.option("--strike", is_flag=True, help="Forget that it was laid aside; where it lies does not change.")
@json_option
@click.pass_context
def piece_command(ctx: click.Context, /, label: str, heap: str, **options: Any) -> None:
    r"""Lay a piece of HEAP aside under LABEL: the flip, tube or pocket that it goes into if it is pulled.

    It stays part of its heap until it is pulled. Without HEAP, say anew what the piece LABEL is like.

    \b
    Examples:
      ninefine piece E1-1 L1/us-dime-90 --what "merc dime 1921-D" --grade VG8 --grams "2.44 g"
      ninefine piece E1-1 --grade F12
    """
    as_json, strike, on = options.pop("as_json"), options.pop("strike"), options.pop("on")
    kit = kit_of(ctx)
    form = form_of(options | {"label": label, "heap": heap})
    if strike:
        booked(kit, pieces.strike(kit, label), as_json=as_json)
        return
    say_so = pieces.lay if heap else pieces.look_again
    booked(kit, say_so(kit, form, on=on), as_json=as_json)


@click.command("triage", short_help="Keep, pull, or back to the heap, piece by piece.")
@click.argument("label", required=False, default="")
@click.option("--spot", metavar="PRICE", help="A price of silver to use instead of the one on record.")
@json_option
@click.pass_context
def triage_command(ctx: click.Context, label: str, spot: str | None, *, as_json: bool) -> None:
    r"""Say of each piece laid aside, or of the one under LABEL, whether to keep it, pull it or put it back, and why.

    It is held against what it brings in the heap: its melt, or the best bid. `figures` sets the threshold down,
    `collector` a way out to collectors, `sheet` what collectors pay.

    \b
    Examples:
      ninefine triage
      ninefine triage E1-1 --spot 66
    """
    kit = kit_of(ctx)
    given = None if spot is None else read_positive(spot.removeprefix("$"), what="spot")
    every = (desk.answer(kit, label, given),) if label else desk.answers(kit, given)
    if as_json:
        say_json({"pieces": [_record(kit, one) for one in every]})
        return
    if label:
        _say_one(kit, every[0])
        return
    say(triage_sentence(kit, given))
    if not every:
        return
    rows = [_row(one) for one in every]
    say()
    say(
        ledger(
            ["piece", "verdict", "melt", "best bid", "net low", "mid", "high", "over low", "mid", "high"], rows, left=2
        )
    )
    say()
    for one in every:
        say(f"{one.laid.label}, {pieces.say_piece(kit, one.laid)}: {_why(one)}")


def _row(one: desk.Answer) -> list[str]:
    found = one.found
    pulled = one.laid.where is pieces.Where.PULLED
    if found is None:
        return [one.laid.label, "-", *["-"] * 8]
    bids = found.metal.bids
    net = found.best.net if found.best is not None else None
    ends = [*_ends(net), *_ends(found.extra)]
    verdict = "pulled" if pulled else str(found.verdict)
    return [one.laid.label, verdict, money(found.metal.melt), money(bids[0].net if bids else None), *ends]


def _ends(span: Span | None) -> list[str]:
    return ["-"] * 3 if span is None else [money(span.low), money(span.mid), money(span.high)]


def _why(one: desk.Answer) -> str:
    return one.wrong if one.found is None else one.found.reason


def _say_one(kit: Kit, one: desk.Answer) -> None:
    """One piece with every way out."""
    say(f"{one.laid.label}, {pieces.say_piece(kit, one.laid)}.")
    if one.found is None:
        say(one.wrong)
        return
    found = one.found
    say(f"{found.verdict.capitalize()}. {found.reason}")
    rows = [["melt", money(found.metal.melt), "-", "-", "-", "-"]]
    rows += [[bid.exit.name, "-", money(bid.net), "-", "-", "-"] for bid in found.metal.bids]
    if found.collected is not None:
        rows += [
            [sale.exit.name + ("" if sale.taken else " (takes none so cheap)"), "-", "-", *_ends(sale.net)]
            for sale in found.collected.sales
        ]
    say()
    say(ledger(["by", "melt", "bid", "collector low", "mid", "high"], rows))
    worked = found.collected.price.worked if found.collected is not None else ()
    for words in (*worked, *found.cautions):
        say(words)


def _record(kit: Kit, one: desk.Answer) -> dict[str, object]:
    found = one.found
    record: dict[str, object] = {
        "piece": one.laid.label,
        "words": pieces.say_piece(kit, one.laid),
        "count": one.laid.count,
        "where": one.laid.where,
        "entry": one.laid.serial,
        "pulled_by": one.laid.pulled_by,
    }
    if found is None:
        return record | {"verdict": None, "reason": one.wrong}
    return record | {
        "verdict": found.verdict,
        "reason": found.reason,
        "melt_usd": found.metal.melt,
        f"fine_ozt_{found.metal.fine.basis}": found.metal.fine.ozt,
        "bids_usd": {bid.exit.name: bid.net for bid in found.metal.bids},
        "collector_net_usd": {
            sale.exit.name: _span_record(sale.net) for sale in (found.collected.sales if found.collected else ())
        },
        "over_heap_usd": None if found.extra is None else _span_record(found.extra),
        "threshold_usd": found.threshold,
        "cautions": list(found.cautions),
    }


def _span_record(span: Span) -> dict[str, Decimal]:
    return {"low": span.low, "mid": span.mid, "high": span.high}


@click.command("pull", short_help="Pull a piece: it becomes a heap of its own.")
@click.argument("label")
@click.option("--on", metavar="DATE", help=ON_HELP)
@click.option("--note", metavar="WORDS", help="A remark.")
@json_option
@click.pass_context
def pull_command(ctx: click.Context, /, label: str, **options: Any) -> None:
    r"""Book the piece under LABEL as pulled: a heap of its own at that place, with its share of its heap's cost.

    \b
    Example:
      ninefine pull E1-1
    """
    as_json = options.pop("as_json")
    kit = kit_of(ctx)
    booked(kit, desk.pull(kit, form_of(options) | {"label": label}), as_json=as_json)


@click.command("back", short_help="Put pieces told apart back among the common ones.")
@click.argument("heap")
@click.option("--amount", metavar="AMOUNT", help="How much of it; all of it if left out.")
@click.option("--place", metavar="CODE", help="Where they go; where they lie if left out.")
@click.option("--on", metavar="DATE", help=ON_HELP)
@click.option("--note", metavar="WORDS", help="A remark.")
@json_option
@click.pass_context
def back_command(ctx: click.Context, /, heap: str, **options: Any) -> None:
    r"""Book pieces of HEAP, told apart by date, as put back among the common ones of their design.

    \b
    Example:
      ninefine back L17/us-dime-mercury/1944-P --amount "3 pieces"
    """
    as_json = options.pop("as_json")
    kit = kit_of(ctx)
    booked(kit, desk.back(kit, form_of(options) | {"heap": heap}), as_json=as_json)


@click.command("figures", short_help="Set down what pieces and hours are held against.")
@click.option("--threshold", metavar="SUM", help="A piece is pulled only for more than this over its heap.")
@click.option("--hour", "hour_worth", metavar="SUM", help="What an hour is worth to you.")
@click.option("--speed", "pieces_per_hour", metavar="PIECES", help="Pieces that you tell apart in an hour.")
@click.option(
    "--against",
    type=click.Choice([str(one) for one in Against if one is not Against.FACE]),
    help="What a piece brings in the heap.",
)
@click.option("--grading", type=click.Choice(["together", "apart"]), help="How your grading of several pieces errs.")
@click.option("--stale-after", metavar="DAYS", help="When a sheet's price is called stale.")
@click.option("--share", "shares", multiple=True, metavar="FLAW=SHARE", help="What such a piece brings: holed=metal.")
@click.option("--on", type=Day(), help=ON_HELP)
@json_option
@click.pass_context
def figures_command(ctx: click.Context, /, shares: tuple[str, ...], **options: Any) -> None:
    r"""Set your own figures down for triage and searching; what is left out stays. With no option, show them.

    A SHARE is per cent of a sound piece's price, or `metal`: cleaned=50, mounted=30, holed=metal. Given again, the
    shares replace those before.

    \b
    Examples:
      ninefine figures
      ninefine figures --threshold 4 --hour 12 --share cleaned=50 --share holed=metal
    """
    as_json, on = options.pop("as_json"), options.pop("on")
    kit = kit_of(ctx)
    form = form_of(options)
    if not form and not shares:
        now = judging(kit)
        if as_json:
            say_json(now.as_dict())
        else:
            say(
                ledger(
                    ["figure", "value"], [[name.replace("_", " "), str(value)] for name, value in now.as_dict().items()]
                )
            )
        return
    stored = put_figures(kit, form, dict(_pair(share) for share in shares), on=on)
    booked_all(kit, stored, as_json=as_json)


def _pair(text: str) -> tuple[str, str]:
    name, found, value = text.partition("=")
    if not found:
        raise UnreadableError(f"{text!r} has no '=' in it.", instead=("cleaned=50", "holed=metal"))
    return name.strip(), value.strip()
