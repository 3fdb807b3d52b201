"""`ninefine ring` and `rings`: a struck piece recorded and read, and the rings that it is held against."""

from decimal import Decimal
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from ninefine.assay.ring_heard import CAUTIONS, Heard
from ninefine.cli.common import ON_HELP, Day, booked, form_of, json_option, kit_of, say_and_book
from ninefine.cli.handed import read_bytes
from ninefine.cli.show import ledger, say, say_json
from ninefine.desk.heaps import say_goods
from ninefine.desk.kit import Kit
from ninefine.desk.records import Upload
from ninefine.desk.ring import (
    CANNOT,
    book_ring,
    decay_words,
    hold,
    hz_words,
    likely_words,
    listen,
    read_kind,
    ring_sentence,
)
from ninefine.desk.ring_bank import bank, forget_ring, keep_ring
from ninefine.errors import InputError

if TYPE_CHECKING:
    from ninefine.assay.ring_verdict import Comparison


@click.command("ring", short_help="Read the recording of a struck piece.")
@click.argument("recording", type=click.Path(path_type=Path))
@click.option(
    "--kind", metavar="WHAT", help="What the piece is taken for: it is held against known rings of that kind."
)
@click.option("--keep", "label", metavar="NAME", help="Keep it among the known rings, under a name of your own.")
@click.option(
    "--known-by", metavar="TESTS", help="With --keep: the tests by which it is known, such as weight, gravity."
)
@click.option(
    "--made-of", metavar="WHAT", help="With --keep: what it is instead, where it is known to be something else."
)
@click.option("--anew", is_flag=True, help="With --keep: the piece of that name, recorded anew.")
@click.option("--piece", metavar="WORDS", help="Book it as a test of this piece, in your own words.")
@click.option("--heap", metavar="HEAP", help="Book it as a test of a heap in the book, or of a piece of it.")
@click.option("--with-recording", is_flag=True, help="Keep the recording with the test that is booked.")
@click.option("--on", type=Day(), help=ON_HELP)
@click.option("--note", metavar="WORDS", help="A remark, kept with the test.")
@json_option
@click.pass_context
def ring_command(ctx: click.Context, /, recording: Path, **options: Any) -> None:
    r"""Read RECORDING (WAV, FLAC and others) of a piece that was struck: its partials, and how each dies away.

    With --kind it is held against your known rings of that kind; without any, against a flat disc of its size, which
    is only a rough expectation. A ring never says that a piece is genuine. Nothing leaves this computer.

    Do not strike proofs, high grades, fragile or valuable pieces. Several strikes are averaged: three are good.

    \b
    Examples:
      ninefine ring examples/ring-dollar-a.flac
      ninefine ring strike.wav --kind "morgan dollar"
      ninefine ring strike.wav --kind "morgan dollar" --keep "the 1921" --known-by "weight, gravity"
      ninefine ring strike.wav --kind "morgan dollar" --piece "the one with the nick" --with-recording
    """
    keeps = options["label"] is not None
    books = options["piece"] is not None or options["heap"] is not None
    if keeps and books:
        raise InputError("One entry at a time: book it as a test, or keep it among the known rings.")
    if (keeps or books) and not options["kind"]:
        raise InputError("A ring that is kept or booked needs a kind.", instead=('--kind "morgan dollar"',))
    data = read_bytes(recording)
    heard = listen(data, recording.name)
    kit = kit_of(ctx) if options["kind"] else None
    kind = None if kit is None else read_kind(kit, options["kind"])
    found = None if kit is None or kind is None else hold(kit, heard, kind)
    if kit is None or kind is None:
        if options["as_json"]:
            say_json(_record(heard, found))
        else:
            _say(heard, found)
        return
    book = None
    if books:
        form = form_of({name: options[name] for name in ("on", "piece", "heap", "note")})
        files = [Upload(name=recording.name, data=data)] if options["with_recording"] else []
        book = partial(book_ring, kit, heard, kind, form, files)
    if keeps:
        form = form_of({name: options[name] for name in ("label", "known_by", "made_of", "on")})
        form |= {"kind": kind.slug, "is": "other" if options["made_of"] else "sound"}
        form |= {"anew": "yes"} if options["anew"] else {}
        book = partial(keep_ring, kit, heard, form)
    say_and_book(kit, partial(_say, heard, found), _record(heard, found), book, as_json=options["as_json"])


