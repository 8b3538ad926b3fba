"""The compiled form against the oracle: the same numbers for any room, whoever runs beside a draw."""

import hashlib
import importlib.util
import os
import shutil
import subprocess
import sys
from contextlib import nullcontext
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as some

from tankward.model import compile, kernels
from tankward.model import run as forms
from tankward.model import tank as listed
from tankward.model.compile import cached_in, digest
from tankward.model.compiled import compile_now, trace_compiled
from tankward.model.oracle import trace
from tankward.model.tank import PROCESSES
from tankward.room.acts import Air, Change, Clean, Dose, Feed, Heat, Light, Media, Siphon
from tests.model.tanks import after, exact, run_of, tank
from tests.model.test_new_process import nail

CLOSE = 1e-12  # of the largest value of a field
PACKAGE = Path(__file__).parents[2] / "src" / "tankward"

SUBSTANCES = some.sampled_from(["formalin", "praziquantel", "malachite_green"])
shares = some.floats(0.05, 0.9)
acts = some.one_of(
    some.builds(Change, share=shares, temp_c=some.one_of(some.none(), some.floats(18, 28))),
    some.builds(Dose, actives=some.dictionaries(SUBSTANCES, some.floats(0.1, 500), min_size=1)),
    some.builds(Feed, usual=some.floats(0, 3)),
    some.builds(Heat, temp_c=some.one_of(some.none(), some.floats(20, 31))),
    some.builds(Air, more=some.booleans()),
    some.builds(Light, hours_per_day=some.floats(0, 24)),
    some.builds(Media, into=some.booleans()),
    some.builds(Siphon, floor_share=shares),
    some.just(Clean(what="filter")),
)  # fmt: skip
rooms = some.fixed_dictionaries({
    "temp_c": some.builds(exact, some.floats(16, 31)),
    "ph": some.one_of(some.none(), some.builds(exact, some.floats(5.5, 8.8))),
    "filter": some.sampled_from(["sponge", "box", "canister", "none"]),
    "air": some.one_of(some.none(), some.booleans()),
    "levels": some.one_of(some.just({}), some.just({"ammonia_n": exact(2.0), "oxygen": exact(0.4)})),
})  # fmt: skip


def same(one, other):
    """Both traces, field by field."""
    assert one.minutes == other.minutes
    for name, field in one.fields.items():
        assert np.abs(field - other.fields[name]).max() <= CLOSE * max(1.0, np.abs(field).max()), name
        assert other.lowest[name] == pytest.approx(
            one.lowest[name], abs=CLOSE * max(1.0, np.abs(field).max())
        )
    assert np.abs(one.amounts - other.amounts).max(initial=0) <= CLOSE * np.abs(one.amounts).max(initial=1)
    assert (one.temp_c == other.temp_c).all()


@settings(max_examples=25)
@given(rooms, some.lists(some.tuples(some.integers(0, 47), acts), max_size=8))
def test_any_room_runs_the_same(room, happening):
    run = run_of(tank(**room), [(after(hours=h), act) for h, act in happening], hours=48, draws=64)
    same(trace(run), trace_compiled(run))


def test_a_tank_short_of_oxygen_runs_the_same():
    """Where a pool runs out, the pull is worked out anew at every step."""
    run = run_of(tank(levels={"oxygen": exact(0.3)}), [(after(hours=3), Feed(usual=30.0))], hours=48)
    assert trace(run).lowest["oxygen_mg"] < run.th.volume_l.max() * 0.5
    same(trace(run), trace_compiled(run))


BUSY = [
    (after(hours=2), Dose(actives={"praziquantel": 90.0})),
    (after(hours=4), Heat(temp_c=29.0)),
    (after(hours=9), Change(share=0.5, temp_c=20.0)),
]


def test_no_room_asks_for_another_compile():
    """Bare or filtered, read or not, warming, losing water, dosed or not, few draws or many: one compile."""
    compile_now()
    line = {"evaporates_l_d": exact(2.0), "falling_d": 1.0}
    rooms = [{}, {"filter": "none", "air": None}, {"alkalinity": exact(80.0)}, line, {"living": None}]
    for told in rooms:
        for draws, acts in ((64, []), (512, BUSY), (256, [(after(hours=1), Feed(usual=0.0))])):
            trace_compiled(run_of(tank(**told), acts, hours=12, draws=draws), forms.CHARTED)
    assert len(kernels.water.signatures) == 1


def told(found):
    """All that a trace holds, as bytes."""
    parts = [*found.fields.values(), found.amounts, found.temp_c]
    return [np.ascontiguousarray(part).tobytes() for part in parts] + [str(found.lowest).encode()]


def test_the_same_bytes_whatever_the_threads():
    run = run_of(tank(alkalinity=exact(80.0)), BUSY, hours=24, draws=256)
    one, two, four = (told(trace_compiled(run, threads=n)) for n in (1, 2, 4))
    assert one == two == four


