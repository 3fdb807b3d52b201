"""The tray held against the truth of rendered scenes. `speed/tray.py` runs the full number and prints the figures."""

import numpy as np
import pytest

import tray_trials as trials


@pytest.mark.parametrize(("seed", "close"), [(3, 0.0), (1005, 0.5), (2004, 0.95)])
def test_fifty_pieces_of_a_scan_at_600_dpi_are_met_and_measured(seed: int, close: float) -> None:
    """A letter page, pieces apart, half of them touching, nearly all touching: each within 0.1 mm of the truth."""
    trial = trials.page_scan(seed, close)

    assert (trial.laid, trial.told, trial.met) == (50, 50, 50)
    assert np.abs(trial.off).max() < 0.1


@pytest.mark.parametrize("seed", [7001, 7003])
def test_a_tilted_and_turned_photo_of_the_sheet_is_measured(seed: int) -> None:
    """Thick pieces on the sheet, the camera up to 25 degrees aslant: each within 0.3 mm of the truth."""
    trial = trials.sheet_photo(seed, size=(2000, 1500))

    assert trial.counted
    assert np.abs(trial.off).max() < 0.3


def test_stated_intervals_hold_as_often_as_they_say() -> None:
    """95% intervals over scanners whose scale is off as stated; the band is that of 180 fair trials, and no wider."""
    found = [trials.small_scan(seed, dpi=200) for seed in range(45)]
    held = np.concatenate([np.asarray(one.held) for one in found])

    assert sum(one.met for one in found) >= 0.99 * sum(one.laid for one in found)
    assert 0.91 <= held.mean() <= 0.99
