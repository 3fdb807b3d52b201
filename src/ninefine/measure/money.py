"""Money as exact decimals in one currency of the book, and currencies by ISO 4217.

Amounts are plain `Decimal`s: the book has one currency, so a currency on every figure would only repeat it. Another
currency enters through `market.currency` with a rate that the person gives.
"""

import re
from collections.abc import Sequence
from decimal import ROUND_DOWN, Decimal

from ninefine.errors import NotFoundError, RangeError
from ninefine.measure.numbers import EXACT, read_decimal, to_places

#: ISO 4217 code -> (numeric code, digits after the point, English name). Currencies a silver household is likely to
#: meet, and the four metals, whose unit is the troy ounce and which have no minor unit.
CURRENCIES: dict[str, tuple[str, int, str]] = {
    "AED": ("784", 2, "UAE Dirham"),
    "ARS": ("032", 2, "Argentine Peso"),
    "AUD": ("036", 2, "Australian Dollar"),
    "BRL": ("986", 2, "Brazilian Real"),
    "CAD": ("124", 2, "Canadian Dollar"),
    "CHF": ("756", 2, "Swiss Franc"),
    "CLP": ("152", 0, "Chilean Peso"),
    "CNY": ("156", 2, "Yuan Renminbi"),
    "CZK": ("203", 2, "Czech Koruna"),
    "DKK": ("208", 2, "Danish Krone"),
    "EUR": ("978", 2, "Euro"),
    "GBP": ("826", 2, "Pound Sterling"),
    "HKD": ("344", 2, "Hong Kong Dollar"),
    "HUF": ("348", 2, "Forint"),
    "IDR": ("360", 2, "Rupiah"),
    "ILS": ("376", 2, "New Israeli Sheqel"),
    "INR": ("356", 2, "Indian Rupee"),
    "ISK": ("352", 0, "Iceland Krona"),
    "JPY": ("392", 0, "Yen"),
    "KRW": ("410", 0, "Won"),
    "KWD": ("414", 3, "Kuwaiti Dinar"),
    "MXN": ("484", 2, "Mexican Peso"),
    "MYR": ("458", 2, "Malaysian Ringgit"),
    "NOK": ("578", 2, "Norwegian Krone"),
    "NZD": ("554", 2, "New Zealand Dollar"),
    "PEN": ("604", 2, "Sol"),
    "PHP": ("608", 2, "Philippine Peso"),
    "PLN": ("985", 2, "Zloty"),
    "RON": ("946", 2, "Romanian Leu"),
    "SEK": ("752", 2, "Swedish Krona"),
    "SGD": ("702", 2, "Singapore Dollar"),
    "THB": ("764", 2, "Baht"),
    "TRY": ("949", 2, "Turkish Lira"),
    "TWD": ("901", 2, "New Taiwan Dollar"),
    "UAH": ("980", 2, "Hryvnia"),
    "USD": ("840", 2, "US Dollar"),
    "VND": ("704", 0, "Dong"),
    "ZAR": ("710", 2, "Rand"),
}
METALS: dict[str, tuple[str, str]] = {
    "XAG": ("961", "silver"),
    "XAU": ("959", "gold"),
    "XPD": ("964", "palladium"),
    "XPT": ("962", "platinum"),
}

_CODE = re.compile(r"[A-Z]{3}", re.ASCII)


def currency_code(text: str) -> str:
    """Read an ISO 4217 currency code.

    Raises:
        NotFoundError: not a code that ninefine holds.
    """
    code = text.strip().upper()
    if not _CODE.fullmatch(code) or code not in CURRENCIES:
        raise NotFoundError(f"{text.strip()[:12]!r} is not a currency held here.", instead=("USD", "CAD", "EUR", "GBP"))
    return code


def metal_code(text: str) -> str:
    """Read a metal by its ISO 4217 code or its plain name: `XAG` or `silver`.

    Raises:
        NotFoundError: neither.
    """
    word = text.strip().lower()
    for code, (_, name) in METALS.items():
        if word in {code.lower(), name}:
            return code
    raise NotFoundError(
        f"{text.strip()[:12]!r} is not a metal held here.", instead=("silver", "gold", "platinum", "palladium")
    )


def cents(amount: Decimal, currency: str = "USD") -> Decimal:
    """Round half up to the currency's smallest unit: what an invoice line does."""
    return to_places(amount, CURRENCIES[currency][1])


def cents_down(amount: Decimal, currency: str = "USD") -> Decimal:
    """Round toward zero to the currency's smallest unit: for limits that must not be overspent."""
    return amount.quantize(Decimal(1).scaleb(-CURRENCIES[currency][1]), rounding=ROUND_DOWN, context=EXACT)


def read_money(text: str, *, what: str = "amount") -> Decimal:
    """Read an amount of money as typed: `1,234.50`, `$1234.5`, `-12`. At most the exact digits typed are kept.

    Raises:
        UnreadableError: not a number.
    """
    cleaned = text.strip()
    sign = "-" if cleaned.startswith(("-", "\N{MINUS SIGN}")) else ""
    cleaned = cleaned.removeprefix("-").removeprefix("\N{MINUS SIGN}").strip()
    return read_decimal(sign + cleaned.removeprefix("$").strip(), what=what)


def spread(total: Decimal, weights: Sequence[Decimal], currency: str = "USD") -> list[Decimal]:
    """Share an amount by weights so that the parts sum to the whole, the rounding cent on the largest share.

    Args:
        total: the amount; may be negative.
        weights: at least one, none negative, not all zero. With several equal largest, the first takes the cent.
        currency: decides the smallest unit.

    Raises:
        RangeError: no weights, a negative one, or all zero.
    """
    whole = sum(weights, Decimal(0))
    if not weights or min(weights) < 0 or whole == 0:
        raise RangeError(
            "The shares cannot be worked out.", expected="Give at least one weight above zero, and none below zero."
        )
    parts = [cents(EXACT.divide(EXACT.multiply(total, weight), whole), currency) for weight in weights]
    largest = max(range(len(weights)), key=weights.__getitem__)
    parts[largest] += total - sum(parts, Decimal(0))
    return parts
