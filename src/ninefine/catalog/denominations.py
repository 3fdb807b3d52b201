"""The denominations of U.S. silver coin, and the words that people use for them."""

from dataclasses import dataclass
from decimal import Decimal

from ninefine.errors import NotFoundError


@dataclass(frozen=True, slots=True, kw_only=True)
class Denomination:
    """A U.S. denomination.

    Attributes:
        key: the word that code uses (`half`); U.S. identities in the tables begin with it.
        name, plural: as said in a sentence.
        face: dollars.
        words: what else people type for it.
        roll, bag_face: pieces in a bank roll; face of a full bag (0 where none was usual).
    """

    key: str
    name: str
    plural: str
    face: Decimal
    words: tuple[str, ...]
    roll: int = 0
    bag_face: int = 0


# Rolls: encyclopaedia article on bank rolls, read. Bags: a table of bank bags, older practice.
DENOMINATIONS: tuple[Denomination, ...] = (
    Denomination(
        key="three-cent",
        name="three-cent piece",
        plural="three-cent pieces",
        face=Decimal("0.03"),
        words=("three cent", "three cents", "3 cent", "3 cents", "3c", "trime"),
    ),
    Denomination(
        key="half-dime",
        name="half dime",
        plural="half dimes",
        face=Decimal("0.05"),
        words=("half dimes", "half disme", "h10c"),
    ),
    Denomination(
        key="five-cent",
        name="five-cent piece",
        plural="five-cent pieces",
        face=Decimal("0.05"),
        words=("nickel", "nickels", "five cent", "five cents", "5 cent", "5 cents", "5c"),
        roll=40,
        bag_face=200,
    ),
    Denomination(
        key="dime",
        name="dime",
        plural="dimes",
        face=Decimal("0.10"),
        words=("ten cent", "ten cents", "10 cent", "10 cents", "10c", "disme"),
        roll=50,
        bag_face=1000,
    ),
    Denomination(
        key="twenty-cent",
        name="twenty-cent piece",
        plural="twenty-cent pieces",
        face=Decimal("0.20"),
        words=("twenty cent", "twenty cents", "20 cent", "20 cents", "20c"),
    ),
    Denomination(
        key="quarter",
        name="quarter",
        plural="quarters",
        face=Decimal("0.25"),
        words=("quarter dollar", "quarter dollars", "twenty-five cents", "25 cent", "25 cents", "25c"),
        roll=40,
        bag_face=1000,
    ),
    Denomination(
        key="half",
        name="half dollar",
        plural="half dollars",
        face=Decimal("0.50"),
        words=("halves", "halfs", "half dollars", "fifty cents", "50 cent", "50 cents", "50c"),
        roll=20,
        bag_face=1000,
    ),
    Denomination(
        key="dollar",
        name="dollar",
        plural="dollars",
        face=Decimal("1.00"),
        words=("silver dollar", "silver dollars", "one dollar", "1 dollar", "100 cents", "$1"),
        roll=20,
        bag_face=1000,
    ),
)
_BY_KEY = {coin.key: coin for coin in DENOMINATIONS}
_BY_WORD = {word: coin for coin in DENOMINATIONS for word in (coin.key, coin.name, coin.plural, *coin.words)}


def denomination(word: str) -> Denomination:
    """A U.S. denomination by its key or by any word for it: `half`, `50c`, `half dollars`.

    Raises:
        NotFoundError: no such denomination of silver coin.
    """
    found = _BY_WORD.get(" ".join(word.lower().split()))
    if found is None:
        raise NotFoundError(
            f"{word.strip()[:30]!r} is not a denomination of U.S. silver coin.",
            instead=("dime", "quarter", "half", "dollar", "five-cent"),
        )
    return found


def denomination_of_type(type_id: str) -> Denomination | None:
    """The denomination that an identity of the U.S. table begins with; none for bullion."""
    for key in sorted(_BY_KEY, key=len, reverse=True):
        if type_id.startswith(key + "-") or type_id == key:
            return _BY_KEY[key]
    return None
