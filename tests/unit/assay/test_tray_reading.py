"""What is told of each piece: its size, what is odd about it, what is unsure, and what the scale rests on."""

import io
from dataclasses import replace

import numpy as np
import pytest
from PIL import Image

import tray_scenes as scenes
from ninefine.assay.evidence import Outcome
from ninefine.assay.tray import COVER, Flag, Piece, ScaledBy, Tray, numbers
from ninefine.assay.tray_evidence import diameter_evidence
from ninefine.assay.tray_picture import Picture
from ninefine.assay.tray_reading import Reading, read_tray
from ninefine.assay.tray_sizes import Size, fitting, sizes_of, usual_sizes
from ninefine.assay.tray_strip import PIECE_SIDE, contact_sheet, marked_tray, piece_pictures
from ninefine.assay.tray_view import Asked
from ninefine.catalog.shelf import load_catalog
from ninefine.errors import NotFoundError, RangeError

SIZES = usual_sizes(load_catalog())
SIZE = (120.0, 60.0)
ROW = [
    scenes.Disc(x=-45, y=-12, diameter=scenes.DIME),
    scenes.Disc(x=-20, y=-12, diameter=scenes.QUARTER),
    scenes.Disc(x=12, y=-10, diameter=scenes.HALF),
    scenes.Disc(x=42, y=-10, diameter=scenes.DIME),
    scenes.Disc(x=-40, y=16, diameter=scenes.QUARTER),
]


def scan(discs: list[scenes.Disc], *, dpi: float = 200, tinted: bool = False, **light: float) -> Picture:
    return scenes.scan(np.random.default_rng(1), discs, SIZE, dpi=dpi, tinted=tinted, light=scenes.Light(**light))


def read(picture: Picture, *, known: tuple[int, float] | None = None, dots_per_mm: float | None = None) -> Tray:
    return read_tray(picture, Asked(sizes=SIZES, known=known, dots_per_mm=dots_per_mm)).tray


def test_the_usual_sizes_are_the_catalog_s() -> None:
    """Diameters by the packaged catalog, which names its sources; the dime's 17.9 mm and so on."""
    assert [(size.name, size.diameter) for size in SIZES] == [
        ("dime", 17.9),
        ("five-cent piece", 21.2),
        ("quarter", 24.3),
        ("half dollar", 30.6),
        ("dollar", 38.1),
    ]


def test_kinds_of_one_denomination_are_one_size_unless_they_differ() -> None:
    catalog = load_catalog()
    sizes = sizes_of(
        catalog.kind(slug)
        for slug in ("us-quarter-barber", "us-quarter-clad", "us-quarter-draped-bust", "household-sterling-925")
    )

    assert [(size.name, round(size.diameter, 2), len(size.kinds)) for size in sizes] == [
        ("quarter", 24.28, 2),
        ("quarter", 27.5, 1),
    ]


def test_pieces_are_numbered_in_rows_and_named_by_size() -> None:
    tray = read(scan(ROW))

    assert [(piece.number, piece.size) for piece in tray.pieces] == [
        (1, "dime"),
        (2, "quarter"),
        (3, "half dollar"),
        (4, "dime"),
        (5, "quarter"),
    ]
    assert tray.counts() == {"dime": 2, "quarter": 2, "half dollar": 1}
    assert tray.scale.by is ScaledBy.SCAN
    assert "200 dots to the inch" in tray.scale.says
    assert tray.notes == ("The picture is grey: colours were not compared.",)


def test_an_odd_size_and_one_between_two_are_pointed_out() -> None:
    odd = [*ROW, scenes.Disc(x=0, y=16, diameter=22.9)]
    told = read(scan(odd)).pieces[-1]
    near = Asked(sizes=(Size(name="one", diameter=22.8), Size(name="other", diameter=23.0)))
    between = read_tray(scan(odd), near).tray.pieces[-1]

    assert told.flags == {Flag.ODD_SIZE}
    assert told.words[0].startswith("Odd size: 22.8")
    assert told.words[0].endswith("the nearest is quarter, 24.3 mm.")
    assert between.flags == {Flag.BETWEEN}
    assert between.words == ("By its diameter it may be: one or other.",)


def test_a_piece_of_another_colour_is_pointed_out_and_not_judged() -> None:
    copper = [*ROW[:3], replace(ROW[3], tint=scenes.COPPER_TINT), *ROW[4:]]
    tray = read(scan(copper, tinted=True))

    assert [piece.number for piece in tray.pieces if piece.flags] == [4]
    assert tray.pieces[3].flags == {Flag.ODD_COLOUR}
    assert "redder" in tray.pieces[3].words[0]
    assert "look at it" in tray.pieces[3].words[0]


