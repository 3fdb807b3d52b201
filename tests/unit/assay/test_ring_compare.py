"""Rings held against known pieces and against a flat disc: what is told apart, what is not, and in which words."""

from collections import Counter
from dataclasses import replace
from decimal import Decimal
from math import exp, log

import numpy as np
import pytest
from scipy import integrate, stats

from ninefine.assay.evidence import Ground, Outcome
from ninefine.assay.plate import LOWEST, Mode, Stuff, frequencies
from ninefine.assay.ring import hear
from ninefine.assay.ring_compare import Known, against, family_of, in_other_metals, of_disc, places_of
from ninefine.assay.ring_heard import Call, Heard, Partial, Remark
from ninefine.assay.ring_metals import OTHERS, Metal, beside, disc_of, expected, silver
from ninefine.assay.ring_verdict import SETTLES, compare, times
from ninefine.catalog.kinds import Kind
from ninefine.catalog.shelf import load_catalog
from struck import Tone, recorded, ringing

RATE = 44_100
COPPER = next(metal for metal in OTHERS if metal.name == "copper")
SILVER = silver(0.9)


@pytest.fixture(scope="module")
def morgan() -> Kind:
    return load_catalog().kind("us-dollar-morgan")


def partials(*hertz: float, decay: float = 0.2) -> tuple[Partial, ...]:
    return tuple(Partial(hz=hz, hz_u=0.1, decay=decay, decay_u=0.01, level=-float(at)) for at, hz in enumerate(hertz))


def heard(*hertz: float, decay: float = 0.2) -> Heard:
    return Heard(seconds=1.0, rate=48_000, partials=partials(*hertz, decay=decay))


OWN = (4600.0, 8100.0, 10900.0, 18800.0)


def known(times_own: float = 1.0, **more: object) -> Known:
    return replace(Known(label="a", partials=partials(*(hz * times_own for hz in OWN))), **more)  # type: ignore[arg-type]


def a_piece(stuff: Stuff, kind: Kind, relief: dict[Mode, float], rng: np.random.Generator) -> tuple[Tone, ...]:
    """The tones of an invented piece: a disc of the kind's size with its relief, worn as chance has it.

    Wear moves all partials alike by 2%, each by itself by 0.4% (one standard deviation); partials split by 0.1 to 0.5%,
    ring for 0.08 to 0.35 s and lie up to 15 dB under one another.
    """
    disc = disc_of(kind)
    assert disc is not None
    worn = exp(rng.normal(0.0, 0.02))
    tones = []
    for mode, hz in frequencies(disc, stuff, LOWEST[:5]).items():
        own = hz * worn * relief[mode] * exp(rng.normal(0.0, 0.004))
        decay, height = rng.uniform(0.08, 0.35), 10 ** rng.uniform(-0.75, 0.0)
        if own < 0.45 * RATE:
            tones.append(Tone(hz=own, decay=decay, height=height, phase=rng.uniform(0, 6)))
            if mode.n:
                split = own * (1.0 + rng.uniform(0.001, 0.005))
                tones.append(
                    Tone(hz=split, decay=decay, height=height * rng.uniform(0.2, 1.0), phase=rng.uniform(0, 6))
                )
    return tuple(tones)


def of(metal: Metal, rng: np.random.Generator) -> Stuff:
    """A metal with a modulus drawn from between its ends."""
    modulus = 1e9 * rng.uniform(metal.soft, metal.stiff)
    return Stuff(modulus=modulus, poisson=metal.poisson, density=metal.density)


def listened(tones: tuple[Tone, ...], rng: np.random.Generator, *, seconds: float, strikes: int = 1) -> Heard:
    one = ringing(tones, seconds, rate=RATE)
    return hear(recorded([one] * strikes, over_noise=20.0, rng=rng, rate=RATE, lead=0.05), RATE, most=6)


