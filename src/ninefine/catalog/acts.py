"""The Acts of Congress that set silver coin, as exact weights.

The tables of kinds print weights to a tenth of a milligram. Here each stands as its Act gives it, in grains or grams,
so that a dollar holds its 371 1/4 grains of pure silver to the last digit.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from ninefine.measure.mass import Mass

#: 1485 parts of 1664, by section 13 of the Act of 1792; nine places are exact to a millionth of a grain.
STANDARD_1792 = Decimal("0.892427885")
COIN_SILVER = Decimal("0.900")


@dataclass(frozen=True, slots=True, kw_only=True)
class Act:
    """An Act of Congress that set a weight of silver coin."""

    key: str
    name: str
    cite: str
    said: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Standard:
    """What an Act made of one kind: weight, fineness, and how far one new piece might differ."""

    act: Act
    gross: Mass
    fineness: Decimal
    tolerance: Mass | None = None


ACT_1792 = Act(
    key="1792",
    name="Coinage Act of 2 April 1792",
    cite="1 Stat. 246, secs. 9 and 13",
    said="A dollar of 371 4/16 grains of pure silver, 416 grains standard, and parts of it in proportion.",
)
ACT_1837 = Act(
    key="1837",
    name="Act of 18 January 1837",
    cite="5 Stat. 136-137 and 140, secs. 8, 9 and 25",
    said="Nine parts silver to one of copper; a dollar of 412 1/2 grains, so that its pure silver stayed 371 1/4.",
)
ACT_1851 = Act(
    key="1851",
    name="Act of 3 March 1851",
    cite="from memory",
    said="A three-cent piece of 12 3/8 grains, three parts silver to one of copper.",
)
ACT_1853 = Act(
    key="1853",
    name="Act of 21 February 1853",
    cite="10 Stat. 160, sec. 1",
    said="A half dollar of 192 grains and lesser coin in proportion: 6.9% less silver for its face than the dollar.",
)
ACT_1873 = Act(
    key="1873",
    name="Coinage Act of 12 February 1873",
    cite="17 Stat. 427 and 430, secs. 15 and 37",
    said="A half dollar of 12 1/2 grams, quarter and dime in proportion, and a trade dollar of 420 grains.",
)
ACT_1878 = Act(
    key="1878",
    name="Act of 28 February 1878",
    cite="20 Stat. 25, from memory",
    said="The dollar of 412 1/2 grains, nine parts silver in ten, coined again.",
)
ACT_1942 = Act(
    key="1942",
    name="Second War Powers Act of 27 March 1942",
    cite="56 Stat. 184, title XII, secs. 1201 and 1203",
    said="A five-cent piece of silver and copper, its alloy left to the Director, until the end of 1946.",
)
ACT_1965 = Act(
    key="1965",
    name="Coinage Act of 1965",
    cite="79 Stat. 254, sec. 101",
    said="A half dollar of 11.5 grams holding 4.6 grams of silver; no silver in the dime and the quarter.",
)

_DOLLAR_1837 = Mass.of_grains("412.5")
_GRAINS_1837 = {"dollar": "1.5", "half": "1.5", "quarter": "1", "dime": "0.5", "half-dime": "0.5"}
_SHARES = {
    "dollar": Decimal(1),
    "half": Decimal("0.50"),
    "quarter": Decimal("0.25"),
    "dime": Decimal("0.10"),
    "half-dime": Decimal("0.05"),
}
_KINDS_1792 = {
    "half-dime": ("flowing-hair", "draped-bust", "capped-bust"),
    "dime": ("draped-bust", "capped-bust"),
    "quarter": ("draped-bust", "capped-bust-large", "capped-bust-small"),
    "half": ("flowing-hair", "draped-bust", "capped-bust-lettered"),
    "dollar": ("flowing-hair", "draped-bust", "gobrecht-1836"),
}
_KINDS_1837 = {
    "half-dime": ("seated-heavy",),
    "dime": ("seated-heavy",),
    "quarter": ("seated-heavy",),
    "half": ("capped-bust-reeded", "seated-heavy"),
    "dollar": ("gobrecht-1837-1839", "seated"),
}
_KINDS_1853 = {
    "half-dime": ("seated-light",),
    "dime": ("seated-1853-1873",),
    "quarter": ("seated-1853-1873",),
    "half": ("seated-1853-1873",),
}
_KINDS_1873 = {
    "dime": ("seated-1873-1891", "barber", "mercury", "roosevelt-silver"),
    "quarter": ("seated-1873-1891", "barber", "standing-liberty", "washington-silver", "commemorative-isabella"),
    "half": (
        "seated-1873-1891",
        "barber",
        "walking-liberty",
        "franklin",
        "kennedy-90",
        "commemorative-classic",
    ),
}
_KINDS_1878 = ("dollar-morgan", "dollar-peace", "dollar-commemorative-lafayette")


def _standards() -> dict[str, Standard]:
    table: dict[str, Standard] = {}
    leeway_1873 = Mass.of_grains("1.5")

    def put(act: Act, dollar: Mass, fineness: Decimal, kinds: Mapping[str, tuple[str, ...]]) -> None:
        for coin, designs in kinds.items():
            leeway = None if act is ACT_1792 else Mass.of_grains(_GRAINS_1837[coin])
            for design in designs:
                table[f"{coin}-{design}"] = Standard(
                    act=act,
                    gross=dollar * _SHARES[coin],
                    fineness=fineness,
                    tolerance=leeway_1873 if act is ACT_1873 else leeway,
                )

    put(ACT_1792, Mass.of_grains(416), STANDARD_1792, _KINDS_1792)
    put(ACT_1837, _DOLLAR_1837, COIN_SILVER, _KINDS_1837)
    put(ACT_1853, Mass.of_grains(384), COIN_SILVER, _KINDS_1853)
    put(ACT_1873, Mass.of_grams(25), COIN_SILVER, _KINDS_1873)
    for name in _KINDS_1878:
        table[name] = Standard(act=ACT_1878, gross=_DOLLAR_1837, fineness=COIN_SILVER, tolerance=leeway_1873)
    table["dollar-trade"] = Standard(
        act=ACT_1873, gross=Mass.of_grains(420), fineness=COIN_SILVER, tolerance=leeway_1873
    )
    table["three-cent-1851-1853"] = Standard(act=ACT_1851, gross=Mass.of_grains("12.375"), fineness=Decimal("0.750"))
    table["three-cent-1854-1873"] = Standard(act=ACT_1853, gross=Mass.of_grains("11.52"), fineness=COIN_SILVER)
    table["five-cent-wartime"] = Standard(
        act=ACT_1942, gross=Mass.of_grams(5), fineness=Decimal("0.350"), tolerance=Mass.of_grams("0.194")
    )
    table["half-kennedy-40"] = Standard(act=ACT_1965, gross=Mass.of_grams("11.5"), fineness=Decimal("0.400"))
    return table


#: Identity in the table of U.S. types -> its standard by law.
STANDARDS: dict[str, Standard] = _standards()
