"""`ninefine look`: a coin, bar or mark by plain words. Opens the packaged catalog alone."""

import click

from ninefine.catalog.lookup import Hit, look
from ninefine.catalog.shelf import load_catalog
from ninefine.cli.show import ounces, say, say_json
from ninefine.errors import NotFoundError
from ninefine.measure.numbers import plain


@click.command("look", short_help="Look a coin, bar or mark up by plain words.")
@click.argument("words", nargs=-1, required=True)
@click.option(
    "--most", type=click.IntRange(min=1), metavar="NUMBER", default=5, show_default=True, help="How many to list."
)
@click.option("--json", "as_json", is_flag=True, help="Print JSON: exact decimals as strings.")
def look_command(words: tuple[str, ...], most: int, *, as_json: bool) -> None:
    r"""Look up WORDS: a nickname, denomination, date and mint, size, fineness, country, or a silver mark.

    \b
    Examples:
      ninefine look merc dime 1921-D
      ninefine look 1943 S war nickel
      ninefine look canada 50c 1967
    """
    text = " ".join(words)
    found = look(load_catalog(), text)
    if as_json:
        say_json(
            {
                "hits": [_record(hit) for hit in found.hits[:most]],
                "near": list(found.near),
                "never_struck": None if found.refusal is None else str(found.refusal),
            }
        )
        return
    if found.refusal is not None:
        raise found.refusal
    if not found.hits:
        raise NotFoundError(f"Nothing here answers to {text[:60]!r}.", instead=found.near)
    for hit in found.hits[:most]:
        _show(hit)


def _record(hit: Hit) -> dict[str, object]:
    kind, issue = hit.kind, hit.issue
    return {
        "slug": kind.slug,
        "name": kind.name,
        "metal": kind.metal,
        "form": kind.form.value,
        "gross_g": kind.gross_g,
        "fineness": kind.fineness,
        "fine_ozt_unworn": kind.fine_ozt,
        "fine_ozt_trade": kind.trade_ozt,
        "evidence": kind.evidence.sentence,
        "source": kind.source,
        "issue": None
        if issue is None
        else {
            "key": issue.key,
            "mintage": issue.mintage,
            "proofs": issue.proofs,
            "rank": issue.rank,
            "evidence": issue.evidence.sentence,
        },
        "cautions": list(hit.cautions),
    }


def _show(hit: Hit) -> None:
    kind = hit.kind
    size = "held by weight" if kind.gross_g is None else f"{plain(kind.gross_g)} g"
    fine = "" if kind.fine_ozt is None else f", {ounces(kind.fine_ozt)} ozt fine unworn"
    trade = "" if kind.trade_ozt is None or kind.trade_ozt == kind.fine_ozt else f", {ounces(kind.trade_ozt)} by trade"
    say(f"{kind.name} ({kind.slug}): {size}, fineness {plain(kind.fineness)}{fine}{trade}. {kind.form.value}.")
    rests_on = kind.evidence.sentence
    say(f"    {kind.source}." if kind.source.endswith(rests_on) else f"    {kind.source}: {rests_on}.")
    if hit.issue is not None:
        issue = hit.issue
        struck = "mintage not held" if issue.mintage is None else f"{issue.mintage:,} struck"
        proofs = "" if issue.proofs is None else f", {issue.proofs:,} proofs"
        rank = f"; {issue.rank}: {issue.look_for}" if issue.rank else ""
        say(f"    {issue.key}: {struck}{proofs}{rank}. Figures {issue.evidence.sentence}.")
    for caution in hit.cautions:
        say(f"    Mind: {caution}")
