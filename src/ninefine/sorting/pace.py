"""How fast hands tell coins apart, by the moments at which marks were kept; neither pauses nor bursts count."""

from collections import deque
from dataclasses import dataclass
from datetime import datetime, timedelta

#: A longer wait between two marks is a pause: someone got up, or looked a coin over.
PAUSE = timedelta(seconds=60)
#: A shorter one is not of hands: typed-ahead marks were sent all at once, or a program marked.
HANDS = timedelta(milliseconds=150)
#: The pace of the moment is taken over so many marks.
OF_LATE = 60
_HOUR = timedelta(hours=1)


@dataclass(frozen=True, slots=True, kw_only=True)
class Pace:
    """Pieces told in a time of work, and the same over the last marks alone."""

    pieces: int = 0
    worked: timedelta = timedelta(0)
    late_pieces: int = 0
    late_worked: timedelta = timedelta(0)

    @property
    def an_hour(self) -> int | None:
        """Pieces an hour over all the work; none before there is any."""
        return _an_hour(self.pieces, self.worked)

    @property
    def late_an_hour(self) -> int | None:
        """Pieces an hour over the last marks."""
        return _an_hour(self.late_pieces, self.late_worked)

    def time_for(self, pieces: int) -> timedelta | None:
        """How long so many more pieces would take at the pace of the last marks."""
        if self.late_pieces <= 0 or pieces < 0:
            return None
        return self.late_worked * pieces / self.late_pieces


def _an_hour(pieces: int, worked: timedelta) -> int | None:
    return None if not worked or pieces < 0 else pieces * _HOUR // worked


class Work:
    """The time between marks as they come, each with the pieces that it told."""

    def __init__(self) -> None:
        self._before: datetime | None = None
        self._pieces = 0
        self._worked = timedelta(0)
        self._late: deque[tuple[timedelta, int]] = deque(maxlen=OF_LATE)

    @property
    def pace(self) -> Pace:
        """How fast it went."""
        return Pace(
            pieces=self._pieces,
            worked=self._worked,
            late_pieces=sum(pieces for _, pieces in self._late),
            late_worked=sum((gap for gap, _ in self._late), timedelta(0)),
        )

    def add(self, moment: datetime, pieces: int) -> None:
        """A mark was kept. The first after a pause begins anew: how long it took is not known."""
        gap = None if self._before is None else moment - self._before
        self._before = moment
        if gap is not None and HANDS <= gap <= PAUSE:
            self._pieces += pieces
            self._worked += gap
            self._late.append((gap, pieces))
