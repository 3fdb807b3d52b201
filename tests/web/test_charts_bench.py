"""Charts of the bench as data, and their drawings."""

import json
from functools import partial
from xml.etree import ElementTree as ET

import pytest

from ninefine.papers.charts import PAPER, SLATE, WHITE, Palette
from ninefine.papers.charts_bench import BARS, FOOT, HEAD, LINE, Chance, ReadAt, SpanAt, chances, reading_among
from ninefine.web.charts import to_svg

SVG = "{http://www.w3.org/2000/svg}"
SPANS = [
    SpanAt(name="a new piece, by law", low=6.153, high=6.347, words="6.15 to 6.35 g"),
    SpanAt(name="99 in 100 of its sort", low=5.955, high=6.431, words="5.96 to 6.43 g"),
]
READ = ReadAt(value=5.67, low=5.65, high=5.69, words="5.67 g", look=True)
CHANCES = [Chance(number=number, percent=percent) for number, percent in ((0, 13.4), (1, 17.7), (2, 20.1), (3, 19.0))]


@pytest.mark.parametrize("palette", [PAPER, SLATE, WHITE])
@pytest.mark.parametrize("width", [320, 720])
def test_they_are_drawn_as_wide_as_asked_with_every_word(palette: Palette, width: int) -> None:
    for build, height, words in (
        (
            partial(reading_among, SPANS, READ, unit="grams"),
            HEAD + 2 * LINE + FOOT,
            ["a new piece, by law: 6.15 to 6.35 g", "99 in 100 of its sort: 5.96 to 6.43 g", "5.67 g", "grams"],
        ),
        (partial(chances, CHANCES, unit="clad in the roll"), BARS, ["13%", "18%", "20%", "19%", "clad in the roll"]),
    ):
        drawn = ET.fromstring(to_svg(json.dumps(build(palette, width))))  # noqa: S314 - our own drawing
        told = ["".join(text.itertext()) for text in drawn.iter(f"{SVG}text")]
        assert abs(float(drawn.attrib["width"]) - width) <= 1
        assert abs(float(drawn.attrib["height"]) - height) <= 1
        for word in words:
            assert word in told


def test_red_is_only_for_what_lies_outside() -> None:
    inside = ReadAt(value=6.2, low=6.19, high=6.21, words="6.20 g")

    assert PAPER.red in json.dumps(reading_among(SPANS, READ, PAPER, 720, unit="grams"))
    assert PAPER.red not in json.dumps(reading_among(SPANS, inside, PAPER, 720, unit="grams"))


def test_the_reading_and_every_span_lie_on_the_scale() -> None:
    spec = reading_among(SPANS, READ, PAPER, 720, unit="grams")
    low, high = spec["layer"][0]["encoding"]["x"]["scale"]["domain"]

    assert low < 5.65
    assert high > 6.431


def test_narrow_bars_carry_no_words() -> None:
    many = [Chance(number=number, percent=5.0) for number in range(20)]

    assert b">5%<" not in to_svg(json.dumps(chances(many, PAPER, 320, unit="x")))
    assert b">5%<" in to_svg(json.dumps(chances(many, PAPER, 720, unit="x")))