def test_pieces_of_one_metal_under_coloured_light_are_not_odd() -> None:
    warm = [replace(disc, tint=(1.2, 1.0, 0.75)) for disc in ROW]

    assert not any(piece.flags for piece in read(scan(warm, tinted=True)).pieces)


def test_a_piece_over_another_and_a_thing_that_is_no_disc_are_unsure() -> None:
    pair = [scenes.Disc(x=x, y=y, diameter=scenes.QUARTER) for x, y in ((24, 17), (41, 17))]
    over = [*ROW[:4], *pair]
    picture = scan(over)
    dots = 200 / 25.4
    square = picture.grey.copy()
    top, left = round((30 + 8) * dots), round((60 - 50) * dots)
    square[top : top + 150, left : left + 160] = 170
    tray = read(replace(picture, grey=square))

    assert [len(tray.clear), len(tray.unsure)] == [4, 3]
    assert all(piece.diameter is None for piece in tray.unsure)
    words = {piece.words[0] for piece in tray.unsure}
    assert "Unsure: another piece lies over or under it." in words
    assert len(words) == 2


def test_a_ragged_edge_is_refused_as_a_measurement() -> None:
    """Edge points that stray from their circle by more than the limit: the piece is told, its diameter is not."""
    picture = scan(ROW)
    height, width = picture.grey.shape
    rows, columns = np.mgrid[:height, :width].astype(np.float64)
    dots = 200 / 25.4
    away_x, away_y = columns - (60 + 12) * dots, rows - (30 - 10) * dots
    angle = np.arctan2(away_y, away_x)
    ragged = np.hypot(away_x, away_y) < (15.3 + 0.5 * np.sin(5 * angle) + 0.4 * np.sin(13 * angle)) * dots
    around = np.hypot(away_x, away_y) < 16.5 * dots
    grey = np.where(ragged, 165, np.where(around, 24, picture.grey)).astype(np.uint8)
    tray = read(replace(picture, grey=grey))

    assert [piece.number for piece in tray.unsure] == [3]
    assert "strays from a circle" in tray.unsure[0].words[0]


def test_a_light_ground_is_read_and_said() -> None:
    """Dark toned pieces on white."""
    picture = scan([replace(disc, level=80.0) for disc in ROW], ground=235.0, shadow=0.0, slope=0.0)
    tray = read(picture)

    assert len(tray.clear) == 5
    assert tray.light_ground
    assert any("light ground" in words for words in tray.notes)


def test_without_a_scale_pieces_are_counted_and_not_measured() -> None:
    tray = read(replace(scan(ROW), dots_per_mm=None))

    assert len(tray.clear) == 5
    assert tray.scale.by is ScaledBy.NOTHING
    assert {piece.diameter for piece in tray.pieces} == {None}
    assert "counted and not measured" in tray.scale.says


def test_a_known_piece_sets_the_scale_of_a_picture_without_one() -> None:
    bare = replace(scan(ROW), dots_per_mm=None)
    tray = read(bare, known=(2, 24.26))

    assert tray.scale.by is ScaledBy.KNOWN
    assert tray.pieces[1].diameter == pytest.approx(24.26, abs=1e-6)
    assert tray.pieces[2].diameter == pytest.approx(scenes.HALF, abs=0.12)
    with pytest.raises(NotFoundError, match="There is no piece 6"):
        read(scan(ROW), known=(6, 24.26))
    with pytest.raises(RangeError, match="No piece is"):
        read(scan(ROW), known=(2, 500.0))


def test_a_typed_resolution_comes_before_the_file_s() -> None:
    wrong = replace(scan(ROW), dots_per_mm=(4.0, 4.0))
    tray = read(wrong, dots_per_mm=200 / 25.4)

    assert "as typed" in tray.scale.says
    assert [piece.size for piece in tray.pieces][:3] == ["dime", "quarter", "half dollar"]


def test_pieces_all_too_wide_speak_of_the_scale() -> None:
    """A resolution that is off by 0.9%: every piece still fits its size, and all are too wide together."""
    off = replace(scan(ROW), dots_per_mm=(200 / 25.4 / 1.009, 200 / 25.4 / 1.009))
    notes = " ".join(read(off).notes)

    assert "wider than the catalog together" in notes
    assert "wider than the catalog together" not in " ".join(read(scan(ROW)).notes)


