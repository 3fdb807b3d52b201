"""From a plane to a picture and back: a homography by least squares, and where the camera stood."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from ninefine.assay.tray_picture import Floats

#: The diagonal of a frame of 35 mm film, in millimetres (36 x 24), to which focal lengths are compared.
FILM_DIAGONAL = 43.27
#: A telephone's usual main lens, as for 35 mm film, where the file names none, and how far it may be off: from memory.
USUAL_FOCAL, USUAL_SPREAD = 26.0, 4.0
#: How far a focal length in a file may be off: it is written in whole millimetres.
SAID_SPREAD = 0.5

Points = Sequence[tuple[float, float]] | Floats


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Plane:
    """A homography from millimetres on the sheet to dots of a picture (a dot's middle is at its index).

    Attributes:
        matrix: 3 by 3.
        residual_mm: root mean square of what is left at the marks, per coordinate of freedom; none where four marks
            leave nothing over.
    """

    matrix: Floats
    residual_mm: float | None

    def to_dots(self, points: Points) -> Floats:
        """Where points of the sheet are seen, a row for each."""
        return _through(self.matrix, points)

    def to_mm(self, dots: Points) -> Floats:
        """Where on the sheet dots of the picture lie, a row for each."""
        return _through(np.linalg.inv(self.matrix), dots)

    def dots_per_mm(self, x: float, y: float) -> float:
        """Dots to the millimetre at a place, as the root of the ratio of areas."""
        here, across, down = self.to_dots([(x, y), (x + 1, y), (x, y + 1)])
        return float(np.sqrt(abs(np.linalg.det(np.stack([across - here, down - here])))))


@dataclass(frozen=True, slots=True, kw_only=True)
class Eye:
    """Where the camera stood: the foot of its plumb line on the sheet, and its height, in millimetres."""

    x: float
    y: float
    height: float
    spread: float


def plane_through(on_sheet: Points, seen: Points) -> Plane:
    """The homography through four pairs of points or more (direct linear transformation on normed points)."""
    sheet_norm, sheet = _normed(on_sheet)
    dots_norm, dots = _normed(seen)
    rows = []
    for (x, y), (u, v) in zip(sheet, dots, strict=True):
        rows.append([-x, -y, -1, 0, 0, 0, u * x, u * y, u])
        rows.append([0, 0, 0, -x, -y, -1, v * x, v * y, v])
    _, _, turned = np.linalg.svd(np.asarray(rows))
    matrix = np.linalg.inv(dots_norm) @ turned[-1].reshape(3, 3) @ sheet_norm
    plane = Plane(matrix=matrix / matrix[2, 2], residual_mm=None)
    spare = 2 * len(on_sheet) - 8
    if not spare:
        return plane
    off = plane.to_mm(seen) - np.asarray(on_sheet, dtype=float)
    return Plane(matrix=plane.matrix, residual_mm=float(np.sqrt((off**2).sum() / spare)))


def camera_eye(plane: Plane, size: tuple[int, int], focal_35: float | None) -> Eye:
    """Where the camera stood, by its focal length and the picture's own middle.

    Args:
        plane: the sheet as it is seen.
        size: width and height of the whole picture.
        focal_35: as the file says it; a usual one is taken where it says none.
    """
    known = focal_35 is not None and focal_35 > 0
    film = focal_35 if focal_35 is not None and known else USUAL_FOCAL
    spread = (SAID_SPREAD if known else USUAL_SPREAD) / film
    focal = film * float(np.hypot(*size)) / FILM_DIAGONAL
    inner = np.array([[focal, 0, (size[0] - 1) / 2], [0, focal, (size[1] - 1) / 2], [0, 0, 1]])
    seen = np.linalg.inv(inner) @ plane.matrix
    seen /= np.sqrt(np.linalg.norm(seen[:, 0]) * np.linalg.norm(seen[:, 1]))
    across, down = seen[:, 0], seen[:, 1]
    turn = np.column_stack([across, down, np.cross(across, down)])
    left, _, right = np.linalg.svd(turn)
    place = -(left @ right).T @ seen[:, 2]
    height = abs(float(place[2]))
    return Eye(x=float(place[0]), y=float(place[1]), height=height, spread=height * spread)


def _through(matrix: Floats, points: Points) -> Floats:
    given = np.asarray(points, dtype=np.float64)
    found = np.column_stack([given, np.ones(len(given))]) @ matrix.T
    through: Floats = found[:, :2] / found[:, 2:]
    return through


def _normed(points: Points) -> tuple[Floats, Floats]:
    """A similarity that puts points about the origin at a mean distance of root two, and the points so put."""
    given = np.asarray(points, dtype=float)
    middle = given.mean(axis=0)
    scale = np.sqrt(2) / np.linalg.norm(given - middle, axis=1).mean()
    matrix = np.array([[scale, 0, -scale * middle[0]], [0, scale, -scale * middle[1]], [0, 0, 1]])
    return matrix, (given - middle) * scale
