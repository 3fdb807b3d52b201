"""The look, as far as numbers can judge it: contrast, one palette, fonts, files from elsewhere."""

import hashlib
import re
from importlib import resources
from itertools import pairwise
from pathlib import Path

import pytest

from ninefine.papers.charts import PAPER, SLATE, WHITE, Palette
from ninefine.web import assets

STATIC = Path(str(resources.files("ninefine.web") / "static"))


def tokens(place: int) -> dict[str, str]:
    """The inks of the style sheet: `place` 0 for paper, 1 for slate."""
    sheet = (STATIC / "ground.css").read_text(encoding="utf-8")
    pairs = re.findall(r"--([a-z]+): light-dark\((#[0-9a-f]{6}), (#[0-9a-f]{6})\)", sheet)
    return {name: colours[place] for name, *colours in pairs}


def luminance(colour: str) -> float:
    """Relative luminance, WCAG 2.2, definition of relative luminance."""
    channels = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Contrast ratio, WCAG 2.2, definition of contrast ratio."""
    dark, light = sorted((luminance(one), luminance(other)))
    return (light + 0.05) / (dark + 0.05)


def test_the_measure_of_contrast_agrees_with_the_published_ends() -> None:
    """WCAG 2.2: ratios run from 1 to 21; grey #767676 on white is the known threshold of 4.54."""
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#767676", "#ffffff") == pytest.approx(4.54, abs=0.005)


@pytest.mark.parametrize("place", [0, 1], ids=["paper", "slate"])
def test_words_and_edges_have_contrast_enough_on_both_grounds(place: int) -> None:
    """WCAG 2.2 AA: 4.5 for words (1.4.3), 3 for the edges of controls (1.4.11)."""
    ink = tokens(place)

    assert set(ink) == {"paper", "leaf", "ink", "pencil", "rule", "feint", "red"}
    for ground in ("paper", "leaf"):
        for words in ("ink", "pencil", "red"):
            assert contrast(ink[words], ink[ground]) >= 4.5, (words, ground)
        assert contrast(ink["rule"], ink[ground]) >= 3, ground
    assert contrast(ink["ink"], ink["paper"]) >= 7


@pytest.mark.parametrize(("palette", "place"), [(PAPER, 0), (SLATE, 1)], ids=["paper", "slate"])
def test_charts_are_drawn_in_the_inks_of_the_page(palette: Palette, place: int) -> None:
    ink = tokens(place)

    assert palette.ground == ink["paper"]
    assert {name: getattr(palette, name) for name in ("ink", "pencil", "rule", "feint", "red")} == {
        name: ink[name] for name in ("ink", "pencil", "rule", "feint", "red")
    }


@pytest.mark.parametrize("palette", [PAPER, SLATE, WHITE], ids=["paper", "slate", "white"])
def test_the_tints_of_a_chart_can_be_told_from_their_neighbours(palette: Palette) -> None:
    """Each step is seen against the next, and the tints that carry bars are seen against the ground (WCAG 1.4.11)."""
    assert all(contrast(one, other) >= 1.25 for one, other in pairwise(palette.tints))
    assert all(contrast(tint, palette.ground) >= 2.8 for tint in palette.tints[:3])
    assert contrast(palette.pencil, palette.ground) >= 4.5


def test_the_second_ink_is_the_only_colour_beside_ink_and_paper() -> None:
    """Style sheets name colours in one place alone."""
    for path in STATIC.glob("*.css"):
        text = path.read_text(encoding="utf-8")
        if path.name == "ground.css":
            text = re.sub(r"light-dark\([^)]*\)", "", text)
        if path.name == "print.css":
            text = re.sub(r"--[a-z]+: #[0-9a-f]{3}", "", text)
        assert not re.search(r"#[0-9a-f]{3,8}\b|\brgba?\(|\bhsla?\(", text), path.name


def test_style_sheets_ask_nothing_of_the_network_and_hold_what_they_name() -> None:
    for path in STATIC.glob("*.css"):
        for address in re.findall(r'url\("?([^")]+)"?\)', path.read_text(encoding="utf-8")):
            assert address in assets.shelf(), (path.name, address)


def test_files_from_elsewhere_are_listed_with_their_licence_and_digest_and_are_unchanged() -> None:
    listed = dict(
        re.findall(r"^\| (\S+) \|.*\| ([0-9a-f]{64}) \|$", (STATIC / "VENDORED.md").read_text(), re.MULTILINE)
    )

    assert len(listed) == 12
    for name, digest in listed.items():
        assert hashlib.sha256((STATIC / name).read_bytes()).hexdigest() == digest, name
    foreign = {str(path.relative_to(STATIC)) for path in STATIC.rglob("*") if path.suffix in {".woff2", ".txt"}}
    assert foreign | {"htmx.min.js"} == set(listed)


def test_fonts_stay_small() -> None:
    assert sum(path.stat().st_size for path in STATIC.rglob("*.woff2")) < 400_000
