"""Sizes by which pieces on a tray are named: the catalog's diameters, those of one denomination together."""

from collections.abc import Iterable
from dataclasses import dataclass

from ninefine.assay.tray import COVER
from ninefine.catalog.catalog import Catalog
from ninefine.catalog.denominations import DENOMINATIONS
from ninefine.catalog.kinds import Kind

#: A piece may differ so much from the catalog's figure beyond its uncertainty: figures are rounded, rims worn or
#: spread. Common practice, no source. Millimetres.
ALLOWED_MM = 0.25
#: Kinds of one name whose diameters differ by less are one size, millimetres.
SAME_MM = 0.35
#: Thickness where the catalog has none, and how far any thickness may be off as seen from above (half-width).
USUAL_THICK_MM, THICK_OFF_MM = 1.8, 0.4
#: Sizes that are looked for where a person names none: those still found in change, and the silver dollar.
USUAL = ("us-dime-90", "us-five-cent-wartime", "us-quarter-90", "us-half-90", "us-dollar-90")


@dataclass(frozen=True, slots=True, kw_only=True)
class Size:
    """A size: its name in words, its diameter and thickness in millimetres, and the kinds that have it."""

    name: str
    diameter: float
    thickness: float = USUAL_THICK_MM
    kinds: tuple[str, ...] = ()


def sizes_of(kinds: Iterable[Kind]) -> tuple[Size, ...]:
    """The sizes of kinds, smallest first; kinds without a diameter have none."""
    found: list[tuple[str, list[Kind]]] = []
    for kind in kinds:
        if kind.diameter_mm is None:
            continue
        name = _name(kind)
        for other, group in found:
            if other == name and abs(float(group[0].diameter_mm or 0) - float(kind.diameter_mm)) < SAME_MM:
                group.append(kind)
                break
        else:
            found.append((name, [kind]))
    return tuple(sorted((_size(name, group) for name, group in found), key=lambda size: size.diameter))


def usual_sizes(catalog: Catalog) -> tuple[Size, ...]:
    """The sizes looked for where a person names none."""
    return sizes_of(catalog.kind(slug) for slug in USUAL)


def fitting(diameter: float, uncertainty: float, sizes: Iterable[Size]) -> list[Size]:
    """The sizes that a measured diameter fits, nearest first."""
    reach = ALLOWED_MM + COVER * uncertainty
    near = [size for size in sizes if abs(diameter - size.diameter) <= reach]
    return sorted(near, key=lambda size: abs(diameter - size.diameter))


def _name(kind: Kind) -> str:
    if kind.country == "US" and any(coin.name == kind.denomination for coin in DENOMINATIONS):
        return kind.denomination
    return kind.name


def _size(name: str, group: list[Kind]) -> Size:
    first = group[0]
    thick = next((float(kind.thickness_mm) for kind in group if kind.thickness_mm is not None), USUAL_THICK_MM)
    alone = len({kind.diameter_mm for kind in group}) == 1
    middle = sum(float(kind.diameter_mm or 0) for kind in group) / len(group)
    return Size(
        name=name,
        diameter=float(first.diameter_mm or 0) if alone else middle,
        thickness=thick,
        kinds=tuple(kind.slug for kind in group),
    )
