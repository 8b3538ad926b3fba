"""Organisms compiled against the oracle: every one of the facts, forward and back, with acts and medicine."""

from contextlib import contextmanager

import msgspec
import numpy as np
import pytest
from numba import njit

from tankward.model import kernels_back, kernels_rows
from tankward.model import run as forms
from tankward.model.clearance import gone_by
from tankward.model.events import Stocked
from tankward.model.outbreak import run
from tankward.model.vector import exponential, logarithm
from tankward.room.acts import Change, Siphon
from tests.model.lives import DAY, FACTS, course

CLOSE = 1e-12  # of the largest value of a row; powers and exponentials differ in their last digit
ACTS = ((1, Change(share=0.4)), (2, Siphon(floor_share=0.5)))
MEDICINE = {"formalin": (20.0, 0.8)}


@contextmanager
def form(monkeypatch, rows):
    with monkeypatch.context() as patch:
        patch.setattr(forms, "_rows", rows)
        patch.setattr(forms, "_back", [kernels_back] if rows else [])
        yield


@pytest.mark.parametrize("organism", sorted(FACTS.organisms))
def test_every_organism_runs_the_same(organism, monkeypatch):
    told = course(organism, draws=64, days=3, acts=ACTS, levels=MEDICINE)
    with form(monkeypatch, []):
        plain, chance = run(told), gone_by(told, (DAY, 3 * DAY))
    with form(monkeypatch, [kernels_rows]):
        fast, quick = run(told), gone_by(told, (DAY, 3 * DAY))
    assert fast.minutes == plain.minutes
    scale = np.maximum(np.abs(plain.rows).max(axis=(0, 2), keepdims=True), 1.0)
    assert (np.abs(fast.rows - plain.rows) / scale).max() <= CLOSE
    assert np.abs(quick.chance - chance.chance).max() <= CLOSE


@pytest.mark.parametrize("organism", ["gyrodactylus", "streptococcus"])
def test_warmth_that_changes_and_food_with_a_medicine_run_the_same(organism, monkeypatch):
    """Paces between knots of warmth; a share of stress that changes; fish in and out."""
    told = course(organism, draws=64, days=3, acts=((1, Stocked(share=0.5)), (2, Stocked(share=0.8))))
    hours = np.arange(len(told.around.minutes))[:, None]
    warm = told.around.temp_c + np.where(hours > 20, 3.0 * np.exp(-(hours - 20) / 9.0), 0.0)
    stress = np.where(hours > 50, 0.8, told.around.stress)
    around = msgspec.structs.replace(told.around, temp_c=warm, stress=stress, steady=False, kept={})
    told = msgspec.structs.replace(told, around=around)
    with form(monkeypatch, []):
        plain, chance = run(told), gone_by(told, (DAY, 3 * DAY))
    with form(monkeypatch, [kernels_rows]):
        fast, quick = run(told), gone_by(told, (DAY, 3 * DAY))
    scale = np.maximum(np.abs(plain.rows).max(axis=(0, 2), keepdims=True), 1.0)
    assert (np.abs(fast.rows - plain.rows) / scale).max() <= CLOSE
    assert np.abs(quick.chance - chance.chance).max() <= CLOSE


@pytest.mark.parametrize("organism", sorted(FACTS.organisms))
def test_a_fortnight_before_is_filled_the_same(organism, monkeypatch):
    with form(monkeypatch, []):
        plain = course(organism, draws=64, days=1).start
    with form(monkeypatch, [kernels_rows]):
        fast = course(organism, draws=64, days=1).start
    assert fast == pytest.approx(plain, rel=1e-11, abs=1e-12)


def test_one_compile_serves_every_organism(monkeypatch):
    """Forward, back and the time before, with acts, medicine and without: no signature is added."""
    kernels_rows.compile_now()
    kernels_back.compile_now()
    with form(monkeypatch, [kernels_rows]):
        for organism in sorted(FACTS.organisms):
            for levels, acts in ((None, ()), (MEDICINE, ACTS)):
                told = course(organism, draws=64, days=1, acts=acts, levels=levels)
                run(told)
                gone_by(told, (DAY,))
    for kernel in (kernels_rows.forward_kernel, kernels_back.back_kernel):
        assert len(kernel.signatures) == 1


def test_the_same_bytes_whatever_the_threads(monkeypatch):
    told = course("gyrodactylus", draws=256, days=3, acts=ACTS, levels=MEDICINE)
    found = []
    with form(monkeypatch, [kernels_rows]):
        for threads in (1, 2, 4):
            monkeypatch.setattr(kernels_rows, "threads", lambda n=threads: n)
            found.append((run(told).rows.tobytes(), gone_by(told, (DAY, 3 * DAY)).chance.tobytes()))
    assert found[0] == found[1] == found[2]
    few = course("gyrodactylus", draws=64, days=3, acts=ACTS, levels=MEDICINE)
    with form(monkeypatch, [kernels_rows]):
        assert run(few).rows == pytest.approx(run(told).rows[:, :, :64], rel=1e-9)


def test_exponential_and_logarithm_are_good_to_the_last_digit():
    @njit
    def both(x, y):
        return exponential(x), logarithm(y)

    for x in (*np.linspace(-700.0, 700.0, 2001), 0.0, 1e-300, -1e-18):
        found, back = both(x, np.exp(x))
        assert found == pytest.approx(np.exp(x), rel=4e-16)
        assert back == pytest.approx(np.log(np.exp(x)), rel=4e-16, abs=2e-16)
    assert both(-1e9, 1.0)[0] < 1e-300
