"""A new substance, a new organism: one file each, and the model runs them forward and back, in both forms."""

import shutil

import numpy as np
import pytest

from tankward.knowledge.loader import FOLDER, load
from tankward.model import kernels_back, kernels_rows
from tankward.model import run as forms
from tankward.model.clearance import gone_by
from tankward.model.compiled import trace_compiled
from tankward.model.events import Timed
from tankward.model.oracle import trace
from tankward.model.outbreak import run
from tankward.model.prepare import prepare, substances_of
from tankward.model.simulate import minutes, simulate
from tankward.room.acts import Dose
from tests.knowledge.test_new_things import SUBSTANCE, organism_like_white_spot
from tests.model.lives import DAY, course
from tests.model.tanks import START, after, tank

CLOSE = 1e-12


@pytest.fixture(scope="module")
def more(tmp_path_factory):
    folder = tmp_path_factory.mktemp("more") / "facts"
    shutil.copytree(FOLDER, folder)
    (folder / "substances" / "moonwort.toml").write_text(SUBSTANCE, encoding="utf-8")
    (folder / "organisms" / "lunaria.toml").write_text(organism_like_white_spot("lunaria"), encoding="utf-8")
    return load(folder)


def test_a_new_substance_has_a_level_that_fades(more):
    """50 mg/L at once, and less of it every day; the same in both forms."""
    told = [(after(hours=1), Dose(actives={"moonwort": 50.0 * 46.0}))]
    found = simulate(tank(), told, more, start=START, hours=72, draws=64)
    levels = found.levels("moonwort").astype(float)
    at = max(n for n, m in enumerate(found.minutes) if m == 60)
    assert 44.0 < np.median(levels[at]) < 53.0
    assert (levels[-1] < levels[at]).all()
    timed = [Timed(minutes(when, START), act) for when, act in told]
    rows = substances_of(tank(), timed, more)
    ready = prepare(tank(), timed, rows, more, start=START, hours=24, draws=64)
    plain, fast = trace(ready), trace_compiled(ready)
    assert fast.amounts == pytest.approx(plain.amounts, rel=CLOSE, abs=CLOSE)


def test_a_new_organism_runs_forward_and_back_in_both_forms(more, monkeypatch):
    told = course("lunaria", draws=64, days=3, facts=more)
    old = course("ichthyophthirius", draws=64, days=3, facts=more)
    found = {}
    for name, rows in (("oracle", []), ("compiled", [kernels_rows])):
        with monkeypatch.context() as patch:
            patch.setattr(forms, "_rows", rows)
            patch.setattr(forms, "_back", [kernels_back] if rows else [])
            found[name] = run(told), gone_by(told, (DAY, 3 * DAY)), run(old)
    (plain, chance, like), (fast, quick, _) = found["oracle"], found["compiled"]
    scale = np.maximum(np.abs(plain.rows).max(axis=(0, 2), keepdims=True), 1.0)
    assert (np.abs(fast.rows - plain.rows) / scale).max() <= CLOSE
    assert np.abs(quick.chance - chance.chance).max() <= CLOSE
    assert plain.rows[-1].sum() > 0
    assert plain.rows == pytest.approx(like.rows)  # its file says what that of white spot says
