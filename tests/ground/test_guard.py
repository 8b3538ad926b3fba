"""The guard itself: what leaves this machine is refused, and turns a run red even where that is swallowed."""

import os
import shutil
import socket
import subprocess
import sys
from pathlib import Path

import pytest

from tests.guard import loopback_only

ROOT = Path(__file__).parents[2]
ELSEWHERE = "192.0.2.1"  # kept free for examples by RFC 5737
CALL = f"import socket; socket.socket().connect(('{ELSEWHERE}', 80))"


@pytest.mark.parametrize(
    "host", ["127.0.0.1", "127.8.8.8", "::1", "localhost", "", None, b"localhost", "0.0.0.0"]
)
def test_this_machine_may_be_asked(host):
    assert loopback_only.stays_here(host)


@pytest.mark.parametrize(
    "host", [ELSEWHERE, "example.org", "10.0.0.7", "fe80::1%eth0", "localhost.example.org"]
)
def test_another_machine_may_not(host):
    assert not loopback_only.stays_here(host)


def test_a_connection_is_refused():
    with socket.socket() as s, pytest.raises(loopback_only.LeftTheMachine):
        s.connect((ELSEWHERE, 80))
    assert loopback_only.attempts() == [f"socket.connect '{ELSEWHERE}'"]


def test_a_name_is_not_looked_up():
    with pytest.raises(loopback_only.LeftTheMachine):
        socket.getaddrinfo("example.org", 80)
    assert loopback_only.attempts() == ["socket.getaddrinfo 'example.org'"]


def test_a_datagram_is_refused():
    with socket.socket(type=socket.SOCK_DGRAM) as s, pytest.raises(loopback_only.LeftTheMachine):
        s.sendto(b"x", (ELSEWHERE, 53))
    assert loopback_only.attempts() == [f"socket.sendto '{ELSEWHERE}'"]


def test_this_machine_answers():
    with socket.create_server(("127.0.0.1", 0)) as server:
        socket.create_connection(server.getsockname()).close()
    assert loopback_only.attempts() == []


def test_a_child_is_watched_too():
    done = subprocess.run([sys.executable, "-c", CALL], capture_output=True, text=True)
    assert done.returncode == 1
    assert "LeftTheMachine" in done.stderr
    assert loopback_only.attempts() == [f"socket.connect '{ELSEWHERE}'"]


def planted(folder: Path, body: str) -> subprocess.CompletedProcess:
    """Run one planted test file under a copy of this guard, in a folder of its own."""
    shutil.copytree(ROOT / "tests" / "guard", folder / "tests" / "guard")
    (folder / "conftest.py").write_text("from tests.guard.fixtures import *\n")
    (folder / "pytest.ini").write_text("[pytest]\npythonpath = .\n")
    (folder / "test_planted.py").write_text(body)
    command = [sys.executable, "-m", "pytest", "-q", "-p", "no:cacheprovider", "."]
    alone = os.environ | {"PYTEST_DISABLE_PLUGIN_AUTOLOAD": "1"}
    return subprocess.run(command, cwd=folder, env=alone, capture_output=True, text=True)


SWALLOWED = """
import contextlib, socket

def test_that_hides_it():
    with contextlib.suppress(OSError):
        socket.create_connection(("192.0.2.1", 80), timeout=1)
"""
IN_A_CHILD = """
import subprocess, sys

def test_that_lets_a_child_do_it():
    subprocess.run([sys.executable, "-c", "import socket; socket.gethostbyname('example.org')"])
"""
WHILE_COLLECTING = """
import contextlib, socket

with contextlib.suppress(OSError):
    socket.getaddrinfo("example.org", 80)

def test_nothing():
    assert socket
"""
HONEST = """
import socket

def test_of_this_machine():
    with socket.create_server(("127.0.0.1", 0)) as server:
        socket.create_connection(server.getsockname()).close()
"""


@pytest.mark.parametrize("body", [SWALLOWED, IN_A_CHILD, WHILE_COLLECTING])
def test_a_planted_connection_turns_the_run_red(tmp_path, body):
    run = planted(tmp_path, body)
    assert run.returncode == 1, run.stdout + run.stderr
    assert "left this machine: socket." in run.stdout


def test_an_honest_run_stays_green(tmp_path):
    run = planted(tmp_path, HONEST)
    assert run.returncode == 0, run.stdout + run.stderr
    assert "1 passed" in run.stdout
