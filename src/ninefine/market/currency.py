"""Another currency, by a rate that the person enters; nothing is fetched and no rate is shipped."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from ninefine.errors import RangeError
from ninefine.measure.money import cents, currency_code
from ninefine.measure.numbers import EXACT


@dataclass(frozen=True, slots=True, kw_only=True)
class Rate:
    """What one unit of a currency cost in another on a day, and who said so.

    Attributes:
        of: the currency priced, ISO 4217.
        into: the currency it is priced in.
        price: units of `into` for one unit of `of`; exact as entered.
        on: the day.
        whose: where it was read.
    """

    of: str
    into: str
    price: Decimal
    on: date
    whose: str = ""

    def turn(self, amount: Decimal, currency: str) -> Decimal:
        """An amount in either currency, in the other one, to 40 digits; round it with `turn_to_cents` on an invoice.

        Raises:
            RangeError: a currency that this rate does not speak of.
        """
        if currency == self.of:
            return EXACT.multiply(amount, self.price)
        if currency == self.into:
            return EXACT.divide(amount, self.price)
        raise RangeError(
            f"A rate of {self.of} in {self.into} says nothing of {currency}.", instead=(self.of, self.into)
        )

    def turn_to_cents(self, amount: Decimal, currency: str) -> Decimal:
        """The same, rounded half up to the other currency's smallest unit.

        Raises:
            RangeError: a currency that this rate does not speak of.
        """
        return cents(self.turn(amount, currency), self.into if currency == self.of else self.of)


def rate(of: str, into: str, price: Decimal, on: date, whose: str = "") -> Rate:
    """Make a rate from what was entered.

    Raises:
        NotFoundError: a code that is not a currency held here.
        RangeError: the same currency twice, or a price that is not above zero.
    """
    one, other = currency_code(of), currency_code(into)
    if one == other:
        raise RangeError(f"A rate needs two currencies; both are {one}.", instead=("EUR in USD", "GBP in USD"))
    if not price.is_finite() or price <= 0:
        raise RangeError(f"One {one} cannot cost {price} {other}.", expected="A rate must be more than zero.")
    return Rate(of=one, into=other, price=price, on=on, whose=whose)
