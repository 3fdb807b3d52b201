"""Pictures of trays that are being read or were, and which of them lies beside which tally."""

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial

from ninefine.desk.tray import Laid, Tell, Wanted, look
from ninefine.web.jobs import Job, JobShelf

#: Trays kept; each holds its picture and the strip, a few megabytes.
MOST_KEPT = 5
_BROKE = "Something unexpected went wrong in reading this picture ({name}). Nothing was written."


@dataclass(slots=True, kw_only=True)
class TrayJob(Job):
    """One picture: how far its reading is, and what came of it.

    Attributes:
        typed: what was typed with it.
        stage: what is being done.
        laid: the tray, once read.
    """

    typed: dict[str, str]
    stage: str = "waiting for its turn"
    laid: Laid | None = None

    def tell(self, stage: str, done: int, of: int) -> None:
        """Take down how far the reading is.

        Raises:
            StoppedError: it was stopped.
        """
        self.reach(done, of)
        self.stage = stage


class TrayShelf(JobShelf[TrayJob]):
    """Trays by token, and which of them lies beside which tally.

    Args:
        read: reads a picture; the desk's own when not given.
        most: how many are kept.
    """

    def __init__(self, read: Callable[[bytes, str, Wanted, Tell | None], Laid] = look, most: int = MOST_KEPT) -> None:
        super().__init__(most=most, stopped="Its reading was stopped.", broke=_BROKE)
        self._read = read
        self._beside: dict[int, str] = {}

    def begin(self, data: bytes, name: str, asked: Wanted, typed: dict[str, str]) -> TrayJob:
        """Begin to read a picture on a thread of its own."""
        return self.start(TrayJob(name=name, data=data, typed=typed), partial(self._look, asked))

    def drop(self, token: str) -> None:
        """Forget a tray, stopping its reading; its strip lies beside no tally any more."""
        super().drop(token)
        with self._lock:
            self._beside = {tally: one for tally, one in self._beside.items() if one != token}

    def lay_beside(self, tally: int, token: str) -> None:
        """Put a tray's strip beside a tally."""
        with self._lock:
            self._beside[tally] = token

    def beside(self, tally: int) -> TrayJob | None:
        """The tray whose strip lies beside a tally; none where none does."""
        with self._lock:
            job = self._jobs.get(self._beside.get(tally, ""))
        return job if job is not None and job.laid is not None else None

    def _look(self, asked: Wanted, job: TrayJob) -> None:
        job.tell("opening the picture", 0, 1)
        job.laid = self._read(job.data, job.name, asked, job.tell)
