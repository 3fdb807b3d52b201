"""Reading a price as people say it: `23.4x`, `spot+1.20`, `75c back of spot`, `4% over`, `95% of melt`, `2.30 a dime`.

Each way of saying is one row of `_WAYS`. A tail names the ounces counted (`trade`, `unworn`, `by scale`, `on 0.715`).
"""

import re
from collections.abc import Callable
from decimal import Decimal
from fractions import Fraction

from ninefine.catalog.kinds import Basis
from ninefine.errors import RangeError, UnreadableError
from ninefine.market.content import content
from ninefine.market.quote import Quote, QuoteForm
from ninefine.measure.numbers import read_decimal, to_places

LONGEST = 120
_LONGEST_NEAR = 12

_N = r"(?P<n>\.\d+|\d[\d,']*(?:\.\d+)?)"
_M = rf"\$? ?{_N} ?(?P<c>c|cts?|cents?)?"
_A = r"(?:an?|per|for an?|/)"
_DOLLAR = r"(?:\$1(?:\.00)? face|(?:face )?dollar(?: of)?(?: face)?(?: value)?|\$ face|face)"
_COIN = r"(?P<coin>war nickel|nickel|dime|quarter|half dollar|half|silver dollar|morgan|peace dollar)"
_PIECE = rf"(?:each|ea|apiece|{_A} ?(?:{_COIN}|piece|coin|round|bar))"
_OUNCE = r"(?:ozt|troy ounce|troy oz|oz troy|oz|ounce)"
_GRAM = r"(?P<unit>gramme|grams?|gm|g|kilogram|kilo|kg|pennyweight|dwt)"
_OVER = r"(?:over|above)"
_UNDER = r"(?:back of|back from|back|under|below|behind|less than|less|off)"
_AT = r"(?: spot| melt)?"
_FACE = r"\$? ?(?P<face>\d[\d,']*(?:\.\d+)?|[a-z]+(?:[- ][a-z]+)?)"
_ROLLED = r"(?P<coins>dimes?|quarters?|half dollars?|halves|half|silver dollars?|dollars?|war nickels?|nickels?)"

_COINS = {
    "nickel": "war nickel",
    "half dollar": "half",
    "morgan": "silver dollar",
    "peace dollar": "silver dollar",
}
#: Face of a bank roll by how its coin is said (the pieces of `content.ROLLS` at their face).
_ROLL_FACES = {"di": 5, "qu": 10, "ha": 10, "do": 20, "si": 20, "wa": 2, "ni": 2}
_SPOKEN = {
    "ten": 10,
    "twenty": 20,
    "fifty": 50,
    "a hundred": 100,
    "one hundred": 100,
    "hundred": 100,
    "two-fifty": 250,
    "two fifty": 250,
    "five hundred": 500,
    "five-hundred": 500,
    "a thousand": 1000,
    "one thousand": 1000,
    "thousand": 1000,
}
_GRAMS = {"k": Fraction(1000), "p": Fraction("1.55517384"), "d": Fraction("1.55517384"), "g": Fraction(1)}

_TAIL = re.compile(
    r"[ ,(]+(?:(?:on|by|at|@) )?(?:the )?"
    r"(?P<word>trade|unworn|new|as struck|scale|weighed)(?: (?:ounces?|ozt|oz|basis|count|weight))?\)?$"
    r"|[ ,(]+(?:on|at|@) (?P<factor>0?\.\d+)\)?$"
)
_MIDDLE = re.compile(rf"\b(trade|unworn|scale) {_OUNCE}\b")
_BASES = {"t": Basis.TRADE, "u": Basis.UNWORN, "n": Basis.UNWORN, "a": Basis.UNWORN, "s": Basis.SCALE, "w": Basis.SCALE}
_TRADE_FACTORS = ("0.715", "0.765", "0.295")
_UNWORN_FACTORS = tuple(content(name).unworn_ozt for name in ("90", "dollars", "40"))
_FEWEST_PLACES = 3

_Match = re.Match[str]


def read_quote(text: str) -> Quote:
    """Read a price as typed or heard. Dollars need no sign; `c` is cents; thousands marks are allowed.

    Raises:
        UnreadableError: no reading fits; `instead` holds readable quotes near to what was typed.
        RangeError: a price of nothing, or an ounce factor that is nobody's.
    """
    said = _tidy(text)
    if len(said) <= LONGEST:
        body, basis = _split_basis(said, text)
        for pattern, build in _WAYS:
            match = re.fullmatch(pattern, body, re.ASCII)
            if match is None:
                continue
            try:
                return _with_basis(build(match), basis, text)
            except UnreadableError:
                break
    raise UnreadableError(
        f"{text.strip()[:60]!r} is not a price as the trade says one.",
        expected="A price is times face, for some face, over or under spot, per cent, each, by weight, or flat.",
        instead=_near(said),
    )


