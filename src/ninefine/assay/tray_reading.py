"""A picture of pieces on a tray, read: its discs found and measured, named by size, oddities told.

Uncertainties are those of JCGM 100: the scale that all pieces share, the place of an edge, what is left of a circle's
fit, and in a photo how high a piece's face lies over the sheet.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from ninefine.assay.tray import Flag, Piece, Scale, ScaledBy, Tray
from ninefine.assay.tray_discs import Found, find_discs
from ninefine.assay.tray_edge import Circle
from ninefine.assay.tray_picture import Picture
from ninefine.assay.tray_sizes import THICK_OFF_MM, USUAL_THICK_MM, Size, fitting
from ninefine.assay.tray_tone import odd_colours
from ninefine.assay.tray_view import Asked, View, view_of
from ninefine.errors import NotFoundError, RangeError

#: A known piece's diameter: catalog figures are rounded to 0.1 mm and rims wear. Millimetres.
KNOWN_SPREAD_MM = 0.04
#: Where the steepest fall of brightness lies inside a rim's true edge, and how surely, in parts of the edge's blur and
#: for a diameter: from rendered rims that darken by 0 to 50% over their last 0.05 to 0.25 mm, not from real ones.
RIM_INSIDE, RIM_SPREAD = 0.33, 0.24
#: Edge points a dot apart are not independent; so many dots of the edge make one.
DOTS_ALIKE = 6
#: The dark card that pieces lie on, in millimetres, and half its width.
CARD_MM, CARD_OFF_MM = 0.3, 0.3
#: Pieces wider than tall by this part on the whole: the two scales of a scan differ.
SCALES_APART = 0.002

Tell = Callable[[str, int, int], None]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Reading:
    """What was read, with the straightened picture that it was read from."""

    tray: Tray
    picture: Picture


def read_tray(picture: Picture, asked: Asked, tell: Tell | None = None) -> Reading:
    """Read a picture of pieces.

    Raises:
        RangeError: the sheet's marks do not fit a flat sheet, or the ruler cannot be as long as was said.
        NotFoundError: the known piece is not among those found, or is unsure.
    """
    say = tell or _silent
    say("looking for the sheet's marks", 0, 1)
    view = view_of(picture, asked)
    say("looking for pieces", 0, 1)
    away = None if view.eye is None else (view.eye.x, view.eye.y)
    known = view.scale.by is not ScaledBy.NOTHING
    found = _in_rows(find_discs(view.canvas, known=known, away_from=away, tell=tell))
    if asked.known is not None:
        view, found = _rescaled(view, found, asked.known)
    say("naming sizes", 0, 1)
    pieces = [_piece(number, one, view, asked.sizes) for number, one in enumerate(found, start=1)]
    pieces = _with_colours(pieces, view.picture)
    notes = tuple(_notes(pieces, found, view))
    return Reading(
        tray=Tray(pieces=tuple(pieces), scale=view.scale, notes=notes, light_ground=view.light), picture=view.picture
    )


def _silent(stage: str, done: int, of: int) -> None:
    """Tell nobody."""


def _in_rows(found: Sequence[Found]) -> list[Found]:
    """In reading order: a row is what lies within two thirds of a usual radius of its first piece."""
    if not found:
        return []
    reach = 1.2 * float(np.median([one.radius for one in found]))
    rows: list[list[Found]] = []
    for one in sorted(found, key=lambda one: one.y):
        if rows and one.y - rows[-1][0].y < reach:
            rows[-1].append(one)
        else:
            rows.append([one])
    return [one for row in rows for one in sorted(row, key=lambda one: one.x)]


def _rescaled(view: View, found: list[Found], known: tuple[int, float]) -> tuple[View, list[Found]]:
    """The same with the scale set by one piece."""
    number, diameter = known
    if not 1 <= number <= len(found):
        raise NotFoundError(f"There is no piece {number}.", expected=f"{len(found)} were found, numbered from 1.")
    circle = found[number - 1].circle
    if circle is None or found[number - 1].doubt:
        raise NotFoundError(f"Piece {number} is unsure and sets no scale.", expected="Name another.")
    if not 5 < diameter < 120:
        raise RangeError(f"No piece is {diameter:g} mm wide.", instead=("24.3",))
    by = diameter / _across(circle)
    spread = float(np.hypot(KNOWN_SPREAD_MM, by * RIM_SPREAD * circle.blur / np.sqrt(2))) / diameter
    canvas = replace(view.canvas, across=view.canvas.across / by, down=view.canvas.down / by)
    scale = Scale(
        by=ScaledBy.KNOWN,
        dots_per_mm=1 / canvas.dot,
        spread=spread,
        says=f"The scale is set by piece {number}, taken as {diameter:g} mm wide.",
        marks_mm=view.scale.marks_mm,
        height_mm=view.scale.height_mm,
    )
    eye = view.eye and replace(view.eye, x=view.eye.x * by, y=view.eye.y * by)
    return replace(view, canvas=canvas, scale=scale, eye=eye), [_stretched(one, by) for one in found]


def _stretched(one: Found, by: float) -> Found:
    circle = one.circle and replace(
        one.circle,
        x=one.circle.x * by,
        y=one.circle.y * by,
        radius=one.circle.radius * by,
        scatter=one.circle.scatter * by,
        blur=one.circle.blur * by,
    )
    return replace(one, x=one.x * by, y=one.y * by, radius=one.radius * by, circle=circle)


def _across(circle: Circle) -> float:
    """A diameter, with the place of a rim's edge allowed for."""
    return 2 * circle.radius + RIM_INSIDE * circle.blur


