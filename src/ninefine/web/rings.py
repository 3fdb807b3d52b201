"""Recordings that are being listened to or were: each on a thread of its own, so that no page waits for it.

They live in memory alone, the least lately begun dropped first, and are gone when ninefine stops.
"""

import secrets
from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass, field
from threading import Event, Lock, Thread

from ninefine.assay.ring_heard import Heard
from ninefine.desk.ring import Tell, listen
from ninefine.errors import NinefineError

#: Recordings kept; each holds its bytes, half a megabyte or so.
MOST_KEPT = 12
#: Most recordings are listened to within this time, and the page that sent one leads straight to what was heard.
SOON = 1.5
_BROKE = "Something unexpected went wrong in listening to this recording ({name}). Nothing was written."


class _StoppedError(Exception):
    """The person stopped the work."""


@dataclass(slots=True, kw_only=True)
class RingJob:
    """One recording: how far it has been listened to, and what was heard.

    Attributes:
        token: what it is asked for by.
        name: the recording's file.
        data: its bytes, for keeping it with a test.
        kind: the slug of what the piece is taken for; empty where nothing was said.
        done, of: strikes listened to, strikes in all.
        heard: what was heard, once done.
        fault: why it could not be listened to; empty where it could, or is not done.
        settled: set once nothing more will come.
    """

    token: str
    name: str
    data: bytes
    kind: str
    done: int = 0
    of: int = 1
    heard: Heard | None = None
    fault: str = ""
    settled: Event = field(default_factory=Event)
    stopped: Event = field(default_factory=Event)

    def tell(self, done: int, of: int) -> None:
        """Take down how far listening is.

        Raises:
            _StoppedError: it was stopped.
        """
        if self.stopped.is_set():
            raise _StoppedError
        self.done, self.of = done, max(1, of)


class RingShelf:
    """Recordings by token.

    Args:
        read: listens to a recording; the desk's own when not given.
        most: how many are kept.
    """

    def __init__(self, read: Callable[[bytes, str, Tell | None], Heard] = listen, most: int = MOST_KEPT) -> None:
        self._read = read
        self._most = most
        self._jobs: OrderedDict[str, RingJob] = OrderedDict()
        self._lock = Lock()
        self._ear = Lock()

    def begin(self, data: bytes, name: str, kind: str) -> RingJob:
        """Begin to listen to a recording on a thread of its own."""
        job = RingJob(token=secrets.token_urlsafe(9), name=name, data=data, kind=kind)
        with self._lock:
            self._jobs[job.token] = job
            while len(self._jobs) > self._most:
                _, gone = self._jobs.popitem(last=False)
                gone.stopped.set()
        Thread(target=self._work, args=(job,), name=f"ring {job.token}", daemon=True).start()
        return job

    def job(self, token: str) -> RingJob | None:
        """A recording by its token; none where it is no longer kept."""
        with self._lock:
            return self._jobs.get(token)

    def jobs(self) -> list[RingJob]:
        """All that are kept, the last begun first."""
        with self._lock:
            return list(reversed(self._jobs.values()))

    def drop(self, token: str) -> None:
        """Forget a recording, stopping its work."""
        with self._lock:
            gone = self._jobs.pop(token, None)
        if gone is not None:
            gone.stopped.set()

    def _work(self, job: RingJob) -> None:
        try:
            with self._ear:  # one recording at a time
                job.tell(0, 1)
                job.heard = self._read(job.data, job.name, job.tell)
        except _StoppedError:
            job.fault = "Listening was stopped."
        except NinefineError as error:
            job.fault = str(error)
        except Exception as error:  # noqa: BLE001 - the thread has no caller; the page tells it
            job.fault = _BROKE.format(name=type(error).__name__)
        finally:
            job.settled.set()
