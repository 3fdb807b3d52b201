"""Long work begun by a page: each job on a thread of its own, so that no page waits, and the page that asks again.

Jobs live in memory alone, the least lately begun dropped first, and are gone when ninefine stops.
"""

import secrets
from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass, field
from threading import Event, Lock, Thread
from typing import Generic, TypeVar

from starlette.responses import Response

from ninefine.errors import NinefineError

#: Seconds after which a page looks again whether its job is done.
LOOK_AGAIN = "1"


class StoppedError(Exception):
    """The person stopped the work."""


@dataclass(slots=True, kw_only=True)
class Job:
    """A file that was handed in and is worked on; what comes of it stands in the jobs made of this.

    Attributes:
        name: the file's name.
        data: its bytes, for as long as the job is kept.
        token: what it is asked for by.
        done, of: parts done, parts in all.
        fault: why nothing came of it; empty where something did, or it is not done.
        settled: set once nothing more will come.
        stopped: set once nobody wants it any more.
    """

    name: str
    data: bytes
    token: str = field(default_factory=lambda: secrets.token_urlsafe(9))
    done: int = 0
    of: int = 1
    fault: str = ""
    settled: Event = field(default_factory=Event)
    stopped: Event = field(default_factory=Event)

    def reach(self, done: int, of: int) -> None:
        """Take down how far the work is.

        Raises:
            StoppedError: it was stopped.
        """
        if self.stopped.is_set():
            raise StoppedError
        self.done, self.of = done, max(1, of)


J = TypeVar("J", bound=Job)


class JobShelf(Generic[J]):
    """Jobs by token; one is worked on at a time.

    Args:
        most: how many are kept.
        stopped: the fault of a job that was stopped.
        broke: the fault of one that met what was not expected, `{name}` standing for the error's name.
    """

    def __init__(self, *, most: int, stopped: str, broke: str) -> None:
        self._most = most
        self._stopped = stopped
        self._broke = broke
        self._jobs: OrderedDict[str, J] = OrderedDict()
        self._lock = Lock()
        self._turn = Lock()

    def job(self, token: str) -> J | None:
        """A job by its token; none where it is no longer kept."""
        with self._lock:
            return self._jobs.get(token)

    def jobs(self) -> list[J]:
        """All that are kept, the last begun first."""
        with self._lock:
            return list(reversed(self._jobs.values()))

    def drop(self, token: str) -> None:
        """Forget a job, stopping its work."""
        with self._lock:
            gone = self._jobs.pop(token, None)
        if gone is not None:
            gone.stopped.set()

    def start(self, job: J, work: Callable[[J], None]) -> J:
        """Keep a job and begin its work, which leaves on the job what comes of it."""
        with self._lock:
            self._jobs[job.token] = job
            while len(self._jobs) > self._most:
                _, gone = self._jobs.popitem(last=False)
                gone.stopped.set()
        Thread(target=self._carry_out, args=(job, work), name=f"job {job.token}", daemon=True).start()
        return job

    def _carry_out(self, job: J, work: Callable[[J], None]) -> None:
        try:
            with self._turn:  # one at a time: each takes all the memory and power it can
                work(job)
        except StoppedError:
            job.fault = self._stopped
        except NinefineError as error:
            job.fault = str(error)
        except Exception as error:  # noqa: BLE001 - the thread has no caller; the page tells it
            job.fault = self._broke.format(name=type(error).__name__)
        finally:
            job.settled.set()


def asks_again(page: Response) -> Response:
    """The page of a job that is not done: the browser asks for it again by itself, until another stands there."""
    page.headers["Refresh"] = LOOK_AGAIN
    return page
