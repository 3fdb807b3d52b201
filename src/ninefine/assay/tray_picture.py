"""A picture as arrays, on its way from a file to the bench."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

Greys = npt.NDArray[np.uint8]
Floats = npt.NDArray[np.floating]
Mask = npt.NDArray[np.bool_]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Picture:
    """A picture as it stands upright.

    Attributes:
        grey: brightness, rows by columns.
        colour: red, green and blue of the same points; none for a grey picture.
        dots_per_mm: across and down, as the file says of a scan; none where it says nothing of use.
        focal_35: the lens's focal length as for 35 mm film, in millimetres, where the camera wrote it down.
    """

    grey: Greys
    colour: Greys | None = None
    dots_per_mm: tuple[float, float] | None = None
    focal_35: float | None = None

    @property
    def size(self) -> tuple[int, int]:
        """Width and height, in dots."""
        return self.grey.shape[1], self.grey.shape[0]