SMALL = "408ed3a00bfc3202"


def test_a_small_forecast_keeps_its_numbers():
    """A day of 64 draws to six digits: who changes a process sees here that every answer moved with it, and
    writes the new digest where that was meant.
    """
    found = trace_compiled(run_of(tank(alkalinity=exact(80.0)), BUSY, hours=24))
    ends = [f"{name} {level:.5e}" for name, field in found.fields.items() for level in field[-1]]
    assert hashlib.sha256("\n".join(ends).encode()).hexdigest()[:16] == SMALL


def test_what_was_found_is_not_the_memory_of_the_next_run():
    run = run_of(tank(), BUSY, hours=6)
    first = trace_compiled(run)
    kept = told(first)
    trace_compiled(run_of(tank(temp_c=exact(20)), [], hours=6))
    assert told(first) == kept


def test_a_draw_does_not_know_who_runs_beside_it():
    """The first 256 of 512, and 64 of 256, are the same draws."""
    of = {n: trace_compiled(run_of(tank(), BUSY, hours=24, draws=n)) for n in (64, 256, 512)}
    for few, many in ((64, 256), (256, 512)):
        for name, field in of[few].fields.items():
            assert field.tobytes() == np.ascontiguousarray(of[many].fields[name][:, :few]).tobytes()


def test_another_list_of_processes_is_compiled_with_the_rest(monkeypatch):
    """One more file in the list: the module of the kernel, read again, runs it."""
    monkeypatch.setattr(listed, "PROCESSES", (*PROCESSES, nail()))
    monkeypatch.setattr(compile, "cached_in", lambda: nullcontext(False))
    spec = importlib.util.spec_from_file_location("tankward.model.kernels_again", kernels.__file__)
    again = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(again)
    run = run_of(tank(), [(after(hours=10), Change(share=0.5))], hours=20, processes=listed.PROCESSES)
    plain = trace(run)
    assert plain.fields["iron_mg"][-1] == pytest.approx(30.0)
    same(plain, trace_compiled(run, kernel=again.water))


def test_without_numba_the_oracle_serves(monkeypatch):
    monkeypatch.setattr(forms, "_ready", [])
    monkeypatch.setitem(sys.modules, "tankward.model.compiled", None)
    forms._load()
    run = run_of(tank(), [], hours=2)
    assert not forms.compiled_runs()
    same(forms.traced(run), trace(run))  # of the fields that a record is made of


def test_once_warm_the_kernel_serves(monkeypatch):
    monkeypatch.setattr(forms, "_ready", [])
    forms._load()
    assert forms.compiled_runs()
    run = run_of(tank(), [], hours=2)
    same(forms.traced(run), trace(run))  # of the fields that a record is made of


def test_old_forms_are_thrown_away(tmp_path):
    (tmp_path / "0123456789abcdef").mkdir()
    with cached_in(tmp_path) as keep:
        assert keep
    assert [p.name for p in tmp_path.iterdir()] == [digest()]


def test_where_nothing_can_be_written_nothing_is_kept(tmp_path):
    (tmp_path / "file").touch()
    with cached_in(tmp_path / "file") as keep:
        assert not keep


ONE_RUN = """
from tankward.model.compiled import trace_compiled
from tests.model.tanks import run_of, tank
print(trace_compiled(run_of(tank(), [], hours=24)).fields["tan_mg"][-1].sum())
"""


def test_an_edited_process_is_never_served_with_old_numbers(tmp_path):
    """A copy of the package, run, edited and run again with the same cache folder."""
    shutil.copytree(PACKAGE, tmp_path / "tankward", ignore=shutil.ignore_patterns("__pycache__"))
    paths = [str(tmp_path), str(PACKAGE.parents[1]), os.environ.get("PYTHONPATH", "")]
    env = os.environ | {"PYTHONPATH": os.pathsep.join(paths), "XDG_CACHE_HOME": str(tmp_path / "cache")}

    def total():
        done = subprocess.run(
            [sys.executable, "-c", ONE_RUN], env=env, capture_output=True, text=True, timeout=300
        )
        assert done.returncode == 0, done.stderr
        return float(done.stdout)

    before = total()
    feeding = tmp_path / "tankward" / "model" / "processes" / "feeding.py"
    text = feeding.read_text(encoding="utf-8")
    stamp = feeding.stat()
    edited = text.replace("dy.tan_mg[i] += p.excreted_mg_h[i]", "dy.tan_mg[i] += 3.0 * p.excreted_mg_h[i]")
    assert edited != text
    feeding.write_text(edited, encoding="utf-8")
    os.utime(feeding, (stamp.st_atime, stamp.st_mtime))
    assert total() > 1.5 * before