def _piece(number: int, one: Found, view: View, sizes: Sequence[Size]) -> Piece:
    canvas = view.canvas
    piece = Piece(number=number, x=one.x * canvas.across, y=one.y * canvas.down, radius=one.radius / canvas.dot)
    if one.doubt or one.circle is None:
        return replace(piece, flags=frozenset({Flag.UNSURE}), words=(f"Unsure: {one.doubt}.",))
    if view.scale.by is ScaledBy.NOTHING:
        return piece
    diameter, own = _measured(one.circle, view, USUAL_THICK_MM)
    near = min(sizes, key=lambda size: abs(size.diameter - diameter), default=None)
    if near is not None:
        diameter, own = _measured(one.circle, view, near.thickness)
    uncertainty = float(np.hypot(own, view.scale.spread * diameter))
    fits = fitting(diameter, uncertainty, sizes)
    piece = replace(piece, diameter=diameter, uncertainty=uncertainty, own=own)
    if not sizes:
        return piece
    if len(fits) == 1:
        return replace(piece, size=fits[0].name, off=diameter - fits[0].diameter)
    if fits:
        names = " or ".join(size.name for size in fits)
        return replace(piece, flags=frozenset({Flag.BETWEEN}), words=(f"By its diameter it may be: {names}.",))
    words = f"Odd size: {diameter:.2f} mm fits none of the sizes expected" + (
        f"; the nearest is {near.name}, {near.diameter:g} mm." if near is not None else "."
    )
    return replace(piece, flags=frozenset({Flag.ODD_SIZE}), words=(words,))


def _measured(circle: Circle, view: View, thick: float) -> tuple[float, float]:
    """A diameter and the standard uncertainty that is its own, in millimetres."""
    dot = view.canvas.dot
    edge = RIM_SPREAD * circle.blur
    alike = max(8.0, 2 * np.pi * circle.radius * circle.used * circle.looked / (DOTS_ALIKE * dot))
    fit = 2 * circle.scatter / np.sqrt(alike)
    diameter, own = _across(circle), float(np.hypot(edge, fit))
    if view.eye is None or view.scale.by is not ScaledBy.SHEET:
        return diameter, own
    over = thick + CARD_MM
    unsure = np.hypot(np.hypot(THICK_OFF_MM, CARD_OFF_MM) / np.sqrt(3), over * view.eye.spread / view.eye.height)
    lens = view.scale.marks_mm or 0.0
    smaller = 1 - over / view.eye.height
    return diameter * smaller, float(np.sqrt(own**2 + (diameter * unsure / view.eye.height) ** 2 + (lens / 4) ** 2))


def _with_colours(pieces: list[Piece], picture: Picture) -> list[Piece]:
    """The same, with those pointed out whose colour differs."""
    if picture.colour is None:
        return pieces
    clear = [place for place, piece in enumerate(pieces) if Flag.UNSURE not in piece.flags]
    odd = odd_colours(picture.colour, [(pieces[place].x, pieces[place].y, pieces[place].radius) for place in clear])
    told = list(pieces)
    for among, words in odd.items():
        piece = told[clear[among]]
        sentence = f"Odd colour: {words} than the others. Toning, dirt, light or another metal; look at it."
        told[clear[among]] = replace(piece, flags=piece.flags | {Flag.ODD_COLOUR}, words=(*piece.words, sentence))
    return told


def _notes(pieces: Sequence[Piece], found: Sequence[Found], view: View) -> list[str]:
    notes: list[str] = []
    if view.light:
        notes.append("The pieces lie on a light ground, where bright rims are lost. Matt black card serves better.")
    if view.picture.colour is None:
        notes.append("The picture is grey: colours were not compared.")
    circles = [one.circle for one in found if one.circle is not None and not one.doubt]
    if len(circles) >= 4 and view.eye is None and view.scale.by is not ScaledBy.NOTHING:
        longer = float(np.median([circle.longer_across for circle in circles]))
        if abs(longer) > SCALES_APART:
            which = "wider than they are tall" if longer > 0 else "taller than they are wide"
            notes.append(f"Pieces are {abs(longer):.1%} {which}: the scanner's two scales differ.")
    if view.scale.by is ScaledBy.SHEET and view.scale.marks_mm is None:
        notes.append("The two side marks are not seen, so nothing tells whether the sheet lay flat.")
    notes += _all_off(pieces, view.scale)
    return notes


def _all_off(pieces: Sequence[Piece], scale: Scale) -> list[str]:
    """Whether the named pieces are wider or narrower together, as with a wrong scale."""
    named = [piece for piece in pieces if piece.size and piece.diameter]
    if len(named) < 4 or scale.by is ScaledBy.KNOWN:
        return []
    off = float(np.median([piece.off / (piece.diameter or 1.0) for piece in named]))
    if abs(off) < 2 * scale.spread + 0.002:
        return []
    way = "wider" if off > 0 else "narrower"
    return [
        (
            f"The pieces named are {abs(off):.1%} {way} than the catalog together. That speaks of the scale: set it by "
            "a piece of known diameter."
        )
    ]
