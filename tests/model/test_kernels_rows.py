"""Organisms compiled against the oracle: every one of the facts, forward and back, with acts and medicine."""

from contextlib import contextmanager

import numpy as np
import pytest

from tankward.model import kernels_rows
from tankward.model import run as forms
from tankward.model.clearance import gone_by
from tankward.model.outbreak import run
from tankward.room.acts import Change, Siphon
from tests.model.lives import DAY, FACTS, course

CLOSE = 1e-11  # of the largest value of a row; powers and exponentials differ in their last digit
ACTS = ((1, Change(share=0.4)), (2, Siphon(floor_share=0.5)))
MEDICINE = {"formalin": (20.0, 0.8)}


@contextmanager
def form(monkeypatch, rows):
    with monkeypatch.context() as patch:
        patch.setattr(forms, "_rows", rows)
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


def test_one_compile_serves_every_organism():
    kernels_rows.compile_now()
    for kernel in (kernels_rows.forward_kernel, kernels_rows.back_kernel, kernels_rows.exact_kernel):
        assert len(kernel.signatures) == 1