def _say(heard: Heard, found: "Comparison | None") -> None:
    say(ring_sentence(heard))
    for remark in heard.remarks if heard.partials else ():
        say(f"{str(remark.call).capitalize()}: {remark.says}")
    if found is not None and not heard.remarks:
        say(found.evidence.says)
        if found.evidence.would_settle:
            say(found.evidence.would_settle)
    say(CANNOT)
    if heard.partials:
        say()
        rows = [
            [hz_words(one), decay_words(one), f"{one.level:.0f} dB", f"{one.strikes} of {len(heard.strikes)}"]
            for one in heard.partials
        ]
        say(ledger(["partial", "dies away in", "level", "in strikes"], rows, left=0))
    if found is not None and found.own is not None and heard.clear:
        say()
        rows = [[one.family.name, likely_words(one)] for one in found.held]
        say(ledger(["held against", "as likely as some other ring"], rows))
    say()
    for words in CAUTIONS:
        say(words)


def _record(heard: Heard, found: "Comparison | None") -> dict[str, object]:
    record: dict[str, object] = {
        "seconds": _exact(heard.seconds, 3),
        "strikes": len(heard.strikes),
        "remarks": [{"call": str(one.call), "says": one.says} for one in heard.remarks],
        "partials": [
            {
                "hz": _exact(one.hz, 2),
                "hz_u": _exact(one.hz_u, 2),
                "decay_ms": _exact(1000.0 * one.decay, 2),
                "decay_u_ms": _exact(1000.0 * one.decay_u, 2),
                "level_db": _exact(one.level, 1),
                "strikes": one.strikes,
            }
            for one in heard.partials
        ],
    }
    if found is not None:
        record |= {
            "kind": found.kind,
            "outcome": str(found.evidence.outcome),
            "says": found.evidence.says,
            "would_settle": found.evidence.would_settle,
            "held_against": [
                {"name": one.family.name, "pieces": one.family.pieces, "log_likelihood": _exact(one.log_odds, 2)}
                for one in found.held
            ],
        }
    return record


def _exact(value: float, places: int) -> Decimal:
    return Decimal(f"{value:.{places}f}")


@click.command("rings", short_help="Your known rings, or strike one off.")
@click.option("--forget", metavar="NAME", help="Strike a known ring off; the journal keeps it.")
@json_option
@click.pass_context
def rings_command(ctx: click.Context, forget: str | None, *, as_json: bool) -> None:
    r"""List the rings of pieces that are known by other tests: what a ring is held against.

    \b
    Examples:
      ninefine rings
      ninefine rings --forget "the 1921"
    """
    kit = kit_of(ctx)
    if forget is not None:
        booked(kit, forget_ring(kit, forget), as_json=as_json)
        return
    _list(kit, as_json=as_json)


def _list(kit: Kit, *, as_json: bool) -> None:
    known = bank(kit)
    if as_json:
        say_json(
            {
                "rings": [
                    {"name": one.label, **{name: value for name, value in one.as_dict().items() if name != "partials"}}
                    for one in known
                ]
            }
        )
        return
    if not known:
        say("No ring is known yet. Record pieces that you know by weight and gravity, and keep them:")
        say('  ninefine ring strike.wav --kind "morgan dollar" --keep "the 1921" --known-by "weight, gravity"')
        return
    rows = [
        [
            one.label,
            say_goods(one.kind, "", kit.catalog()),
            "sound" if one.sound else one.made_of,
            one.known_by,
            ", ".join(f"{partial.hz:,.0f}" for partial in one.partials[:5]),
        ]
        for one in known
    ]
    say(ledger(["name", "kind", "is", "known by", "partials, Hz"], rows, left=5))
