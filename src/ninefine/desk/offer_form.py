"""An offer as a flat form of plain text, read into the row that the book keeps, and filled in again for a change.

Fields: `name`, `seller`, `note`, `minimum`, `stock`, `discount`, `discount_pct`; for each line of goods n: `amount-n`
(`100 face`, `90 pieces`, `60 face, 1461 g`), `kind-n`, `price-n`, `tiers-n` (`250: 24.10x`, one a line); for each way
to pay n: `way-n`, `way_pct-n`, `way_on-n`, `way_fee-n`; `carriage`, `carriage_pct`, `carriage_free`; `tax_rate`,
`taxed`, `tax_line`, `tax_counts`, `tax_fineness`, `tax_source`, `tax_read`; `miles`, `per_mile`.
"""

import re
from collections.abc import Mapping
from functools import partial

from ninefine.book.chain import Stored
from ninefine.book.entries import Amount
from ninefine.catalog.kinds import Kind
from ninefine.desk.amounts import read_amount
from ninefine.desk.fields import Fields, numbers_of
from ninefine.desk.goods import SHORT_NAMES, read_named
from ninefine.desk.kit import Kit
from ninefine.desk.records import set_down
from ninefine.desk.row_form import RowForm, settled
from ninefine.desk.tables import resolve_with
from ninefine.errors import UnreadableError
from ninefine.market.offers import Offer
from ninefine.market.read_offer import offer_from
from ninefine.market.table import text_or_none
from ninefine.measure.numbers import plain

#: A part of the row -> its fields, by the name in the row.
_PARTS = {
    "carriage": {"flat": "carriage", "pct": "carriage_pct", "free_from": "carriage_free"},
    "tax": {
        "rate_pct": "tax_rate",
        "taxed": "taxed",
        "threshold": "tax_line",
        "counts": "tax_counts",
        "exempt_fineness": "tax_fineness",
        "source": "tax_source",
        "read_on": "tax_read",
    },
    "travel": {"miles": "miles", "per_mile": "per_mile"},
}
_FORM = RowForm(
    table="offer",
    plain=("name", "seller", "note", "minimum", "stock", "discount", "discount_pct"),
    parts=_PARTS,
    made_by={"carriage": tuple(_PARTS["carriage"].values()), "tax": ("tax_rate", "tax_line"), "travel": ("miles",)},
)
_WAY = {"name": "way", "surcharge_pct": "way_pct", "surcharge_on": "way_on", "fee": "way_fee"}
_LINE = {
    "kind": "kind",
    "quote": "price",
    "face": "amount",
    "count": "amount",
    "weighed_g": "amount",
    "tiers": "tiers",
}
_TIER = re.compile(
    r"(?:from )?\$?(?P<start>\d[\d,']*(?:\.\d+)?) ?(?:face|pieces?|coins?|rounds?|bars?|g)?"
    r"(?: ?[:=] ?| at | )(?P<quote>.+)",
    re.ASCII,
)


def read_offer_form(kit: Kit, form: Mapping[str, str], *, new: bool = False) -> Offer:
    """Read an offer's form without setting it down.

    Args:
        kit: the kit.
        form: the fields that the module names.
        new: the offer's name must be free.

    Raises:
        Faults: every fault, each at its field.
    """
    fields = Fields(form, source="the offer")
    row = _FORM.row(fields)
    if new and _FORM.is_taken(kit, row):
        fields.fault("name", f"There is an offer {row['name']!r} already. Change that one, or give this another name.")
    lines, ways = numbers_of(form, "kind", "amount", "price", "tiers"), numbers_of(form, "way", "way_pct", "way_fee")
    row["goods"] = [_goods_row(kit, fields, number) for number in lines]
    row["ways"] = [{key: fields.raw(f"{stem}-{number}") for key, stem in _WAY.items()} for number in ways]
    read = partial(offer_from, row, resolve=resolve_with(kit))
    return settled(fields, read, partial(_field_of, lines=lines, ways=ways), unread={"kind-": "amount-"})


