"""Recordings that are being listened to or were."""

from collections.abc import Callable
from dataclasses import dataclass

from ninefine.assay.ring_heard import Heard
from ninefine.desk.ring import Tell, listen
from ninefine.web.jobs import Job, JobShelf

#: Recordings kept; each holds its bytes, half a megabyte or so.
MOST_KEPT = 12
#: Most recordings are listened to within this time, and the page that sent one leads straight to what was heard.
SOON = 1.5
_BROKE = "Something unexpected went wrong in listening to this recording ({name}). Nothing was written."


@dataclass(slots=True, kw_only=True)
class RingJob(Job):
    """One recording: how many of its strikes were listened to, and what was heard.

    Attributes:
        kind: the slug of what the piece is taken for; empty where nothing was said.
        heard: what was heard, once done.
    """

    kind: str
    heard: Heard | None = None


class RingShelf(JobShelf[RingJob]):
    """Recordings by token.

    Args:
        read: listens to a recording; the desk's own when not given.
        most: how many are kept.
    """

    def __init__(self, read: Callable[[bytes, str, Tell | None], Heard] = listen, most: int = MOST_KEPT) -> None:
        super().__init__(most=most, stopped="Listening was stopped.", broke=_BROKE)
        self._read = read

    def begin(self, data: bytes, name: str, kind: str) -> RingJob:
        """Begin to listen to a recording on a thread of its own."""
        return self.start(RingJob(name=name, data=data, kind=kind), self._listen)

    def _listen(self, job: RingJob) -> None:
        job.reach(0, 1)
        job.heard = self._read(job.data, job.name, job.reach)
