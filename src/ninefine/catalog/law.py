"""What law says of melting and exporting coin, and why a coin is called constitutional. For display; never advice."""

from dataclasses import dataclass

from ninefine.catalog.kinds import Form, Kind

_READ = "31 CFR 82.1 and 82.4, as read in a copy current to 5 Apr 2026; check the present rule"


@dataclass(frozen=True, slots=True, kw_only=True)
class Statement:
    """A sentence, and what it rests on."""

    text: str
    source: str


_BARRED = Statement(
    text="It is unlawful to melt, treat or export U.S. five-cent and one-cent coins, with exceptions; the "
    "penalty is a fine of up to $10,000, up to five years in prison, or both, and loss of the coin.",
    source=_READ,
)
_WARTIME = Statement(
    text="The bar leaves out the five-cent pieces of 1942 to 1945 struck in copper, silver and manganese. "
    "Copper-nickel pieces dated 1942 stay barred.",
    source="31 CFR 82.2(c), from memory, not read; check the present rule",
)
_SMALL_LOTS = Statement(
    text="Exports of up to $100 of face as money or for collectors are let through, and small sums carried "
    "on the person.",
    source="31 CFR 82.2(a); $100 read in a second-hand text, the rest from memory; check the present rule",
)
_NOT_NAMED = Statement(
    text="The rule names five-cent and one-cent coins only: 90% and 40% silver coins are not named in it.",
    source=_READ,
)
_ONCE = Statement(
    text="Melting and exporting silver coin was barred from May 1967 to May 1969.",
    source="former 31 CFR Part 81, from memory",
)
_ELSEWHERE = Statement(
    text="31 CFR Part 82 speaks of U.S. coin only. The law of the country of issue is not held here.",
    source=_READ,
)


def melting_law(kind: Kind) -> tuple[Statement, ...]:
    """What law says of melting and exporting a kind. Empty for bullion and household silver: no rule is held here."""
    if kind.slug == "us-five-cent-wartime":
        return (_BARRED, _WARTIME, _SMALL_LOTS)
    if kind.slug == "us-five-cent-copper-nickel":
        return (_BARRED, _SMALL_LOTS)
    if kind.form in {Form.BULLION, Form.HOUSEHOLD} or kind.slug == "not-silver":
        return ()
    if kind.country == "US":
        return (_NOT_NAMED, _ONCE) if kind.form is not Form.NO_SILVER else (_NOT_NAMED,)
    return (_ELSEWHERE,) if kind.country else ()


_DOLLAR = Statement(
    text="The dollar of 1792 held 371 4/16 grains of pure silver in 416. In 1837 it became 412 1/2 grains, "
    "nine tenths fine, and its pure silver stayed 371 1/4 grains, to the last dollar of 1935.",
    source="Acts of 2 Apr 1792 (1 Stat. 246), 18 Jan 1837 (5 Stat. 136-137) and 28 Feb 1878",
)
_SMALL_COIN = Statement(
    text="Half dollars, quarters and dimes held silver in proportion to the dollar until 1853, when they "
    "were made 6.9% lighter: 192 grains the half dollar. In 1873 their weights became metric, 12 1/2 "
    "grams the half, and stayed to 1964.",
    source="Acts of 21 Feb 1853 (10 Stat. 160) and 12 Feb 1873 (17 Stat. 427)",
)
_LINE = Statement(
    text="The trade calls constitutional the coin struck for use to 1964 at nine tenths fine, or the "
    "earlier 1485 parts in 1664, dollars to 1935. The wider name junk silver takes in 40% halves, "
    "wartime five-cent pieces and foreign coin.",
    source="common practice, no source",
)
_WHY_NOT = {
    "forty": Statement(
        text="Clad coin, four tenths silver, by the Act of 1965 or later: junk silver to the trade, not "
        "constitutional.",
        source="Coinage Act of 1965; the line: common practice",
    ),
    "wartime": Statement(
        text="A wartime alloy in place of nickel, 35% silver: junk silver to the trade, not constitutional.",
        source="Second War Powers Act, 56 Stat. 184, title XII; the line: common practice",
    ),
    "collectors": Statement(
        text="Struck for collectors rather than for use, whatever its fineness.", source="common practice, no source"
    ),
    "three-cent": Statement(
        text="Three quarters silver, below the standard of other coin.", source="Act of 3 Mar 1851, from memory"
    ),
    "foreign": Statement(
        text="Coin of another country; the Acts of Congress that set the standard do not speak of it.",
        source="plain fact",
    ),
}


def why_constitutional(kind: Kind) -> tuple[Statement, ...]:
    """Why a coin counts as constitutional, or why not. Empty for what is no silver coin."""
    if kind.form is Form.CONSTITUTIONAL:
        dollar = kind.denomination == "dollar" or not kind.denomination
        small = kind.denomination != "dollar"
        return (*([_DOLLAR] if dollar else []), *([_SMALL_COIN] if small else []), _LINE)
    if kind.form is not Form.OTHER_COIN:
        return ()
    return (_WHY_NOT[_reason(kind)], _LINE) if kind.country == "US" else (_WHY_NOT["foreign"],)


def _reason(kind: Kind) -> str:
    if kind.slug == "us-five-cent-wartime":
        return "wartime"
    if kind.slug.startswith("us-three-cent"):
        return "three-cent"
    return "forty" if f"{kind.fineness:.2f}" == "0.40" else "collectors"
