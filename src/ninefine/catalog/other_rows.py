"""From rows of the packaged tables of world coin, bullion and heaps to records. Pure: text lines in, records out."""

from collections.abc import Iterable
from decimal import Decimal, InvalidOperation
from fractions import Fraction
from functools import lru_cache

from ninefine.catalog.denominations import DENOMINATIONS
from ninefine.catalog.kinds import Form, Kind, per_face_ozt
from ninefine.catalog.tables import Row, read_table
from ninefine.measure.mass import TROY_OUNCE_G
from ninefine.measure.numbers import divide

_WORLD = (
    *("type_id", "country", "name", "denomination", "currency_note", "first_year", "last_year", "gross_weight_g"),
    *("fineness", "diameter_mm", "thickness_mm", "fine_ozt", "source", "evidence"),
)
_BULLION = (
    *("type_id", "metal", "name", "nominal_fine_mass", "gross_weight_g", "fineness", "diameter_mm", "thickness_mm"),
    *("fine_ozt", "trade_fine_ozt", "note", "source", "evidence"),
)
_HEAPS = (
    *("slug", "name", "form", "denomination", "face", "first_year", "last_year", "gross_g", "fineness", "trade_ozt"),
    *("fine_g_per_face", "trade_ozt_per_face", "diameter_mm", "thickness_mm", "edge", "composition", "roll"),
    *("note", "source", "evidence"),
)
# Units of decimal coinages: hundredths of the whole, and wholes.
_HUNDREDTHS = frozenset(
    {
        *("cent", "cents", "centavo", "centavos", "centime", "centimes", "centimo", "centimos", "centesimos"),
        *("sen", "kopeks", "pfennig", "ore", "pennia", "santeem"),
    }
)
_WHOLES = frozenset(
    {
        *("dollar", "dollars", "peso", "pesos", "franc", "francs", "mark", "lira", "lire", "gulden", "rand", "balboa"),
        *("krona", "kronor", "krone", "kroner", "yen", "yuan", "sucre", "sucres", "sol", "markka", "markkaa"),
        *("bolivar", "bolivares", "escudo", "escudos", "peseta", "pesetas", "drachma", "drachmai"),
    }
)


def parse_world(lines: Iterable[str], *, source: str = "world_types.csv") -> tuple[Kind, ...]:
    """Silver coin of other countries.

    Raises:
        Faults: every fault of the table.
    """
    return read_table(lines, source=source, columns=_WORLD, build=_world_kind)


def _world_kind(row: Row) -> Kind:
    slug, denomination = row.needed("type_id"), row.needed("denomination")
    gross, fineness = row.needed_decimal("gross_weight_g"), row.fineness("fineness")
    face = face_of(denomination)
    last_year = row.whole("last_year")
    # Canadian .800 and .500 coin is sold by face value, as U.S. coin is (common practice, no source).
    by_face = slug.startswith("ca-") and face is not None and (last_year or 9999) <= 1968 and fineness <= Decimal("0.8")
    return Kind(
        slug=slug,
        name=row.needed("name"),
        form=Form.OTHER_COIN,
        country=row.needed("country"),
        denomination=denomination,
        face=face,
        by_face=by_face,
        first_year=row.year("first_year"),
        last_year=last_year,
        gross_g=gross,
        fineness=fineness,
        fine_ozt_per_face=per_face_ozt(gross, fineness, face) if by_face and face else None,
        diameter_mm=row.decimal("diameter_mm"),
        thickness_mm=row.decimal("thickness_mm"),
        note=row.text("currency_note"),
        source=row.needed("source"),
        evidence=row.evidence(),
    )


@lru_cache(maxsize=512)
def face_of(denomination: str) -> Decimal | None:
    """Face value in the coin's own unit, of a decimal coinage: `10 cents` -> 0.10; none where the unit is another."""
    number, _, unit = denomination.rpartition(" ")
    if unit not in _HUNDREDTHS | _WHOLES:
        return None
    try:
        amount = sum((Fraction(part) for part in number.split()), Fraction(0))
        face = divide(Decimal(amount.numerator), Decimal(amount.denominator))
    except (ValueError, ZeroDivisionError, InvalidOperation):
        return None
    return (face / 100 if unit in _HUNDREDTHS else face) or None


def parse_bullion(lines: Iterable[str], *, source: str = "bullion_types.csv") -> tuple[Kind, ...]:
    """Bullion coin, rounds and bars, in four metals.

    Raises:
        Faults: every fault of the table.
    """
    return read_table(lines, source=source, columns=_BULLION, build=_bullion_kind)


def _bullion_kind(row: Row) -> Kind:
    slug, metal = row.needed("type_id"), row.text("metal")
    if metal not in {"XAG", "XAU", "XPT", "XPD"}:
        row.fault("metal", f"{metal!r} is not XAG, XAU, XPT or XPD")
    place = slug.split("-")[1].upper() if slug.count("-") else ""
    country = place if len(place) == 2 else ""
    return Kind(
        slug=slug,
        name=row.needed("name"),
        metal=metal,
        form=Form.BULLION,
        country=country,
        gross_g=row.needed_decimal("gross_weight_g"),
        fineness=row.fineness("fineness"),
        trade_ozt=row.needed_decimal("trade_fine_ozt"),
        diameter_mm=row.decimal("diameter_mm"),
        thickness_mm=row.decimal("thickness_mm"),
        composition=f"nominal {row.needed('nominal_fine_mass')} fine",
        note=row.text("note"),
        source=row.needed("source"),
        evidence=row.evidence(),
    )


def parse_heaps(lines: Iterable[str], *, source: str = "heaps.csv") -> tuple[Kind, ...]:
    """Kinds for pieces that are not told apart, and the base-metal coin that is found among silver.

    Raises:
        Faults: every fault of the table.
    """
    return read_table(lines, source=source, columns=_HEAPS, build=_heap_kind)


def _heap_kind(row: Row) -> Kind:
    names = {coin.key: coin.name for coin in DENOMINATIONS} | {"": ""}
    denomination, form = row.text("denomination"), row.text("form")
    if denomination not in names:
        row.fault("denomination", f"{denomination!r} is not one of {', '.join(filter(None, names))}")
    if form not in {item.value for item in Form}:
        row.fault("form", f"{form!r} is not a form")
        form = Form.NO_SILVER.value
    fine_g = row.needed_decimal("fine_g_per_face")
    slug = row.needed("slug")
    return Kind(
        slug=slug,
        name=row.needed("name"),
        form=Form(form),
        country="US" if slug.startswith("us-") else "",
        denomination=names.get(denomination, ""),
        face=row.decimal("face"),
        by_face=True,
        first_year=row.whole("first_year"),
        last_year=row.whole("last_year"),
        gross_g=row.decimal("gross_g"),
        fineness=row.fineness("fineness"),
        trade_ozt=row.decimal("trade_ozt"),
        fine_ozt_per_face=divide(fine_g, TROY_OUNCE_G) if fine_g else fine_g,
        trade_ozt_per_face=row.decimal("trade_ozt_per_face"),
        diameter_mm=row.decimal("diameter_mm"),
        thickness_mm=row.decimal("thickness_mm"),
        edge=row.text("edge"),
        composition=row.text("composition"),
        roll=row.whole("roll"),
        note=row.text("note"),
        source=row.needed("source"),
        evidence=row.evidence(),
    )
