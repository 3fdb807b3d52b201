"""Densities of what a piece may be made of, in grams per cubic centimetre near 20 degrees Celsius.

Alloys of silver and copper are reckoned by adding volumes (10.49 and 8.96); the rule is close, not exact (Kraut and
Stern, Gold Bulletin 33, 2000, warn of it). No measured density of .900 coin or of clad coin was found.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from ninefine.catalog.kinds import Kind

SILVER, COPPER, GOLD = 10.49, 8.96, 19.32
_RULE = "mixing rule; reference books give silver 10.49 and copper 8.96"
_BOOKS = "reference books, from memory"


@dataclass(frozen=True, slots=True, kw_only=True)
class Alloy:
    """What a piece may be made of.

    Attributes:
        name: in plain words.
        density: g/cm3.
        within: how far a piece of it may be off either way.
        silver: whether it is silver or an alloy of silver.
        gold: whether it is gold or an alloy of gold.
        source: what the figure rests on.
        otherwise: how it is told where density cannot; empty where density is what tells it.
    """

    name: str
    density: float
    within: float
    silver: bool = False
    gold: bool = False
    source: str
    otherwise: str = ""


def mixed(shares: Mapping[float, float]) -> float:
    """Density of an alloy whose volumes add, from its metals' densities and shares by weight, which sum to one."""
    return 1 / sum(share / metal for metal, share in shares.items())


def silver_copper(fineness: float) -> float:
    """Density of a silver-copper alloy by the mixing rule."""
    return mixed({SILVER: fineness, COPPER: 1 - fineness})


def _silver(name: str, fineness: float, within: float) -> Alloy:
    return Alloy(name=name, density=silver_copper(fineness), within=within, silver=True, source=_RULE)


#: What is looked for, silver first, then what is passed off as it.
ALLOYS: tuple[Alloy, ...] = (
    _silver("silver .999", 0.999, 0.02),
    _silver("silver .958", 0.9584, 0.04),
    _silver("sterling .925", 0.925, 0.05),
    _silver("silver .900", 0.900, 0.05),
    _silver("silver .835", 0.835, 0.05),
    _silver("silver .800", 0.800, 0.05),
    _silver("silver .500", 0.500, 0.05),
    _silver("clad 40% silver", 0.400, 0.05),
    Alloy(
        name="wartime five-cent alloy",
        density=mixed({COPPER: 0.56, SILVER: 0.35, 7.3: 0.09}),
        within=0.15,
        silver=True,
        source="mixing rule with manganese 7.3; no measured value found",
    ),
    Alloy(name="copper, bare or plated", density=8.94, within=0.06, source=_BOOKS),
    Alloy(name="copper-nickel clad", density=8.93, within=0.05, source="mixing rule: nickel 8.90, copper 8.96"),
    Alloy(name="brass", density=8.5, within=0.12, source="handbooks, from memory: 8.47 to 8.53, and wider by kind"),
    Alloy(name="nickel silver", density=8.73, within=0.12, source="handbooks, from memory: 8.73 for 65-18-17"),
    Alloy(name="lead", density=11.34, within=0.05, source=_BOOKS),
    Alloy(
        name="lead with tin or antimony",
        density=10.3,
        within=0.7,
        source="between its metals; made to any figure",
        otherwise="it does not ring",
    ),
    Alloy(
        name="molybdenum",
        density=10.25,
        within=0.05,
        source=f"{_BOOKS}: 10.2 to 10.28",
        otherwise="it is far harder and hardly ever struck",
    ),
    Alloy(name="steel", density=7.87, within=0.15, source=_BOOKS),
    Alloy(name="zinc", density=7.13, within=0.1, source=_BOOKS),
    Alloy(name="tin or pewter", density=7.3, within=0.15, source=_BOOKS),
    Alloy(name="aluminium", density=2.7, within=0.1, source=_BOOKS),
    Alloy(name="gold .999", density=19.29, within=0.05, gold=True, source=_BOOKS),
    Alloy(name="gold .917", density=17.75, within=0.2, gold=True, source="mixing rule with silver and copper"),
    Alloy(name="gold .900", density=17.2, within=0.2, gold=True, source="mixing rule with copper"),
    Alloy(name="gold .750", density=15.5, within=0.5, gold=True, source="mixing rule with silver and copper"),
    Alloy(name="gold .585", density=13.4, within=0.5, gold=True, source="mixing rule with silver and copper"),
    Alloy(name="tungsten", density=19.3, within=0.1, source=_BOOKS),
)


def alloy_of(kind: Kind) -> Alloy | None:
    """What a kind is made of; none where nothing is known of it, or where it is filled or hollow."""
    if kind.share_low < 1 or kind.metal not in {"XAG", "XAU"}:
        return None
    if not kind.fineness:
        return next((one for one in ALLOYS if one.name == "copper-nickel clad"), None) if kind.country == "US" else None
    if kind.slug == "us-five-cent-wartime":
        return next(one for one in ALLOYS if one.name == "wartime five-cent alloy")
    return _of_fineness(kind.metal, kind.fineness)


def _of_fineness(metal: str, fineness: Decimal) -> Alloy:
    share = float(fineness)
    if metal == "XAG":
        words = f"{share:.4f}".lstrip("0").rstrip("0")
        known = next((one for one in ALLOYS if one.silver and abs(one.density - silver_copper(share)) < 0.004), None)
        return known or _silver(f"silver {words}", share, 0.05)
    family = [one for one in ALLOYS if one.gold]
    reckoned = mixed({GOLD: share, COPPER: 1 - share})
    return min(family, key=lambda one: abs(one.density - reckoned))
