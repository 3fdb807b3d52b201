"""Reading what is typed at the bench: weights shown once or several times, in one portion or several, and the scale."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from functools import partial

from ninefine.assay.instruments import Scale
from ninefine.assay.wear import Band
from ninefine.catalog.kinds import Kind
from ninefine.desk.fields import Fields
from ninefine.desk.goods import read_named
from ninefine.desk.heaps import read_heap
from ninefine.desk.instruments import instruments, read_length, scale_named
from ninefine.desk.kit import Kit
from ninefine.errors import InputError, RangeError, UnreadableError
from ninefine.measure.mass import read_mass
from ninefine.measure.numbers import plain

#: More readings of one thing than this are a mistake.
MOST_READINGS = 40
_UNIT = re.compile(r"[a-z]+(?: [a-z]+)?\.?\s*$", re.IGNORECASE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Shown:
    """What a scale showed.

    Attributes:
        portions: grams, portion by portion, each as often as it was read.
        step_g: the finest step that was typed, in grams: what the scale reads to where nothing is known of it.
        typed: as it was typed.
    """

    portions: tuple[tuple[Decimal, ...], ...]
    step_g: Decimal
    typed: str

    @property
    def floats(self) -> list[list[float]]:
        """The portions as the bench reckons with them."""
        return [[float(value) for value in portion] for portion in self.portions]

    @property
    def once(self) -> list[float]:
        """The readings of the only portion.

        Raises:
            RangeError: there are several portions.
        """
        if len(self.portions) > 1:
            raise RangeError("One piece is weighed in one portion.", expected="Part repeated readings by a comma.")
        return self.floats[0]


def read_shown(text: str) -> Shown:
    """Read weights: `24.12 g`; repeated, `24.12, 24.13 g`; in portions, `1461 g + 950 g`. A bare number is grams.

    Raises:
        UnreadableError: no weight; says what would be read.
        RangeError: zero, or more readings than anybody makes.
    """
    portions, steps = [], []
    for part in text.split("+"):
        said = [one.strip() for one in re.split(r";|,\s", part) if one.strip()]
        unit = _UNIT.search(said[-1]) if said else None
        readings = []
        for one in said:
            whole = one if _UNIT.search(one) else f"{one} {unit[0] if unit else 'g'}"
            readings.append(read_mass(whole).grams)
            steps.append(_step(whole))
        if not readings:
            raise UnreadableError(
                f"{text.strip()[:40]!r} is not a weight.", instead=("24.12 g", "24.12, 24.13 g", "1461 g + 950 g")
            )
        portions.append(tuple(readings))
    if sum(len(portion) for portion in portions) > MOST_READINGS:
        raise RangeError("There are more readings than can be used.", expected=f"At most {MOST_READINGS}.")
    return Shown(portions=tuple(portions), step_g=min(steps), typed=text.strip())


def _step(text: str) -> Decimal:
    """The step of the last digit of a weight as typed, in grams."""
    number = re.search(r"[\d.,]+(?=\s*[a-z]+(?: [a-z]+)?\.?\s*$)", text.lower())
    assert number is not None
    _, _, places = number[0].partition(".")
    unit = text[number.end() :].strip()
    return read_mass(f"{plain(Decimal(1).scaleb(-len(places)))} {unit}").grams


def read_lengths(text: str) -> tuple[Decimal, ...]:
    """Read a size measured at one place or several: `30.6 mm`, `30.60, 30.62, 30.61 mm`, `1.205 in`.

    Raises:
        UnreadableError: no length.
        RangeError: zero, or more readings than anybody makes.
    """
    said = [one.strip() for one in re.split(r";|,\s", text) if one.strip()]
    unit = _UNIT.search(said[-1]) if said else None
    found = tuple(read_length(one if _UNIT.search(one) or not unit else f"{one} {unit[0]}") for one in said)
    if not found or not all(found):
        raise RangeError(
            f"{text.strip()[:40]!r} is no size.", expected="A size is more than zero.", instead=("30.6 mm",)
        )
    if len(found) > MOST_READINGS:
        raise RangeError("There are more readings than can be used.", expected=f"At most {MOST_READINGS}.")
    return found


def read_scale(kit: Kit, fields: Fields, shown: Sequence[Shown | None]) -> Scale:
    """The scale that a form names in `scale`; else the person's own of about the step typed; else one of that step."""
    if fields.raw("scale"):
        assumed = Scale(step_g=0.01)
        return fields.read("scale", partial(scale_named, kit), assumed)
    steps = [float(one.step_g) for one in shown if one is not None]
    typed = min(steps, default=0.01)
    near = [one for one in instruments(kit).scales.values() if typed / 10 <= one.step_g * 1.000001 <= typed * 1.00001]
    return max(near, key=lambda one: one.step_g) if near else Scale(step_g=typed)


def read_band(fields: Fields, name: str = "band") -> Band:
    """How worn the pieces look."""
    return fields.read(name, _band, Band.UNSAID)


def _band(text: str) -> Band:
    said = " ".join(text.lower().split())
    for band in Band:
        if band.value and said in {band.value.lower(), band.name.lower()}:
            return band
    raise UnreadableError(
        f"{text.strip()[:30]!r} is not a band of wear.", instead=[band.value for band in Band if band.value]
    )


def read_kind(kit: Kit, fields: Fields, *, needed: bool = True) -> Kind | None:
    """What is tested: `kind` in plain words or as a slug, else the kind of the heap that `heap` names."""
    if fields.raw("kind"):
        return fields.read("kind", lambda text: read_named(kit.catalog(), text).kind, None)
    if fields.raw("heap"):
        try:
            return kit.kind_or_none(read_heap(kit.holdings(), fields.raw("heap")).kind)
        except InputError:  # told at the heap's own field by whoever reads it
            return None
    if needed:
        fields.fault("kind", "Say what it is taken for, or name a heap of the book.")
    return None
