"""Listening: strikes, partials and decays with their uncertainties, and what is called wrong with a recording."""

from dataclasses import replace
from math import log

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ninefine.assay.ring import averaged, hear
from ninefine.assay.ring_heard import Call, Heard, Partial, Strike
from ninefine.assay.ring_strike import onsets
from struck import DOLLAR, Sound, Tone, recorded, ringing

RATE = 48_000


@pytest.fixture
def rng() -> np.random.Generator:
    return np.random.default_rng(1921)


def heard_of(tones: tuple[Tone, ...], rng: np.random.Generator, *, over_noise: float = 20.0, strikes: int = 2) -> Heard:
    return hear(recorded([ringing(tones, 1.0)] * strikes, over_noise=over_noise, rng=rng), RATE)


def calls(heard: Heard) -> list[Call]:
    return [remark.call for remark in heard.remarks]


@pytest.mark.parametrize("over_noise", [20.0, 6.0])
def test_known_partials_are_found_with_their_decays(over_noise: float, rng: np.random.Generator) -> None:
    """Three strikes: each frequency within 0.2%, each decay within 10%, and no partial that is not there."""
    for _ in range(3):
        heard = heard_of(DOLLAR, rng, over_noise=over_noise, strikes=3)

        assert heard.clear
        assert len(heard.strikes) == 3
        assert [one.over_noise for one in heard.strikes] == pytest.approx([over_noise] * 3, abs=1.5)
        assert [one.hz for one in heard.partials] == pytest.approx([tone.hz for tone in DOLLAR], rel=0.002)
        assert [one.decay for one in heard.partials] == pytest.approx([tone.decay for tone in DOLLAR], rel=0.10)
        assert [one.strikes for one in heard.partials] == [3] * 5


@settings(max_examples=15, deadline=None)
@given(hz=st.floats(1500, 9000), times=st.floats(1.1, 2.0), decay=st.floats(0.03, 0.5), seed=st.integers(0, 1000))
def test_any_pair_of_tones_is_found(hz: float, times: float, decay: float, seed: int) -> None:
    tones = (Tone(hz=hz, decay=decay), Tone(hz=hz * times, decay=decay / 2, height=0.7, phase=1.0))
    heard = heard_of(tones, np.random.default_rng(seed), strikes=1)

    assert [one.hz for one in heard.partials] == pytest.approx([hz, hz * times], rel=0.002)
    assert [one.decay for one in heard.partials] == pytest.approx([decay, decay / 2], rel=0.10)


def test_the_stated_uncertainties_hold_the_truth() -> None:
    """Of 300 recordings at 15 dB, 93 to 97 in 100 lie within 1.96 standard uncertainties, in pitch and in decay."""
    rng = np.random.default_rng(1878)
    tones = (Tone(hz=3000.0, decay=0.08), Tone(hz=5200.0, decay=0.05, height=0.8))
    clean = ringing(tones, 0.4, rate=16_000)
    off = []
    for _ in range(300):
        (strike,) = hear(recorded([clean], over_noise=15.0, rng=rng, rate=16_000, lead=0.1), 16_000).strikes
        assert len(strike.partials) == 2
        for one, tone in zip(strike.partials, tones, strict=True):
            off.append(((one.hz - tone.hz) / one.hz_u, (one.decay - tone.decay) / one.decay_u))

    held = np.mean(np.abs(np.array(off)) < 1.96, axis=0)
    assert 0.93 <= held[0] <= 0.97
    assert 0.93 <= held[1] <= 0.97


def test_strikes_are_found_where_they_fall_and_a_beat_is_no_strike(rng: np.random.Generator) -> None:
    """The two tones of this disc beat three times a second, down to nothing."""
    beating = (Tone(hz=4461.0, decay=0.6), Tone(hz=4464.0, decay=0.6))
    sound = recorded([ringing(beating, 0.9), ringing(beating, 0.7), ringing(beating, 1.0)], over_noise=25.0, rng=rng)

    assert np.array(onsets(sound, RATE)) / RATE == pytest.approx([0.2, 1.1, 1.8], abs=0.003)


def test_a_strike_that_bounces_is_heard_from_its_last_touch(rng: np.random.Generator) -> None:
    sound = recorded([0.3 * ringing(DOLLAR, 0.05), ringing(DOLLAR, 1.0)], over_noise=25.0, rng=rng)

    assert np.array(onsets(sound, RATE)) / RATE == pytest.approx([0.25], abs=0.003)


def test_hum_and_handling_are_no_partials(rng: np.random.Generator) -> None:
    sound = recorded([ringing(DOLLAR, 1.0)], over_noise=25.0, rng=rng)
    time = np.arange(len(sound)) / RATE
    heard = hear(0.5 * sound + 0.3 * np.sin(2 * np.pi * 60 * time) + 0.1 * np.sin(2 * np.pi * 180 * time), RATE)

    assert [one.hz for one in heard.partials] == pytest.approx([tone.hz for tone in DOLLAR], rel=0.002)


def test_a_recording_that_begins_on_the_strike_is_heard(rng: np.random.Generator) -> None:
    heard = hear(recorded([ringing(DOLLAR, 1.0)], over_noise=25.0, rng=rng, lead=0.0), RATE)

    assert len(heard.strikes) == 1
    assert heard.main is not None
    assert heard.main.hz == pytest.approx(4461.0, rel=0.002)


SILENT, RUSTLE = np.zeros(RATE), np.random.default_rng(3).normal(0.0, 0.1, 2 * RATE)