def test_silver_is_told_from_copper_of_equal_size_in_99_of_100(morgan: Kind) -> None:
    """500 invented pieces, half silver .900, half copper, one strike of a quarter second each at 20 dB.

    All share an invented rim and relief that no one knows: each partial lies off the flat disc's by 8% or so. Silver is
    one alloy, of a modulus that no one knows; each copper piece has its own. They are held against three known silver
    pieces of the kind. Told apart: silver passes and copper fails; no copper passes, no silver fails.
    """
    rng = np.random.default_rng(1921)
    relief = {mode: exp(rng.normal(0.0, 0.08)) for mode in LOWEST}
    alloy = of(SILVER, rng)
    own = [
        Known(label="", partials=listened(a_piece(alloy, morgan, relief, rng), rng, seconds=0.6, strikes=3).partials)
        for _ in range(3)
    ]
    found: Counter[tuple[str, Outcome]] = Counter()
    for _ in range(250):
        for name, stuff in (("silver", alloy), ("copper", of(COPPER, rng))):
            ring = listened(a_piece(stuff, morgan, relief, rng), rng, seconds=0.25)
            found[name, compare(ring, morgan, own).evidence.outcome] += 1

    assert found["silver", Outcome.PASSED] + found["copper", Outcome.FAILED] >= 495, found
    assert not found["copper", Outcome.PASSED]
    assert not found["silver", Outcome.FAILED]


