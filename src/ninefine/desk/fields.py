"""Reading a form: every field by its own reader, every fault collected, nothing done until all of them read.

The command line and the pages fill the same forms with plain text, so the same words are read, and the same faults
told, on both.
"""

from collections.abc import Callable, Mapping
from datetime import date, datetime
from decimal import Decimal
from typing import TypeVar

from ninefine.errors import Fault, Faults, InputError, RangeError, UnreadableError
from ninefine.measure.days import read_day
from ninefine.measure.money import read_money
from ninefine.measure.numbers import read_count, read_decimal, read_positive, read_reference

S = TypeVar("S")
T = TypeVar("T")


class Fields:
    """A filled form. Ask for each field, then call `done`; a field at fault answers its default until then.

    Args:
        form: field names and what was typed.
        source: what the person would call the form.
    """

    def __init__(self, form: Mapping[str, str], *, source: str) -> None:
        self._form = form
        self._source = source
        self._faults: list[Fault] = []

    def raw(self, name: str) -> str:
        """What was typed, without the spaces around it; empty where nothing was."""
        return self._form.get(name, "").strip()

    def read(self, name: str, reader: Callable[[str], T], default: T, *, needed: bool = False) -> T:
        """Read a field with any reader that raises an InputError; an empty field answers the default."""
        text = self.raw(name)
        if not text:
            if needed:
                self.fault(name, "This is needed.")
            return default
        try:
            return reader(text)
        except Faults as error:
            self._faults += [Fault(where=name, wrong=str(fault)) for fault in error.faults]
        except InputError as error:
            self.fault(name, str(error))
        return default

    def read_value(self, name: str, value: S, reader: Callable[[S], T]) -> T | None:
        """Read something that is not typed text (a file handed in), its fault set down under a field's name."""
        try:
            return reader(value)
        except InputError as error:
            self.fault(name, str(error))
            return None

    def money(self, name: str, default: Decimal = Decimal(0), *, needed: bool = False) -> Decimal:
        """An amount of money, zero or more."""
        return self.read(name, lambda text: _not_below_zero(read_money(text), text), default, needed=needed)

    def decimal(self, name: str, default: Decimal = Decimal(0), *, needed: bool = False) -> Decimal:
        """Any decimal number."""
        return self.read(name, read_decimal, default, needed=needed)

    def positive(self, name: str, default: Decimal | None = None, *, needed: bool = False) -> Decimal | None:
        """A number above zero."""
        return self.read(name, _money_above_zero, default, needed=needed)

    def count(self, name: str, default: int | None = None, *, needed: bool = False) -> int | None:
        """A whole number of pieces."""
        return self.read(name, read_count, default, needed=needed)

    def day(self, name: str, default: date) -> date:
        """A date as `2024-03-01`; empty answers the default."""
        return self.read(name, read_day, default)

    def past_day(self, name: str, today: date) -> date:
        """A date that has come already; empty answers today."""
        on = self.day(name, today)
        if on > today:
            self.fault(name, "This day has not come yet. What happened is booked once it has.")
        return on

    def fault(self, name: str, wrong: str) -> None:
        """Set down a fault of a field that only the form as a whole can see."""
        self._faults.append(Fault(where=name, wrong=wrong))

    @property
    def sound(self) -> bool:
        """Whether nothing has been at fault so far."""
        return not self._faults

    @property
    def at_fault(self) -> set[str]:
        """The fields at fault so far."""
        return {fault.where for fault in self._faults}

    def done(self) -> None:
        """End the reading.

        Raises:
            Faults: every fault that was found, each at its field.
        """
        if self._faults:
            raise Faults(self._faults, source=self._source)


def numbers_of(form: Mapping[str, str], *stems: str) -> list[str]:
    """The numbers of the form's rows in which any field is filled in, or any of some, in order: `kind-2` -> `2`."""
    found = set()
    for name, text in form.items():
        stem, dash, number = name.rpartition("-")
        if dash and (not stems or stem in stems) and read_reference(number) is not None and text.strip():
            found.add(number)
    return sorted(found, key=int)


def read_clock(text: str) -> str:
    """Read a time of day as `10:15`; it stays text.

    Raises:
        UnreadableError: anything else.
    """
    try:
        return datetime.strptime(text.strip(), "%H:%M").strftime("%H:%M")  # noqa: DTZ007 - a time of day alone
    except ValueError as error:
        raise UnreadableError(f"{text.strip()[:20]!r} is not a time of day.", instead=("10:15", "16:40")) from error


def _not_below_zero(value: Decimal, text: str) -> Decimal:
    if value < 0:
        raise RangeError(f"{text.strip()} is below zero.", expected="This amount must be zero or more.")
    return value


def _money_above_zero(text: str) -> Decimal:
    return read_positive(text.strip().removeprefix("$"))
