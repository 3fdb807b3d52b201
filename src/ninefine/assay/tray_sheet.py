"""The tray sheet: where its marks, its frame and its ruler stand, in millimetres from the middle of the sheet.

The same figures print the sheet and read it in a photo. The six marks stand alike on A4 and on Letter, so that a
reader need not know which paper it was. `x` runs to the right and `y` down.
"""

from dataclasses import dataclass

#: Radii of a mark: a black disc, a white disc in it, a black dot in that.
MARK_RADIUS = 8.0
HOLE_RADIUS = 5.0
DOT_RADIUS = 2.5
#: Half the width and height of the rectangle of the corner marks' centres.
HALF_ACROSS = 90.0
HALF_DOWN = 120.0
#: Half the width and height of the frame in which the dark ground and the pieces lie.
FRAME_ACROSS = 78.0
FRAME_DOWN = 100.0
#: The ruler to check the printer by: its length, and where its line stands.
RULER_MM = 100.0
RULER_DOWN = 116.0


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetMark:
    """A mark: its name and its place in millimetres. One has an open middle, which tells which way up the sheet is."""

    name: str
    x: float
    y: float
    open: bool = False


#: The corners clockwise from the open mark, which is at the top left.
CORNERS = (
    SheetMark(name="top left", x=-HALF_ACROSS, y=-HALF_DOWN, open=True),
    SheetMark(name="top right", x=HALF_ACROSS, y=-HALF_DOWN),
    SheetMark(name="bottom right", x=HALF_ACROSS, y=HALF_DOWN),
    SheetMark(name="bottom left", x=-HALF_ACROSS, y=HALF_DOWN),
)
#: Two more half-way down the long sides: by them it shows whether the sheet lay flat.
SIDES = (
    SheetMark(name="right side", x=HALF_ACROSS, y=0.0),
    SheetMark(name="left side", x=-HALF_ACROSS, y=0.0),
)
MARKS = (*CORNERS, *SIDES)
