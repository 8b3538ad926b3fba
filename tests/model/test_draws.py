"""The fixed draws: made again, kept columns, the first of more."""

import hashlib
import importlib.util
from pathlib import Path

import numpy as np
import pytest

from tankward.knowledge.beliefs import drawn
from tankward.model.draws import BITS, COUNTS, columns, uniform, whole_numbers
from tankward.model.known import row
from tankward.model.tank import PROCESSES
from tests.model.tanks import FACTS

SCRIPT = Path(__file__).parents[2] / "scripts" / "make_sobol.py"


def test_the_shipped_draws_are_those_that_the_script_makes():
    spec = importlib.util.spec_from_file_location("make_sobol", SCRIPT)
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    assert np.array_equal(module.sobol(), whole_numbers())
    assert whole_numbers().shape == (1024, 128)
    assert int(whole_numbers().max()) < 2**BITS


def test_names_have_columns_of_their_own():
    names = list(columns())
    assert len(names) <= 128
    assert len(set(columns().values())) == len(names)


def test_columns_keep_their_place():
    """Only what is added at the end may change this list; the first 83 are kept for good."""
    first = "\n".join(list(columns())[:83])
    assert hashlib.sha256(first.encode()).hexdigest()[:16] == "177ce89007e82386"


@pytest.mark.parametrize("process", PROCESSES, ids=lambda p: p.__name__.split(".")[-1])
def test_everything_that_is_drawn_has_a_fact_and_a_column(process):
    for name, fact in process.DRAWN.items():
        values = drawn(row(FACTS, fact), uniform(name, 64))
        assert np.isfinite(values).all()
        assert row(FACTS, fact).status
        assert row(FACTS, fact).source


@pytest.mark.parametrize("draws", COUNTS[:-1])
def test_fewer_draws_are_the_first_of_more(draws):
    for name in ("volume_l", "substance_1_dark", "kla_20"):
        assert np.array_equal(uniform(name, draws), uniform(name, 2 * draws)[:draws])


@pytest.mark.parametrize("draws", COUNTS)
def test_draws_are_even(draws):
    """A column of a scrambled Sobol sequence puts one draw into each of its equal strata, and none at
    the ends.
    """
    for name in columns():
        u = uniform(name, draws)
        assert np.array_equal(np.sort(np.floor(u * draws)), np.arange(draws))
        assert u.min() > 0
        assert u.max() < 1


def test_a_turned_column_is_another_one():
    u, v = uniform("reading_oxygen", 1024), uniform("reading_oxygen", 1024, turn=1)
    assert v.min() > 0
    assert v.max() < 1
    assert np.abs(u - v).min() > 0.3
