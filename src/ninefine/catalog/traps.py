"""Cautions: what is easily mistaken about a kind, a date or a mint, each with what it rests on."""

from collections.abc import Callable
from dataclasses import dataclass

from ninefine.catalog.kinds import Form, Kind

_PRACTICE = "common practice, no source"
_MEMORY = "from memory"


@dataclass(frozen=True, slots=True, kw_only=True)
class Trap:
    """A caution and its source."""

    text: str
    source: str

    @property
    def sentence(self) -> str:
        """The caution with its source in brackets."""
        return f"{self.text} ({self.source})"


#: Whether a trap lies at a kind, in a year (none where no year is asked of), at a mint (may be empty).
_Where = Callable[[Kind, int | None, str], bool]


def _years(kind: Kind, year: int | None, first: int, last: int) -> bool:
    """Whether a year, or where none is asked any year of the kind, falls in a span."""
    if year is not None:
        return first <= year <= last
    return (kind.first_year or first) <= last and (kind.last_year or last) >= first


def _of(*slugs: str, first: int = 0, last: int = 9999) -> _Where:
    return lambda kind, year, _: kind.slug in slugs and _years(kind, year, first, last)


def _starting(*heads: str, first: int = 0, last: int = 9999) -> _Where:
    return lambda kind, year, _: kind.slug.startswith(heads) and _years(kind, year, first, last)


def _old_us(kind: Kind, _year: int | None, _mint: str) -> bool:
    return kind.form is Form.CONSTITUTIONAL and not kind.by_face and (kind.last_year or 0) <= 1873


_SMALL_1964 = ("us-dime-roosevelt-silver", "us-quarter-washington-silver", "us-dime-90", "us-quarter-90")
_CLAD_SMALL = ("us-dime-clad", "us-quarter-clad")
_HALF_40 = ("us-half-kennedy-40", "us-half-40")
_FALSE_OFTEN = (
    "mx-8r-903",
    "es-8r-portrait",
    "cn-dollar-yuan",
    "cn-dollar-junk",
    "jp-yen-900",
    "gb-britain-trade-dollar",
)
_WORN = ("us-dime-barber", "us-quarter-barber", "us-half-barber", "us-quarter-standing-liberty")

