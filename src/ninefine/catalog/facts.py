"""Everything that a kind's page says, as data. No layout, no markup; figures are exact decimals beside their words."""

from dataclasses import dataclass
from decimal import Decimal

from ninefine.catalog.acts import STANDARDS, Act
from ninefine.catalog.catalog import Catalog
from ninefine.catalog.household import (
    JOINT,
    Construction,
    PlateMark,
    Standard,
    constructions,
    plate_marks,
    standards,
)
from ninefine.catalog.index import country_name
from ninefine.catalog.kinds import Basis, Form, Kind
from ninefine.catalog.law import Statement, melting_law, why_constitutional
from ninefine.catalog.mints import mint_mark_place
from ninefine.catalog.rolls import Pack, packs
from ninefine.catalog.traps import Trap, traps
from ninefine.measure.mass import Mass
from ninefine.measure.money import METALS
from ninefine.measure.numbers import plain, to_places


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One line of a specification: its name, its value as text, its unit (may be empty)."""

    label: str
    value: str
    unit: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class FineWeight:
    """Fine troy ounces of one piece and of one unit of face, on one basis, with a word on that basis."""

    basis: Basis
    each_ozt: Decimal | None
    per_face_ozt: Decimal | None
    note: str


@dataclass(frozen=True, slots=True, kw_only=True)
class HouseholdFacts:
    """What a page of household silver says beside: marks, tolerance, plate, and how much of an article is silver."""

    standard: Standard
    construction: Construction | None
    constructions: tuple[Construction, ...]
    plate: tuple[PlateMark, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class KindFacts:
    """All that is said of a kind.

    Attributes:
        kind: the kind.
        specification: lines of it.
        act: the Act of Congress that set its weight; none where no Act did or none is held.
        source, evidence: what the row rests on, and how far, as a sentence.
        fine: fine weight unworn, and by the trade's count.
        packs: roll and bag.
        tolerance: what one new piece might differ; none where not held.
        constitutional: whether the trade calls it so, with `why`.
        law: melting and exporting.
        mint_mark: where it sits; empty where not held.
        cautions: what is easily mistaken.
        family: what a heap of it may prove to hold; empty where it is told apart.
        household: for household silver.
        note: a remark of the row.
    """

    kind: Kind
    specification: tuple[Line, ...]
    act: Act | None
    source: str
    evidence: str
    fine: tuple[FineWeight, ...]
    packs: tuple[Pack, ...]
    tolerance: Statement | None
    constitutional: bool
    why: tuple[Statement, ...]
    law: tuple[Statement, ...]
    mint_mark: str
    cautions: tuple[Trap, ...]
    family: tuple[Kind, ...]
    household: HouseholdFacts | None
    note: str


def kind_facts(catalog: Catalog, slug: str) -> KindFacts:
    """All that is said of a kind.

    Raises:
        NotFoundError: no such kind; near misses are offered.
    """
    kind = catalog.kind(slug)
    law = STANDARDS.get(kind.slug.removeprefix("us-"))
    family = catalog.family(kind.slug)
    return KindFacts(
        kind=kind,
        specification=_specification(kind),
        act=None if law is None else law.act,
        source=kind.source,
        evidence=f"{kind.evidence.sentence[0].upper()}{kind.evidence.sentence[1:]}.",
        fine=_fine(kind),
        packs=packs(kind),
        tolerance=_tolerance(kind),
        constitutional=kind.form is Form.CONSTITUTIONAL,
        why=why_constitutional(kind),
        law=melting_law(kind),
        mint_mark=mint_mark_place(kind.slug),
        cautions=traps(kind),
        family=() if family == (kind,) else family,
        household=_household(kind),
        note=kind.note,
    )


def _specification(kind: Kind) -> tuple[Line, ...]:
    lines = [Line(label="Metal", value=METALS[kind.metal][1])] if kind.fineness else []
    if kind.country:
        lines.append(Line(label="Country", value=country_name(kind.country)))
    if kind.denomination:
        lines.append(Line(label="Denomination", value=kind.denomination))
    if kind.first_year is not None:
        last = "to date" if kind.last_year is None else str(kind.last_year)
        span = last if last == str(kind.first_year) else f"{kind.first_year} to {last.removeprefix('to ')}"
        lines.append(Line(label="Struck", value=span))
    if kind.gross_g is not None:
        lines += [
            Line(label="Weight", value=plain(to_places(kind.gross_g, 4)), unit="g"),
            Line(label="Weight", value=plain(to_places(Mass(kind.gross_g).grains, 2)), unit="grains"),
        ]
    if kind.fineness:
        lines.append(Line(label="Fineness", value=plain(to_places(kind.fineness, 5))))
    if kind.share_high != kind.share_low or kind.share_high < 1:
        shares = f"{plain(kind.share_low * 100)} to {plain(kind.share_high * 100)}"
        lines.append(Line(label="Share of the weight that is silver", value=shares, unit="%"))
    sizes = (("Diameter", kind.diameter_mm), ("Thickness", kind.thickness_mm))
    lines += [Line(label=label, value=plain(size), unit="mm") for label, size in sizes if size is not None]
    texts = (("Edge", kind.edge), ("Composition", kind.composition))
    return (*lines, *(Line(label=label, value=text) for label, text in texts if text))


def _fine(kind: Kind) -> tuple[FineWeight, ...]:
    if kind.form is Form.HOUSEHOLD:
        return ()
    unworn = FineWeight(
        basis=Basis.UNWORN,
        each_ozt=kind.fine_ozt,
        per_face_ozt=kind.fine_ozt_per_face,
        note="by its specification, as struck",
    )
    if not kind.fineness or (kind.trade_ozt is None and kind.trade_ozt_per_face is None):
        note = "the trade has no other count; as struck" if kind.fineness else "no silver"
        return unworn, FineWeight(
            basis=Basis.TRADE, each_ozt=kind.fine_ozt, per_face_ozt=kind.fine_ozt_per_face, note=note
        )
    stated = "the stated weight, as dealers count it"
    return unworn, FineWeight(
        basis=Basis.TRADE,
        each_ozt=kind.trade_ozt,
        per_face_ozt=kind.trade_ozt_per_face,
        note=stated if kind.form is Form.BULLION else "the trade's count of worn coin, common practice",
    )


def _tolerance(kind: Kind) -> Statement | None:
    if kind.tolerance_g is None:
        return None
    grams = plain(to_places(kind.tolerance_g, 4))
    grains = plain(to_places(Mass(kind.tolerance_g).grains, 1))
    law = STANDARDS.get(kind.slug.removeprefix("us-"))
    return Statement(
        text=f"One new piece might differ by {grams} g ({grains} grains) either way; worn pieces are lighter.",
        source=kind.source if law is None else f"{law.act.name}, {law.act.cite}; {kind.source}",
    )


def _household(kind: Kind) -> HouseholdFacts | None:
    if kind.form is not Form.HOUSEHOLD:
        return None
    slug, _, built = kind.slug.partition(JOINT)
    standard = next((item for item in standards() if item.slug == slug), None)
    if standard is None:
        return None
    return HouseholdFacts(
        standard=standard,
        construction=next((item for item in constructions() if item.key == built), None),
        constructions=constructions(),
        plate=plate_marks(),
    )
