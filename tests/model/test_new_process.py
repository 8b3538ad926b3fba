"""A process in the tank is one file and one line in the list: here the file is made up, the line is in the
test.
"""

from types import ModuleType

import numpy as np
import pytest

from tankward.model.events import NewWater
from tankward.model.oracle import trace
from tankward.model.tank import PROCESSES
from tankward.room.acts import Change
from tests.model.tanks import after, run_of, tank

BODY = '''
"""Iron rusts out of a nail, invented for this test, and takes oxygen."""
STATE = ("iron_mg",)
DRAWN = {"rust_1_d": "waste_decay"}  # a number with a name of its own, drawn from a fact
PACE = ("rust_mg_h",)

def pace(e, th, p, i):
    p.rust_mg_h[i] = 2.0

def rates(y, x, p, th, dy, i):
    dy.iron_mg[i] += p.rust_mg_h[i]

def change(y, act, th, i):
    y.iron_mg[i] *= 1.0 - act.share
'''


def nail():
    module = ModuleType("nail")
    exec(BODY, module.__dict__)
    module.ACTS = {NewWater: module.change}
    return module


def test_one_more_process_runs_with_the_rest():
    """2 mg/h for ten hours, half of it changed away, ten more: 10 + 20 mg; the others are as they were."""
    acts = [(after(hours=10), Change(share=0.5))]
    plain = trace(run_of(tank(), acts, hours=20))
    more = trace(run_of(tank(), acts, hours=20, processes=(*PROCESSES, nail())))
    assert more.fields["iron_mg"][-1] == pytest.approx(30.0)
    for name, field in plain.fields.items():
        assert more.fields[name] == pytest.approx(field)


def test_its_numbers_are_drawn_and_leave_those_of_the_others_alone():
    plain, more = (run_of(tank(), hours=1, processes=p) for p in (PROCESSES, (*PROCESSES, nail())))
    assert len(set(more.th.rust_1_d.tolist())) == 64
    assert (more.th.rust_1_d > 0).all()
    assert more.th.waste_decay_d.tobytes() == plain.th.waste_decay_d.tobytes()
    assert np.abs(np.corrcoef(more.th.rust_1_d, more.th.waste_decay_d)[0, 1]) < 0.4


def test_every_process_keeps_to_its_form():
    """State, what is drawn, pace and rates: what the list needs of each file."""
    for process in PROCESSES:
        assert isinstance(process.STATE, tuple)
        assert isinstance(process.DRAWN, dict)
        assert isinstance(process.PACE, tuple)
        assert process.__doc__
        assert callable(process.pace)
        assert callable(process.rates)


def test_no_field_has_two_owners():
    owned = [name for process in PROCESSES for name in process.STATE]
    assert len(owned) == len(set(owned))
