"""The tray sheet's marks: found in its own print and in photos, told apart, refused where not all are there."""

import io
from functools import cache

import numpy as np
import pytest
from PIL import Image

import tray_scenes as scenes
from ninefine.assay import tray_sheet
from ninefine.assay.tray_marks import find_sheet
from ninefine.assay.tray_picture import Greys, Picture
from ninefine.assay.tray_plane import Plane, camera_eye, plane_through
from ninefine.assay.tray_reading import read_tray
from ninefine.assay.tray_view import Asked
from ninefine.errors import RangeError
from ninefine.papers.as_pdf import Sheet
from ninefine.papers.tray_sheet import tray_sheet as printed
from ninefine.papers.tray_sheet import typeset_tray

LIGHT = scenes.Light(blur=0.9)
PLACES = [(x, y) for x in (-60.0, 0.0, 60.0) for y in (-90.0, 0.0, 90.0)]


@cache
def photo(seed: int, *, tilt: float, turn: float) -> tuple[Greys, scenes.Camera]:
    """The empty sheet."""
    rng = np.random.default_rng(seed)
    eye = scenes.camera(rng, tilt=tilt, turn=turn, size=(1280, 960))
    return scenes.photo(rng, [], eye, light=LIGHT).grey, eye


def truly(eye: scenes.Camera, x: float, y: float) -> tuple[float, float]:
    seen = eye.plane(0.0) @ [x, y, 1.0]
    return float(seen[0] / seen[2]), float(seen[1] / seen[2])


@pytest.mark.parametrize(("sheet", "black"), [(Sheet.A4, False), (Sheet.LETTER, True)])
def test_the_marks_of_the_printed_sheet_stand_where_the_reader_looks(sheet: Sheet, *, black: bool) -> None:
    """The very page that is printed, at 150 dots to the inch: its scale to 1 in 5,000, its marks to 0.01 mm."""
    page = Image.open(io.BytesIO(typeset_tray(sheet, black=black, dots=150))).convert("L")
    plane = find_sheet(np.asarray(page))

    assert plane is not None
    assert plane.residual_mm is not None
    assert plane.residual_mm < 0.01
    for x, y in PLACES:
        assert plane.dots_per_mm(x, y) == pytest.approx(150 / 25.4, rel=2e-4)
    middle = plane.to_dots([(0.0, 0.0)])[0]
    assert middle == pytest.approx([(page.width - 1) / 2, (page.height - 1) / 2], abs=0.6)


def test_the_sheet_is_one_page_of_the_same_bytes_for_either_paper() -> None:
    """Sizes of ISO 216 and of ANSI/ASME Y14.1, in points; the metadata name PDF/A-2 and PDF/UA-1 (ISO 19005, 14289)."""
    for sheet, size in ((Sheet.A4, (595, 842)), (Sheet.LETTER, (612, 792))):
        made = printed(sheet)

        assert made == printed(sheet)
        assert b"<pdfaid:part>2</pdfaid:part>" in made
        assert b"<pdfuaid:part>1</pdfuaid:part>" in made
        assert Image.open(io.BytesIO(typeset_tray(sheet, dots=72))).size == size
    assert printed(Sheet.A4, black=True) != printed(Sheet.A4)


def test_all_marks_and_the_ruler_fit_on_both_papers() -> None:
    """Half of A4 is 105 by 148.5 mm, of Letter 107.95 by 139.7 mm; printers leave up to 6.4 mm blank (from memory)."""
    across, down = min(105.0, 107.95) - 6.4, min(148.5, 139.7) - 6.4

    for mark in tray_sheet.MARKS:
        assert abs(mark.x) + tray_sheet.MARK_RADIUS <= across
        assert abs(mark.y) + tray_sheet.MARK_RADIUS <= down
    assert down > tray_sheet.RULER_DOWN + 8
    assert tray_sheet.FRAME_ACROSS < tray_sheet.HALF_ACROSS - tray_sheet.MARK_RADIUS - 3


