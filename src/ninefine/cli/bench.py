"""`ninefine bench`: one piece, a heap, a roll, density by water, household ware; what was tested; the instruments."""

from collections.abc import Sequence
from pathlib import Path
from typing import Any

import click

from ninefine.assay.evidence import Evidence
from ninefine.assay.hidden import HiddenMix, mix_words
from ninefine.assay.verdict import Verdict
from ninefine.cli import bench_instruments
from ninefine.cli.common import ON_HELP, booked, form_of, json_option, kit_of
from ninefine.cli.group import TellingGroup
from ninefine.cli.handed import read_bytes
from ninefine.cli.show import ledger, money, say, say_json
from ninefine.desk import bench as desk
from ninefine.desk import bench_tries as tries
from ninefine.desk.bench_table import pack_rows
from ninefine.desk.kit import Kit
from ninefine.desk.records import Upload

_WEIGHT = "As shown: `2.47 g`; read again, `2.47, 2.48 g`; in portions, `1461 g + 950 g`."
_BAND = "How worn it looks: uncirculated, AU to EF, VF to F, VG to G, worn flat."
_EDGES = "How its edges look, every one seen: even, copper stripe, dull stripe, seam, wrong reeds."
#: Options that say where a test is kept; the rest belong to the test.
_KEEPING = ("keep", "on", "note", "files", "as_json")


_KEPT_BY = (
    click.option("--keep", metavar="PIECE", help="Book the tests, of this piece: your own words for it."),
    click.option("--heap", metavar="HEAP", help="The heap that it is of, as L1/us-dime-90."),
    click.option("--on", metavar="DATE", help=ON_HELP),
    click.option("--note", metavar="WORDS", help="A remark, kept with the tests."),
    click.option("--file", "files", multiple=True, type=click.Path(path_type=Path), help="A photo to keep with them."),
    click.option("--scale", metavar="NAME", help="Which of your scales; else by the digits typed."),
)


def keeping(command: Any) -> Any:
    """The options by which a test is booked."""
    command = json_option(command)
    for option in reversed(_KEPT_BY):
        command = option(command)
    return command


@click.group("bench", cls=TellingGroup, short_help="Test a piece, a heap or a roll: weight, size, density, magnet.")
def bench_command() -> None:
    r"""Hold pieces against what they should be. What was read and said is kept; no piece is ever called genuine.

    \b
    Examples:
      ninefine bench piece "morgan dollar" --weight "26.70 g" --diameter 38.1 --magnet slow
      ninefine bench roll quarters "246.5 g" --amount "1 roll"
      ninefine bench gravity "morgan dollar" "26.70 g" "24.12 g" --celsius 20
    """


@bench_command.command("piece", short_help="All tests of one piece, and what they come to.")
@click.argument("kind")
@click.option("--weight", metavar="WEIGHT", help=_WEIGHT)
@click.option("--band", metavar="WORDS", help=_BAND)
@click.option("--diameter", metavar="LENGTH", help="In mm, or `1.205 in`; at several places, parted by commas.")
@click.option("--thickness", metavar="LENGTH", help="Over the rim, in mm.")
@click.option("--magnet", metavar="WORD", help="pulls, nothing; sliding down at 45 degrees: slow, fast.")
@click.option("--edge", metavar="WORDS", help="even, copper stripe, dull stripe, seam, wrong reeds.")
@click.option("--wet", metavar="WEIGHT", help="What the scale showed in water.")
@click.option("--way", metavar="WORD", help="hung (from the scale), or lowered (into a tared vessel on it).")
@click.option("--celsius", metavar="NUMBER", help="Temperature of the water; `68 F` is read too.")
@click.option("--thread", metavar="LENGTH", help="How thick the thread is where it passes the surface.")
@keeping
@click.pass_context
def piece_command(ctx: click.Context, /, **options: Any) -> None:
    r"""Hold one piece against KIND by every reading that is given, and join what they say.

    Two failures that rest on different grounds, or one weight that no wear explains, set it aside.

    \b
    Examples:
      ninefine bench piece "morgan dollar" --weight "26.70 g" --diameter 38.1 --edge even
      ninefine bench piece us-half-barber --weight "11.80 g" --band "VG to G" --keep "the half with the nick"
    """
    _one(kit_of(ctx), options)