def in_a_room(tones: tuple[Tone, ...], rng: np.random.Generator) -> Heard:
    """Three strikes as a room has them: unlike each other, each with the striker's thump, in hum and falling noise."""
    parts = [np.zeros(round(0.3 * RATE))]
    for _ in range(3):
        struck = [
            replace(one, height=one.height * rng.uniform(0.4, 1.0), decay=one.decay * rng.uniform(0.6, 1.0))
            for one in tones
        ]
        strike = rng.uniform(0.5, 1.0) * ringing(struck, 0.7, rate=RATE)
        strike[:1000] += rng.normal(0.0, 1.0, 1000) * np.exp(-np.arange(1000) / (0.003 * RATE))
        parts.append(strike)
    sound = np.concatenate(parts)
    hertz = np.fft.rfftfreq(len(sound), 1.0 / RATE)
    noise = np.fft.irfft(np.fft.rfft(rng.normal(0.0, 1.0, len(sound))) / np.sqrt(np.maximum(hertz, 20.0)), len(sound))
    noise *= np.sqrt(np.mean(parts[1][: RATE // 10] ** 2) / 10 ** (10.0 / 10) / np.mean(noise**2))
    hum = 0.05 * np.sin(2.0 * np.pi * 60.0 * np.arange(len(sound)) / RATE)
    return hear(sound + noise + hum, RATE)


@pytest.mark.parametrize("slug", ["us-quarter-washington-silver", "us-half-walking-liberty", "us-dollar-morgan"])
def test_a_room_with_thumps_hum_and_noise_is_no_hindrance(slug: str) -> None:
    """At 10 dB silver passes and copper fails, three of each. Of a dime too few partials are heard for that."""
    kind, rng = load_catalog().kind(slug), np.random.default_rng(1932)
    relief = {mode: exp(rng.normal(0.0, 0.08)) for mode in LOWEST}
    alloy = of(SILVER, rng)
    own = [Known(label="", partials=in_a_room(a_piece(alloy, kind, relief, rng), rng).partials) for _ in range(3)]

    for _ in range(3):
        sound, false = (in_a_room(a_piece(stuff, kind, relief, rng), rng) for stuff in (alloy, of(COPPER, rng)))
        assert compare(sound, kind, own).evidence.outcome is Outcome.PASSED
        assert compare(false, kind, own).evidence.outcome is Outcome.FAILED


def test_a_known_kind_of_ring_passes_and_says_how_far_off_it_is(morgan: Kind) -> None:
    own = [known(), known(1.01), known(0.99)]
    found = compare(heard(*(hz * 0.98 for hz in OWN)), morgan, own, name="Morgan dollar")

    assert found.evidence.outcome is Outcome.PASSED
    assert found.evidence.ground is Ground.SOUND
    assert "It rings as your 3 known pieces of Morgan dollar do, 2.0% lower as a whole" in found.evidence.says
    assert found.evidence.would_settle == ""
    assert found.decided_by is not None
    assert found.decided_by.pieces == 3


def test_a_metal_that_rings_alike_is_named_and_left_to_the_scale(morgan: Kind) -> None:
    """Pewter's root of stiffness over density lies some 8% under that of .900 silver: no ear tells that from wear."""
    low = heard(*(hz * 0.955 for hz in OWN))
    found = compare(low, morgan, [known()])

    assert found.evidence.outcome is Outcome.PASSED
    assert "Pewter of this size would ring much alike: weight tells it." in found.evidence.says
    assert found.evidence.would_settle == SETTLES, "one known piece leaves something open"


def test_another_metal_fails_and_is_named(morgan: Kind) -> None:
    step = exp(sum(log(ratio) for ratio in beside(COPPER, 0.9).values()) / 8)
    found = compare(heard(*(hz * step for hz in OWN)), morgan, [known()])

    assert found.evidence.outcome is Outcome.FAILED
    assert found.others[0].family.name in {"copper", "brass", "nickel silver", "zinc", "cupronickel on copper"}
    assert "It does not ring as your known piece" in found.evidence.says


def test_known_others_count_too(morgan: Kind) -> None:
    """A ring near a known false piece fails, one near a sound piece passes, one between them stays unsure."""
    own = [known(), known(sound=False, made_of="cast piece of 2024", partials=known(1.16).partials)]
    near_false = compare(heard(*(hz * 1.16 for hz in OWN)), morgan, own)
    near_sound = compare(heard(*(hz * 1.002 for hz in OWN)), morgan, own)
    between = compare(heard(*(hz * 1.08 for hz in OWN)), morgan, own)

    assert between.evidence.outcome is Outcome.UNSURE
    assert "or as your known cast piece of 2024" in between.evidence.says
    assert near_false.evidence.outcome is Outcome.FAILED
    assert near_false.evidence.says.endswith("it fits your known cast piece of 2024 best.")
    assert near_sound.evidence.outcome is Outcome.PASSED


def test_too_few_partials_leave_it_unsure(morgan: Kind) -> None:
    found = compare(heard(4600.0), morgan, [known()])

    assert found.evidence.outcome is Outcome.UNSURE
    assert "the sound does not tell" in found.evidence.says


def test_a_flat_disc_alone_never_decides(morgan: Kind) -> None:
    """Even a ring that lies just where copper's would is only said to fit copper better."""
    rings = expected(morgan)
    assert rings is not None
    of_copper = [rings[mode] * ratio for mode, ratio in beside(COPPER, 0.9).items()][:3]
    silver_like, copper_like = (
        compare(heard(*list(rings.values())[:3]), morgan, []),
        compare(heard(*of_copper), morgan, []),
    )

    assert {silver_like.evidence.outcome, copper_like.evidence.outcome} == {Outcome.UNSURE}
    assert "A flat disc of its size in silver .900 would ring lowest somewhere from 3,660 to 5,510 Hz" in (
        silver_like.evidence.says
    )
    assert silver_like.own is not None
    assert silver_like.own.log_odds > max(one.log_odds for one in silver_like.others)
    assert copper_like.own is not None
    assert copper_like.own.log_odds < next(
        one.log_odds for one in copper_like.others if one.family.name == "copper"
    ) - log(10)
    assert copper_like.evidence.would_settle == SETTLES


def test_the_flat_disc_allows_a_tenth_at_least(morgan: Kind) -> None:
    for family in of_disc(morgan):
        assert family.apart >= 0.10
        assert family.each >= 0.03


def test_nothing_is_expected_of_a_piece_without_a_size() -> None:
    bar = next(kind for kind in load_catalog().kinds if kind.diameter_mm is None and kind.metal == "XAG")
    found = compare(heard(*OWN), bar, [])

    assert found.own is None
    assert found.evidence.outcome is Outcome.UNSURE
    assert "the catalog has no size for it" in found.evidence.says


@pytest.mark.parametrize(
    ("call", "outcome"),
    [(Call.DAMPED, Outcome.UNSURE), (Call.CLIPPED, Outcome.NOT_DONE), (Call.CRACKED, Outcome.UNSURE)],
)
def test_a_recording_with_something_wrong_decides_nothing(morgan: Kind, call: Call, outcome: Outcome) -> None:
    ring = replace(heard(*OWN), remarks=(Remark(call=call, says="Because of this."),))
    found = compare(ring, morgan, [known()])

    assert found.evidence.outcome is outcome
    assert found.evidence.says == "Because of this."


def test_a_recording_without_partials_was_no_test(morgan: Kind) -> None:
    ring = Heard(seconds=1.0, rate=48_000, remarks=(Remark(call=Call.NO_STRIKE, says="No strike was found."),))

    assert compare(ring, morgan, [known()]).evidence.outcome is Outcome.NOT_DONE


def test_a_ring_that_dies_sooner_than_the_known_ones_is_remarked(morgan: Kind) -> None:
    found = compare(heard(*OWN, decay=0.04), morgan, [known()])

    assert found.evidence.outcome is Outcome.PASSED
    assert "40 ms against 200 ms" in found.evidence.says


def test_no_sentence_says_genuine(morgan: Kind) -> None:
    for ring in (heard(*OWN), heard(6000.0, 11000.0), heard(1000.0)):
        for own in ([], [known()]):
            evidence = compare(ring, morgan, own).evidence
            assert "genuine" not in evidence.says + evidence.would_settle


def test_a_family_learns_how_far_its_pieces_lie_apart() -> None:
    """With many pieces the spread is their own: here 3% as a whole, and hardly any by itself."""
    rng = np.random.default_rng(7)
    steps = rng.normal(0.0, 0.03, 60)
    one = family_of([known()], name="", sound=True)
    many = family_of([known(exp(step)) for step in steps], name="", sound=True)

    assert many.apart == pytest.approx(np.std(steps, ddof=1), rel=0.05)
    assert many.each < one.each / 2
    assert many.pieces == 60
    assert list(many.hertz) == pytest.approx([hz * exp(steps.mean()) for hz in OWN], rel=1e-3)


def test_likelihood_agrees_with_the_sum_done_by_hand() -> None:
    """One expected place, one partial on it: 0.2 + 0.8 N(off; u), summed over the common step by scipy's quadrature."""
    family = replace(family_of([known()], name="", sound=True), places=(log(4600.0),), apart=0.03, each=0.01)
    ring = partials(4700.0)
    off, spread = log(4700.0 / 4600.0), (0.01**2 + (0.1 / 4700.0) ** 2) ** 0.5

    def at(step: float) -> float:
        fits = 0.2 + 0.8 * stats.norm.pdf(off - step, scale=spread)
        return float(fits * stats.norm.pdf(step, scale=0.03))

    whole, _ = integrate.quad(at, -0.15, 0.15, points=[off])

    assert against(ring, family).log_odds == pytest.approx(log(whole), abs=0.01)


def test_places_above_what_a_recording_hears_are_not_missed() -> None:
    family = family_of([known()], name="", sound=True)
    low = partials(*OWN[:2])

    assert against(low, family, below=9000.0).log_odds > against(low, family).log_odds + 2.0


def test_a_split_partial_is_one_place() -> None:
    places, _ = places_of(partials(4461.0, 4487.0, 7964.0))

    assert list(np.exp(places)) == pytest.approx([4474.0, 7964.0], rel=1e-4)


def test_silver_alloys_lie_between_their_metals() -> None:
    """Densities by the mixing rule, as worked out beforehand: .900 10.314, .400 9.515 g/cm3 (copper 8.96)."""
    assert silver(0.9).density == pytest.approx(10314, abs=1)
    assert silver(0.4).density == pytest.approx(9515, abs=1)
    assert silver(1.0).soft < silver(0.4).soft < COPPER.soft
    assert silver(0.9).soft <= 83 <= silver(0.9).stiff


def test_the_flat_disc_of_a_dollar_is_near_its_spread_out_thickness(morgan: Kind) -> None:
    """26.73 g over 11.40 cm2 at 10.31 g/cm3 are 2.27 mm; its rim is 2.4 mm."""
    disc = disc_of(morgan)

    assert disc is not None
    assert disc.thickness == pytest.approx(0.002273, rel=1e-3)
    assert disc_of(replace(morgan, diameter_mm=None)) is None
    assert disc_of(replace(morgan, fineness=Decimal(0))) is None
    assert disc_of(replace(morgan, metal="XAU")) is None


def test_a_size_in_other_metals_keeps_the_relief(morgan: Kind) -> None:
    """Copper in the middle of its moduli, 119.6 GPa, over silver's 82.0: 1.288 by hand, with Poisson's ratios."""
    own = family_of([known()], name="", sound=True)
    copper = next(family for family in in_other_metals(own, morgan) if family.name == "copper")

    assert copper.hertz[0] / own.hertz[0] == pytest.approx(1.288, rel=0.005)
    assert in_other_metals(own, replace(morgan, gross_g=None)) == ()


@pytest.mark.parametrize(
    ("odds", "words"),
    [
        (log(4321), "about 4,000 times"),
        (0.1, "about"),
        (50.0, "more than a million times"),
        (log(96), "about 100 times"),
    ],
)
def test_likelihoods_are_said_with_one_digit(odds: float, words: str) -> None:
    assert times(odds) == words
