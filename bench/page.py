"""Writes docs/bench.md: the forecast against general solvers, what it costs and how that grows. `make bench`.

All figures are taken in one run, and those that compare are ratios. Seconds are of one core's own time
(`process_time`), so that a busy machine lengthens them little; only starts are by the clock.
"""

from __future__ import annotations

import json
import os
import platform
import shutil
import subprocess
import sys
import tempfile
import time
from datetime import timedelta
from functools import cache
from pathlib import Path

import numpy as np
from counted import peak_per_second, per_step
from planned import section as of_plans
from rivals import cvode, dop853, lsoda, solved, worst
from tanks import DAYS, LEVELS, LOOKED, ROOM, START, SUSPECTS, course, run_of

from tankward.knowledge.loader import load
from tankward.model.clearance import gone_by
from tankward.model.follow import herd_of, prepared
from tankward.model.forecast import forecast
from tankward.model.from_room import story
from tankward.model.judged import judged
from tankward.model.oracle import trace
from tankward.model.organisms import life_of
from tankward.model.outbreak import run as run_on
from tankward.model.run import traced, warm
from tankward.model.simulate import simulate
from tankward.model.suspect import of_causes
from tankward.room.text import room_of_text

ROOT = Path(__file__).parent.parent
PAGE = ROOT / "docs" / "bench.md"
COMPARED = range(0, 64, 8)  # draws that the solvers run
TOLERANCES = (1e-2, 3e-3, 1e-3, 3e-4, 1e-4, 1e-5, 1e-6, 1e-7)
STEPS_MIN = (60, 30, 20, 15, 10)
TURNS = 5


def own_time(does, turns=TURNS):
    """Seconds of this core, the least of some turns after a first that is not counted."""
    does()
    best = np.inf
    for _ in range(turns):
        began = time.process_time()
        does()
        best = min(best, time.process_time() - began)
    return best


@cache
def true_hours():
    return solved(run_of(draws=64), dop853, 1e-11, COMPARED)[0]


def ours_off(step_min):
    """Worst error of any field, as `rivals.worst`; both as it is after what happens at an hour."""
    run = run_of(draws=64, step_min=step_min)
    found = trace(run)
    mine = {
        minute: np.array([found.fields[name][n][list(COMPARED)] for name in run.body.state])
        for n, minute in enumerate(found.minutes)
    }
    return worst({m: mine[m] for m in true_hours()}, true_hours())


def against_solvers():
    """Rows: error, seconds a draw and kernel's ratio, at the errors our steps have."""
    ladder = {}
    for solver in (lsoda, cvode):
        ladder[solver.__name__] = [
            (worst(found, true_hours()), spent / len(COMPARED))
            for found, spent in (solved(run_of(draws=64), solver, rtol, COMPARED) for rtol in TOLERANCES)
        ]
    rows = []
    for step_min in STEPS_MIN:
        run = run_of(draws=256, step_min=step_min)
        mine = own_time(lambda run=run: traced(run)) / 256
        off = ours_off(step_min)
        rows.append((step_min, off, mine, *(at_error(ladder[name], off) for name in ("lsoda", "cvode"))))
    usual = own_time(lambda run=run_of(draws=256): traced(run)) / 256
    return rows, (ours_off(None), usual, *(at_error(ladder[n], ours_off(None)) for n in ("lsoda", "cvode")))


def at_error(ladder, off):
    """Seconds that a solver takes for this error: between its two nearest, in logarithms; at either end the
    cheapest that is at least as exact.
    """
    good = [seconds for error, seconds in ladder if error <= off]
    bad = [(error, seconds) for error, seconds in ladder if error > off]
    if not good or not bad:
        return min(good or [seconds for _, seconds in ladder])
    best = min((error, seconds) for error, seconds in ladder if error > off)
    near = max((error, seconds) for error, seconds in ladder if error <= off)
    share = np.log(best[0] / off) / np.log(best[0] / near[0])
    return float(np.exp((1 - share) * np.log(best[1]) + share * np.log(near[1])))


def power_of(amounts, seconds):
    """Exponent of the growth: 1 is in proportion."""
    return float(np.polyfit(np.log(amounts), np.log(seconds), 1)[0])


def growth():
    """What, amounts, milliseconds: the water run."""
    draws, days, tanks = (64, 128, 256, 512, 1024), (7, 14, 28, 56), (1, 2, 4, 8)
    kinds = tuple(range(len(LEVELS) + 1))
    run = run_of(draws=256)
    return [
        ("draws", draws, [own_time(lambda r=run_of(draws=n): traced(r)) for n in draws]),
        ("days", days, [own_time(lambda r=run_of(draws=256, days=n): traced(r)) for n in days]),
        (
            "substances",
            kinds,
            [own_time(lambda r=run_of(draws=256, substances=n): traced(r)) for n in kinds],
        ),
        ("tanks", tanks, [own_time(lambda n=n: [traced(run) for _ in range(n)], 3) for n in tanks]),
    ]


