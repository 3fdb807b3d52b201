"""How lots came into the book, and how pieces left it; the values are the words in which it is said."""

from enum import StrEnum


class How(StrEnum):
    """How a lot came."""

    BOUGHT = "bought"
    GIVEN = "given"
    INHERITED = "inherited"
    SWAPPED = "swapped"
    HELD = "held before the book"
    """Of an opening balance, where nobody knows how it had come."""


class Left(StrEnum):
    """How pieces left."""

    SOLD = "sold"
    SWAPPED = "swapped"
    REFINED = "refined"
    LOST = "lost"
    STOLEN = "stolen"
    DESTROYED = "destroyed"
    GIVEN_AWAY = "given away"

    @property
    def for_money(self) -> bool:
        """Whether it was exchanged for money or money's worth."""
        return self in _FOR_MONEY


_FOR_MONEY = frozenset({Left.SOLD, Left.SWAPPED, Left.REFINED})