@bench_command.command("weigh", short_help="Weigh one piece against law and wear.")
@click.argument("kind")
@click.argument("weight")
@click.option("--band", metavar="WORDS", help=_BAND)
@keeping
@click.pass_context
def weigh_command(ctx: click.Context, /, **options: Any) -> None:
    r"""Hold one piece's WEIGHT against what the law let a new one weigh, and against wear.

    \b
    Example:
      ninefine bench weigh us-quarter-washington-silver "6.18 g"
    """
    _one(kit_of(ctx), options)


@bench_command.command("size", short_help="Diameter and thickness against the catalog's.")
@click.argument("kind")
@click.option("--diameter", metavar="LENGTH", help="In mm, or `1.205 in`; at several places, parted by commas.")
@click.option("--thickness", metavar="LENGTH", help="Over the rim, in mm.")
@click.option("--band", metavar="WORDS", help=_BAND)
@keeping
@click.pass_context
def size_command(ctx: click.Context, /, **options: Any) -> None:
    r"""Hold the sizes of one piece against KIND.

    \b
    Example:
      ninefine bench size us-half-franklin --diameter "30.60, 30.62 mm" --thickness 1.8
    """
    _one(kit_of(ctx), options)


@bench_command.command("gravity", short_help="Density by weighing dry and in water.")
@click.argument("kind")
@click.argument("weight")
@click.argument("wet")
@click.option("--celsius", metavar="NUMBER", required=True, help="Temperature of the water; `68 F` is read too.")
@click.option("--way", metavar="WORD", help="hung (from the scale), or lowered (into a tared vessel on it).")
@click.option("--thread", metavar="LENGTH", help="How thick the thread is where it passes the surface.")
@keeping
@click.pass_context
def gravity_command(ctx: click.Context, /, **options: Any) -> None:
    r"""Work out the density of a piece from its WEIGHT in air and WET, what the scale showed in water.

    \b
    Examples:
      ninefine bench gravity "morgan dollar" "26.70 g" "24.12 g" --celsius 20
      ninefine bench gravity xag-us-eagle-1oz "31.10 g" "2.96 g" --way lowered --celsius 21
    """
    _one(kit_of(ctx), options, tell_all=True)


def _one(kit: Kit, options: dict[str, Any], *, tell_all: bool = False) -> None:
    form = form_of({name: value for name, value in options.items() if name not in _KEEPING})
    tests = tries.try_piece(kit, form)
    if options["keep"] is None and options["as_json"]:
        say_json(_record(tests.evidence, tests.verdict))
        return
    if options["keep"] is None:
        _say(tests.evidence, tests.verdict)
        if tell_all and tests.gravity is not None:
            fits = tests.gravity.fits
            near = (*fits, *tests.gravity.fits_not[:12])
            rows = [[one.name, one.source, "fits" if one in fits else "no", f"{one.density:.2f}"] for one in near]
            say()
            say(ledger(["may be", "source of the figure", "", "g/cm3"], rows, left=3))
        return
    _keep(kit, tests.evidence, {**form, "piece": options["keep"]}, options)


@bench_command.command("heap", short_help="A heap's fine ounces and wear by scale.")
@click.argument("kind")
@click.argument("weight")
@click.option("--amount", metavar="AMOUNT", help="How much it is: `40 pieces`, `2 rolls`, `10 face`.")
@click.option("--edges", "edge", metavar="WORDS", help=_EDGES)
@click.option("--magnet", metavar="WORD", help="pulls, nothing.")
@click.option("--band", metavar="WORDS", help=_BAND)
@keeping
@click.pass_context
def heap_command(ctx: click.Context, /, **options: Any) -> None:
    r"""Hold the WEIGHT of a heap of one KIND against specification and the trade's count.

    \b
    Example:
      ninefine bench heap quarters "3015.0 g" --amount "489 pieces"
    """
    _many(kit_of(ctx), {**options, "strangers": "none"})


