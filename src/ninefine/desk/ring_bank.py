"""Rings of pieces that are known by other tests: kept in the book as rows of a table, and read back.

A row holds the partials as they were heard, and by which tests the piece is known. A ring is held against them.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING

from ninefine.assay.ring_heard import Heard, Partial
from ninefine.book.chain import Stored
from ninefine.desk.fields import Fields
from ninefine.desk.goods import read_named
from ninefine.desk.kit import Kit
from ninefine.desk.records import set_down
from ninefine.errors import Fault, Faults, InputError, NotFoundError
from ninefine.market.table import Table, filled

if TYPE_CHECKING:
    from ninefine.assay.ring_compare import Known

TABLE = "ring"
#: Partials kept of a ring: the strongest; more are chance.
_MOST = 16
_LONGEST_LABEL = 60


@dataclass(frozen=True, slots=True, kw_only=True)
class KnownRing:
    """A ring in the bank.

    Attributes:
        label: the person's name for the piece.
        kind: the slug of its kind, or of what it pretends to be.
        sound: whether it is what its kind says.
        made_of: what it is made of, where it is something else.
        known_by: the tests by which that is known, in the person's words.
        on: the day it was recorded.
        strikes: how many strikes its partials rest on.
        partials: as they were heard.
    """

    label: str
    kind: str
    sound: bool = True
    made_of: str = ""
    known_by: str = ""
    on: date | None = None
    strikes: int = 1
    partials: tuple[Partial, ...] = ()

    def as_dict(self) -> dict[str, object]:
        """The ring in plain values, ready for the book's tables; `ring_from` reads them back."""
        return filled(
            {
                "kind": self.kind,
                "sound": "yes" if self.sound else "no",
                "made_of": self.made_of,
                "known_by": self.known_by,
                "on": None if self.on is None else self.on.isoformat(),
                "strikes": str(self.strikes),
                "partials": [_partial_row(one) for one in self.partials],
            }
        )


def _partial_row(one: Partial) -> dict[str, object]:
    """A partial, to a hundredth of a hertz and of a millisecond, which no recording surpasses."""
    return {
        "hz": f"{one.hz:.2f}",
        "hz_u": f"{max(one.hz_u, 0.01):.2f}",
        "decay_ms": f"{1000.0 * one.decay:.2f}",
        "decay_u_ms": f"{max(1000.0 * one.decay_u, 0.01):.2f}",
        "under_db": f"{abs(min(one.level, 0.0)):.1f}",
        "strikes": str(one.strikes),
    }


def ring_from(label: str, row: Mapping[str, object]) -> KnownRing:
    """Read a ring back from plain values: the fields that `KnownRing.as_dict` writes.

    Raises:
        Faults: every fault, each at its field.
    """
    faults: list[Fault] = []
    table = Table(row, faults)
    found = KnownRing(
        label=label,
        kind=table.text("kind", needed=True),
        sound=table.text("sound", "yes") == "yes",
        made_of=table.text("made_of"),
        known_by=table.text("known_by"),
        on=table.day("on"),
        strikes=table.count("strikes") or 1,
        partials=tuple(_partial_from(part) for part in table.parts("partials", needed=True)),
    )
    table.done()
    if faults:
        raise Faults(faults, source=f"the known ring {label!r}")
    return found


def _partial_from(part: Table) -> Partial:
    one = Decimal(1)
    found = Partial(
        hz=float(part.decimal("hz", needed=True) or one),
        hz_u=float(part.decimal("hz_u", needed=True) or one),
        decay=float(part.decimal("decay_ms", needed=True) or one) / 1000.0,
        decay_u=float(part.decimal("decay_u_ms", needed=True) or one) / 1000.0,
        level=-float(part.decimal("under_db", zero=True) or 0),
        strikes=part.count("strikes") or 1,
    )
    part.done()
    return found


def bank(kit: Kit) -> tuple[KnownRing, ...]:
    """Every known ring, by kind and label."""
    rows = kit.holdings().tables.get(TABLE, {})
    return kit.keep(
        "known rings",
        lambda: tuple(
            sorted((ring_from(label, row) for label, row in rows.items()), key=lambda one: (one.kind, one.label))
        ),
    )


def known_rings(kit: Kit, slug: str) -> "list[Known]":
    """The known rings of a kind, as a ring is held against them."""
    from ninefine.assay.ring_compare import Known  # noqa: PLC0415 - heavy: array work, loaded when a ring is compared

    return [
        Known(label=one.label, sound=one.sound, made_of=one.made_of, partials=one.partials)
        for one in bank(kit)
        if one.kind == slug
    ]


def keep_ring(kit: Kit, heard: Heard, form: Mapping[str, str]) -> Stored:
    """Keep a ring among the known ones.

    Fields: `label`, `kind`, `is` (`sound` or `other`), `made_of`, `known_by`, `on`, `anew`. A label that is there
    already is taken for the same piece, recorded anew, where `anew` says so.

    Raises:
        Faults: every fault of the form; a recording with something wrong cannot be kept.
    """
    fields = Fields(form, source="the known ring")
    label = " ".join(fields.raw("label").split())
    if not label or len(label) > _LONGEST_LABEL:
        fields.fault("label", f"Give the piece a name of your own, up to {_LONGEST_LABEL} letters.")
    elif label in kit.holdings().tables.get(TABLE, {}) and not fields.raw("anew"):
        fields.fault("label", "A known ring has this name. Take another, or say that it is the same piece anew.")
    kind = fields.read("kind", lambda text: read_named(kit.catalog(), text).kind.slug, "", needed=True)
    sound = fields.read("is", _read_sound, default=True)
    if sound and not fields.raw("known_by"):
        fields.fault(
            "known_by",
            "Say by which other tests it is known, such as weight and gravity: a ring cannot vouch for itself.",
        )
    if not sound and not fields.raw("made_of"):
        fields.fault("made_of", "Say what it is instead: copper, a cast piece, what you know of it.")
    on = fields.past_day("on", kit.today())
    if not heard.clear:
        fields.fault("", "Only a clear recording can be kept: " + _why(heard))
    fields.done()
    row = KnownRing(
        label=label,
        kind=kind,
        sound=sound,
        made_of="" if sound else fields.raw("made_of"),
        known_by=fields.raw("known_by"),
        on=on,
        strikes=len(heard.strikes),
        partials=_strongest(heard.partials),
    )
    return set_down(kit, TABLE, label, row.as_dict(), on=on)


def _read_sound(text: str) -> bool:
    if text not in {"sound", "other"}:
        raise InputError("A known piece is sound, or something other.", instead=("sound", "other"))
    return text == "sound"


def _why(heard: Heard) -> str:
    return " ".join(remark.says for remark in heard.remarks) or "no partial was heard."


def _strongest(partials: Sequence[Partial]) -> tuple[Partial, ...]:
    kept = sorted(partials, key=lambda one: -one.level)[:_MOST]
    return tuple(sorted(kept, key=lambda one: one.hz))


def forget_ring(kit: Kit, label: str) -> Stored:
    """Strike a known ring off; the journal keeps it.

    Raises:
        NotFoundError: no such ring.
    """
    if label not in kit.holdings().tables.get(TABLE, {}):
        raise NotFoundError(f"There is no known ring {label[:60]!r}.", instead=[one.label for one in bank(kit)][:6])
    return set_down(kit, TABLE, label, None)