def _tidy(text: str) -> str:
    said = text.lower().replace("\N{MINUS SIGN}", "-").replace("\N{EN DASH}", "-").replace("\N{CENT SIGN}", "c")
    said = said.replace("us$", "$").replace("usd", "$").replace("\N{MULTIPLICATION SIGN}", "x")
    return " ".join(said.split()).rstrip(".")


def _split_basis(said: str, text: str) -> tuple[str, Basis | None]:
    """Take the words that name the ounces off a quote."""
    inner = _MIDDLE.search(said)
    if inner is not None:
        return said[: inner.start()] + "ozt" + said[inner.end() :], _BASES[inner[1][0]]
    tail = _TAIL.search(said)
    if tail is None:
        return said, None
    body = said[: tail.start()].strip()
    if tail["word"]:
        return body, _BASES[tail["word"][0]]
    factor = "0" + tail["factor"].lstrip("0")
    if factor in _TRADE_FACTORS:
        return body, Basis.TRADE
    places = len(factor) - 2
    if places >= _FEWEST_PLACES and any(to_places(full, places) == Decimal(factor) for full in _UNWORN_FACTORS):
        return body, Basis.UNWORN
    raise RangeError(
        f"{text.strip()[:60]!r} counts ounces on {factor}, which is no factor held here.",
        expected="Coin is counted on the trade's factor or as struck.",
        instead=(f"{body} on 0.715", f"{body} on 0.7234", f"{body} by scale"),
    )


def _with_basis(quote: Quote, basis: Basis | None, text: str) -> Quote:
    signed = {QuoteForm.SPOT_PLUS, QuoteForm.PERCENT_OVER, QuoteForm.EACH_OVER_MELT}
    if quote.form not in signed and quote.value <= 0:
        raise RangeError(f"{text.strip()[:60]!r} is a price of nothing.", expected="A price is more than zero.")
    if basis is None:
        return quote
    return Quote(form=quote.form, value=quote.value, per=quote.per, piece=quote.piece, basis=basis, basis_said=True)


def _number(match: _Match) -> Fraction:
    return Fraction(read_decimal(match["n"], what="price"))


def _dollars(match: _Match) -> Fraction:
    value = _number(match)
    return value / 100 if match["c"] else value


def _face(match: _Match) -> Fraction:
    words = match["face"]
    return Fraction(_SPOKEN[words]) if words in _SPOKEN else Fraction(read_decimal(words, what="face"))


def _simple(form: QuoteForm, sign: int = 1) -> Callable[[_Match], Quote]:
    return lambda match: Quote(form=form, value=sign * _dollars(match))


def _percent(form: QuoteForm, sign: int = 1) -> Callable[[_Match], Quote]:
    return lambda match: Quote(form=form, value=sign * _number(match))


def _pieces(form: QuoteForm, sign: int = 1) -> Callable[[_Match], Quote]:
    def build(match: _Match) -> Quote:
        coin = match["coin"] or ""
        return Quote(form=form, value=sign * _dollars(match), piece=_COINS.get(coin, coin))

    return build


def _for_face(match: _Match) -> Quote:
    return Quote(form=QuoteForm.FOR_FACE, value=_dollars(match), per=_face(match))


def _roll(match: _Match) -> Quote:
    face = next(face for start, face in _ROLL_FACES.items() if match["coins"].startswith(start))
    return Quote(form=QuoteForm.FOR_FACE, value=_dollars(match), per=Fraction(face))


def _bag(match: _Match) -> Quote:
    face = _face(match) if match["face"] else Fraction(500 if match["small"] else 1000)
    return Quote(form=QuoteForm.FOR_FACE, value=_dollars(match), per=face)


def _by_weight(match: _Match) -> Quote:
    return Quote(form=QuoteForm.PER_GRAM, value=_dollars(match) / _GRAMS[match["unit"][0]])


