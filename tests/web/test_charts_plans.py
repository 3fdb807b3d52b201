"""Charts of plans: plain data, drawn at their size, with their words; bands lie around the middle line."""

import json
from collections.abc import Callable
from datetime import date
from decimal import Decimal
from xml.etree import ElementTree as ET

import pytest

from ninefine.papers.charts import PAPER, SLATE, WHITE, Palette, Point, Spec
from ninefine.papers.charts_plans import Cut, Level, Named, fan, lines
from ninefine.web.charts import to_svg

D = Decimal
SVG = "{http://www.w3.org/2000/svg}"
CUTS = [Cut(month=month, levels=tuple(D(60 + month * step) for step in (-2, -1, 0, 1, 3))) for month in range(13)]
ONE = [Cut(month=month, levels=(D(60 - month),)) for month in range(3)]
LEVELS = [Level(words="even by the shop", value=D(44)), Level(words="cover ends", value=D(71), look=True)]
NAMED = [
    Named(name="asked", points=tuple(Point(on=date(2020, month, 1), value=D(20 + month)) for month in range(1, 13))),
    Named(name="spot", points=tuple(Point(on=date(2020, month, 1), value=D(17 + month)) for month in range(1, 13))),
]
DRAWN: dict[str, tuple[Callable[[Palette, int], Spec], set[str]]] = {
    "fan": (
        lambda palette, width: fan(CUTS, palette, width, unit="USD an ozt", levels=LEVELS),
        {"even by the shop", "cover ends", "months from now"},
    ),
    "one path": (lambda palette, width: fan(ONE, palette, width, unit="USD an ozt"), {"months from now"}),
    "lines": (
        lambda palette, width: lines(NAMED, palette, width, unit="USD an ozt", levels=LEVELS[:1]),
        {"asked", "spot", "even by the shop"},
    ),
}


@pytest.mark.parametrize("name", DRAWN)
def test_a_chart_is_plain_data_drawn_at_its_size_with_its_words(name: str) -> None:
    draw, words = DRAWN[name]
    for palette in (PAPER, SLATE, WHITE):
        for width in (340, 640):
            text = json.dumps(draw(palette, width))
            assert '"url"' not in text
    root = ET.fromstring(to_svg(json.dumps(draw(PAPER, 640))))  # noqa: S314 - our own drawing
    said = {"".join(one.itertext()) for one in root.iter(f"{SVG}text")}

    assert (root.get("width"), root.get("height")) == ("640", "280")
    assert words <= said


def test_a_fan_has_a_band_for_each_pair_of_cuts_around_its_middle() -> None:
    spec = fan(CUTS, PAPER, 640, unit="USD")
    bands = [layer["data"]["values"] for layer in spec["layer"] if layer["mark"]["type"] == "area"]
    (middle,) = [layer["data"]["values"] for layer in spec["layer"] if layer["mark"]["type"] == "line"]

    assert len(bands) == 2
    for wide, narrow, line in zip(*bands, middle, strict=True):
        assert wide["value"] <= narrow["value"] <= line["value"] <= narrow["over"] <= wide["over"]


def test_a_level_to_look_at_stands_in_the_second_ink_and_above_the_lower_one() -> None:
    spec = fan(CUTS, PAPER, 640, unit="USD", levels=LEVELS)
    rules = [layer for layer in spec["layer"] if layer["mark"]["type"] == "rule"]

    assert [layer["data"]["values"][0]["words"] for layer in rules] == ["cover ends", "even by the shop"]
    assert rules[0]["mark"]["color"] == PAPER.red
    assert rules[1]["mark"]["color"] == PAPER.pencil
