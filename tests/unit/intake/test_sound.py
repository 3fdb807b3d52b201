"""Recordings read: one channel out of many kinds of file, or a fault in words."""

import io
from pathlib import Path

import numpy as np
import pytest
import soundfile
from scipy import signal

from ninefine.assay.ring import hear
from ninefine.errors import InputError, RangeError, UnreadableError
from ninefine.intake.sound import read_sound
from struck import DOLLAR, Sound, ringing

RECORDINGS = Path(__file__).resolve().parents[2] / "recordings"
RATE = 44_100
STRIKE = np.concatenate([np.zeros(RATE // 5), 0.2 * ringing(DOLLAR, 1.0, rate=RATE)])


def file_of(sound: Sound, rate: int = RATE, *, kind: str = "WAV", subtype: str = "PCM_16") -> bytes:
    out = io.BytesIO()
    soundfile.write(out, sound, rate, format=kind, subtype=subtype)
    return out.getvalue()


@pytest.mark.parametrize(
    ("kind", "subtype", "within"),
    [
        ("WAV", "PCM_16", 1e-4),
        ("WAV", "FLOAT", 1e-7),
        ("WAV", "PCM_U8", 1e-2),
        ("FLAC", "PCM_24", 1e-6),
        ("AIFF", "PCM_16", 1e-4),
    ],
)
def test_a_recording_comes_back_as_it_was(kind: str, subtype: str, within: float) -> None:
    found = read_sound(file_of(STRIKE, kind=kind, subtype=subtype), "strike.x")

    assert found.rate == RATE
    assert np.abs(found.samples - STRIKE).max() < within


@pytest.mark.parametrize(("kind", "subtype"), [("OGG", "VORBIS"), ("MP3", "MPEG_LAYER_III")])
def test_a_compressed_recording_keeps_its_main_partials(kind: str, subtype: str) -> None:
    found = read_sound(file_of(STRIKE, kind=kind, subtype=subtype), "strike.x")
    hertz = [one.hz for one in hear(found.samples, found.rate).partials]

    for tone in DOLLAR[:4]:
        assert min(abs(hz - tone.hz) for hz in hertz) < 0.002 * tone.hz


def test_of_several_channels_the_loudest_is_heard_and_none_are_summed() -> None:
    """Two channels of opposite sign would cancel each other in a sum."""
    both = np.stack([0.5 * STRIKE, -STRIKE], axis=1)

    assert np.abs(read_sound(file_of(both), "both.wav").samples + STRIKE).max() < 1e-4


@pytest.mark.parametrize(
    ("data", "name", "error", "words"),
    [
        (b"", "empty.wav", UnreadableError, "empty.wav is empty"),
        (b"RIFF", "short.wav", UnreadableError, "no recording that can be read"),
        (b"date,kind,amount\n" * 20, "table.csv", UnreadableError, "no recording that can be read"),
        (b"\x1aE\xdf\xa3" + bytes(64), "take.webm", UnreadableError, "of a kind that is not read here"),
        (b"RIFF" + bytes(41 * 1024 * 1024), "huge.wav", RangeError, "has 41 MB"),
        (file_of(STRIKE, 8_000), "telephone.wav", RangeError, "8,000 samples a second"),
        (file_of(np.zeros(61 * 16_000), 16_000), "long.wav", RangeError, "longer than 60 seconds"),
        (file_of(np.zeros(0)), "nothing.wav", UnreadableError, "holds no sound"),
        (file_of(np.full(900, np.nan), subtype="FLOAT"), "broken.wav", UnreadableError, "no numbers"),
        (file_of(np.zeros((900, 12))), "studio.wav", RangeError, "12 channels"),
    ],
    ids=lambda value: value if isinstance(value, str) and "." in value else "",
)
def test_a_fault_is_told_in_words(data: bytes, name: str, error: type[InputError], words: str) -> None:
    with pytest.raises(error, match=words):
        read_sound(data, name)


def test_a_cut_off_file_is_read_as_far_as_it_goes_or_refused() -> None:
    whole = file_of(STRIKE)
    cut = read_sound(whole[: len(whole) // 2], "cut.wav")

    assert 0 < len(cut.samples) < len(STRIKE)


def test_only_the_name_of_a_file_is_told_and_no_folder() -> None:
    with pytest.raises(UnreadableError) as told:
        read_sound(b"x", "/home/someone/secret/strike.wav")

    assert str(told.value).startswith("strike.wav ")


def test_a_real_bell_s_main_partials_are_those_of_a_scipy_spectrum() -> None:
    """A bell recorded by others (see recordings/README.md): the peaks within 40 dB of Welch's spectrum are found.

    Which is all that can be held against it: nobody says how this bell decays.
    """
    bell = read_sound((RECORDINGS / "bell.flac").read_bytes(), "bell.flac")
    heard = hear(bell.samples, bell.rate)
    hertz, power = signal.welch(bell.samples[bell.rate // 50 :], bell.rate, nperseg=1 << 15)
    level = 10.0 * np.log10(power / power.max())
    peaks, _ = signal.find_peaks(level, prominence=20.0, distance=40, height=-40.0)
    main = [float(hertz[peak]) for peak in peaks if hertz[peak] > 400.0]

    assert heard.clear
    assert len(main) == 4
    for hz in main:
        assert min(abs(one.hz - hz) for one in heard.partials) < 0.001 * hz, hz
    assert heard.main is not None
    assert heard.main.hz == pytest.approx(hertz[int(np.argmax(power))], rel=0.001)
