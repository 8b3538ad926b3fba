"""Published checks that could not be run, each with its reason; the run prints them at its end.

A test file adds to the list while it is collected or run: `NOT_RUN.append("key of the check: reason")`.
"""

NOT_RUN: list[str] = []


def pytest_terminal_summary(terminalreporter):
    lines = sorted(set(NOT_RUN))
    if lines:
        terminalreporter.section(f"{len(lines)} published checks not run")
        for line in lines:
            terminalreporter.line(line)
