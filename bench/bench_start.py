"""How long a person waits for a command to begin."""

import subprocess
import sys

from run import within


@within(seconds=0.3)
def bench_import_of_the_package():
    return lambda: subprocess.run([sys.executable, "-c", "import tankward"], check=True)
