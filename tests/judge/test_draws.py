"""The band of the draws is that of the library."""

import numpy as np

from tankward.judge.draws import band


def test_the_band_is_the_centiles_that_numpy_gives():
    rng = np.random.default_rng(1)
    for size in (1, 2, 7, 256):
        values = rng.random(size) ** 3
        assert band(values) == tuple(np.quantile(values, [0.05, 0.5, 0.95]))
