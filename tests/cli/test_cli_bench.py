"""The bench as commands."""

from pathlib import Path

import pytest

from cli.conftest import Ninefine
from ninefine.cli.bench import bench_command


def test_one_piece_by_every_reading(with_book: Ninefine) -> None:
    said = with_book(
        *("bench", "piece", "morgan dollar", "--weight", "26.70 g", "--diameter", "38.1", "--magnet", "slow"),
        *("--wet", "24.12 g", "--celsius", "20"),
    )

    assert said.code == 0, said.err
    assert said.out.startswith("Nothing speaks against it so far. Passed: weight, diameter, magnet and gravity.")
    assert "Density 10.32" in said.out
    assert "genuine" not in said.out


def test_a_piece_is_kept_with_a_photo_and_listed(with_book: Ninefine, tmp_path: Path) -> None:
    photo = tmp_path / "edge.jpg"
    photo.write_bytes(b"picture")
    weighed = ("bench", "weigh", "us-quarter-washington-silver", "5.67 g")
    kept = with_book(*weighed, "--keep", "the dull one", "--file", str(photo), "--note", "from the show")
    listed, told = with_book("bench", "tests"), with_book("bench", "tests", "1", "--json").json

    assert kept.out.startswith("Entry 1,")
    assert "set aside; kept edge.jpg" in kept.out
    assert "the dull one  set aside" in listed.out
    assert told["verdict"] == "set aside"
    assert told["tests"][0]["figures"][0]["unit"] == "g"
    assert with_book(*weighed, "--keep", "x", "--file", str(tmp_path / "none.jpg")).code == 2
    assert with_book("bench", "tests", "9").code == 2
    assert "not set" not in with_book("bench", "tests", "1").out


def test_a_roll_tells_every_answer(with_book: Ninefine) -> None:
    said = with_book("bench", "roll", "quarters", "246.5 g", "--amount", "1 roll")
    record = with_book("bench", "roll", "quarters", "246.5 g", "--amount", "1 roll", "--json").json
    kept = with_book("bench", "roll", "quarters", "246.5 g", "--amount", "1 roll", "--keep", "the third roll")

    assert "2 of Washington quarter, copper-nickel clad" in said.out
    assert sum(float(one["likelihood"]) for one in record["answers"]) == pytest.approx(0.97, abs=0.03)
    assert "hidden mix unsure" in kept.out


def test_a_heap_by_scale(with_book: Ninefine) -> None:
    said = with_book("bench", "heap", "quarters", "3015.0 g", "--amount", "489 pieces")

    assert "87.2411 ozt fine by scale" in said.out
    assert "1.35% lighter than as struck" in said.out
    few = with_book("bench", "heap", "quarters", "247.7 g", "--amount", "40 pieces").out
    assert "heap weight" in few
    assert "Hidden mix" not in few


def test_the_table_of_rolls_and_bags(with_book: Ninefine) -> None:
    """A roll of quarters is 250 g by the Act of 1873, and 247.1 g by the trade's count (common practice)."""
    said, record = with_book("bench", "table").out, with_book("bench", "table", "--json").json["packs"]
    quarters = next(one for one in record if one["kind"] == "us-quarter-90" and one["pack"] == "roll")

    assert "90% silver quarters, mixed" in said
    assert float(quarters["unworn_g"]) == 250
    assert float(quarters["trade_g"]) == pytest.approx(247.1, abs=0.01)
    assert quarters["shows_from"] == 10


def test_density_tells_what_fits_and_what_does_not(with_book: Ninefine) -> None:
    said = with_book("bench", "gravity", "xag-us-eagle-1oz", "31.10 g", "2.96 g", "--way", "lowered", "--celsius", "21")
    refused = with_book("bench", "gravity", "morgan dollar", "26.70 g", "27 g", "--celsius", "20")

    assert "silver .999" in said.out
    assert "lead  " in said.out
    assert refused.code == 2
    assert "is not less than" in refused.err


def test_sizes_and_ware(with_book: Ninefine) -> None:
    size = with_book("bench", "size", "us-half-franklin", "--diameter", "30.60, 30.62 mm")
    ware = ("bench", "ware", "STERLING WEIGHTED", "--built", "weighted-candlestick", "--weight", "274 g")

    assert "Diameter 30.61" in size.out
    assert "0.407 to 2.037 ozt fine by scale" in with_book(*ware).out
    assert with_book(*ware, "--json").json["verdict"] == "nothing against"
    assert "Tested candlestick" in with_book(*ware, "--keep", "candlestick").out
    assert "Do not cut" in with_book(*ware).out


def test_instruments_are_set_down(with_book: Ninefine) -> None:
    scale = (
        "bench",
        "scale",
        "pocket",
        "--step",
        "0.01 g",
        "--check",
        "100 g",
        "--within",
        "0.01 g",
        "--shown",
        "99 g",
    )

    assert with_book(*scale).code == 0
    assert with_book("bench", "calipers", "--step", "0.01 mm", "--error", "0.02 mm").code == 0
    assert with_book("bench", "thermometer", "--step", "0.1", "--error", "0.5").code == 0
    assert "6.24 g" in with_book("bench", "weigh", "us-quarter-90", "6.18 g").out
    assert "Nothing was tested yet." in with_book("bench", "tests").out
    assert with_book("bench", "tests", "--json").json == {"tested": []}


def test_every_command_of_the_bench_shows_an_example_on_a_line_of_its_own(ninefine: Ninefine) -> None:
    for name in bench_command.commands:
        shown = ninefine("bench", name, "--help").out
        assert "\\b" not in shown
        assert f"\n    ninefine bench {name}" in shown, name
