"""How long something was held: short or long term, by the calendar.

Counting starts on the day after acquisition and includes the day of disposal; long is more than one year, in calendar
months (the rule of IRS Publications 544 and 550). Whether it matters is for the person's own tax rules to say.
"""

from datetime import date, timedelta

from ninefine.errors import BookError


def long_from(acquired: date) -> date:
    """The first day on which a disposal is long term: a year after the day that follows acquisition.

    The count of months begins on that following day, so a lot of 30 November counts from 1 December. A year that would
    begin on a 29 February that is not there begins on 1 March.
    """
    start = acquired + timedelta(days=1)
    try:
        return start.replace(year=start.year + 1)
    except ValueError:  # 29 February
        return date(start.year + 1, 3, 1)


def is_long(acquired: date, sold: date) -> bool:
    """Whether something sold on a date had been held for more than one year.

    Raises:
        BookError: sold before it was acquired.
    """
    if sold < acquired:
        raise BookError(f"Sold on {sold}, before it was acquired on {acquired}. Check both dates.")
    return sold >= long_from(acquired)
