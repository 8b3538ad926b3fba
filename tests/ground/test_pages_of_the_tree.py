"""README and its neighbours: what they print is what the program prints, and what they point at is there."""

import importlib.util
import re
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
SCRIPT = ROOT / "scripts" / "readme.py"


@pytest.fixture(scope="module")
def readme():
    spec = importlib.util.spec_from_file_location("readme", SCRIPT)
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def test_the_answers_on_the_first_page_are_the_programs():
    run = subprocess.run([sys.executable, SCRIPT, "--check"], capture_output=True, text=True)
    assert run.returncode == 0, run.stdout + run.stderr


def test_the_first_page_answers_a_question(readme):
    blocks = readme.BLOCK.findall(readme.PAGE.read_text(encoding="utf-8"))
    assert any("tankward calc" in command for block in blocks for command in readme.COMMAND.findall(block))


@pytest.mark.parametrize(
    ("written", "now", "same"),
    [
        ("$ a\n74 mg\n", "$ a\n74 mg\n", True),
        ("$ a\n74 mg\n", "$ a\n75 mg\n", False),
        ("$ a\n…\n", "$ a\n74 mg\nhow\n", True),
        ("$ a\n74 mg\n…\n$ b\n3 L\n", "$ a\n74 mg\nhow\nwhy\n$ b\n3 L\n", True),
        ("$ a\n74 mg\n…\n$ b\n3 L\n", "$ a\n74 mg\nhow\nwhy\n$ b\n4 L\n", False),
        ("$ a\n", "$ a\n74 mg\n", False),
    ],
)
def test_a_changed_answer_is_noticed(readme, written, now, same):
    assert readme.agree(written, now) is same


def test_an_answer_is_cut_off_where_it_was(readme):
    written = "$ a\n74 mg\n…\n$ b\n3 L\n"
    now = "$ a\n75 mg\nhow\nwhy\n$ b\n4 L\nmore\n"
    assert readme.shortened(written, now) == "$ a\n75 mg\n…\n$ b\n4 L\nmore\n"


@pytest.mark.parametrize("page", ["README.md", "CONTRIBUTING.md", "ARCHITECTURE.md", "CHANGELOG.md"])
def test_links_lead_somewhere(page):
    targets = re.findall(r"\]\(([^)#]+)", (ROOT / page).read_text(encoding="utf-8"))
    assert [
        target for target in targets if not target.startswith("http") and not (ROOT / target).exists()
    ] == []


TARGETS = re.findall(r"^([a-z]+):.*## ", (ROOT / "Makefile").read_text(), re.M)


def test_make_alone_lists_what_there_is():
    listed = subprocess.run(["make", "-s"], cwd=ROOT, capture_output=True, text=True, check=True).stdout
    assert {"run", "test", "lint", "bench", "shots", "facts"} <= set(TARGETS)
    assert [line.split()[1] for line in listed.splitlines()] == TARGETS


def test_an_old_python_is_told_in_one_sentence(tmp_path):
    old = tmp_path / "python3"
    old.write_text("#!/bin/sh\nexit 1\n")
    old.chmod(0o755)
    command = ["make", "-s", "-f", ROOT / "Makefile", f"PY={old}", "python"]
    run = subprocess.run(command, cwd=tmp_path, capture_output=True, text=True)
    assert run.returncode == 2
    assert run.stdout.startswith("Tankward needs Python 3.11 or newer")
    assert len(run.stdout.splitlines()) == 1