@pytest.mark.parametrize(("tilt", "turn"), [(0.0, 90.0), (12.0, 3.0), (18.0, 200.0), (25.0, 315.0)])
def test_a_photo_is_straightened_to_a_small_part_of_a_dot(tilt: float, turn: float) -> None:
    grey, eye = photo(int(turn), tilt=tilt, turn=turn)
    plane = find_sheet(grey)

    assert plane is not None
    assert plane.residual_mm is not None
    assert plane.residual_mm < 0.02
    for x, y in PLACES:
        assert plane.to_dots([(x, y)])[0] == pytest.approx(truly(eye, x, y), abs=0.1)
    assert plane.to_mm([truly(eye, 31.0, -47.0)])[0] == pytest.approx([31.0, -47.0], abs=0.02)


@pytest.mark.parametrize("tilt", [0.0, 20.0])
def test_where_the_camera_stood_is_told_by_its_lens(tilt: float) -> None:
    grey, eye = photo(5, tilt=tilt, turn=40.0)
    plane = find_sheet(grey)
    assert plane is not None
    place = -np.linalg.inv(eye.matrix[:, :3]) @ eye.matrix[:, 3]

    told = camera_eye(plane, eye.size, 26.0)

    assert (told.x, told.y, told.height) == pytest.approx(tuple(place), abs=0.5)
    assert camera_eye(plane, eye.size, None).spread > 5 * told.spread


def test_a_hidden_corner_or_no_sheet_at_all_is_no_sheet() -> None:
    grey, eye = photo(2, tilt=5.0, turn=10.0)
    hidden = grey.copy()
    x, y = truly(eye, -tray_sheet.HALF_ACROSS, -tray_sheet.HALF_DOWN)
    hidden[int(y) - 48 : int(y) + 48, int(x) - 48 : int(x) + 48] = 200

    assert find_sheet(grey) is not None
    assert find_sheet(hidden) is None
    assert find_sheet(np.full((600, 800), 120, dtype=np.uint8)) is None


def test_hidden_side_marks_leave_nothing_to_tell_flatness_by() -> None:
    grey, eye = photo(2, tilt=5.0, turn=10.0)
    for mark in tray_sheet.SIDES:
        x, y = truly(eye, mark.x, mark.y)
        grey = grey.copy()
        grey[int(y) - 40 : int(y) + 40, int(x) - 40 : int(x) + 40] = 205
    plane = find_sheet(grey)

    assert plane is not None
    assert plane.residual_mm is None


def test_a_sheet_that_did_not_lie_flat_is_refused_as_a_measurement() -> None:
    """The picture bent as by a curled sheet: a shift of up to 3 mm that grows with the square of the way across."""
    grey, _ = photo(2, tilt=0.0, turn=0.0)
    height, width = grey.shape
    bend = 11 * (np.linspace(-1, 1, height) ** 2)
    columns = np.arange(width)
    bent = np.stack([np.interp(columns - by, columns, row) for by, row in zip(bend, grey, strict=True)])
    picture = Picture(grey=bent.astype(np.uint8))

    with pytest.raises(RangeError, match="stray by"):
        read_tray(picture, Asked())


def test_a_homography_through_exact_points_is_exact() -> None:
    """Four points are met exactly; six leave their own error over, by the rule of degrees of freedom."""
    true = np.array([[3.1, 0.2, 400.0], [-0.1, 2.9, 300.0], [1e-4, -2e-4, 1.0]])
    points = [(mark.x, mark.y) for mark in tray_sheet.MARKS]
    seen = Plane(matrix=true, residual_mm=None).to_dots(points)

    four, six = plane_through(points[:4], seen[:4]), plane_through(points, seen)

    assert four.residual_mm is None
    assert np.allclose(four.matrix, true, rtol=1e-8)
    assert np.allclose(six.matrix, true, rtol=1e-8)
    assert six.residual_mm == pytest.approx(0.0, abs=1e-9)
    moved = seen.copy()
    moved[5] += (3.0, 0.0)
    assert (plane_through(points, moved).residual_mm or 0.0) > 0.2
