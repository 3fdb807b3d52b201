"""The person's own scales, calipers and thermometer: rows of the table `instrument`, as the bench uses them."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from ninefine.assay.instruments import Calipers, CheckWeight, Scale, Thermometer
from ninefine.book.chain import Stored
from ninefine.desk.fields import Fields
from ninefine.desk.kit import Kit
from ninefine.desk.records import set_down
from ninefine.errors import NotFoundError, RangeError, UnreadableError
from ninefine.measure.mass import read_mass
from ninefine.measure.numbers import plain, read_positive

INSTRUMENTS = "instrument"
CALIPERS, THERMOMETER = "calipers", "thermometer"
#: The fields of a scale; all but its step may be left empty, and are then assumed.
SCALE_FIELDS = ("step", "spread", "linear", "drift", "check", "within", "shown")
CALIPERS_FIELDS = ("step", "error", "spread")
THERMOMETER_FIELDS = ("step", "error")

_INCH = Decimal("25.4")


@dataclass(frozen=True, slots=True, kw_only=True)
class Instruments:
    """What the person measures with.

    Attributes:
        scales: by the person's names for them, the first one set down first.
        calipers: as set down, or as assumed.
        thermometer: the same.
        own: the names of those that were set down.
    """

    scales: Mapping[str, Scale]
    calipers: Calipers
    thermometer: Thermometer
    own: frozenset[str]


def instruments(kit: Kit) -> Instruments:
    """What the person measures with; what was not set down is assumed."""
    return kit.keep("instruments", lambda: _instruments(kit))


def _instruments(kit: Kit) -> Instruments:
    rows = kit.holdings().tables.get(INSTRUMENTS, {})
    return Instruments(
        scales={name: _scale(row) for name, row in rows.items() if row.get("is") == "scale"},
        calipers=_calipers(rows.get(CALIPERS, {})),
        thermometer=_thermometer(rows.get(THERMOMETER, {})),
        own=frozenset(rows),
    )


def _number(row: Mapping[str, object], name: str) -> float | None:
    value = row.get(name)
    return None if value in (None, "") else float(str(value))


def _scale(row: Mapping[str, object]) -> Scale:
    grams, within, shown = (_number(row, name) for name in ("check", "within", "shown"))
    check = None
    if grams is not None and shown is not None:
        check = CheckWeight(grams=grams, within_g=within or 0.0, shown_g=shown)
    return Scale(
        step_g=_number(row, "step") or 0.01,
        spread_g=_number(row, "spread"),
        linear_g=_number(row, "linear"),
        drift_g=_number(row, "drift") or 0.0,
        check=check,
    )


def _calipers(row: Mapping[str, object]) -> Calipers:
    assumed = Calipers()
    return Calipers(
        step_mm=_number(row, "step") or assumed.step_mm,
        error_mm=assumed.error_mm if _number(row, "error") is None else _number(row, "error") or 0.0,
        spread_mm=_number(row, "spread"),
    )


def _thermometer(row: Mapping[str, object]) -> Thermometer:
    assumed, error = Thermometer(), _number(row, "error")
    return Thermometer(
        step_c=_number(row, "step") or assumed.step_c, error_c=assumed.error_c if error is None else error
    )


def scale_named(kit: Kit, name: str) -> Scale:
    """A scale that was set down, by its name.

    Raises:
        NotFoundError: no such scale.
    """
    scales = instruments(kit).scales
    if name not in scales:
        raise NotFoundError(f"No scale is named {name[:40]!r}.", instead=list(scales))
    return scales[name]


def put_scale(kit: Kit, form: Mapping[str, str]) -> Stored:
    """Set a scale down. Fields: `name`, `step`, `spread`, `linear`, `drift`, `check`, `within`, `shown`, all weights.

    Raises:
        Faults: every fault of the form.
    """
    fields = Fields(form, source="the scale")
    name = fields.raw("name")
    if not name or len(name) > 40:
        fields.fault("name", "Give the scale a name of your own, of at most 40 characters.")
    elif name in {CALIPERS, THERMOMETER}:
        fields.fault("name", f"{name} are set down by themselves.")
    none: Decimal | None = None
    read = {one: fields.read(one, read_small_mass, none, needed=one == "step") for one in SCALE_FIELDS}
    check, shown = read["check"], read["shown"]
    for one in ("step", "check", "shown"):
        if read[one] == 0:
            fields.fault(one, "This is more than zero.")
    if fields.sound and (check is None) != (shown is None):
        fields.fault(
            "shown" if shown is None else "check", "A check needs the weight and what the scale showed for it."
        )
    elif fields.sound and check and shown and abs(shown / check - 1) > Decimal("0.05"):
        fields.fault("shown", f"That is more than 5% off {plain(check)} g: mend the scale before trusting it.")
    fields.done()
    body: dict[str, object] = {"is": "scale"}
    body |= {one: plain(value) for one, value in read.items() if value is not None}
    return set_down(kit, INSTRUMENTS, name, body)


def put_calipers(kit: Kit, form: Mapping[str, str]) -> Stored:
    """Set the calipers down. Fields: `step`, `error`, `spread`, as `0.01 mm`.

    Raises:
        Faults: every fault of the form.
    """
    return _put(kit, CALIPERS, form, CALIPERS_FIELDS, read_length)


def put_thermometer(kit: Kit, form: Mapping[str, str]) -> Stored:
    """Set the thermometer down. Fields: `step`, `error`, in degrees Celsius.

    Raises:
        Faults: every fault of the form.
    """
    return _put(kit, THERMOMETER, form, THERMOMETER_FIELDS, read_degrees)


def _put(kit: Kit, name: str, form: Mapping[str, str], names: tuple[str, ...], reader: object) -> Stored:
    fields = Fields(form, source=f"the {name}")
    none: Decimal | None = None
    assert callable(reader)
    read = {one: fields.read(one, reader, none, needed=one == "step") for one in names}
    if read["step"] is not None and not read["step"]:
        fields.fault("step", "A step is more than zero.")
    fields.done()
    return set_down(
        kit, INSTRUMENTS, name, {"is": name, **{one: plain(value) for one, value in read.items() if value is not None}}
    )


def read_small_mass(text: str) -> Decimal:
    """A weight in grams; a bare number is grams, and zero may be said.

    Raises:
        UnreadableError: not a weight.
    """
    bare = text.strip().lower().removesuffix("g").strip()
    try:
        return read_positive(bare, what="weight", zero=True)
    except UnreadableError:
        return read_mass(text).grams


def read_length(text: str) -> Decimal:
    """A length in millimetres: `30.6 mm`, `30.6`, `1.205 in`.

    Raises:
        UnreadableError: not a length.
        RangeError: below zero.
    """
    said = text.strip().lower()
    for unit, factor in (("mm", Decimal(1)), ("in", _INCH), ("inches", _INCH), ('"', _INCH), ("", Decimal(1))):
        if said.endswith(unit):
            try:
                return read_positive(said.removesuffix(unit).strip(), what="length", zero=True) * factor
            except UnreadableError:
                continue
    raise UnreadableError(
        f"{text.strip()[:40]!r} is not a length.",
        expected="A length is a number of millimetres, or of inches with `in`.",
        instead=("30.6 mm", "1.205 in"),
    )


def read_degrees(text: str) -> Decimal:
    """A temperature, or a difference, in degrees Celsius; `F` behind it for Fahrenheit.

    Raises:
        UnreadableError: not a number.
        RangeError: outside 0 to 100 degrees Celsius.
    """
    said = text.strip().lower().replace("°", "").replace("degrees", "").strip()
    fahrenheit = said.endswith("f")
    value = read_positive(said.rstrip("cf").strip(), what="temperature", zero=True)
    if fahrenheit:
        value = (value - 32) * 5 / 9
    if not 0 <= value <= 100:
        raise RangeError(f"{text.strip()} is outside 0 to 100 degrees Celsius.", instead=("20", "68 F"))
    return value
