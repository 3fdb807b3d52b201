"""Pictures of trays that are being read or were: each on a thread of its own, so that no page waits for it.

They live in memory alone, the least lately begun dropped first, and are gone when ninefine stops.
"""

import secrets
from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass, field
from threading import Event, Lock, Thread

from ninefine.desk.tray import Laid, Tell, Wanted, look
from ninefine.errors import NinefineError

#: Trays kept; each holds its picture and the strip, a few megabytes.
MOST_KEPT = 5
_BROKE = "Something unexpected went wrong in reading this picture ({name}). Nothing was written."


class _StoppedError(Exception):
    """The person stopped the work."""


@dataclass(slots=True, kw_only=True)
class TrayJob:
    """One picture: how far its reading is, and what came of it.

    Attributes:
        token: what it is asked for by.
        name: the picture's file.
        data: its bytes, kept for reading it again.
        typed: what was typed with it.
        stage, done, of: how far it is.
        laid: the tray, once read.
        fault: why it could not be read; empty where it could, or is not done.
        settled: set once nothing more will come.
    """

    token: str
    name: str
    data: bytes
    typed: dict[str, str]
    stage: str = "waiting for its turn"
    done: int = 0
    of: int = 1
    laid: Laid | None = None
    fault: str = ""
    settled: Event = field(default_factory=Event)
    stopped: Event = field(default_factory=Event)

    def tell(self, stage: str, done: int, of: int) -> None:
        """Take down how far the reading is.

        Raises:
            _StoppedError: it was stopped.
        """
        if self.stopped.is_set():
            raise _StoppedError
        self.stage, self.done, self.of = stage, done, max(1, of)


class TrayShelf:
    """Trays by token, and which of them lies beside which tally.

    Args:
        read: reads a picture; the desk's own when not given.
        most: how many are kept.
    """

    def __init__(self, read: Callable[[bytes, str, Wanted, Tell | None], Laid] = look, most: int = MOST_KEPT) -> None:
        self._read = read
        self._most = most
        self._jobs: OrderedDict[str, TrayJob] = OrderedDict()
        self._beside: dict[int, str] = {}
        self._lock = Lock()
        self._eye = Lock()

    def begin(self, data: bytes, name: str, asked: Wanted, typed: dict[str, str]) -> TrayJob:
        """Begin to read a picture on a thread of its own."""
        job = TrayJob(token=secrets.token_urlsafe(9), name=name, data=data, typed=typed)
        with self._lock:
            self._jobs[job.token] = job
            while len(self._jobs) > self._most:
                _, gone = self._jobs.popitem(last=False)
                gone.stopped.set()
        Thread(target=self._work, args=(job, asked), name=f"tray {job.token}", daemon=True).start()
        return job

    def job(self, token: str) -> TrayJob | None:
        """A tray by its token; none where it is no longer kept."""
        with self._lock:
            return self._jobs.get(token)

    def jobs(self) -> list[TrayJob]:
        """All that are kept, the last begun first."""
        with self._lock:
            return list(reversed(self._jobs.values()))

    def drop(self, token: str) -> None:
        """Forget a tray, stopping its reading."""
        with self._lock:
            gone = self._jobs.pop(token, None)
            self._beside = {tally: one for tally, one in self._beside.items() if one != token}
        if gone is not None:
            gone.stopped.set()

    def lay_beside(self, tally: int, token: str) -> None:
        """Put a tray's strip beside a tally."""
        with self._lock:
            self._beside[tally] = token

    def beside(self, tally: int) -> TrayJob | None:
        """The tray whose strip lies beside a tally; none where none does."""
        with self._lock:
            job = self._jobs.get(self._beside.get(tally, ""))
        return job if job is not None and job.laid is not None else None

    def _work(self, job: TrayJob, asked: Wanted) -> None:
        try:
            with self._eye:  # one picture at a time: each takes all the memory and power it can
                job.tell("opening the picture", 0, 1)
                job.laid = self._read(job.data, job.name, asked, job.tell)
        except _StoppedError:
            job.fault = "Its reading was stopped."
        except NinefineError as error:
            job.fault = str(error)
        except Exception as error:  # noqa: BLE001 - the thread has no caller; the page tells it
            job.fault = _BROKE.format(name=type(error).__name__)
        finally:
            job.settled.set()