def test_a_scanner_whose_two_scales_differ_is_found_out() -> None:
    stretched = replace(scan(ROW), dots_per_mm=(200 / 25.4 / 1.01, 200 / 25.4))

    assert any("two scales differ" in words for words in read(stretched).notes)
    assert not any("two scales differ" in words for words in read(scan(ROW)).notes)


def test_progress_is_told_and_may_stop_the_work() -> None:
    heard: list[tuple[str, int, int]] = []
    read_tray(scan(ROW), Asked(), lambda *told: heard.append(told))

    def stop(*told: object) -> None:
        if told == ("measuring edges", 2, 5):
            raise KeyboardInterrupt

    assert {"looking for pieces", "measuring edges", "naming sizes"} <= {stage for stage, _, _ in heard}
    with pytest.raises(KeyboardInterrupt):
        read_tray(scan(ROW), Asked(), stop)


def test_the_interval_is_the_value_and_its_uncertainty() -> None:
    for piece in read(scan(ROW)).pieces:
        assert piece.diameter is not None
        assert piece.uncertainty is not None
        assert piece.own is not None
        assert piece.low == pytest.approx(piece.diameter - COVER * piece.uncertainty)
        assert piece.high == pytest.approx(piece.diameter + COVER * piece.uncertainty)
        assert 0 < piece.own < piece.uncertainty < 0.06


def test_sizes_fit_within_uncertainty_and_what_is_allowed() -> None:
    assert [size.name for size in fitting(24.3, 0.02, SIZES)] == ["quarter"]
    assert not fitting(24.6, 0.02, SIZES)
    assert [size.name for size in fitting(24.6, 0.04, SIZES)] == ["quarter"]
    assert [size.name for size in fitting(22.6, 1.0, SIZES)] == ["five-cent piece", "quarter"]


@pytest.mark.parametrize(
    ("diameter", "outcome"), [(24.2, Outcome.PASSED), (24.65, Outcome.UNSURE), (25.4, Outcome.FAILED)]
)
def test_a_diameter_is_evidence_of_a_size_and_never_of_a_metal(diameter: float, outcome: Outcome) -> None:
    piece = Piece(number=3, x=0, y=0, radius=1, diameter=diameter, uncertainty=0.05, own=0.03)
    quarter = load_catalog().kind("us-quarter-washington-silver")
    told = diameter_evidence(piece, quarter)

    assert told.outcome is outcome
    assert told.against == quarter.slug
    assert "says nothing of the metal" in told.says
    assert (told.would_settle == "") is (outcome is Outcome.FAILED)
    bare = diameter_evidence(replace(piece, diameter=None, uncertainty=None), quarter)
    assert bare.outcome is Outcome.NOT_DONE


def test_numbers_are_drawn_together_in_runs() -> None:
    pieces = [Piece(number=number, x=0, y=0, radius=1) for number in (1, 2, 3, 5, 7, 8)]

    assert numbers(pieces) == "1-3, 5, 7, 8"
    assert not numbers([])


def opened(data: bytes) -> np.ndarray[tuple[int, ...], np.dtype[np.uint8]]:
    with Image.open(io.BytesIO(data)) as image:
        return np.asarray(image.convert("RGB"))


def test_the_strip_holds_each_piece_in_the_order_of_its_number() -> None:
    """Pieces of brightnesses that rise in reading order come out so, and their surroundings are put out."""
    rising = [replace(disc, level=level) for disc, level in zip(ROW, (90.0, 115.0, 140.0, 165.0, 190.0), strict=True)]
    reading: Reading = read_tray(scan(rising, slope=0.0), Asked(sizes=SIZES))
    strip = [opened(data) for data in piece_pictures(reading)]

    assert [picture.shape for picture in strip] == [(PIECE_SIDE, PIECE_SIDE, 3)] * 5
    middles = [picture[100:320, 100:320].mean() for picture in strip]
    assert middles == sorted(middles)
    assert all(picture[:20, :20].mean() < 40 for picture in strip)
    sheet, marked = opened(contact_sheet(reading, columns=3)), opened(marked_tray(reading))
    assert sheet.shape[1] < 3 * 260
    assert marked.shape[0] < marked.shape[1]
    assert (np.abs(marked.astype(int) - (240, 236, 226)).sum(axis=2) < 60).sum() > 500  # ink of circles and numbers