# Patterns are compiled as they are tried: most quotes are read by the first few.
_WAYS: tuple[tuple[str, Callable[[_Match], Quote]], ...] = (
    (rf"\$?{_N} ?(?:x|times)(?: ?(?:face|fv)(?: value)?)?", _percent(QuoteForm.TIMES_FACE)),
    (rf"{_M} ?{_A} ?{_DOLLAR}", _simple(QuoteForm.PER_FACE)),
    (rf"{_M} ?{_A} ?roll(?: of)? {_ROLLED}", _roll),
    (rf"{_M} ?{_A} ?{_ROLLED} roll", _roll),
    (rf"{_M} ?{_A} ?(?:(?P<small>half)|{_FACE}(?: face)?)? ?bag", _bag),
    (rf"{_M} ?(?:for|per|/) ?{_FACE} (?:face|fv)(?: value)?", _for_face),
    (r"(?:at )?(?:spot|melt)(?: price)?", lambda _: Quote(form=QuoteForm.SPOT_PLUS, value=Fraction(0))),
    (rf"(?:spot|melt) ?(?:\+|plus) ?{_N} ?(?:%|percent|per cent|pct)", _percent(QuoteForm.PERCENT_OVER)),
    (rf"(?:spot|melt) ?(?:-|minus|less) ?{_N} ?(?:%|percent|per cent|pct)", _percent(QuoteForm.PERCENT_OVER, -1)),
    (rf"(?:spot|melt) ?(?:\+|plus) ?{_M}(?: ?{_A} ?{_OUNCE})?", _simple(QuoteForm.SPOT_PLUS)),
    (rf"(?:spot|melt) ?(?:-|minus|less) ?{_M}(?: ?{_A} ?{_OUNCE})?", _simple(QuoteForm.SPOT_PLUS, -1)),
    (rf"(?:spot|melt) ?(?:\+|plus) ?{_M} ?{_PIECE}", _pieces(QuoteForm.EACH_OVER_MELT)),
    (rf"(?:spot|melt) ?(?:-|minus|less) ?{_M} ?{_PIECE}", _pieces(QuoteForm.EACH_OVER_MELT, -1)),
    (
        rf"{_N} ?(?:%|percent|per cent|pct) ?(?:{_OVER}|premium|on top)(?: of)?{_AT}",
        _percent(QuoteForm.PERCENT_OVER),
    ),
    (rf"{_N} ?(?:%|percent|per cent|pct) ?(?:{_UNDER}|discount){_AT}", _percent(QuoteForm.PERCENT_OVER, -1)),
    (rf"{_N} ?(?:%|percent|per cent|pct)(?: of)? ?(?:melt|spot)", _percent(QuoteForm.PERCENT_OF_MELT)),
    (rf"{_M}(?: ?{_A} ?{_OUNCE})? {_OVER}{_AT}", _simple(QuoteForm.SPOT_PLUS)),
    (rf"{_M}(?: ?{_A} ?{_OUNCE})? {_UNDER}{_AT}", _simple(QuoteForm.SPOT_PLUS, -1)),
    (rf"{_M} ?{_PIECE} {_OVER}{_AT}", _pieces(QuoteForm.EACH_OVER_MELT)),
    (rf"{_M} ?{_PIECE} {_UNDER}{_AT}", _pieces(QuoteForm.EACH_OVER_MELT, -1)),
    (rf"{_M} ?{_PIECE}", _pieces(QuoteForm.EACH)),
    (rf"{_M} ?{_A} ?{_OUNCE}", _simple(QuoteForm.PER_OUNCE)),
    (rf"{_M} ?{_A} ?{_GRAM}", _by_weight),
    (rf"(?:flat|lot) {_M}", _simple(QuoteForm.FLAT)),
    (rf"{_M} (?:flat|the lot|for the lot|for all|in all)", _simple(QuoteForm.FLAT)),
)


def _near(said: str) -> tuple[str, ...]:
    """Readable quotes near to what was typed: its first number in the forms that its words hint at."""
    found = re.search(r"\d+(?:\.\d+)?", re.sub(r",(?=\d{1,2}(?!\d))", ".", said).replace(",", ""))
    number = found[0] if found and len(found[0]) <= _LONGEST_NEAR and Fraction(found[0]) else "23.4"
    hints = [
        ("%" in said or "cent" in said, (f"{number}% over", f"{number}% under", f"{number}% of melt")),
        ("spot" in said or "melt" in said, (f"spot+{number}", f"spot-{number}", f"{number}% of melt")),
        ("roll" in said, (f"{number} a roll of quarters", f"{number} a roll of dimes")),
        ("face" in said, (f"{number}x", f"{number} a face dollar", f"{number} for 10 face")),
        ("each" in said or "coin" in said, (f"{number} each", f"{number} a dime", f"{number} a half")),
        ("oz" in said or "ounce" in said, (f"{number} an ounce", f"spot+{number}")),
        (True, (f"{number}x", f"spot+{number}", f"{number}% over", f"{number} each", f"flat {number}")),
    ]
    return next(tries for fits, tries in hints if fits)
