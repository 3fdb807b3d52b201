"""Charts as data, and their drawings."""

import json
import re
from datetime import date
from decimal import Decimal
from xml.etree import ElementTree as ET

import pytest

from ninefine.papers import charts
from ninefine.papers.charts import PAPER, SLATE, WHITE
from ninefine.web.charts import ChartShelf, to_svg
from web.conftest import Caller
from web.sampler import DRAWINGS

D = Decimal
SVG = "{http://www.w3.org/2000/svg}"


def rows_of(spec: charts.Spec, mark: str) -> list[charts.Spec]:
    """Every row of the layers with a mark."""
    return [row for layer in spec["layer"] if layer["mark"]["type"] == mark for row in layer["data"]["values"]]


def text_of(svg: bytes) -> list[str]:
    """The words in a drawing."""
    return ["".join(one.itertext()) for one in ET.fromstring(svg).iter(f"{SVG}text")]  # noqa: S314 - our own drawing


@pytest.mark.parametrize("name", sorted(DRAWINGS))
def test_a_chart_is_plain_data_of_its_own_size_with_no_address_in_it(name: str) -> None:
    draw, _, _ = DRAWINGS[name]
    for palette in (PAPER, SLATE, WHITE):
        for width in (340, 640):
            spec = json.loads(json.dumps(draw(palette, width)))
            assert (spec["$schema"], spec["width"]) == (charts.SCHEMA, width)
            assert '"url"' not in json.dumps(spec)


@pytest.mark.parametrize("name", sorted(DRAWINGS))
def test_a_chart_is_drawn_at_its_size_with_its_words(name: str) -> None:
    draw, _, (width, height) = DRAWINGS[name]

    drawn = to_svg(json.dumps(draw(PAPER, width)))

    root = ET.fromstring(drawn)  # noqa: S314 - our own drawing
    assert (root.get("width"), root.get("height")) == (str(width), str(height))
    assert len(text_of(drawn)) >= 4
    assert b"undefined" not in drawn
    assert b"NaN" not in drawn


def test_the_same_chart_is_drawn_the_same() -> None:
    spec = json.dumps(DRAWINGS["ruler"][0](PAPER, 640))

    assert to_svg(spec) == to_svg(spec)


def test_drawing_never_asks_the_network() -> None:
    spec = {"data": {"url": "http://127.0.0.1:9/x.json"}, "mark": "point", "encoding": {"x": {"field": "a"}}}

    with pytest.raises(ValueError, match="not allowed"):
        to_svg(json.dumps(spec))


def test_a_whole_has_a_hundred_reeds_shared_out_as_its_parts_are() -> None:
    parts = [("a", "81.2"), ("b", "10.6"), ("c", "5.1"), ("d", "3.1")]
    shares = [charts.Share(name=name, percent=D(part), words=f"{part}%") for name, part in parts]

    spec = charts.share_bar(shares, PAPER, 640)

    inks = [row["ink"] for row in rows_of(spec, "rule") if "ink" in row]
    assert len(inks) == 100
    counts = [inks.count(tint) for tint in PAPER.tints]
    assert counts == [81, 11, 5, 3, 0]
    assert {row["label"] for row in rows_of(spec, "text")} == {f"{name}: {part}%" for name, part in parts}


def test_a_ruler_holds_offers_below_melt_and_gives_every_label_a_level_of_its_own() -> None:
    ats = ["4.11", "1.20", "9.84", "-2.35", "9.10", "9.10"]
    marks = [charts.RulerMark(name=str(i), at=D(at), words=at, look=i == 1) for i, at in enumerate(ats)]

    spec = charts.premium_ruler(marks, PAPER, 640, unit="%")

    pins = rows_of(spec, "point")
    assert sorted(pin["x"] for pin in pins) == sorted(float(at) for at in ats)
    assert len({pin["y"] for pin in pins}) == len(ats)
    low, high = spec["layer"][0]["encoding"]["x"]["scale"]["domain"]
    assert low < -2.35
    assert high > 9.84
    assert [pin["label"] for pin in pins if pin["look"]] == ["1: 1.20"]