@bench_command.command("roll", short_help="How many clad or 40% pieces may hide in a roll.")
@click.argument("kind")
@click.argument("weight")
@click.option("--amount", metavar="AMOUNT", required=True, help="How much it is: `40 pieces`, `1 roll`.")
@click.option("--edges", "edge", metavar="WORDS", help=_EDGES)
@click.option("--band", metavar="WORDS", help=_BAND)
@click.option("--hides", "strangers", metavar="KINDS", help="What may hide, parted by commas; clad if left out.")
@click.option("--sample", metavar="WEIGHT", help="Of pieces of this roll that surely belong, weighed by themselves.")
@click.option("--sample-of", "sample_count", metavar="NUMBER", help="How many pieces the sample is of.")
@keeping
@click.pass_context
def roll_command(ctx: click.Context, /, **options: Any) -> None:
    r"""Tell every number of strangers that a roll of KIND of this WEIGHT may hide, with its likelihood.

    \b
    Examples:
      ninefine bench roll quarters "246.5 g" --amount "1 roll"
      ninefine bench roll halves "240.1 g" --amount "20 pieces" --hides "us-half-kennedy-40, us-half-clad"
    """
    _many(kit_of(ctx), options)


def _many(kit: Kit, options: dict[str, Any]) -> None:
    form = form_of({name: value for name, value in options.items() if name not in _KEEPING})
    tests = tries.try_heap(kit, form)
    if options["keep"] is not None:
        _keep(kit, tests.evidence, {**form, "piece": options["keep"]}, options)
        return
    if options["as_json"]:
        say_json(_record(tests.evidence, tests.verdict) | {"answers": _answers(tests.mix)})
        return
    _say(tests.evidence, tests.verdict)
    if tests.mix is not None:
        say()
        rows = [
            [mix_words(one.strangers, tests.mix.strangers), f"{one.likelihood * 100:.1f}%", f"{one.weight_g:.2f}"]
            for one in tests.mix.held
        ]
        say(ledger(["hidden", "likelihood", "such a roll weighs, g"], rows))


def _answers(mix: HiddenMix | None) -> list[dict[str, object]]:
    held = () if mix is None else mix.held
    return [{"hidden": list(one.strangers), "likelihood": f"{one.likelihood:.6f}"} for one in held]


@bench_command.command("ware", short_help="Household silver: mark, build, weight.")
@click.argument("mark")
@click.option("--built", metavar="BUILD", help="weighted-candlestick, hollow-handle-dinner-knife and others.")
@click.option("--weight", metavar="WEIGHT", help=_WEIGHT)
@click.option("--magnet", metavar="WORD", help="pulls, nothing.")
@keeping
@click.pass_context
def ware_command(ctx: click.Context, /, **options: Any) -> None:
    r"""Read household silver by its MARK, how it is built and what it weighs. Nothing is cut open.

    \b
    Example:
      ninefine bench ware "STERLING WEIGHTED" --built weighted-candlestick --weight "274 g" --magnet pulls
    """
    kit = kit_of(ctx)
    form = form_of({name: value for name, value in options.items() if name not in _KEEPING})
    found = tries.try_ware(kit, form)
    if options["keep"] is not None:
        _keep(kit, found.evidence, {**form, "piece": options["keep"]}, options)
    elif options["as_json"]:
        say_json(_record(found.evidence, found.verdict))
    else:
        _say(found.evidence, found.verdict)


