"""What every test gets: the guard, the windows, the list of published checks that were not run."""

from hypothesis import settings

from tests import not_run
from tests.browser import windows
from tests.guard import fixtures as guard

settings.register_profile("tankward", deadline=None)
settings.load_profile("tankward")


def pytest_configure(config):
    for part in (guard, windows, not_run):
        config.pluginmanager.register(part)
