"""Rings as commands: heard, kept as known, held against, booked."""

from pathlib import Path

import pytest

from cli.conftest import Ninefine

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"
DOLLAR, OTHER, COPPER = (str(EXAMPLES / f"ring-{name}.flac") for name in ("dollar-a", "dollar-b", "copper"))
KEEP = ("--kind", "morgan dollar", "--keep", "the 1921", "--known-by", "weight, gravity")


def test_a_recording_is_heard_without_a_book(ninefine: Ninefine) -> None:
    said = ninefine("ring", DOLLAR)

    assert said.code == 0, said.err
    assert said.out.startswith("3 strikes in 2.3 s, 5 partials; the strongest lies at 4,602.00 ± 0.01 Hz")
    assert "Do not strike proofs" in said.out
    assert "genuine" not in said.out


def test_a_known_ring_is_kept_held_against_and_struck_off(with_book: Ninefine) -> None:
    first = with_book("ring", DOLLAR, *KEEP)
    assert first.code == 0, first.err
    assert "You keep no known ring of this kind." in first.out
    assert "Entry 1" in first.out

    assert (
        "It rings as your known piece of Morgan dollar does" in with_book("ring", OTHER, "--kind", "morgan dollar").out
    )
    failed = with_book("ring", COPPER, "--kind", "morgan dollar", "--json").json
    assert failed["outcome"] == "failed"
    assert failed["held_against"][0]["name"] == "copper"
    assert float(failed["partials"][0]["hz"]) == pytest.approx(5960, abs=0.1)

    listed = with_book("rings")
    assert "the 1921" in listed.out
    assert "4,602, 4,617" in listed.out
    assert with_book("rings", "--json").json["rings"][0]["known_by"] == "weight, gravity"
    assert with_book("rings", "--forget", "the 1921").code == 0
    assert "No ring is known yet." in with_book("rings").out
    assert with_book("rings", "--forget", "the 1921").code == 2


def test_a_known_other_piece_says_what_it_is(with_book: Ninefine) -> None:
    kept = with_book("ring", COPPER, "--kind", "morgan dollar", "--keep", "disc", "--made-of", "a copper disc")

    assert kept.code == 0, kept.err
    assert "a copper disc" in with_book("rings").out


def test_a_test_is_booked_with_its_recording(with_book: Ninefine) -> None:
    with_book("ring", DOLLAR, *KEEP)
    said = with_book(
        "ring", OTHER, "--kind", "morgan dollar", "--piece", "the nick", "--with-recording", "--note", "over a cloth"
    )

    assert said.code == 0, said.err
    assert "Tested the nick: ring passed" in said.out
    assert with_book("check").code == 0


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        ((DOLLAR, "--keep", "x"), "needs a kind"),
        ((DOLLAR, *KEEP, "--piece", "x"), "One entry at a time"),
        ((DOLLAR, "--kind", "zzyzx"), "names no kind"),
        ((str(EXAMPLES / "none.wav"),), "cannot be read"),
        ((str(EXAMPLES / "quarry_dimes.csv"),), "no recording that can be read"),
        ((DOLLAR, "--kind", "morgan dollar", "--keep", "x"), "--known-by:"),
    ],
)
def test_what_cannot_be_done_is_told_and_nothing_is_booked(
    with_book: Ninefine, arguments: tuple[str, ...], words: str
) -> None:
    said = with_book("ring", *arguments)

    assert said.code == 2
    assert words in said.err
    assert "Entry" not in said.out
    assert "no ring is known yet" in with_book("rings").out.lower()