@pytest.mark.parametrize(
    "sound", [SILENT, RUSTLE, SILENT[:0], SILENT[:10]], ids=["silence", "rustle", "none", "a blink"]
)
def test_no_strike_is_called_so(sound: Sound) -> None:
    heard = hear(sound, RATE)

    assert calls(heard) == [Call.NO_STRIKE]
    assert not heard.partials


def test_a_recording_that_ends_too_soon_is_called_so(rng: np.random.Generator) -> None:
    heard = hear(recorded([ringing(DOLLAR, 0.08)], over_noise=25.0, rng=rng), RATE)

    assert calls(heard) == [Call.TOO_SHORT]


def test_a_strike_drowned_in_noise_is_called_so(rng: np.random.Generator) -> None:
    """A thump without a tone stands clear at once, and leaves nothing to hear."""
    thump = np.zeros(RATE)
    thump[:2400] = rng.normal(0.0, 1.0, 2400) * np.exp(-np.arange(2400) / 300)
    heard = hear(recorded([thump], over_noise=12.0, rng=rng), RATE)

    assert calls(heard) == [Call.NOISY]
    assert not heard.clear


def test_a_recording_that_was_too_loud_is_called_so(rng: np.random.Generator) -> None:
    sound = recorded([ringing(DOLLAR, 1.0)] * 3, over_noise=25.0, rng=rng)
    heard = hear(np.clip(sound, -0.4, 0.4), RATE)

    assert calls(heard) == [Call.CLIPPED]
    assert "3 of 3 strikes" in heard.remarks[0].says


def test_a_piece_held_by_its_faces_rings_dull(rng: np.random.Generator) -> None:
    heard = heard_of(tuple(replace(tone, decay=0.009) for tone in DOLLAR), rng)

    assert calls(heard) == [Call.DAMPED]


def test_a_lowest_partial_that_a_finger_stops_is_called_held_wrong(rng: np.random.Generator) -> None:
    tones = (Tone(hz=4461.0, decay=0.02), *DOLLAR[2:])

    assert calls(heard_of(tones, rng)) == [Call.HELD_WRONG]


def test_strikes_that_ring_each_otherwise_are_called_held_wrong(rng: np.random.Generator) -> None:
    strikes = [ringing((Tone(hz=hz, decay=0.2),), 1.0) for hz in (4000.0, 5000.0, 6000.0)]

    assert calls(hear(recorded(strikes, over_noise=25.0, rng=rng), RATE)) == [Call.HELD_WRONG]


def test_a_wide_split_that_dies_soon_is_called_cracked(rng: np.random.Generator) -> None:
    tones = (
        Tone(hz=4200.0, decay=0.03),
        Tone(hz=4360.0, decay=0.025, height=0.7, phase=1.0),
        Tone(hz=7900.0, decay=0.02, height=0.5, phase=2.0),
    )
    heard = heard_of(tones, rng)

    assert calls(heard) == [Call.CRACKED]
    assert "3.8% apart" in heard.remarks[0].says
    assert heard_of(tuple(replace(one, decay=0.3) for one in tones), rng).clear, "a wide split alone is no crack"


def test_progress_is_told_strike_by_strike(rng: np.random.Generator) -> None:
    told: list[tuple[int, int]] = []
    sound = recorded([ringing(DOLLAR, 0.6)] * 3, over_noise=25.0, rng=rng)

    hear(sound, RATE, progress=lambda done, of: told.append((done, of)))

    assert told == [(0, 3), (1, 3), (2, 3), (3, 3)]


def partial(hz: float, hz_u: float, *, level: float = 0.0) -> Partial:
    return Partial(hz=hz, hz_u=hz_u, decay=0.2, decay_u=0.01, level=level)


def strike(*partials: Partial) -> Strike:
    return Strike(at=0.0, length=1.0, over_noise=20.0, partials=partials)


def test_strikes_are_averaged_by_their_uncertainty() -> None:
    """Weights 1/u^2: 1 and 4 give (4000 + 4 * 4001) / 5, with u = 1 / sqrt(5) as they scatter less than stated."""
    (one,) = averaged([strike(partial(4000.0, 1.0)), strike(partial(4001.0, 0.5))])

    assert one.hz == pytest.approx(4000.8)
    assert one.hz_u == pytest.approx(1 / 5**0.5)
    assert one.strikes == 2


def test_scatter_beyond_what_is_stated_counts() -> None:
    """Two strikes 2 Hz apart that state 0.01 Hz: the mean is sure to 1 Hz, half their distance."""
    (one,) = averaged([strike(partial(4000.0, 0.01)), strike(partial(4002.0, 0.01))])

    assert one.hz_u == pytest.approx(1.0, rel=0.01)


def test_a_partial_of_too_few_strikes_is_left_out_and_levels_start_anew() -> None:
    weak = partial(9000.0, 0.1, level=-8.0)
    kept = averaged([strike(partial(4000.0, 0.1), weak), strike(weak), strike(weak)])

    assert [one.hz for one in kept] == [9000.0]
    assert kept[0].level == 0.0


def test_a_split_partial_stays_two(rng: np.random.Generator) -> None:
    heard = heard_of(DOLLAR, rng, strikes=3)
    low, high = heard.partials[:2]

    assert log(high.hz / low.hz) == pytest.approx(log(4487 / 4461), rel=0.01)
    assert low.quality == pytest.approx(np.pi * 4461 * 0.30, rel=0.02)
