"""The person's own kinds: rows of a table that they keep, read with every fault at its field."""

import re
from collections.abc import Callable, Mapping
from decimal import Decimal
from typing import TypeVar

from ninefine.catalog.kinds import Evidence, Form, Kind, fine_ozt_of, per_face_ozt
from ninefine.errors import Fault, Faults, InputError
from ninefine.measure.mass import read_mass
from ninefine.measure.money import metal_code
from ninefine.measure.numbers import plain, read_positive

T = TypeVar("T")

#: The fields of a row, with what each holds.
FIELDS = {
    "name": "plain words",
    "weight": "gross weight of one piece with its unit; empty where held by weight alone",
    "fineness": "parts of metal in one, .925; or per mille, 925",
    "metal": "silver, gold, platinum or palladium; silver where empty",
    "form": "constitutional, other-coin, bullion, household or no-silver",
    "face": "face value of one piece; empty where there is none",
    "diameter": "millimetres",
    "thickness": "millimetres",
    "country": "two letters, ISO 3166",
    "share_low": "share of gross weight that is metal of that fineness, low",
    "share_high": "the same, high",
    "note": "plain words",
}
_PREFIX = "own-"


def own_slug(name: str) -> str:
    """The slug of an own kind by its name or key: lower case, hyphens, `own-` before it; empty if nothing is left."""
    bare = re.sub(r"[^a-z0-9]+", "-", name.strip().lower().removeprefix(_PREFIX)).strip("-")
    return f"{_PREFIX}{bare}"[:80].rstrip("-") if bare else ""


def read_own(rows: Mapping[str, Mapping[str, object]]) -> tuple[Kind, ...]:
    """Read own kinds from rows by their key.

    Raises:
        Faults: every fault of every row, each at its key and field.
    """
    faults: list[Fault] = []
    kinds: dict[str, Kind] = {}
    for key, row in rows.items():
        kind = _Fields(key, row, faults).kind()
        if kind.slug in kinds:
            faults.append(Fault(where=key, wrong=f"is the second kind named {kind.slug}"))
        kinds[kind.slug] = kind
    if faults:
        raise Faults(faults, source="your own kinds")
    return tuple(kinds.values())


class _Fields:
    """One row, read field by field."""

    def __init__(self, key: str, row: Mapping[str, object], faults: list[Fault]) -> None:
        self._key = key
        self._row = {name: "" if value is None else str(value).strip() for name, value in row.items()}
        self._faults = faults
        for name in self._row:
            if name not in FIELDS:
                self._fault(name, f"is not a field; the fields are {', '.join(FIELDS)}")

    def _fault(self, field: str, wrong: str) -> None:
        self._faults.append(Fault(where=f"{self._key}, {field}", wrong=wrong))

    def _read(self, field: str, reader: Callable[[str], T]) -> T | None:
        text = self._row.get(field, "")
        if not text:
            return None
        try:
            return reader(text)
        except InputError as error:
            self._fault(field, str(error))
            return None

    def kind(self) -> Kind:
        slug = own_slug(self._key)
        if not slug:
            self._fault("key", "needs a letter or a digit")
        if not self._row.get("name"):
            self._fault("name", "is empty; say in plain words what the piece is")
        form = self._form()
        fineness = self._fineness(form)
        mass = self._read("weight", read_mass)
        face = self._read("face", lambda text: read_positive(text, what="face"))
        gross = None if mass is None else mass.grams
        low, high = self._share("share_low"), self._share("share_high")
        if low > high:
            self._fault("share_low", f"{low} is more than the high share {high}")
        by_face = face is not None and gross is not None
        metal = fineness * low
        return Kind(
            slug=slug or _PREFIX,
            name=self._row.get("name", ""),
            metal=self._read("metal", metal_code) or "XAG",
            form=form,
            country=self._country(),
            face=face,
            by_face=by_face,
            gross_g=gross,
            fineness=fineness,
            trade_ozt=fine_ozt_of(gross, metal) if form is Form.BULLION and gross is not None else None,
            fine_ozt_per_face=per_face_ozt(gross, metal, face) if face is not None and gross is not None else None,
            share_low=low,
            share_high=high,
            diameter_mm=self._read("diameter", lambda text: read_positive(text, what="diameter")),
            thickness_mm=self._read("thickness", lambda text: read_positive(text, what="thickness")),
            note=self._row.get("note", ""),
            source="your own entry",
            evidence=Evidence.OWN,
        )

    def _form(self) -> Form:
        text = self._row.get("form", "").lower().replace(" ", "-") or Form.OTHER_COIN.value
        if text not in {form.value for form in Form}:
            self._fault("form", f"{text!r} is not a form; the forms are {', '.join(Form)}")
            return Form.OTHER_COIN
        return Form(text)

    def _fineness(self, form: Form) -> Decimal:
        value = self._read("fineness", lambda text: read_positive(text, what="fineness", zero=True))
        if value is None:
            if form is not Form.NO_SILVER and not self._row.get("fineness"):
                self._fault("fineness", f"is empty; give {FIELDS['fineness']}")
            return Decimal(0)
        share = value / 1000 if value > 100 else value
        if share > 1:
            self._fault("fineness", f"{plain(value)} cannot be; give {FIELDS['fineness']}")
        elif not share and form is not Form.NO_SILVER:
            self._fault("fineness", "is zero; choose the form no-silver for base metal")
        return min(share, Decimal(1))

    def _share(self, field: str) -> Decimal:
        value = self._read(field, lambda text: read_positive(text, what="share", zero=True))
        if value is not None and value > 1:
            self._fault(field, f"{plain(value)} is more than 1; give the share of the whole, 0.25 for a quarter")
        return Decimal(1) if value is None else min(value, Decimal(1))

    def _country(self) -> str:
        text = self._row.get("country", "").upper()
        if text and not (len(text) == 2 and text.isascii() and text.isalpha()):
            self._fault("country", f"{text!r} is not two letters of ISO 3166")
            return ""
        return text
