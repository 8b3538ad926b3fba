"""Kills a thousand writers and says what was lost: python scripts/kill_test.py [KILLS] [SEED]."""

import sys
import tempfile
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from tests.helpers import killed


def run(kills: str = "1000", seed: str = "1") -> None:
    with tempfile.TemporaryDirectory() as folder:
        killed.main(folder, kills, seed)


if __name__ == "__main__":
    run(*sys.argv[1:])