def organisms():
    """Rows: organism, its rows, forward, backward, a whole judgement of a course, in seconds; 256 draws."""
    facts, found = load(), []
    told = story(room_of_text(ROOM), "nursery", START, START + timedelta(hours=1), facts, course(1, DAYS))
    hours = 24.0 * DAYS
    ends = [round(24 * 60 * d) for d in (7, 14, 21, 27)]

    def water():
        return simulate(told.setup, told.acts, facts, start=told.start, hours=hours, draws=256)

    record = water()
    herd = herd_of(told, facts, 256)
    for name in SUSPECTS:
        life = life_of(facts, name, herd, 256)
        course_of = prepared(life, told, record, 0, None, facts).course
        found.append(
            (
                name,
                life.gathered.count if hasattr(life.gathered, "count") else len(life.gathered.rows),
                own_time(lambda c=course_of: run_on(c)),
                own_time(lambda c=course_of: gone_by(c, ends)),
                own_time(lambda x=life: judged(told, water(), [x], facts, begin=0, days=ends)),
            )
        )
    return found


CHILD = """
import json, sys, time
began = time.perf_counter()
sys.path.insert(0, {bench!r})
from tanks import run_of
from tankward.model import run as which
loaded = time.perf_counter() - began
if {warm!r}:
    which.warm(wait=True)
ready = time.perf_counter() - began
which.traced(run_of(draws=256))
answered = time.perf_counter() - began
which.traced(run_of(draws=256))
again = time.perf_counter() - began - answered
# Not getrusage: its peak counts the process that started this one.
with open("/proc/self/status") as status:
    peak_kb = next(int(line.split()[1]) for line in status if line.startswith("VmHWM"))
print(json.dumps({{"loaded": loaded, "ready": ready, "answered": answered, "again": again,
                   "compiled": which.compiled_runs(), "mb": peak_kb / 1024}}))
"""


def child(folder, *, warm_first):
    """A fresh process, by the clock; `whole` counts from before Python started."""
    code = CHILD.format(bench=str(Path(__file__).parent), warm=warm_first)
    began = time.perf_counter()
    told = subprocess.run(
        [sys.executable, "-c", code],
        env=os.environ | {"XDG_CACHE_HOME": folder},
        capture_output=True,
        text=True,
        check=True,
    )
    return json.loads(told.stdout.splitlines()[-1]) | {"whole": time.perf_counter() - began}


def starts():
    folder = tempfile.mkdtemp()
    try:
        facts_kept = child(folder, warm_first=False)
        cold = child(folder, warm_first=False)
        compiled = child(folder, warm_first=True)
        cached = child(folder, warm_first=True)
    finally:
        shutil.rmtree(folder)
    return {"first ever": facts_kept, "oracle": cold, "compiling": compiled, "cached": cached}


TEXT = (Path(__file__).parent / "page.txt").read_text()


def ms(seconds):
    return f"{seconds * 1e3:.3g}"


def forecasts():
    """Seconds of a forecast: plain, with white spot suspected, with three organisms and two substances."""
    facts = load()
    room = room_of_text(ROOM + LOOKED)
    now = START + timedelta(days=7)

    def asked(causes, planned):
        suspects = of_causes([(c, None) for c in causes], facts)
        return own_time(
            lambda: forecast(room, "nursery", now, facts=facts, days=28, planned=planned, suspects=suspects),
            3,
        )

    one, two = _moved(course(1, DAYS)), _moved(course(2, DAYS))
    return (
        asked((), one),
        asked(("white_spot",), one),
        asked(("white_spot", "skin_flukes", "camallanus"), two),
    )


def _moved(acts):
    return [(at + timedelta(days=7), act) for at, act in acts]


def written():
    """The page, everything measured."""
    rows, (off, mine, by_lsoda, by_cvode) = against_solvers()
    rivals = "\n".join(
        f"| {step} min | {error:.1e} | {ms(own)} | {a / own:.0f} × | {b / own:.0f} × |"
        for step, error, own, a, b in rows
    )
    lines = "\n".join(
        f"| {what} | {', '.join(map(str, n))} | {', '.join(ms(s) for s in seconds)} | "
        f"{power_of(np.array(n) + (what == 'substances'), seconds):.2f} |"
        for what, n, seconds in growth()
    )
    lives = "\n".join(
        f"| {name} | {count} | {ms(on)} | {ms(back)} | {ms(whole)} | {1 / whole:.0f} |"
        for name, count, on, back, whole in organisms()
    )
    run = run_of(draws=256)
    steps, flops = len(run.table.steps), per_step(run)
    rate = flops * steps * 256 / own_time(lambda: traced(run))
    top = peak_per_second()
    begun = "\n".join(
        f"| {name} | {t['loaded']:.2f} | {t['answered']:.2f} | {t['whole']:.2f} | {t['again'] * 1e3:.0f} | "
        f"{'yes' if t['compiled'] else 'no'} | {t['mb']:.0f} |"
        for name, t in starts().items()
    )
    plain, spot, three = forecasts()
    return TEXT.format(
        machine=f"{platform.machine()}, {os.cpu_count()} cores, Python {platform.python_version()}",
        compared=len(COMPARED),
        rivals=rivals,
        off=off,
        mine=ms(mine),
        lsoda=by_lsoda / mine,
        cvode=by_cvode / mine,
        growth=lines,
        organisms=lives,
        plain=ms(plain),
        spot=ms(spot),
        three=ms(three),
        flops=flops,
        rate=rate / 1e9,
        peak=rate / top,
        top=top / 1e9,
        starts=begun,
        **of_plans(),
    )


def main():
    warm(wait=True)
    PAGE.write_text(written())
    print(PAGE.relative_to(ROOT))


if __name__ == "__main__":
    main()
