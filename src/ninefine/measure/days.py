"""Reading a day as typed."""

from datetime import date

from ninefine.errors import RangeError, UnreadableError

#: The years in which a day of a household's book can lie: heirlooms behind it, reviews ahead.
FIRST_YEAR = 1700
LAST_YEAR = 2199


def read_day(text: str) -> date:
    """Read a date as `2024-03-01` (ISO 8601), the one order that cannot be misread.

    Raises:
        UnreadableError: anything else.
        RangeError: a date before 1700 or after 2199: a slip of the hand.
    """
    try:
        day = date.fromisoformat(text.strip())
    except ValueError as error:
        raise UnreadableError(
            f"{text.strip()[:20]!r} is not a date.", expected="Write year, month, day.", instead=("2024-03-01",)
        ) from error
    if not FIRST_YEAR <= day.year <= LAST_YEAR:
        raise RangeError(
            f"{text.strip()[:20]!r} is in the year {day.year}.",
            expected=f"Days from {FIRST_YEAR} to {LAST_YEAR} are kept; write all four figures of the year.",
        )
    return day
