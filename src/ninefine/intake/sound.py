"""A recording from a file: one channel of it, as numbers from -1 to 1, with its samples a second.

WAV, FLAC, AIFF, OGG, MP3 and others are read. What browsers and telephones record by themselves (WebM, M4A) is not;
ninefine's own page records WAV.
"""

import io
from dataclasses import dataclass
from pathlib import PurePath

import numpy as np
import numpy.typing as npt

from ninefine.errors import RangeError, UnreadableError

#: The largest file taken: a minute of two channels at 96,000 samples a second has 34 MB.
LARGEST = 40 * 1024 * 1024
LONGEST_SECONDS = 60.0
#: Below so many samples a second hardly one partial of a coin is heard.
LEAST_RATE, MOST_RATE = 16_000, 384_000
_MOST_CHANNELS = 8
_INSTEAD = ("a WAV", "a FLAC", "an AIFF")
_TELEPHONES = (".webm", ".m4a", ".mp4", ".aac", ".3gp", ".amr")


@dataclass(frozen=True, slots=True, kw_only=True)
class Sound:
    """A recording: one channel, its samples a second, and what it was called."""

    name: str
    samples: npt.NDArray[np.float64]
    rate: int


def read_sound(data: bytes, name: str) -> Sound:
    """Read a recording's bytes; of several channels the loudest.

    Raises:
        UnreadableError: it is no recording, or none of a kind that is read, or holds what is no number.
        RangeError: it is too long, too large, or has too few samples a second.
    """
    import soundfile  # noqa: PLC0415 - heavy: the reader of recordings, loaded when one is handed in

    said = PurePath(name).name[:60] or "The file"
    if not data:
        raise UnreadableError(f"{said} is empty.", expected="A recording was expected.", instead=_INSTEAD)
    if len(data) > LARGEST:
        raise RangeError(
            f"{said} has {len(data) // (1024 * 1024)} MB.", expected="Cut it to the strikes: a minute is plenty."
        )
    try:
        with soundfile.SoundFile(io.BytesIO(data)) as file:
            _check(said, file.samplerate, file.channels)
            whole = file.read(round((LONGEST_SECONDS + 1.0) * file.samplerate), dtype="float64", always_2d=True)
            rate = int(file.samplerate)
    except soundfile.SoundFileError as error:
        raise _not_read(said) from error
    if len(whole) > LONGEST_SECONDS * rate:
        raise RangeError(
            f"{said} is longer than {LONGEST_SECONDS:.0f} seconds.", expected="Cut it to the strikes: ten are plenty."
        )
    if not len(whole):
        raise UnreadableError(f"{said} holds no sound.", expected="Record it again.")
    if not np.isfinite(whole).all():
        raise UnreadableError(f"{said} holds samples that are no numbers.", expected="Record or save it again.")
    loudest = int(np.argmax(np.var(whole, axis=0)))  # summing channels could let a partial cancel itself
    return Sound(name=said, samples=np.ascontiguousarray(whole[:, loudest]), rate=rate)


def _check(said: str, rate: int, channels: int) -> None:
    if not LEAST_RATE <= rate <= MOST_RATE:
        raise RangeError(
            f"{said} has {rate:,} samples a second.",
            expected=f"At least {LEAST_RATE:,} are needed to hear a coin's partials; 44,100 or 48,000 are usual.",
        )
    if channels > _MOST_CHANNELS:
        raise RangeError(f"{said} has {channels} channels.", expected="One or two are expected.")


def _not_read(said: str) -> UnreadableError:
    if said.lower().endswith(_TELEPHONES):
        return UnreadableError(
            f"{said} is of a kind that is not read here.",
            expected="Record on the page itself, or save the recording as WAV.",
            instead=_INSTEAD,
        )
    return UnreadableError(f"{said} is no recording that can be read.", instead=_INSTEAD)
