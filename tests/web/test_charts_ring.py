"""The picture of a ring as data, and its drawing."""

import json
from xml.etree import ElementTree as ET

import pytest

from ninefine.papers.charts import PAPER, SLATE, WHITE, Palette
from ninefine.papers.charts_ring import HEIGHT, Awaited, Sounding, ring_lines
from ninefine.web.charts import to_svg

SVG = "{http://www.w3.org/2000/svg}"
PARTIALS = [
    Sounding(hz=4531, decay_ms=290, level=0, words="4,531"),
    Sounding(hz=4552, decay_ms=300, level=-5, words="4,552"),
    Sounding(hz=8011, decay_ms=210, level=-8, words="8,011"),
    Sounding(hz=18470, decay_ms=100, level=-11, words="18,470"),
]
BANDS = [Awaited(low=4200, high=5000), Awaited(low=7500, high=8800, words="Morgan dollar, as known")]


@pytest.mark.parametrize("palette", [PAPER, SLATE, WHITE])
@pytest.mark.parametrize("width", [340, 720])
def test_it_is_drawn_as_wide_as_asked_with_every_word(palette: Palette, width: int) -> None:
    drawn = ET.fromstring(to_svg(json.dumps(ring_lines(PARTIALS, BANDS, palette, width))))  # noqa: S314 - our own
    told = ["".join(text.itertext()) for text in drawn.iter(f"{SVG}text")]

    assert abs(float(drawn.attrib["width"]) - width) <= 1
    assert abs(float(drawn.attrib["height"]) - HEIGHT) <= 1
    for word in ("4,531, 4,552 Hz", "8,011 Hz", "18,470 Hz", "Morgan dollar, as known", "kHz"):
        assert word in told


def test_a_line_is_as_long_as_its_partial_is_heard() -> None:
    """From 8 dB under the strongest to 40 dB: 32 dB at 8.686 dB a decay are 3.684 decays, of 210 ms each 774 ms."""
    spec = ring_lines(PARTIALS, BANDS, PAPER, 720)
    lines = [row for row in spec["layer"][1]["data"]["values"] if row["y"] == pytest.approx(8.011)]

    assert lines[0]["x"] == 0.0
    assert lines[-1]["x2"] == pytest.approx(773.6, abs=0.5)
    assert [row["ink"] for row in lines] == list(PAPER.tints[1:])


def test_a_partial_alone_needs_no_band() -> None:
    assert b"1,000 Hz" in to_svg(
        json.dumps(ring_lines([Sounding(hz=1000, decay_ms=9, level=0, words="1,000")], [], PAPER, 720))
    )