@bench_command.command("table", short_help="What rolls and bags weigh, and when clad shows.")
@json_option
@click.pass_context
def table_command(ctx: click.Context, *, as_json: bool) -> None:
    r"""Tell what rolls and bags weigh, without paper: as struck, by the trade's count, and 99 in 100 of them.

    \b
    Example:
      ninefine bench table
    """
    rows = pack_rows(kit_of(ctx))
    if as_json:
        names = ("pack", "count", "unworn_g", "trade_g", "low_g", "high_g", "clad_g", "shows_from")
        say_json({"packs": [{"kind": one.kind.slug, **{name: getattr(one, name) for name in names}} for one in rows]})
        return
    heads = ["of", "pack", "pieces", "as struck, g", "trade, g", "from", "to", "one clad, g", "clad shows from"]
    cells = []
    for one in rows:
        figures = (one.unworn_g, one.trade_g, one.low_g, one.high_g)
        told = [money(value, 1) for value in figures]
        shows = str(one.shows_from or "-")
        cells.append([one.kind.name, one.pack, f"{one.count:,}", *told, money(one.clad_g), shows])
    say(ledger(heads, cells, left=2))


@bench_command.command("tests", short_help="What was tested, joined piece by piece.")
@click.argument("entry", type=int, required=False)
@json_option
@click.pass_context
def tests_command(ctx: click.Context, entry: int | None, *, as_json: bool) -> None:
    r"""List what was tested, the last first; or say all of the piece that an ENTRY of tests is about.

    \b
    Examples:
      ninefine bench tests
      ninefine bench tests 12
    """
    kit = kit_of(ctx)
    if entry is not None:
        one = desk.bench(kit, entry)
        if as_json:
            say_json({"piece": one.words, **_record(one.verdict.evidence, one.verdict)})
            return
        say(f"{one.words}, last tested on {one.last.isoformat()}.")
        _say(one.verdict.evidence, one.verdict)
        return
    every = desk.all_benches(kit)
    if as_json:
        say_json({"tested": [{"entry": one.name, "piece": one.words, "verdict": one.verdict.finding} for one in every]})
    elif not every:
        say("Nothing was tested yet.")
    else:
        rows = [[str(one.name), one.last.isoformat(), one.words, one.verdict.finding] for one in every]
        say(ledger(["entry", "last", "what", "verdict"], rows, left=4))


def _say(evidence: Sequence[Evidence], verdict: Verdict) -> None:
    say(verdict.says)
    say()
    for one in evidence:
        say(f"{one.test.replace('-', ' ').capitalize()}, {one.outcome}. {one.says}")
    for words in verdict.would_settle:
        say(f"To settle: {words}")
    for caution in dict.fromkeys(caution for one in evidence for caution in one.cautions):
        say(f"Mind: {caution}")


def _record(evidence: Sequence[Evidence], verdict: Verdict) -> dict[str, object]:
    return {
        "verdict": verdict.finding,
        "says": verdict.says,
        "not_done": list(verdict.not_done),
        "would_settle": list(verdict.would_settle),
        "tests": [
            {
                "test": one.test,
                "outcome": one.outcome,
                "against": one.against,
                "says": one.says,
                "figures": [
                    {
                        "name": read.name,
                        "value": read.value,
                        "standard_uncertainty": read.uncertainty,
                        "unit": read.unit,
                    }
                    for read in one.figures
                ],
            }
            for one in evidence
        ],
    }


def _keep(kit: Kit, evidence: Sequence[Evidence], form: dict[str, str], options: dict[str, Any]) -> None:
    uploads = [Upload(name=file.name, data=read_bytes(file)) for file in options["files"]]
    form = {**form, **form_of({"on": options["on"], "note": options["note"]})}
    booked(kit, desk.book_test(kit, form, evidence, uploads), as_json=options["as_json"])


for _command in (
    bench_instruments.scale_command,
    bench_instruments.calipers_command,
    bench_instruments.thermometer_command,
):
    bench_command.add_command(_command)
