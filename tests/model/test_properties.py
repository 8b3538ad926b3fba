"""What holds for any course in any tank."""

import hashlib
import os
import subprocess
import sys
from datetime import timedelta
from pathlib import Path

import numpy as np
import pytest
from hypothesis import Phase, given, settings
from hypothesis import strategies as st

from tankward.model.simulate import simulate
from tankward.quantities.parse import Estimate
from tankward.room.acts import Air, Change, Clean, Dose, Feed, Heat, Light, Media, Siphon
from tests.model.tanks import FACTS, START, after, exact, tank

# A run takes a tenth of a second: no shrinking for minutes.
PHASES = (Phase.explicit, Phase.reuse, Phase.generate)
SUBSTANCES = ("praziquantel", "formalin", "methylene_blue", "sodium_chloride", "levamisole", "copper")
shares = st.floats(0.0, 1.0)
acts = st.one_of(
    st.builds(Change, share=shares, temp_c=st.none() | st.floats(5, 35)),
    st.builds(lambda s, mg: Dose(actives={s: mg}), st.sampled_from(SUBSTANCES), st.floats(0, 1000)),
    st.builds(Siphon, floor_share=shares),
    st.builds(Feed, usual=st.floats(0, 3), food_g=st.none() | st.floats(0, 2)),
    st.builds(Light, hours_per_day=st.floats(0, 24)),
    st.builds(Heat, temp_c=st.none() | st.floats(15, 33)),
    st.builds(Air, more=st.booleans()),
    st.builds(Media, into=st.booleans()),
    st.builds(Clean),
)
courses = st.lists(st.tuples(st.integers(0, 48 * 60), acts), max_size=12)


def body(litres, celsius, ph, filter, age):
    about = Estimate(litres, litres * 0.9, litres * 1.1)
    return tank(volume_l=about, temp_c=exact(celsius), ph=exact(ph), filter=filter, filter_age_d=age)


tanks = st.builds(
    body,
    st.floats(5, 500),
    st.floats(18, 32),
    st.floats(5.6, 8.8),
    st.sampled_from(["sponge", "box", "none", ""]),
    st.sampled_from([0.0, 30.0, 400.0, None]),
)


def course(told):
    return [(START + timedelta(minutes=minute), act) for minute, act in told]


@settings(max_examples=20, phases=PHASES)
@given(tanks, courses)
def test_nothing_is_ever_negative(setup, told):
    found = simulate(setup, course(told), FACTS, start=START, hours=30, draws=64)
    for name in found.names:
        assert np.isfinite(found.levels(name)).all(), name
        assert found.levels(name).min() >= 0, name
    for field, least in found.lowest.items():
        assert least >= -1e-9 * max(1.0, setup.volume_l.value), field


@settings(max_examples=15, phases=PHASES)
@given(courses, st.lists(st.integers(1, 48 * 60 - 1), min_size=1, max_size=6))
def test_splitting_a_step_changes_nothing(told, cuts):
    """Substances nearly to the last digit kept, the rest within the integrator's own error."""
    plain = simulate(tank(), course(told), FACTS, start=START, hours=48, draws=64)
    marks = [START + timedelta(minutes=cut) for cut in cuts]
    cut_up = simulate(tank(), course(told), FACTS, start=START, hours=48, draws=64, marks=marks)
    both = [m for m in dict.fromkeys(plain.minutes) if m in set(cut_up.minutes)]
    of, at = ([max(n for n, m in enumerate(f.minutes) if m == minute) for minute in both] for f in
              (plain, cut_up))  # fmt: skip
    assert len(both) > 48
    for name in plain.names:
        one, other = plain.levels(name)[of], cut_up.levels(name)[at]
        if name in SUBSTANCES:
            # Exact while it stays as warm (test_solver.py); a ramp of warmth is a parabola in each step.
            assert other == pytest.approx(one, rel=1e-4, abs=1e-6)
        else:
            assert np.abs(one - other).max() <= 1e-3 * max(np.abs(one).max(), 0.1), name


@settings(max_examples=10, phases=PHASES)
@given(courses)
def test_half_of_the_draws_are_the_same_draws(told):
    runs = {n: simulate(tank(), course(told), FACTS, start=START, hours=12, draws=n) for n in (64, 128, 256)}
    for name in runs[64].names:
        assert runs[64].levels(name).tobytes() == runs[128].levels(name)[:, :64].tobytes()
        assert runs[128].levels(name).tobytes() == runs[256].levels(name)[:, :128].tobytes()


@settings(max_examples=10, phases=PHASES)
@given(courses)
def test_a_later_substance_leaves_the_earlier_ones_alone(told):
    doses = [(minute, act) for minute, act in told if isinstance(act, Dose)]
    more = [*course(doses), (after(hours=50), Dose(actives={"quinine": 100.0}))]
    alone = simulate(tank(), course(doses), FACTS, start=START, hours=60, draws=64)
    together = simulate(tank(), more, FACTS, start=START, hours=60, draws=64)
    for name in alone.names:
        if name in SUBSTANCES:
            same = [n for n, m in enumerate(together.minutes) if m <= 50 * 60][: len(alone.minutes)]
            until = [n for n, m in enumerate(alone.minutes) if m <= 49 * 60]
            assert alone.levels(name)[until] == pytest.approx(together.levels(name)[same][until], rel=1e-6)


DIGEST = """
import hashlib
from tests.model.test_properties import small
print(small())
"""


def small():
    """A digest of every number of a small run."""
    told = [
        (after(hours=3), Dose(actives={"formalin": 900.0, "praziquantel": 90.0})),
        (after(hours=9), Change(share=0.3, temp_c=20.0)),
    ]
    found = simulate(tank(heater=True), told, FACTS, start=START, hours=24, draws=64)
    return hashlib.sha256(b"".join(found.levels(name).tobytes() for name in found.names)).hexdigest()


def test_the_same_numbers_in_another_process():
    """Twice here, and once where text hashes otherwise."""
    root = Path(__file__).parents[2]
    elsewhere = subprocess.run(
        [sys.executable, "-c", DIGEST],
        env={**os.environ, "PYTHONHASHSEED": "7"},
        capture_output=True,
        text=True,
        check=True,
        cwd=root,
    )
    assert small() == small() == elsewhere.stdout.strip()
