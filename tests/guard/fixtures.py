"""The guard over a whole run of tests: each test answers for what it tried."""

import tempfile
from pathlib import Path

import pytest

from tests.guard import loopback_only


def pytest_configure(config):
    folder = tempfile.TemporaryDirectory(prefix="tankward-guard-")
    config.add_cleanup(folder.cleanup)
    loopback_only.start(Path(folder.name) / "attempts")


@pytest.fixture(autouse=True)
def nothing_leaves_this_machine():
    yield
    if tried := loopback_only.attempts():
        pytest.fail("left this machine: " + "; ".join(tried), pytrace=False)


@pytest.hookimpl(wrapper=True, tryfirst=True)
def pytest_sessionfinish(session):
    """What was tried outside any test (while collecting, in a wide fixture) fails the run."""
    result = yield
    if tried := loopback_only.attempts():
        session.config.get_terminal_writer().line("\nleft this machine: " + "; ".join(tried), red=True)
        session.exitstatus = pytest.ExitCode.TESTS_FAILED
    return result
