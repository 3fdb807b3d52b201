"""A piece of a tray booked as a test: its diameter held against a kind, with its own picture."""

from collections.abc import Mapping

from ninefine.assay.evidence import Evidence
from ninefine.assay.tray import Piece
from ninefine.assay.tray_evidence import diameter_evidence
from ninefine.book.chain import Stored
from ninefine.catalog.kinds import Kind
from ninefine.desk.bench import book_test
from ninefine.desk.fields import Fields
from ninefine.desk.goods import read_named
from ninefine.desk.kit import Kit
from ninefine.desk.records import Upload
from ninefine.desk.tray import Laid
from ninefine.errors import NotFoundError, UnreadableError
from ninefine.measure.numbers import read_reference


def seen(laid: Laid, number: int, kind: Kind) -> Evidence:
    """What a piece's diameter says for or against a kind.

    Raises:
        NotFoundError: the tray has no piece of that number.
    """
    return diameter_evidence(_piece(laid, number), kind)


def book_seen(kit: Kit, laid: Laid, form: Mapping[str, str]) -> Stored:
    """Book what a piece's diameter says as a test, with the piece's own picture.

    Fields: `number` (of the piece), `kind` (what it is taken for); then `on`, `heap`, `piece`, `note` as for any test:
    a heap or a piece, in words of one's own, is named.

    Raises:
        Faults: every fault of the form.
    """
    fields = Fields(form, source="the test")
    number = fields.read("number", lambda text: _numbered(laid, text), None)
    kind = fields.read("kind", lambda text: read_named(kit.catalog(), text).kind, None)
    for name, value in (("number", number), ("kind", kind)):
        if value is None and not fields.raw(name):
            fields.fault(name, "Say which piece of the tray." if name == "number" else "Say what it is taken for.")
    fields.done()
    assert number is not None and kind is not None  # noqa: PT018 - done() told of what is missing
    picture = Upload(name=f"tray-piece-{number}.jpg", data=laid.strip[number - 1])
    return book_test(kit, {**form, "kind": kind.slug, "count": "1"}, [seen(laid, number, kind)], [picture])


def _numbered(laid: Laid, text: str) -> int:
    number = read_reference(text)
    if number is None:
        raise UnreadableError(f"{text[:20]!r} is no number of a piece.", instead=("3",))
    return _piece(laid, number).number


def _piece(laid: Laid, number: int) -> Piece:
    for piece in laid.tray.pieces:
        if piece.number == number:
            return piece
    raise NotFoundError(
        f"The tray has no piece {number}.", expected=f"Its pieces are numbered from 1 to {len(laid.tray.pieces)}."
    )
