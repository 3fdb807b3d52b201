"""The chart of worth through time as data, and its drawing."""

import json
from datetime import date
from decimal import Decimal
from xml.etree import ElementTree as ET

import pytest

from ninefine.papers.charts import PAPER, SCHEMA, SLATE, WHITE, Spec
from ninefine.papers.charts_books import HEIGHT, Month, worth_through_time
from ninefine.web.charts import to_svg

D = Decimal
SVG = "{http://www.w3.org/2000/svg}"
NAMES = ("worth 9,000", "cost 7,000")
MONTHS = [
    Month(on=date(2025, number, 28), worth=worth, cost=D(7000), read=number in {4, 5})
    for number, worth in enumerate((D(6000), D(9500), D(8000), None, D(8200), D(8500), D(9000)), 1)
]


def drawn(months: list[Month], width: int = 720, highest: str = "highest: 9,500") -> Spec:
    return worth_through_time(months, PAPER, width, unit="USD", highest=highest, names=NAMES)


def rows_of(spec: Spec, mark: str) -> list[Spec]:
    """Every row of the layers with a mark."""
    return [row for layer in spec["layer"] if layer["mark"]["type"] == mark for row in layer["data"]["values"]]


def words_of(spec: Spec) -> set[str]:
    return {row["words"] for row in rows_of(spec, "text")}


@pytest.mark.parametrize("width", [340, 720])
def test_it_is_plain_data_drawn_at_its_size(width: int) -> None:
    for palette in (PAPER, SLATE, WHITE):
        spec = worth_through_time(MONTHS, palette, width, unit="USD", highest="", names=NAMES)
        assert json.loads(json.dumps(spec)) == spec
        assert (spec["$schema"], spec["width"], spec["height"]) == (SCHEMA, width, HEIGHT)
    svg = to_svg(json.dumps(drawn(MONTHS, width)))
    root = ET.fromstring(svg)  # noqa: S314 - our own drawing
    assert (root.get("width"), root.get("height")) == (str(width), str(HEIGHT))
    assert b"NaN" not in svg
    assert b"undefined" not in svg


def test_months_stand_in_order_of_time_whatever_the_order_given() -> None:
    assert drawn(list(reversed(MONTHS))) == drawn(MONTHS)


def test_a_month_without_a_price_breaks_the_line_and_has_no_ring() -> None:
    spec = drawn(MONTHS)
    line = [row["value"] for row in rows_of(spec, "area")]

    assert line == [6000.0, 9500.0, 8000.0, None, 8200.0, 8500.0, 9000.0]
    assert [row["on"] for row in rows_of(spec, "point")] == ["2025-05-28"]
    paths = [
        path.get("d", "")
        for path in ET.fromstring(to_svg(json.dumps(spec))).iter(f"{SVG}path")  # noqa: S314 - our own drawing
        if path.get("stroke") == PAPER.ink and path.get("stroke-width") == "2"
    ]
    assert [path.count("M") for path in paths] == [2], "two strokes with a gap between them"


def test_each_line_is_named_at_its_end_the_higher_one_above() -> None:
    spec = drawn(MONTHS)
    under = drawn([Month(on=one.on, worth=one.worth, cost=D(99_000)) for one in MONTHS])

    assert set(NAMES) <= words_of(spec)
    drop = {
        row["words"]: layer["mark"]["dy"]
        for layer in spec["layer"]
        if layer["mark"]["type"] == "text"
        for row in layer["data"]["values"]
    }
    assert drop[NAMES[0]] < 0 < drop[NAMES[1]]
    drop = {
        row["words"]: layer["mark"]["dy"]
        for layer in under["layer"]
        if layer["mark"]["type"] == "text"
        for row in layer["data"]["values"]
    }
    assert drop[NAMES[1]] < 0 < drop[NAMES[0]]


def test_the_highest_is_named_where_it_stands_clear() -> None:
    last = [Month(on=one.on, worth=D(number), cost=D(1)) for number, one in enumerate(MONTHS)]

    assert "highest: 9,500" in words_of(drawn(MONTHS))
    assert "highest: 9,500" not in words_of(drawn(MONTHS, 340)), "no room on a phone"
    assert "highest: 9,500" not in words_of(drawn(last)), "it would run into the names"


def test_nothing_and_one_month_are_still_drawn() -> None:
    for months in ([], MONTHS[:1], [Month(on=date(2025, 1, 31), worth=None, cost=D(0))]):
        assert to_svg(json.dumps(drawn(months))).startswith(b"<svg")