def put_offer(kit: Kit, form: Mapping[str, str], *, new: bool = False) -> Stored:
    """Set an offer down from its form.

    Raises:
        Faults: every fault, each at its field.
    """
    offer = read_offer_form(kit, form, new=new)
    return set_down(kit, "offer", offer.name, offer.as_dict())


def offer_fields(offer: Offer) -> dict[str, str]:
    """An offer's form, filled in."""
    form = _FORM.filled(offer.as_dict())
    for number, line in enumerate(offer.lines, 1):
        form[f"kind-{number}"] = line.kind
        form[f"amount-{number}"] = _amount_text(line.count, text_or_none(line.face), text_or_none(line.gross_g))
        form[f"price-{number}"] = line.said or str(line.quote)
        tiers = [f"{plain(tier.start)}: {tier.said or tier.quote}" for tier in line.tiers]
        form[f"tiers-{number}"] = "\n".join(tiers)
    for number, way in enumerate(offer.ways, 1):
        form[f"way-{number}"] = way.name
        form[f"way_on-{number}"] = str(way.surcharge_on)
        form[f"way_pct-{number}"] = plain(way.surcharge_pct) if way.surcharge_pct else ""
        form[f"way_fee-{number}"] = plain(way.fee) if way.fee else ""
    return form


def _goods_row(kit: Kit, fields: Fields, number: str) -> dict[str, object]:
    row: dict[str, object] = {"quote": fields.raw(f"price-{number}")}
    tiers = fields.read(f"tiers-{number}", _read_tiers, list[dict[str, str]]())
    if tiers:
        row["tiers"] = tiers
    named = fields.read(f"kind-{number}", partial(read_named, kit.catalog()), None, needed=True)
    if named is None:
        return row
    row["kind"] = fields.raw(f"kind-{number}") if _is_short(fields.raw(f"kind-{number}")) else named.kind.slug
    amount = fields.read(f"amount-{number}", partial(read_amount, kind=named.kind), None, needed=True)
    if amount is not None:
        row |= _amount_row(amount, named.kind)
    return row


def _is_short(said: str) -> bool:
    """Whether goods were named as the trade does, which the book then keeps."""
    return said.lower() in SHORT_NAMES


def _amount_row(amount: Amount, kind: Kind) -> dict[str, object]:
    """Goods sold by face by their face, any others by their pieces or weight."""
    if amount.face is not None and (kind.by_face or amount.count is None):
        return {"face": amount.face, "weighed_g": amount.gross_g}
    return {"count": amount.count, "weighed_g": amount.gross_g}


def _amount_text(count: int | None, face: str | None, gross_g: str | None) -> str:
    parts = [f"{face} face" if face is not None else "", f"{count} pieces" if count is not None else ""]
    return ", ".join(part for part in (*parts, f"{gross_g} g" if gross_g is not None else "") if part)


def _read_tiers(text: str) -> list[dict[str, str]]:
    """Tiers, one a line or parted by semicolons: `250: 24.10x`, `from 500 face at 23.90x`."""
    found = []
    for line in re.split(r"[;\n]", text):
        said = " ".join(line.lower().split())
        if not said:
            continue
        match = _TIER.fullmatch(said)
        if match is None:
            raise UnreadableError(
                f"{said[:40]!r} is not a tier.",
                expected="A tier is the amount from which it holds, and its price; one a line.",
                instead=("250: 24.10x", "from 500 face at 23.90x"),
            )
        found.append({"from": match["start"], "quote": match["quote"].strip()})
    return found


def _field_of(where: str, lines: list[str], ways: list[str]) -> str:
    """The form's field for a fault of the row: `goods 2: quote` -> `price-2`, `tax: threshold` -> `tax_line`."""
    head, _, rest = where.partition(": ")
    name, _, place = head.partition(" ")
    inner = rest.partition(":")[0].partition(" ")[0]
    if name == "goods":
        return f"{_LINE.get(inner, 'kind')}-{lines[int(place) - 1]}" if place else "kind-1"
    if name == "ways":
        return f"{_WAY.get(inner, 'way')}-{ways[int(place) - 1]}" if place else "way-1"
    if name in _PARTS:
        return _PARTS[name].get(inner, name)
    return where
