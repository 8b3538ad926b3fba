"""Records what the writer asks of the disk, for machines without strace: python scripts/record_power.py."""

import sys
import tempfile
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from tests.helpers import power


def main() -> None:
    for way in ("", "delete", "off", "nameless", "blurred"):
        with tempfile.TemporaryDirectory() as folder:
            power.keep(way, power.record(Path(folder), way))


if __name__ == "__main__":
    main()
