"""What `pip install .` puts on a machine: every file of the package, and a command that runs from there."""

import os
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
PACKAGE = ROOT / "src" / "tankward"


@pytest.fixture(scope="module")
def wheel(tmp_path_factory):
    folder = tmp_path_factory.mktemp("wheel")
    command = [
        sys.executable,
        "-m",
        "pip",
        "wheel",
        "-q",
        "--no-deps",
        "--no-build-isolation",
        "-w",
        folder,
        ROOT,
    ]
    done = subprocess.run(command, capture_output=True, text=True, timeout=300)
    assert done.returncode == 0, done.stderr
    return next(folder.glob("tankward-*.whl"))


def test_every_file_of_the_package_is_in_it(wheel):
    here = {p.relative_to(PACKAGE.parent).as_posix() for p in PACKAGE.rglob("*") if p.is_file()}
    wanted = {name for name in here if "__pycache__" not in name}
    assert wanted - set(zipfile.ZipFile(wheel).namelist()) == set()


def test_the_command_runs_from_there(wheel, tmp_path):
    there = tmp_path / "there"
    zipfile.ZipFile(wheel).extractall(there)
    code = (
        "import tankward; from tankward.cli.main import run;"
        f"assert tankward.__file__.startswith({str(there)!r}); run(['facts', 'praziquantel'])"
    )
    guard = os.environ["PYTHONPATH"]
    env = os.environ | {"PYTHONPATH": os.pathsep.join([str(there), guard])}
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, timeout=120, env=env)
    assert done.returncode == 0, done.stderr
    assert "raziquantel" in done.stdout
