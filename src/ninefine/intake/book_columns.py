"""What the columns of a person's own list may be, by the words that people write over them."""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

from ninefine.intake.columns import LEFT_OUT, tidied


class Purpose(StrEnum):
    """What a list is of."""

    PURCHASES = "purchases"
    HOLDINGS = "holdings"
    SALES = "sales"
    DEALINGS = "dealings"
    """Purchases and sales mixed, told apart by a column that says which."""


#: What a column may be, and what it holds, in words.
COLUMNS: Mapping[str, str] = {
    "date": "the day: bought, acquired or sold",
    "kind": "what it is, in plain words",
    "issue": "date and mint in one: 1921-D",
    "year": "the year on the coin",
    "mint": "the mint, or its letter",
    "pieces": "how many pieces",
    "face": "face value",
    "grams": "gross weight in grams, or with its unit",
    "gross ozt": "gross weight in troy ounces",
    "amount": "how much, in words: 250 face, 3 rolls",
    "price": "money for the whole line, without other costs",
    "each": "money for one piece",
    "per face": "money for a face dollar",
    "quote": "a price as the trade says it: 23.4x, spot+1.20",
    "total": "money for the line with all other costs",
    "costs": "other costs",
    "carriage": "postage and insurance",
    "surcharge": "what the way of paying added",
    "tax": "sales tax",
    "fees": "fees",
    "travel": "what fetching it cost",
    "discount": "what was taken off",
    "whom": "seller or buyer",
    "lot": "the lot's name",
    "place": "where it lies",
    "paper": "number of the receipt or invoice",
    "note": "a remark; several columns are put together",
    "how": "how it came: bought, given, inherited",
    "own use": "serves the household itself: yes or no",
    "on its way": "paid for and not here yet: yes or no",
    "currency": "the currency, the same as the book's",
    "deed": "bought or sold",
    "exit": "the way out that was taken",
}
#: A heading that may be money for the line or for one piece: decided by the figures, or asked.
PRICE_OR_EACH = "price?"
#: Columns of numbers; those of costs may stand in several columns, and are added up.
MEASURES = ("pieces", "face", "grams", "gross ozt")
PRICES = ("price", "each", "per face", "total", PRICE_OR_EACH)
COSTS = ("costs", "carriage", "surcharge", "tax", "fees", "travel", "discount")
NUMBERS = frozenset((*MEASURES, *PRICES, *COSTS))
REPEATED = frozenset((*COSTS, "note"))

