"""The facts, read once."""

import pytest

from tankward.knowledge.documents import read_all
from tankward.knowledge.loader import FOLDER, load


@pytest.fixture(scope="session")
def facts():
    return load()


@pytest.fixture(scope="session")
def documents():
    return read_all(FOLDER)
