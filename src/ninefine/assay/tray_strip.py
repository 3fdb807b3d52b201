"""Pictures cut from a tray: each piece by itself, all of them numbered on one sheet, and the tray with its circles."""

import io

from PIL import Image, ImageDraw, ImageFont

from ninefine.assay.tray import Flag, Piece
from ninefine.assay.tray_picture import Picture
from ninefine.assay.tray_reading import Reading

#: Room around a piece, and how much of it is left to see, as parts of its radius.
ROOM, SEEN = 0.06, 0.012
#: The ground around a piece, the ink of numbers, the pencil of sizes, and the red for "look here".
GROUND, INK, PENCIL, LOOK = (22, 24, 28), (240, 236, 226), (178, 176, 170), (232, 96, 80)
#: Sides in dots: of one piece, of one on the sheet, and the longer side of the tray.
PIECE_SIDE, SHEET_SIDE, TRAY_SIDE = 420, 230, 1600
QUALITY = 88


def piece_pictures(reading: Reading, side: int = PIECE_SIDE) -> tuple[bytes, ...]:
    """Each piece by itself in the order of their numbers, as JPEG."""
    whole = _whole(reading.picture)
    return tuple(_jpeg(_cut(whole, piece, side)) for piece in reading.tray.pieces)


def contact_sheet(reading: Reading, columns: int = 6) -> bytes:
    """All pieces on one sheet, numbered, with the size that each fits, as JPEG."""
    pieces, side = reading.tray.pieces, SHEET_SIDE
    columns = max(1, min(columns, len(pieces)))
    rows = max(1, -(-len(pieces) // columns))
    line = 44
    sheet = Image.new("RGB", (columns * (side + 12) + 12, rows * (side + line + 12) + 12), GROUND)
    drawn, whole = ImageDraw.Draw(sheet), _whole(reading.picture)
    for place, piece in enumerate(pieces):
        left, top = 12 + place % columns * (side + 12), 12 + place // columns * (side + line + 12)
        sheet.paste(_cut(whole, piece, side), (left, top))
        drawn.text((left, top + side + 4), str(piece.number), fill=_ink(piece), font=_font(22))
        drawn.text((left + 40, top + side + 8), _caption(piece), fill=PENCIL, font=_font(17))
    return _jpeg(sheet)


def marked_tray(reading: Reading) -> bytes:
    """The straightened picture with each piece's circle and number, as JPEG; red where one should look."""
    whole = _whole(reading.picture)
    by = min(1.0, TRAY_SIDE / max(whole.size))
    size = round(whole.width * by), round(whole.height * by)
    tray = whole.resize(size, Image.Resampling.BILINEAR, reducing_gap=1.5).convert("RGB")
    drawn = ImageDraw.Draw(tray)
    for piece in reading.tray.pieces:
        x, y, radius = (piece.x + 0.5) * by, (piece.y + 0.5) * by, piece.radius * by
        drawn.ellipse((x - radius, y - radius, x + radius, y + radius), outline=_ink(piece), width=2)
        _label(drawn, (x, y), piece, max(14, min(40, int(radius * 0.55))))
    return _jpeg(tray)


def _label(drawn: ImageDraw.ImageDraw, middle: tuple[float, float], piece: Piece, height: int) -> None:
    font, words = _font(height), str(piece.number)
    drawn.text(
        middle, words, fill=_ink(piece), font=font, anchor="mm", stroke_width=max(2, height // 8), stroke_fill=GROUND
    )


def _whole(picture: Picture) -> Image.Image:
    return Image.fromarray(picture.grey if picture.colour is None else picture.colour)


def _cut(whole: Image.Image, piece: Piece, side: int) -> Image.Image:
    """A square about a piece, its surroundings put out; of an unsure one all that is there."""
    reach = piece.radius * (1 + ROOM)
    x, y = piece.x + 0.5, piece.y + 0.5
    box = (x - reach, y - reach, x + reach, y + reach)
    out = Image.new("RGB", (side, side), GROUND)
    cut = _resized(whole, box, side)
    if Flag.UNSURE in piece.flags:
        out.paste(cut)
        return out
    mask = Image.new("L", (2 * side, 2 * side), 0)
    edge = side * (1 - (1 + SEEN) / (1 + ROOM))
    ImageDraw.Draw(mask).ellipse((edge, edge, 2 * side - edge, 2 * side - edge), fill=255)
    out.paste(cut, mask=mask.reduce(2))
    return out


def _resized(whole: Image.Image, box: tuple[float, float, float, float], side: int) -> Image.Image:
    """A part of a picture, what lies beyond its border filled with the ground."""
    left, top, right, bottom = (int(box[0]) - 1, int(box[1]) - 1, int(box[2]) + 2, int(box[3]) + 2)
    part = whole.crop((max(0, left), max(0, top), min(whole.width, right), min(whole.height, bottom))).convert("RGB")
    if part.size != (right - left, bottom - top):
        wide = Image.new("RGB", (right - left, bottom - top), GROUND)
        wide.paste(part, (max(0, -left), max(0, -top)))
        part = wide
    within = (box[0] - left, box[1] - top, box[2] - left, box[3] - top)
    return part.resize((side, side), Image.Resampling.BICUBIC, box=within, reducing_gap=2.0)


def _caption(piece: Piece) -> str:
    if Flag.UNSURE in piece.flags:
        return "unsure"
    if piece.diameter is None:
        return ""
    return f"{piece.size or '?'} {piece.diameter:.2f} mm".strip()


def _ink(piece: Piece) -> tuple[int, int, int]:
    return LOOK if piece.flags else INK


def _font(height: int) -> ImageFont.FreeTypeFont | ImageFont.ImageFont:
    return ImageFont.load_default(height)


def _jpeg(image: Image.Image) -> bytes:
    kept = io.BytesIO()
    image.save(kept, "JPEG", quality=QUALITY)
    return kept.getvalue()
