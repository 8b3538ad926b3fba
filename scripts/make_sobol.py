"""Write the draws that every forecast uses: 1024 points of a scrambled Sobol sequence in 128 dimensions.

Run once; the result is shipped, so answers don't move when the library that makes it does. A test makes it
again and compares.
"""

from pathlib import Path

import numpy as np
from scipy.stats import qmc

POINTS, COLUMNS, BITS, SEED = 1024, 128, 30, 20240229
HOME = Path(__file__).resolve().parents[1] / "src" / "tankward" / "model" / "sobol.npy"


def sobol() -> np.ndarray:
    """The points as whole numbers of `BITS` bits."""
    points = qmc.Sobol(COLUMNS, scramble=True, bits=BITS, rng=np.random.default_rng(SEED)).random(POINTS)
    return np.floor(points * 2**BITS).astype("<u4")


if __name__ == "__main__":
    np.save(HOME, sobol())
    print(f"{HOME.name}: {POINTS} draws of {COLUMNS} columns")
