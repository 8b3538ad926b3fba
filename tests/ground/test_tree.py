"""The tree speaks of itself alone, carries no machine's paths, and has no marks of unfinished work."""

import re
import tomllib
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
FOLDERS = ["src", "tests", "docs", "bench", "scripts", ".ci", "requirements"]
WRITTEN = {".py", ".toml", ".md", ".txt", ".html", ".css", ".js", ".typ", ".svg", ".json", ".csv", ""}
OTHERS_WORK = {"__pycache__", "vendor", "vendored"}  # kept as it was released

# Put together here, so that this file does not find itself.
MACHINE_PATH = re.compile(r"/(?:work|root|farm|Users|home/\w+|tmp/bash_jobs)" + "/")
UNFINISHED = re.compile(
    "|".join(["TO" + "DO", "FIX" + "ME", "XX" + "X", "NotImplemented" + "Error", "no " + "cover"])
)
LEFT_OUT = re.compile("|".join(["pytest.sk" + "ip", "mark.sk" + "ip", "xf" + "ail"]))
MAY_LEAVE_OUT = {"tests/browser/windows.py"}  # one reason only: no browser on this machine


def is_ours(path: Path) -> bool:
    return path.is_file() and path.suffix in WRITTEN and not OTHERS_WORK.intersection(path.parts)


def written_files() -> list[Path]:
    below = [path for folder in FOLDERS for path in (ROOT / folder).rglob("*")]
    return sorted(
        path for path in [*ROOT.glob("*.*"), ROOT / "Makefile", ROOT / "LICENSE", *below] if is_ours(path)
    )


def found(pattern: re.Pattern, but: frozenset = frozenset()) -> list[str]:
    hits = []
    for path in written_files():
        name = str(path.relative_to(ROOT))
        lines = path.read_text(encoding="utf-8").splitlines() if name not in but else []
        hits += [f"{name}:{n} {line.strip()[:80]}" for n, line in enumerate(lines, 1) if pattern.search(line)]
    return hits


def test_the_search_reads_what_is_written():
    names = {str(path.relative_to(ROOT)) for path in written_files()}
    assert {"README.md", "Makefile", ".ci/run", "pyproject.toml", "src/tankward/__init__.py"} <= names


@pytest.mark.parametrize("line", ["see /ro" + "ot/x", "/wo" + "rk/main", "/home/ann" + "/tanks"])
def test_a_planted_path_would_be_found(line):
    assert MACHINE_PATH.search(line)


def test_no_paths_of_a_machine():
    assert found(MACHINE_PATH) == []


def test_no_marks_of_unfinished_work():
    assert found(UNFINISHED) == []


def test_no_test_is_left_out():
    assert found(LEFT_OUT, but=frozenset(MAY_LEAVE_OUT)) == []


def locked(name: str) -> dict[tuple[str, str], list[str]]:
    """(project with version, marker) → its hashes."""
    pins, hashes = {}, []
    for line in (ROOT / "requirements" / name).read_text().splitlines():
        if pin := re.fullmatch(r"([a-z0-9][^ ;]*)(?: ; (.*?))? \\", line):
            hashes = pins[pin[1], pin[2] or ""] = []
        elif digest := re.fullmatch(r"    --hash=(sha256:[0-9a-f]{64})(?: \\)?", line):
            hashes.append(digest[1])
        else:
            assert line.lstrip().startswith("#"), f"{name}: {line}"
    return pins


@pytest.mark.parametrize("name", ["run.txt", "test.txt"])
def test_locks_name_no_host_and_hash_every_line(name):
    text = (ROOT / "requirements" / name).read_text()
    assert not re.search(r"https?:|file:|--(extra-)?index|--find-links|@ ", text)
    pins = locked(name)
    assert len(pins) > 30
    assert [pin for pin, hashes in pins.items() if not hashes or "==" not in pin[0]] == []


def test_what_tests_run_on_is_what_keepers_get():
    assert locked("run.txt").keys() <= locked("test.txt").keys()


def test_every_dependency_is_locked():
    project = tomllib.loads((ROOT / "pyproject.toml").read_text())["project"]
    wanted = {re.match(r"[\w-]+", line)[0].lower() for line in project["dependencies"]}
    assert wanted <= {pin.partition("==")[0] for pin, _ in locked("run.txt")}
