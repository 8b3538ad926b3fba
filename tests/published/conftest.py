"""Figures that are not run are listed at the end of the run, with their reason."""

from tests.not_run import NOT_RUN
from tests.published.checks import FILES, load, not_run


def pytest_configure(config):
    reasons = not_run()
    NOT_RUN.extend(
        f"{check.source} {check.file} {check.id}: {reasons[check.id]}"
        for file in FILES
        for check in load(file)
        if check.id in reasons
    )
    NOT_RUN.extend(
        f"{check.source} {check.file} {check.id}: differs, {check.differs}"
        for file in FILES
        for check in load(file)
        if check.differs
    )