_TRAPS: tuple[tuple[_Where, Trap], ...] = (
    (
        _of("us-five-cent-wartime", "us-five-cent-copper-nickel", first=1942, last=1942),
        Trap(
            text="Five-cent pieces dated 1942 exist with and without silver: only a large mint mark above the dome "
            "means silver. Philadelphia struck both, San Francisco only silver, Denver only copper-nickel.",
            source="Second War Powers Act, 56 Stat. 184, title XII; mint mark: common practice",
        ),
    ),
    (
        _of("us-five-cent-wartime", first=1943, last=1945),
        Trap(
            text="Every five-cent piece of 1943 to 1945 bears the large mint mark and holds silver, P included; "
            "one of those dates without it is a contemporary counterfeit or altered.",
            source=_MEMORY,
        ),
    ),
    (
        _of(*_SMALL_1964, first=1964, last=1964),
        Trap(
            text="1964 is the last silver date and 1965 the first clad one; a few of each exist in the other's "
            "metal, so weigh a piece whose edge does not fit its date.",
            source=f"Coinage Act of 1965; the strays: {_MEMORY}",
        ),
    ),
    (
        _of(*_CLAD_SMALL, first=1965, last=1965),
        Trap(
            text="Dimes and quarters dated 1965 and later hold no silver. A 1965 piece at the weight of silver "
            "(2.50 g, 6.25 g) would be a mistake of the mint: have it looked at.",
            source=f"Coinage Act of 1965; the strays: {_MEMORY}",
        ),
    ),
    (
        _of(*_HALF_40),
        Trap(
            text="Half dollars of 1965 to 1970 are 40% silver, not 90%: 0.1479 fine ounces each against 0.3617, "
            "and bid lower for each ounce.",
            source=f"Coinage Act of 1965, 79 Stat. 254; the bids: {_PRACTICE}",
        ),
    ),
    (
        lambda kind, year, mint: kind.slug in _HALF_40 and year == 1970 and mint in {"", "D"},
        Trap(text="The 1970-D was sold in collectors' sets only and is worth more than its metal.", source=_PRACTICE),
    ),
    (
        lambda kind, year, mint: kind.slug in _HALF_40 and (year or 1968) >= 1968 and mint == "S",
        Trap(
            text="Proof half dollars marked S of 1968 to 1970 are 40% silver; proof dimes and quarters of those "
            "years are clad.",
            source=_MEMORY,
        ),
    ),
    (
        _of("us-half-clad", first=1971, last=1974),
        Trap(
            text="Half dollars from 1971 on hold no silver.", source="encyclopaedia article 'Kennedy half dollar', read"
        ),
    ),
    (
        _starting(
            "us-half-kennedy-40-bi", "us-quarter-washington-40-bi", "us-dollar-eisenhower-40", first=1976, last=1976
        ),
        Trap(
            text="Of the coin dated 1776-1976 only S-mint pieces from the silver sets are 40% silver; all others "
            "are clad. Look for an edge without a copper stripe.",
            source=_MEMORY,
        ),
    ),
    (
        _of("us-quarter-clad", "us-half-clad", "us-dollar-eisenhower-clad", first=1976, last=1976),
        Trap(
            text="An S-mint piece dated 1776-1976 may be 40% silver: look for an edge without a copper stripe, and "
            "weigh it.",
            source=_MEMORY,
        ),
    ),
    (
        _starting("us-dollar-eisenhower"),
        Trap(
            text="Most Eisenhower dollars hold no silver (22.68 g). Only S-mint collectors' pieces of 1971 to 1974 "
            "and 1976 are 40% silver (24.59 g).",
            source=_MEMORY,
        ),
    ),
    (
        _starting(
            "us-dime-silver-proof",
            "us-quarter-silver-proof",
            "us-half-silver-proof",
            "us-dime-clad",
            "us-quarter-clad",
            "us-half-clad",
            first=1992,
        ),
        Trap(
            text="S-mint silver proofs were sold from 1992 on, 90% to 2018 and 99.9% since, beside clad proofs of "
            "the same look: silver shows no copper stripe.",
            source=_MEMORY,
        ),
    ),
    (
        _of("us-dollar-morgan", "us-dollar-peace", "us-dollar-90"),
        Trap(
            text="A silver dollar holds 0.7734 fine ounces for its dollar of face, small coin 0.7234: never price "
            "dollars at 0.715.",
            source="Acts of 1837, 1873 and 1878, by arithmetic",
        ),
    ),
    (
        _of("us-90"),
        Trap(
            text="Dollars do not belong in a count of 90% coin by face; they hold 6.9% more and are sold by the piece.",
            source="Acts of 1873 and 1878, by arithmetic; the habit: common practice",
        ),
    ),
    (
        _of("us-dollar-trade"),
        Trap(
            text="Trade dollars are often false, and chop marks lower what collectors pay. It is not a standard "
            "dollar: 420 grains, struck for trade with Asia.",
            source=f"Act of 12 Feb 1873, sec. 15; falsity: {_PRACTICE}",
        ),
    ),
    (
        _of(*_FALSE_OFTEN),
        Trap(
            text="Often false. Weigh and measure each piece and take its density before paying for its silver.",
            source=_PRACTICE,
        ),
    ),
    (
        _starting("ru-rouble-900"),
        Trap(text="Roubles are often false; weigh, measure and test each.", source=_PRACTICE),
    ),
    (
        _of(*_WORN),
        Trap(
            text="Well-worn early coin can be 4 to 8% under its weight as struck, more than 0.715 allows for: "
            "weigh a heap of it rather than trust its face.",
            source=f"weights told by collectors; the range {_MEMORY}",
        ),
    ),
    (
        _old_us,
        Trap(
            text="Struck to an earlier weight than 90% coin of 1873 to 1964; the trade's 0.715 does not fit it, "
            "and most pieces are worth more than their metal.",
            source="Acts of 1792, 1837 and 1853; the worth: common practice",
        ),
    ),
    (
        lambda kind, year, _: year == 1853 and kind.country == "US" and "seated" in kind.slug,
        Trap(
            text="Two weights bear the date 1853: arrows beside the date mean the lighter coin (dollars excepted).",
            source=f"Act of 21 Feb 1853; the arrows: {_PRACTICE}",
        ),
    ),
    (
        lambda kind, year, _: year == 1873 and kind.country == "US" and "seated" in kind.slug,
        Trap(
            text="Two weights bear the date 1873: arrows beside the date mean the slightly heavier coin.",
            source=f"Act of 12 Feb 1873; the arrows: {_PRACTICE}",
        ),
    ),
    (
        lambda kind, year, mint: kind.slug == "us-dime-mercury" and year == 1916 and mint in {"", "D"},
        Trap(text="The 1916-D is widely faked by adding a D to a Philadelphia coin.", source=_PRACTICE),
    ),
    (
        _of("ca-10c-800", "ca-25c-800", "ca-10c-500", "ca-25c-500", first=1967, last=1967),
        Trap(
            text="Canadian 10 and 25 cents of 1967 were struck in .800 and in .500, alike to the eye: count the "
            "lower, or take the density.",
            source=_MEMORY,
        ),
    ),
    (
        _of("ca-10c-500", "ca-25c-500", first=1968, last=1968),
        Trap(
            text="Canadian 10 and 25 cents of 1968 exist in .500 silver and in nickel: a magnet takes the nickel ones.",
            source=_MEMORY,
        ),
    ),
    (
        _of("ca-50c-800", "ca-1d-800"),
        Trap(text="Canadian 50 cents and dollars for use hold no silver from 1968 on.", source=_MEMORY),
    ),
    (
        _of("gb-3d-925", "gb-3d-500", "gb-6d-925", "gb-6d-500", first=1920, last=1920),
        Trap(
            text="British threepence and sixpence of 1920 exist in .925 and .500: count the lower unless tested.",
            source=_MEMORY,
        ),
    ),
    (
        _starting("gb-3d-500", "gb-6d-500", "gb-1s-500", "gb-2s-500", "gb-half-crown-500", "gb-crown-500"),
        Trap(
            text="British silver of 1920 to 1946 is .500, before that .925; from 1947 on coin for use holds none.",
            source=_MEMORY,
        ),
    ),
    (
        _starting("gb-1s-925", "gb-2s-925", "gb-half-crown-925"),
        Trap(text="Sterling to 1919; from 1920 the same coin is .500.", source=_MEMORY),
    ),
    (
        _of("fj-2s-500", "fj-2s-900", first=1942, last=1943),
        Trap(
            text="Fiji florins of 1942 and 1943 come in .500 and in .900 struck at San Francisco (mint mark S).",
            source=_MEMORY,
        ),
    ),
    (
        _starting("mx-peso-", "mx-50c-", "mx-5p-", "mx-10p-"),
        Trap(
            text="Mexican pesos changed often: .903 to 1914, .800 in 1918-19, .720 from 1920 to 1945, .500 in "
            "1947-49, .300 in 1950, .100 from 1957 to 1967. The date decides.",
            source="the catalog's own rows, partly from memory",
        ),
    ),
    (
        _starting("au-3d", "au-6d", "au-1s", "au-2s"),
        Trap(
            text="Australian silver is .925 to about 1945 and .500 from 1946; from 1966 only the round 50 cents of "
            "that year holds silver.",
            source=_MEMORY,
        ),
    ),
    (
        _starting("ch-half-franc", "ch-1f", "ch-2f", "ch-5f-835"),
        Trap(
            text="Swiss coin of 1968 and later looks the same and holds no silver (5 francs of 1969 excepted).",
            source=_MEMORY,
        ),
    ),
    (
        _of("us-half-commemorative-classic"),
        Trap(
            text="Most commemorative half dollars sell for more than their metal: look the design up before "
            "pricing by face.",
            source=_PRACTICE,
        ),
    ),
    (
        _starting("xag-generic-", "xau-generic-", "xpt-generic-", "xpd-generic-"),
        Trap(
            text="A stamp proves nothing: weigh it, measure it, and take its density; plated bars are offered.",
            source=_PRACTICE,
        ),
    ),
    (
        _of("household-unmarked", "household-ftc-number-silver"),
        Trap(
            text="The mark fixes no fineness; it counts for nothing until a test has been made.",
            source="rule of prudence",
        ),
    ),
    (
        _starting("household-russia-84", "household-coin-900", "household-german-12", "household-german-13"),
        Trap(
            text="The number alone may be a plating figure: never read a fineness off it without a state hallmark.",
            source=_PRACTICE,
        ),
    ),
    (
        lambda kind, _year, _mint: kind.form is Form.HOUSEHOLD and kind.share_high < 1,
        Trap(text="Only part of the weight is silver; price the low end of the range.", source=_PRACTICE),
    ),
)


def traps(kind: Kind, year: int | None = None, mint: str = "") -> tuple[Trap, ...]:
    """The cautions that lie at a kind, a year of it and a mint."""
    return tuple(trap for lies_at, trap in _TRAPS if lies_at(kind, year, mint))
