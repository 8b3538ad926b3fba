"""Published checks that could not be run, each with its reason; the run prints them at its end.

A test file adds to the list while it is collected or run: `NOT_RUN.append("key of the check: reason")`.
"""

NOT_RUN: list[str] = []
HANDED_ON = "published_not_run"


def pytest_sessionfinish(session):
    """A worker beside others hands its list to the process that prints."""
    if (handed := getattr(session.config, "workeroutput", None)) is not None:
        handed[HANDED_ON] = NOT_RUN


def pytest_configure(config):
    if config.pluginmanager.hasplugin("xdist"):
        config.pluginmanager.register(Gathers())


class Gathers:
    """Takes the lists of the workers; only where there are workers does anybody call it."""

    def pytest_testnodedown(self, node):
        NOT_RUN.extend(getattr(node, "workeroutput", {}).get(HANDED_ON, []))


def pytest_terminal_summary(terminalreporter):
    lines = sorted(set(NOT_RUN))
    if lines:
        terminalreporter.section(f"{len(lines)} published checks not run")
        for line in lines:
            terminalreporter.line(line)
