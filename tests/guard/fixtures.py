"""The guard over a whole run of tests: each test answers for what it tried."""

import tempfile
from pathlib import Path

import pytest

from tests.guard import loopback_only

HANDED_ON = "left_this_machine"
FROM_WORKERS: list[str] = []


def pytest_configure(config):
    if config.getoption("tx", None) and not hasattr(config, "workerinput"):
        config.pluginmanager.register(Gathers())
        return  # workers run the tests, and each watches itself and its children
    folder = tempfile.TemporaryDirectory(prefix="tankward-guard-")
    config.add_cleanup(folder.cleanup)
    loopback_only.start(Path(folder.name) / "attempts")


@pytest.fixture(autouse=True)
def nothing_leaves_this_machine():
    yield
    if tried := loopback_only.attempts():
        pytest.fail("left this machine: " + "; ".join(tried), pytrace=False)


class Gathers:
    """Takes what the workers saw outside any test."""

    def pytest_testnodedown(self, node):
        FROM_WORKERS.extend(getattr(node, "workeroutput", {}).get(HANDED_ON, []))


@pytest.hookimpl(wrapper=True, trylast=True)  # inside the hook with which a worker says good-bye
def pytest_sessionfinish(session):
    """What was tried outside any test (while collecting, in a wide fixture) fails the run."""
    result = yield
    tried = [*loopback_only.attempts(), *FROM_WORKERS]
    if (handed := getattr(session.config, "workeroutput", None)) is not None:
        handed[HANDED_ON] = tried
    elif tried:
        session.config.get_terminal_writer().line("\nleft this machine: " + "; ".join(tried), red=True)
        session.exitstatus = pytest.ExitCode.TESTS_FAILED
    return result
