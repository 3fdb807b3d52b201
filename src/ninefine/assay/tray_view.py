"""How a picture is looked at: a photo straightened by the tray sheet, a scan by its resolution, or without a scale."""

from dataclasses import dataclass, replace

import numpy as np
from PIL import Image

from ninefine.assay.tray import Scale, ScaledBy
from ninefine.assay.tray_edge import Canvas
from ninefine.assay.tray_ground import light_ground
from ninefine.assay.tray_marks import find_sheet
from ninefine.assay.tray_picture import Greys, Picture
from ninefine.assay.tray_plane import Eye, Plane, camera_eye
from ninefine.assay.tray_sheet import FRAME_ACROSS, FRAME_DOWN, RULER_MM
from ninefine.assay.tray_sizes import Size
from ninefine.errors import RangeError

#: Relative standard uncertainties of a scale: a scanner's own; a printer's, unmeasured and measured by its ruler.
#: Common practice, no source.
SCAN_SPREAD, PRINT_SPREAD, RULED_SPREAD = 0.001, 0.003, 0.0015
#: More than this left over at the marks, in millimetres, and the sheet did not lie flat: nothing is measured.
MOST_LEFT_MM = 0.5
#: Kept clear inside the frame's printed line, in millimetres.
LINE_MM = 1.0
#: Dots to the millimetre of a straightened photo, at least and at most.
LEAST_DOTS, MOST_DOTS = 4.0, 16.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """What a person says of a picture.

    Attributes:
        sizes: sizes expected.
        dots_per_mm: a scan's resolution, where typed.
        ruler_mm: how long the sheet's ruler is as printed.
        known: the number of a piece and its diameter in millimetres.
    """

    sizes: tuple[Size, ...] = ()
    dots_per_mm: float | None = None
    ruler_mm: float | None = None
    known: tuple[int, float] | None = None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class View:
    """The picture to measure in, and what its scale rests on.

    Attributes:
        picture: straightened, where the sheet was seen.
        canvas: the same, bright pieces on dark ground.
        scale: what its millimetres rest on.
        eye: for a photo of the sheet, where the camera stood, from the picture's top left.
        light: whether the pieces lie on a light ground.
    """

    picture: Picture
    canvas: Canvas
    scale: Scale
    eye: Eye | None = None
    light: bool = False


def view_of(picture: Picture, asked: Asked) -> View:
    """Straighten a picture where it shows a tray sheet, and say what its scale rests on.

    Raises:
        RangeError: the sheet's marks do not fit a flat sheet, or the ruler cannot be as long as was said.
    """
    typed = asked.dots_per_mm
    said = (typed, typed) if typed else picture.dots_per_mm
    plane = None if typed or said else find_sheet(picture.grey)
    if plane is not None:
        return _sheet_view(picture, plane, asked)
    if said is not None:
        dots = float(np.sqrt(said[0] * said[1]))
        how = "as typed" if typed else "as the file says"
        scale = Scale(
            by=ScaledBy.SCAN,
            dots_per_mm=dots,
            spread=SCAN_SPREAD,
            says=f"The scale is the scan's resolution, {how}: {dots * 25.4:.0f} dots to the inch.",
        )
        return _flat_view(picture, said, scale)
    says = (
        "There is no scale: the corner marks of a tray sheet are not all seen, and the file states no resolution of a "
        "scan. Pieces are counted and not measured."
    )
    return _flat_view(picture, (1.0, 1.0), Scale(by=ScaledBy.NOTHING, says=says))


def _flat_view(picture: Picture, dots: tuple[float, float], scale: Scale) -> View:
    light = light_ground(picture.grey)
    grey = 255 - picture.grey if light else picture.grey
    return View(picture=picture, canvas=Canvas(grey=grey, across=dots[0], down=dots[1]), scale=scale, light=light)


def _sheet_view(picture: Picture, plane: Plane, asked: Asked) -> View:
    if plane.residual_mm is not None and plane.residual_mm > MOST_LEFT_MM:
        raise RangeError(
            f"The sheet's marks stray by {plane.residual_mm:.2f} mm from where they were printed; at most "
            f"{MOST_LEFT_MM} mm is taken as a measurement.",
            expected="Lay the sheet flat, stand farther off, and use the main lens without zoom.",
        )
    ruler = asked.ruler_mm or RULER_MM
    if not 0.85 < ruler / RULER_MM < 1.15:
        raise RangeError(f"The ruler of {RULER_MM:.0f} mm cannot be {ruler:g} mm long as printed.", instead=("99.5",))
    across, down = FRAME_ACROSS - LINE_MM, FRAME_DOWN - LINE_MM
    dots = min(MOST_DOTS, max(LEAST_DOTS, plane.dots_per_mm(0.0, 0.0)))
    size = round(2 * across * dots), round(2 * down * dots)
    straight = _straightened(picture, plane, size, (across, down), dots)
    scaled = dots * RULER_MM / ruler
    eye = camera_eye(plane, (picture.grey.shape[1], picture.grey.shape[0]), picture.focal_35)
    eye = replace(eye, x=(eye.x + across) * ruler / RULER_MM, y=(eye.y + down) * ruler / RULER_MM)
    printed = "as its ruler was measured" if asked.ruler_mm else "taken as printed at full size; measure its ruler"
    left = "" if plane.residual_mm is None else f" Its marks fit within {max(plane.residual_mm, 0.01):.2f} mm."
    says = f"The scale is the tray sheet's, {printed}. The camera stood about {eye.height / 10:.0f} cm above it.{left}"
    scale = Scale(
        by=ScaledBy.SHEET,
        dots_per_mm=scaled,
        spread=RULED_SPREAD if asked.ruler_mm else PRINT_SPREAD,
        says=says,
        marks_mm=plane.residual_mm,
        height_mm=eye.height,
    )
    view = _flat_view(straight, (scaled, scaled), scale)
    return replace(view, eye=eye)


def _straightened(
    picture: Picture, plane: Plane, size: tuple[int, int], half: tuple[float, float], dots: float
) -> Picture:
    """What lies in the frame as seen from straight above."""
    to_mm = np.array([[1 / dots, 0, 0.5 / dots - half[0]], [0, 1 / dots, 0.5 / dots - half[1]], [0, 0, 1]])
    between = np.array([[1, 0, 0.5], [0, 1, 0.5], [0, 0, 1]])  # the imaging library counts from a dot's corner
    back = between @ plane.matrix @ to_mm @ np.linalg.inv(between)
    back /= back[2, 2]

    def straight(points: Greys) -> Greys:
        image = Image.fromarray(points).transform(
            size, Image.Transform.PERSPECTIVE, tuple(back.ravel()[:8]), Image.Resampling.BILINEAR
        )
        return np.asarray(image)

    return Picture(grey=straight(picture.grey), colour=None if picture.colour is None else straight(picture.colour))
