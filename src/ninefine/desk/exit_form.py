"""A way out as a flat form of plain text, read into the row that the book keeps, and filled in again for a change.

Fields: `name`, `note`, `basis`; for each bid n: `what-n` (`90`, `ozt`, a kind, a form, a metal), `bid-n`; `fee_pct`,
`parcels_count`, `parcels_face`, `parcels_fee`, `parcels_postage`, `payable_pct`, `treatment`, `treatment_least`,
`costs`, `miles`, `per_mile`, `minimum`, `capacity`, `days`.
"""

from collections.abc import Mapping
from functools import partial

from ninefine.book.chain import Stored
from ninefine.desk.fields import Fields, numbers_of
from ninefine.desk.goods import read_wide
from ninefine.desk.kit import Kit
from ninefine.desk.records import set_down
from ninefine.desk.row_form import RowForm, settled
from ninefine.market.exits import Exit, exit_from

_PARTS = {
    "parcels": {
        "count": "parcels_count",
        "face": "parcels_face",
        "fee": "parcels_fee",
        "postage": "parcels_postage",
    },
    "treatment": {"per_gross_ozt": "treatment", "minimum": "treatment_least"},
    "travel": {"miles": "miles", "per_mile": "per_mile"},
}
_FORM = RowForm(
    table="exit",
    plain=("name", "note", "basis", "fee_pct", "payable_pct", "costs", "minimum", "capacity", "days"),
    parts=_PARTS,
    made_by={
        "parcels": tuple(_PARTS["parcels"].values()),
        "treatment": ("treatment", "treatment_least"),
        "travel": ("miles",),
    },
)
#: Written even where nothing is asked; a form shows them as empty.
_NOTHING = {"fee_pct", "costs", "parcels_fee", "parcels_postage", "treatment", "treatment_least"}


def read_exit_form(kit: Kit, form: Mapping[str, str], *, new: bool = False) -> Exit:
    """Read an exit's form without setting it down.

    Args:
        kit: the kit.
        form: the fields that the module names.
        new: the exit's name must be free.

    Raises:
        Faults: every fault, each at its field.
    """
    fields = Fields(form, source="the way out")
    row = _FORM.row(fields)
    if new and _FORM.is_taken(kit, row):
        fields.fault("name", f"There is a way out {row['name']!r} already. Change that one instead.")
    bids = numbers_of(form, "what", "bid")
    row["bids"] = [_bid_row(kit, fields, number) for number in bids]
    return settled(fields, partial(exit_from, row), partial(_field_of, bids=bids))


def put_exit(kit: Kit, form: Mapping[str, str], *, new: bool = False) -> Stored:
    """Set a way out down from its form.

    Raises:
        Faults: every fault, each at its field.
    """
    found = read_exit_form(kit, form, new=new)
    return set_down(kit, "exit", found.name, found.as_dict())


def exit_fields(way: Exit) -> dict[str, str]:
    """An exit's form, filled in."""
    form = _FORM.filled(way.as_dict())
    for number, bid in enumerate(way.bids, 1):
        form[f"what-{number}"], form[f"bid-{number}"] = bid.what, bid.said or str(bid.quote)
    return {name: "" if name in _NOTHING and text == "0" else text for name, text in form.items()}


def _bid_row(kit: Kit, fields: Fields, number: str) -> dict[str, object]:
    """A bid's row; what it is for must be a name that goods can have, else it would never be found."""
    what = fields.read(f"what-{number}", partial(read_wide, kit.catalog()), "")
    return {"what": what, "quote": fields.raw(f"bid-{number}")}


def _field_of(where: str, bids: list[str]) -> str:
    """The form's field for a fault of the row: `bids 2: quote` -> `bid-2`, `parcels: count` -> `parcels_count`."""
    head, _, rest = where.partition(": ")
    name, _, place = head.partition(" ")
    if name == "bids":
        if not place:
            return f"what-{bids[0] if bids else '1'}"
        return f"{'what' if rest == 'what' else 'bid'}-{bids[int(place) - 1]}"
    return _PARTS[name].get(rest, name) if name in _PARTS else where