def test_bars_start_at_zero_so_that_their_lengths_can_be_compared() -> None:
    bars = [charts.Bar(name=name, length=D(pays), words=pays) for name, pays in (("a", "100"), ("b", "50"))]

    spec = charts.exit_bars(bars, PAPER, 640, unit="USD", line=D(120), line_words="melt")

    low, high = spec["layer"][0]["encoding"]["x"]["scale"]["domain"]
    assert (low, high) == (0, 120)
    drawn = to_svg(json.dumps(spec))
    widths = [float(w) for w in re.findall(rb'aria-roledescription="bar" d="M0,[\d.]+h([\d.]+)', drawn)]
    assert len(widths) == 2
    assert widths[0] == pytest.approx(2 * widths[1], rel=1e-6)


def test_a_loss_is_drawn_below_zero_rather_than_cut_off() -> None:
    bars = [charts.Bar(name="refiner", length=D(-12), words="-12"), charts.Bar(name="shop", length=D(30), words="30")]

    spec = charts.exit_bars(bars, PAPER, 640, unit="USD")

    assert spec["layer"][0]["encoding"]["x"]["scale"]["domain"] == [-12, 30]


def test_charts_of_nothing_and_of_one_thing_are_still_drawn() -> None:
    day = charts.Point(on=date(2026, 3, 3), value=D(30))
    specs = [
        charts.share_bar([], PAPER, 640),
        charts.premium_ruler([], PAPER, 640, unit="%"),
        charts.exit_bars([], PAPER, 640, unit="USD"),
        charts.price_line([day], [], PAPER, 640, unit="USD"),
        charts.counts_by_year([], PAPER, 640, unit="dimes"),
        charts.counts_by_year([charts.YearCount(year=1964, found=3)], PAPER, 640, unit="dimes"),
        charts.worth_by_month([day], [], PAPER, 640, unit="USD"),
    ]

    for spec in specs:
        assert b"<svg" in to_svg(json.dumps(spec))


def test_a_picture_is_drawn_when_asked_for_and_kept_by_what_it_shows() -> None:
    shelf = ChartShelf()
    draw, caption, size = DRAWINGS["share"]
    picture = shelf.hang(draw, alt="a", caption=caption, size=size)
    again = shelf.hang(draw, alt="b", caption=caption, size=size)

    dresses = [picture.paper, picture.slate, picture.paper_narrow, picture.slate_narrow, picture.printed]
    assert len(set(dresses)) == 5
    assert picture.paper == again.paper
    digest = picture.paper.removeprefix("/chart/").removesuffix(".svg")
    first = shelf.drawn(digest)
    assert first is not None
    assert shelf.drawn(digest) is first
    assert shelf.drawn("0" * 32) is None


def test_the_least_lately_used_picture_is_dropped_first() -> None:
    shelf = ChartShelf(most=5)
    share, ruler = DRAWINGS["share"], DRAWINGS["ruler"]
    old = shelf.hang(share[0], alt="", caption="", size=share[2])
    shelf.hang(ruler[0], alt="", caption="", size=ruler[2])

    assert shelf.drawn(old.paper.removeprefix("/chart/").removesuffix(".svg")) is None


def test_a_page_s_picture_is_served_with_its_own_fonts_and_may_do_nothing(caller: Caller) -> None:
    page = caller.get("/sheet").text
    address = re.findall(r'<img src="(/chart/[0-9a-f]{32}\.svg)"', page)[0]

    answer = caller.get(address)

    assert answer.status_code == 200
    assert answer.headers["content-type"] == "image/svg+xml"
    assert "immutable" in answer.headers["cache-control"]
    assert answer.headers["content-security-policy"].startswith("default-src 'none'; style-src 'unsafe-inline';")
    assert "script-src" not in answer.headers["content-security-policy"]
    assert b"@font-face" in answer.content
    assert caller.get("/chart/00000000000000000000000000000000.svg").status_code == 404


def test_a_page_offers_a_picture_in_the_dress_of_its_ground(caller: Caller) -> None:
    auto = caller.get("/sheet").text
    slate = caller.get("/sheet", Cookie=caller.cookie["Cookie"] + "; ninefine_ground=slate").text

    assert "(prefers-color-scheme: dark)" in auto
    assert "(prefers-color-scheme: dark)" not in slate
    first = re.findall(r'<img src="(/chart/[^"]+)"', slate)[0]
    assert SLATE.ink.encode() in caller.get(first).content
