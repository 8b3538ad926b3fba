"""Imports point down: every package has its floor, the page shows the same ones, a breach is found."""

import ast
import re
import shutil
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
SOURCE = ROOT / "src" / "tankward"
CONTRACTS = {
    contract["id"]: contract
    for contract in tomllib.loads((ROOT / "pyproject.toml").read_text())["tool"]["importlinter"]["contracts"]
}
FLOORS = [re.findall(r"\w+", layer) for layer in reversed(CONTRACTS["floors"]["layers"])]


def packages() -> set[str]:
    return {path.parent.name for path in SOURCE.glob("*/__init__.py")}


def test_every_package_has_a_floor():
    assert packages() <= {name for floor in FLOORS for name in floor}


def test_modules_live_in_packages():
    assert [path.name for path in SOURCE.glob("*.py") if path.stem not in ("__init__", "__main__")] == []


def test_the_store_may_know_only_the_room():
    below = {name for floor in FLOORS[: FLOORS.index(["show", "store"])] for name in floor} & packages()
    forbidden = {name.removeprefix("tankward.") for name in CONTRACTS["store-is-thin"]["forbidden_modules"]}
    assert forbidden == below - {"room", "quantities"}


def test_the_page_shows_the_same_floors():
    rows = re.findall(r"^\| (\d+) \| (.*?) \|", (ROOT / "ARCHITECTURE.md").read_text(encoding="utf-8"), re.M)
    shown = {int(number): re.findall(r"`(\w+)/`", names) for number, names in rows}
    assert shown == dict(enumerate(FLOORS))


def front_doors(path: Path) -> list[str]:
    """Names that a module takes from a package's `__init__`, which is for users."""
    taken = []
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.ImportFrom) and not node.level and (node.module or "").startswith("tankward"):
            folder = SOURCE.parent / node.module.replace(".", "/")
            inside = {child.stem for child in folder.iterdir()} if folder.is_dir() else None
            taken += [alias.name for alias in node.names if inside is not None and alias.name not in inside]
    return [f"{path.relative_to(SOURCE)}: {name}" for name in taken if name != "__version__"]


def test_nothing_inside_comes_by_a_front_door():
    modules = [path for path in SOURCE.rglob("*.py") if path != SOURCE / "__init__.py"]
    assert [line for path in modules if path.name != "__init__.py" for line in front_doors(path)] == []


BREACHES = {
    "room/planted.py": "import tankward.show",
    "desk/planted.py": "import tankward.show",
    "water/planted.py": "import tankward.knowledge",
    "store/planted.py": "import tankward.knowledge",
    "web/planted.py": "import tankward.cli",
    "pond/__init__.py": "",
}


@pytest.fixture
def copy(tmp_path):
    """The packages without their insides: enough to plant a breach in."""
    shutil.copy(ROOT / "pyproject.toml", tmp_path)
    for door in [SOURCE, *SOURCE.glob("*")]:
        if (door / "__init__.py").exists():
            inside = tmp_path / "tankward" / door.relative_to(SOURCE)
            inside.mkdir(parents=True)
            (inside / "__init__.py").touch()
    return tmp_path


def linted(folder: Path) -> subprocess.CompletedProcess:
    script = (
        "import sys; sys.path.insert(0, '.'); from importlinter.cli import lint_imports_command as c; c()"
    )
    command = [sys.executable, "-c", script, "--no-cache", "--no-logo"]
    return subprocess.run(command, cwd=folder, capture_output=True, text=True)


def test_the_packages_alone_pass(copy):
    run = linted(copy)
    assert run.returncode == 0, run.stdout + run.stderr


@pytest.mark.parametrize("planted", BREACHES)
def test_a_planted_breach_is_found(copy, planted):
    path = copy / "tankward" / planted
    path.parent.mkdir(exist_ok=True)
    path.write_text(BREACHES[planted] + "\n")
    run = linted(copy)
    assert run.returncode == 1, run.stdout + run.stderr
    assert (
        ".".join(["tankward", *Path(planted).with_suffix("").parts]).removesuffix(".__init__") in run.stdout
    )
