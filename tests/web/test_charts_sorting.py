"""Charts of sorting and of finds as data, and their drawings."""

import json
from collections.abc import Callable
from decimal import Decimal
from functools import partial
from xml.etree import ElementTree as ET

import pytest

from ninefine.papers import charts_finds, charts_sorting
from ninefine.papers.charts import PAPER, SLATE, WHITE, Palette, Spec
from ninefine.web.charts import to_svg

D = Decimal
SVG = "{http://www.w3.org/2000/svg}"
COINAGE = [
    charts_sorting.Coinage(year=1916, mint="Philadelphia", struck=22_180_080, found=3),
    charts_sorting.Coinage(year=1917, mint="Philadelphia", struck=55_230_000, unchecked=True),
    charts_sorting.Coinage(year=1916, mint="Denver", struck=264_000, words="16"),
    charts_sorting.Coinage(year=1917, mint="Denver", struck=None, none=True),
]
FOUND = [
    charts_sorting.FoundAt(year=1963, mint="Denver", found=10, expected=D("20")),
    charts_sorting.FoundAt(year=1964, mint="Denver", found=40, expected=D("38.2")),
    charts_sorting.FoundAt(year=1955, mint="San Francisco", found=0, expected=D("1.5")),
]
PLACES = [
    charts_sorting.PlaceAt(year=1916, mint="Denver", filled=False, look=True),
    charts_sorting.PlaceAt(year=1917, mint="Denver", filled=True, look=True),
    charts_sorting.PlaceAt(year=1918, mint="Denver", filled=False),
]
REACH = [
    charts_finds.Reach(name="1916-D", half=7029, nearly=30378, look=True),
    charts_finds.Reach(name="1931-S", half=1031, nearly=4455),
]
LISTED = [
    charts_finds.ListedAt(number=4, grade="G4", low=D(45), high=D(50)),
    charts_finds.ListedAt(number=12, grade="F12", low=D(80), high=D(98)),
]
OVER = [
    charts_finds.Over(name="E1", low=D(44), mid=D(48), high=D(52), words="pull", look=True),
    charts_finds.Over(name="E2", low=D(-9), mid=D("-8.8"), high=D("-8.6"), words="back"),
]
DRAWINGS: dict[str, tuple[Callable[[Palette, int], Spec], int]] = {
    "mintage": (partial(charts_sorting.mintage_bands, COINAGE), 2 * charts_sorting.BAND + 16 + 40),
    "found": (partial(charts_sorting.found_bands, FOUND), 2 * charts_sorting.BAND + 16 + 40),
    "places": (partial(charts_sorting.places_grid, PLACES), 8 + charts_sorting.ROW + 40),
    "reach": (
        partial(charts_finds.reach_lines, REACH, 2500, at_words="this bag", unit="pieces"),
        charts_finds.HEAD + 2 * charts_finds.LINE + charts_finds.FOOT,
    ),
    "curve": (partial(charts_finds.price_curve, LISTED, unit="USD"), 260),
    "over": (
        partial(charts_finds.over_the_heap, OVER, D(4), unit="USD"),
        charts_finds.HEAD + 2 * charts_finds.LINE + charts_finds.FOOT,
    ),
}


def rows_of(spec: Spec, mark: str) -> list[Spec]:
    """Every row of the layers with a mark."""
    return [row for layer in spec["layer"] if layer["mark"]["type"] == mark for row in layer["data"]["values"]]


def words_of(spec: Spec) -> set[str]:
    return {row["words"] for row in rows_of(spec, "text")}


@pytest.mark.parametrize("name", DRAWINGS)
@pytest.mark.parametrize("width", [340, 720])
def test_a_chart_is_drawn_at_its_size_on_every_ground(name: str, width: int) -> None:
    draw, height = DRAWINGS[name]
    for palette in (PAPER, SLATE, WHITE):
        spec = json.loads(json.dumps(draw(palette, width)))
        assert '"url"' not in json.dumps(spec)
        drawn = to_svg(json.dumps(spec))
        root = ET.fromstring(drawn)  # noqa: S314 - our own drawing
        assert (root.get("width"), root.get("height")) == (str(width), str(height))
        assert b"NaN" not in drawn
        assert b"undefined" not in drawn


def test_a_low_date_is_named_an_unchecked_one_hollow_and_a_gap_crossed() -> None:
    spec = charts_sorting.mintage_bands(COINAGE, PAPER, 720)

    bars = [layer for layer in spec["layer"] if layer["mark"]["type"] == "bar"]
    solid, hollow = (layer["data"]["values"] for layer in bars)
    assert {row["x"] for row in solid} == {1916}
    assert [row["x"] for row in hollow] == [1917]
    assert bars[1]["mark"]["fill"] == PAPER.ground
    assert [row["x"] for row in rows_of(spec, "point")] == [1917]
    assert {"16", "3", "Philadelphia", "Denver", "1 million", "10 million"} <= words_of(spec)


