"""Strangers hidden in a roll: every answer with its likelihood, against brute force and against simulated rolls."""

from itertools import product

import numpy as np
import pytest

from ninefine.assay.evidence import Outcome
from ninefine.assay.hidden import HiddenMix, Sort, hidden_mix, sampled, shows_from, sort_of
from ninefine.assay.instruments import CheckWeight, Scale
from ninefine.catalog.shelf import load_catalog
from ninefine.errors import RangeError
from ninefine.measure.reading import Part, Reading

CATALOG = load_catalog()
ROLLS = {20: "half", 40: "quarter", 50: "dime"}
STEP = 0.01


def own(coin: str, roll_g: float | None = None) -> Sort:
    return sort_of(CATALOG.kind(f"us-{coin}-90"), roll_g=roll_g)


def clad(coin: str) -> Sort:
    return sort_of(CATALOG.kind(f"us-{coin}-clad"))


def grams(value: float, u: float = 0.01) -> Reading:
    return Reading(value=value, unit="g", parts=(Part(name="scale", u=u),))


def spread_on_grid(sorts: list[tuple[int, Sort]], scale_u: float, grid: np.ndarray) -> np.ndarray:
    """What a roll weighs, by brute force: piece after piece, its weight's whole density shifted in, on a grid.

    Works in waves (the transform of a sum is the product of transforms), so it shares nothing with the closed form.
    """
    step = grid[1] - grid[0]
    waves = 2 * np.pi * np.fft.fftfreq(grid.size, step)
    made = np.ones_like(waves, dtype=complex)
    for number, sort in sorts:
        piece = np.arange(-8, 8, 0.01) * sort.piece_g + sort.mean_g
        density = np.exp(-(((piece - sort.mean_g) / sort.piece_g) ** 2) / 2)
        density /= density.sum()
        one = np.exp(-1j * np.outer(waves, piece)) @ density
        for _ in range(number):
            made = made * one
    made = made * np.exp(-((waves * scale_u) ** 2) / 2)
    density = np.real(np.fft.ifft(made * np.exp(1j * waves * grid[0]))) / step
    return np.asarray(density)


@pytest.mark.parametrize("count", sorted(ROLLS))
def test_it_agrees_with_brute_force_for_rolls(count: int) -> None:
    """Every number of clad pieces from none to eight, piece by piece on a grid, against the closed form."""
    coin = ROLLS[count]
    mine, strange = own(coin, roll_g=0.0), clad(coin)
    strange = Sort(kind=strange.kind, mean_g=strange.mean_g, piece_g=strange.piece_g, roll_g=0.0)
    most = 8
    read = count * mine.mean_g - 3 * (mine.mean_g - strange.mean_g) + 0.2 * mine.piece_g
    found = hidden_mix(grams(read), count, mine, [strange])
    grid = np.arange(512) * 0.02 + read - 5.12
    brute = []
    for number in range(most + 1):
        density = spread_on_grid([(count - number, mine), (number, strange)], 0.01, grid)
        brute.append(float(np.interp(read, grid, density)))
    mass = sum(found.likelihood(number) for number in range(most + 1))

    assert mass > 0.999
    for number in range(most + 1):
        assert found.likelihood(number) == pytest.approx(mass * brute[number] / sum(brute), abs=2e-4)


def test_a_spread_common_to_the_roll_agrees_with_summing_over_it() -> None:
    """What differs from roll to roll, summed over by hand at 401 places, against the closed form."""
    mine, strange = own("half"), clad("half")
    found = hidden_mix(grams(245.0), 20, mine, [Sort(kind=strange.kind, mean_g=11.3, piece_g=0.12, roll_g=0.0)])
    shifts = np.linspace(-6, 6, 401)
    weights = np.exp(-(shifts**2) / 2)
    brute = []
    for number in range(21):
        mean = (20 - number) * (mine.mean_g + shifts * mine.roll_g) + number * 11.3
        variance = (20 - number) * mine.piece_g**2 + number * 0.12**2 + 0.01**2
        brute.append(float(np.sum(weights * np.exp(-((245.0 - mean) ** 2) / 2 / variance) / np.sqrt(variance))))

    for number in range(21):
        assert found.likelihood(number) == pytest.approx(brute[number] / sum(brute), abs=1e-6)


def test_two_kinds_of_strangers_agree_with_every_combination() -> None:
    forty, base = sort_of(CATALOG.kind("us-half-kennedy-40")), clad("half")
    mine = own("half")
    found = hidden_mix(grams(240.0), 20, mine, [forty, base])
    logs = {}
    for first, second in product(range(21), repeat=2):
        if first + second <= 20:
            rest = 20 - first - second
            each = [(rest, mine), (first, forty), (second, base)]
            mean = sum(number * sort.mean_g for number, sort in each)
            variance = sum(number * sort.piece_g**2 + (number * sort.roll_g) ** 2 for number, sort in each) + 1e-4
            logs[first, second] = -((240 - mean) ** 2) / 2 / variance - np.log(variance) / 2
    whole = sum(np.exp(one) for one in logs.values())

    assert len(found.answers) == len(logs) == 231
    for mix, one in logs.items():
        assert found.likelihood(*mix) == pytest.approx(float(np.exp(one) / whole), abs=1e-9)


