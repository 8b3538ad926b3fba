"""Nothing comes from nowhere: what went in is in the water, in the filter's products, or went out with a
change.
"""

import numpy as np
import pytest

from tankward.model.events import Died, Timed
from tankward.model.oracle import trace
from tankward.model.prepare import prepare
from tankward.room.acts import Change, Dose, Feed, Siphon
from tests.model.tanks import FACTS, START, after, exact, run_of, tank

NITROGEN = ("waste_mg", "tan_mg", "nitrite_mg", "nitrate_mg")


def total(found, names=NITROGEN):
    return sum(found.fields[name] for name in names)


def went_out(found):
    """What each change or siphon took: the fall between the two records of its instant."""
    held = total(found)
    out, into = np.zeros(held.shape[1]), np.zeros(held.shape[1])
    for n, (one, next_) in enumerate(zip(found.minutes, found.minutes[1:], strict=False)):
        if one == next_:
            step = held[n + 1] - held[n]
            out -= np.minimum(step, 0)
            into += np.maximum(step, 0)
    return out, into


def made(run, hours):
    """What food gives: excreted and left, in mg N."""
    th = run.th
    protein = th.ration_mg_h * th.feed_protein
    return protein * ((1 - th.uneaten) * th.tan_per_protein + th.uneaten * th.protein_nitrogen) * hours


def test_nitrogen_through_three_hundred_changes():
    """Twelve weeks with four changes a day: food in = in the water + gone with the changes, to 1e-9."""
    acts = [(after(hours=6 * n + 1), Change(share=0.05 + 0.02 * (n % 7))) for n in range(300)]
    run = run_of(tank(), acts, hours=6 * 300 + 12)
    found = trace(run)
    out, into = went_out(found)
    assert not into.any()
    assert total(found)[-1] + out == pytest.approx(made(run, 6 * 300 + 12), rel=1e-9)


def test_nitrogen_with_a_siphon_and_a_corpse():
    corpse = Timed(60 * 24, Died(grams=2.0))
    run = prepare(
        tank(), [corpse, Timed(60 * 60, Siphon(floor_share=0.5))], (), FACTS, start=START, hours=96, draws=64
    )
    found = trace(run)
    out, into = went_out(found)
    assert into == pytest.approx(2000.0 * run.th.body_nitrogen)
    assert total(found)[-1] + out == pytest.approx(made(run, 96) + into, rel=1e-9)


def test_a_substance_through_hundreds_of_changes_and_doses():
    """Praziquantel without any loss: what is in is what was dosed less what each change took."""
    acts = []
    for n in range(250):
        acts += [(after(hours=n), Change(share=0.1)), (after(hours=n), Dose(actives={"praziquantel": 10.0}))]
    run = run_of(tank(), acts, hours=250)
    for name in ("dark", "light", "naive", "used", "carbon"):
        getattr(run.sub, name)[:] = np.inf
    held = 0.0
    for _ in range(250):
        held = held * 0.9 + 10.0
    assert trace(run).amounts[-1, 0] == pytest.approx(held, rel=1e-12)


def test_fish_that_get_nothing_make_less():
    """Fasted they give off a tenth, by the range of the fact 0.077 to 0.13; a draw is cut at half and
    twice that.
    """
    fed, fasted = run_of(tank(), [], hours=24), run_of(tank(), [(START, Feed(usual=0.0))], hours=24)
    for run in (fed, fasted):
        run.th.uneaten[:] = 0.0
    share = total(trace(fasted))[-1] / total(trace(fed))[-1]
    assert share.min() > 0.077 / 2
    assert share.max() < 0.13 * 2
    assert np.median(share) == pytest.approx(0.1, abs=0.01)


def test_oxygen_paid_for_each_nitrogen():
    """Ammonia to nitrate takes 4.57 mg for each mg N: a tank without gas exchange, breath, plants or rot."""
    setup = tank(levels={"ammonia_n": exact(1.0)}, filter="sponge")
    run = run_of(setup, [(START, Feed(usual=0.0))], hours=72)
    th = run.th
    th.kla_20[:], th.breath_50g[:], th.planted[:], th.waste_oxygen[:], th.fasting_share[:] = 0, 0, 0, 0, 0
    found = trace(run)
    used = found.fields["oxygen_mg"][0] - found.fields["oxygen_mg"][-1]
    first = found.fields["nitrite_mg"][-1] + found.fields["nitrate_mg"][-1]
    second = found.fields["nitrate_mg"][-1]
    assert used == pytest.approx(3.4268 * first + 1.1422 * second, rel=1e-4)