def test_a_stem_ten_times_as_tall_a_figure_stands_one_step_higher() -> None:
    """The stems run by the logarithm: from 1 to 10 million is as far as from 10 to 100 million."""
    years = (1916, 1917, 1918)
    cells = [charts_sorting.Coinage(year=year, mint="P", struck=10 ** (6 + at)) for at, year in enumerate(years)]

    tops = [row["top"] for row in rows_of(charts_sorting.mintage_bands(cells, PAPER, 720), "bar")]

    assert tops[0] - tops[1] == pytest.approx(tops[1] - tops[2])
    assert tops[0] > tops[1]


def test_words_are_left_out_where_they_would_not_fit_and_marks_stay() -> None:
    spec = charts_sorting.mintage_bands(COINAGE, PAPER, 340)

    assert words_of(spec) == {"Philadelphia", "Denver"}
    assert [row["words"] for row in rows_of(spec, "point")[-1:]] == ["3"]


def test_on_paper_a_low_date_is_told_by_its_name_alone() -> None:
    spec = charts_sorting.mintage_bands(COINAGE, WHITE, 720)

    assert PAPER.red not in json.dumps(spec)
    assert "16" in words_of(spec)


def test_found_and_expected_stand_on_one_scale_within_a_mint() -> None:
    """Forty found over 38.2 expected: the stem ends above the level line; ten over twenty ends half way to it."""
    spec = charts_sorting.found_bands(FOUND, PAPER, 720)
    stems = {row["x"]: row for row in rows_of(spec, "bar")}
    levels = {row["x"]: row["y"] for row in rows_of(spec, "tick")}

    assert stems[1964]["top"] < levels[1964]
    assert stems[1963]["y"] - stems[1963]["top"] == pytest.approx((stems[1963]["y"] - levels[1963]) / 2)
    assert 1955 not in stems
    assert "40 at the top" in words_of(spec)


def test_a_place_that_is_filled_is_full_and_a_key_that_is_lacking_red() -> None:
    spec = charts_sorting.places_grid(PLACES, PAPER, 720)
    full, empty = (layer["data"]["values"] for layer in spec["layer"] if layer["mark"]["type"] == "point")

    assert [row["x"] for row in full] == [1917]
    assert {row["x"]: row["ink"] for row in empty} == {1916: PAPER.red, 1918: PAPER.ink}


def test_a_search_reaches_from_an_even_chance_to_a_near_certainty_across_the_bag() -> None:
    spec = DRAWINGS["reach"][0](PAPER, 720)
    lines = [row for row in rows_of(spec, "rule") if "x2" in row]

    assert [(row["x"], row["x2"]) for row in lines] == [(7029, 30378), (1031, 4455)]
    assert [row["x"] for row in rows_of(spec, "rule") if "x2" not in row] == [2500]
    assert spec["layer"][0]["encoding"]["x"]["scale"]["domain"] == [1000, 100_000]


def test_between_listed_grades_a_price_is_straight_on_its_scale() -> None:
    spec = DRAWINGS["curve"][0](PAPER, 640)

    assert {layer["encoding"]["y"]["scale"]["type"] for layer in spec["layer"]} == {"log"}
    assert words_of(spec) == {"G4", "F12"}


def test_what_a_piece_would_net_stands_beside_nought_and_the_threshold() -> None:
    spec = DRAWINGS["over"][0](PAPER, 720)
    low, high = spec["layer"][0]["encoding"]["x"]["scale"]["domain"]

    assert low < -9
    assert high > 52
    assert [row["x"] for row in rows_of(spec, "rule")[:2]] == [0.0, 4.0]
    assert {"E1: pull", "E2: back", "the threshold"} == words_of(spec)


def test_charts_of_nothing_are_still_drawn() -> None:
    specs = [
        charts_sorting.mintage_bands([], PAPER, 720),
        charts_sorting.found_bands([], PAPER, 720),
        charts_sorting.places_grid([], PAPER, 720),
        charts_finds.reach_lines([], 10, PAPER, 720, at_words="bag", unit="pieces"),
        charts_finds.price_curve([], PAPER, 640, unit="USD"),
        charts_finds.over_the_heap([], D(0), PAPER, 720, unit="USD"),
    ]

    for spec in specs:
        assert b"<svg" in to_svg(json.dumps(spec))