def rolls(coin: str, count: int, draws: np.random.Generator, cases: int) -> tuple[int, int, float]:
    """Simulated rolls of 0 to 6 clad pieces: how often the truth is held, is in the first three; how many are held."""
    mine, strange = own(coin), clad(coin)
    scale = Scale(step_g=STEP, check=CheckWeight(grams=200, within_g=0.01, shown_g=200.0))
    among = top = 0
    sizes = []
    for _ in range(cases):
        hidden = int(draws.integers(0, 7))
        mean = mine.mean_g + draws.normal(0, mine.roll_g)
        whole = draws.normal(mean, mine.piece_g, count - hidden).sum()
        whole += draws.normal(strange.mean_g + draws.normal(0, strange.roll_g), strange.piece_g, hidden).sum()
        found = hidden_mix(scale.weigh([[round(whole, 2)]]), count, mine, [strange])
        among += (hidden,) in [one.strangers for one in found.held]
        top += (hidden,) in [one.strangers for one in found.answers[:3]]
        sizes.append(len(found.held))
    return among, top, float(np.mean(sizes))


@pytest.mark.parametrize(("count", "least_top"), [(20, 0.80), (40, 0.52), (50, 0.38)])
def test_the_true_mix_is_among_the_answers_told(count: int, least_top: float) -> None:
    """Of 300 rolls with up to six clad pieces, in 19 of 20 the truth is among the answers that hold 95%.

    Where nothing is known of the roll's wear, the weight alone leaves four to ten answers open. In 2,000 rolls of each
    the first three held the truth in 86 of 100 of halves, 60 of quarters, 45 of dimes: that is what a weight can tell.
    """
    among, top, size = rolls(ROLLS[count], count, np.random.default_rng(count), 300)

    assert among >= 0.93 * 300
    assert top >= least_top * 300
    assert size < 12


def test_a_sample_of_the_same_roll_narrows_the_answers() -> None:
    """Ten pieces told by their edges and weighed by themselves say how worn the roll is."""
    mine, strange = own("quarter"), clad("quarter")
    read = grams(40 * 6.19 - 3 * 0.55)
    before = hidden_mix(read, 40, mine, [strange])
    after = hidden_mix(read, 40, sampled(mine, 10, grams(61.9)), [strange])

    assert len(after.held) < len(before.held)
    assert after.shows_from is not None
    assert before.shows_from is not None
    assert after.shows_from < before.shows_from
    assert sampled(own("quarter", roll_g=0.0), 10, grams(61.9)) == own("quarter", roll_g=0.0)


class TestWhatItSays:
    def said(self, read: float, count: int = 40) -> HiddenMix:
        return hidden_mix(grams(read), count, own("quarter"), [clad("quarter")])

    def test_a_roll_of_the_usual_weight_passes_and_says_how_many_may_hide(self) -> None:
        found = self.said(40 * 6.1927)

        assert found.evidence.outcome is Outcome.PASSED
        assert found.answers[0].strangers == (0,)
        assert found.shows_from == shows_from(40, own("quarter"), clad("quarter"), 0.01) == 10
        assert "Fewer than 10 of Washington quarter, copper-nickel clad can hide" in found.evidence.says

    def test_a_roll_too_light_fails_and_one_too_heavy_is_counted_again(self) -> None:
        assert self.said(241.0).evidence.outcome is Outcome.FAILED
        assert self.said(246.3).evidence.outcome is Outcome.UNSURE
        assert "Count the pieces again" in self.said(254.0).evidence.would_settle

    def test_likelihoods_sum_to_one_and_the_told_answers_hold_95_in_100(self) -> None:
        found = self.said(245.0)

        assert len(found.answers) == 41
        assert sum(one.likelihood for one in found.answers) == pytest.approx(1)
        assert sum(one.likelihood for one in found.held) >= 0.95
        assert sum(one.likelihood for one in found.held[:-1]) < 0.95

    def test_what_cannot_be_worked_out_is_refused(self) -> None:
        with pytest.raises(RangeError, match="cannot be worked out"):
            hidden_mix(grams(100), 0, own("quarter"), [clad("quarter")])
        with pytest.raises(RangeError, match="cannot be worked out"):
            hidden_mix(grams(25000), 4000, own("quarter"), [clad("quarter"), clad("quarter")])
        with pytest.raises(RangeError, match="has no set weight"):
            sort_of(CATALOG.kind("household-sterling-925"))