_SAID: Mapping[str, str] = {
    "date": "date|day|when|on|order date|trade date|transaction date",
    "kind": "kind|piece|item|items|description|coin|coin type|type|what|product|series|details|name|asset",
    "issue": "issue|date and mint|date mint",
    "year": "year|yr|coin year|coin date|year minted",
    "mint": "mint|mm|mint mark|mintmark",
    "pieces": "pieces|pcs|qty|quantity|count|no. of pieces|# of coins|# coins|no. of coins|units|how many|"
    "number of coins|number of pieces|coins",
    "face": "face|face value|fv|$ face|face $|total face|face amount|face dollars|total fv",
    "grams": "grams|gram|g|gross grams|weight g|weight (g)|gross g|weight in grams|gross weight (g)|gross weight g|"
    "weight grams|weight (grams)",
    "gross ozt": "gross ozt|weight ozt|weight (ozt)|gross weight (ozt)|weight (troy oz)|gross troy oz",
    "amount": "how much",
    "price": "line price|line total|goods|subtotal|sub total|price paid|paid|cost|amount paid|spent|basis|"
    "cost basis|book cost|extended|extended price|merchandise",
    "each": "each|price each|unit price|unit cost|per piece|price per piece|price per coin|per coin|cost each|ea|"
    "price ea|per unit|price per unit|cost per coin|cost per piece|price/coin|each price",
    "per face": "per face|x face|times face|multiple|per face dollar|price per face|x fv|times fv|price/face|"
    "face multiple|multiple of face|per $ face|per $1 face|price per $1 face",
    "quote": "quote|quoted",
    "total": "total|total cost|total paid|total price|all in|all in cost|all-in|all-in cost|landed|landed cost|"
    "grand total|invoice total|order total|total with shipping|total incl. shipping",
    "costs": "other costs|extra costs|costs|extras|other",
    "carriage": "carriage|shipping|postage|s&h|shipping & handling|shipping and handling|freight|delivery|ship|"
    "shipping cost|insurance|shipping/insurance",
    "surcharge": "surcharge|card fee|cc fee|payment fee|card surcharge",
    "tax": "tax|sales tax|vat|gst",
    "fees": "fee|fees|commission|wire fee|wire",
    "travel": "travel|gas|fuel|mileage",
    "discount": "discount|rebate|coupon|less discount",
    "lot": "lot|lot no|lot no.|lot #|lot id|lot number",
    "place": "place|location|storage|stored|stored at|stored in|kept at|kept in|where kept|where",
    "paper": "paper|invoice|invoice no|invoice no.|invoice #|order|order #|order no|order no.|order number|receipt|"
    "receipt no|receipt no.|receipt #|ref|ref.|reference",
    "note": "note|notes|remark|remarks|comment|comments|memo|grade|condition",
    "how": "how|how acquired|how it came|acquired by|acquired how",
    "own use": "own use",
    "on its way": "on its way",
    "currency": "currency|ccy|cur|cur.",
    "deed": "deed|action|transaction|buy/sell|b/s|transaction type|bought/sold|bought or sold|buy or sell|side",
    "exit": "exit|way out|venue",
    # what the program works out itself, or what has no place in an entry
    LEFT_OUT: "spot|spot price|silver spot|premium|premium %|premium over spot|melt|melt value|value|current value|"
    "market value|gain|gain/loss|gain or loss|profit|profit/loss|p/l|roi|oz|ozt|ounces|total oz|troy oz|troy ounces|"
    "total ounces|silver oz|oz silver|asw|total asw|fine oz|fine ozt|pure oz|silver weight|silver content|"
    "price per oz|cost per oz|$/oz|per oz|price/oz|cost/oz|row|line|entry|in words|rule|running total|balance|"
    "fine ozt unworn|fine ozt trade|fine ozt scale|fineness|purity|metal|weight per coin",
}
_BUYING: Mapping[str, str] = {
    "date": "bought|date bought|bought on|purchase date|date purchased|purchased|acquired|date acquired|acquired on|"
    "date of purchase|bought date|buy date|purchased on",
    "price": "purchase price|purchase cost|bought for|buy price|purchase total|bought price",
    "whom": "seller|dealer|vendor|shop|store|bought from|from|purchased from|where bought|supplier|source|of whom|"
    "purchase from|purchase dealer|purchase seller|bought of",
}
_SELLING: Mapping[str, str] = {
    "date": "sold|date sold|sold on|sale date|date of sale|sold date|sell date",
    "price": "proceeds|gross proceeds|sold for|sale price|sell price|received|amount received|gross|sale proceeds|"
    "sold price|sale total|total|total price|total received|total proceeds|grand total|order total",
    "total": "net|net proceeds|net received|sale net|net total",
    "whom": "buyer|sold to|to|customer|sale buyer",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Heading:
    """A column: the words over it, what it was read as (empty where that cannot be told), and its place from 1."""

    place: int
    words: str
    name: str


def bare(heading: str) -> str:
    """A heading as it is looked up: small letters, no marks at its ends, no currency beside it."""
    word = tidied(heading).replace("\N{RIGHT SINGLE QUOTATION MARK}", "'")
    for currency in ("(usd)", "(us$)", "($)", "(eur)", "(gbp)", "(cad)", "usd", "(\N{EURO SIGN})", "(\N{POUND SIGN})"):
        word = word.removesuffix(currency).strip()
    return word.strip(" :*?!.")


def named(heading: str, purpose: Purpose) -> str:
    """What a heading is, for a list of that purpose; empty where it is not known."""
    word = bare(heading)
    table = _TABLES[purpose]
    if word in table:
        return table[word]
    if word == "price":
        return PRICE_OR_EACH
    return word if word in COLUMNS else ""


def _table(*own: Mapping[str, str], others: tuple[Mapping[str, str], ...] = ()) -> dict[str, str]:
    found: dict[str, str] = {}
    for other in others:  # what belongs to the other side of a list that holds both
        found |= {word: LEFT_OUT for words in other.values() for word in words.split("|")}
    for each in own:
        found |= {word.strip(" ."): name for name, words in each.items() for word in words.split("|")}
    return found


_TABLES = {
    Purpose.PURCHASES: _table(_SAID, _BUYING, others=(_SELLING,)),
    Purpose.HOLDINGS: _table(_SAID, _BUYING, others=(_SELLING,)),
    Purpose.SALES: _table(_SAID, _SELLING, others=(_BUYING,)),
    Purpose.DEALINGS: _table(_SELLING, _BUYING, _SAID),
}
