"""What a plan costs: whole, by stage, and against the same search with a general solver inside."""

from __future__ import annotations

import time
from datetime import UTC, datetime
from typing import NamedTuple

import numpy as np
from rivals import dop853, lsoda, solved, worst

from tankward.knowledge.loader import load
from tankward.model.oracle import trace
from tankward.model.run import traced
from tankward.model.suspect import of_causes
from tankward.room.text import room_of_text
from tankward.treat.course.request import request_from_room
from tankward.treat.planner.judging import Judging
from tankward.treat.planner.plan import by_day, make_plan
from tankward.treat.planner.records import Wishes
from tankward.treat.planner.search import Budget
from tankward.treat.planner.ways import setting, ways_of
from tankward.treat.remedies.options import options

NOW = datetime(2026, 3, 14, 18, 0, tzinfo=UTC)
ROOM = """
1 March 2026 08:00  tank     Nursery  volume="20 L" temp=24C filter=sponge filter-age="300 days" light=9h
1 March 2026 08:05  stock    Nursery  kind=pearl_danio_celestial number=18 length=2cm
14 March 2026 17:00 reading  Nursery  ammonia="0 mg/L as N" nitrite="0 mg/L as N" ph=7.2 oxygen="7.5 mg/L"
"""
ASKED = {
    "white spot": ("white_spot",),
    "gill flukes": ("gill_flukes",),
    "gill flukes and roundworms": ("gill_flukes", "camallanus"),
}
UNHEATED = ROOM.replace("temp=24C", "temp=24C heater=no")  # each change cools it: it seldom comes to rest
STAGES = ("screened", "simulated", "refined")
SOLVED = range(0, 64, 16)  # draws that the solver runs
TOLERANCES = (1e-2, 1e-3, 1e-4, 1e-5, 1e-6)
DRAFTS = 3  # courses that it runs, spread over those that pass the screen


class Spent(NamedTuple):
    """One plan. `own`: seconds of all cores by stage; `count`: how many were looked at in it."""

    cpu_s: float
    wall_s: float
    refined_s: float
    first_s: float
    own: dict[str, float]
    count: dict[str, int]


def asked(causes, told=ROOM):
    """Everything that a plan is made from."""
    facts = load()
    room = room_of_text(told)
    request = request_from_room(room, "nursery", facts, NOW, causes=causes, not_there=("fry", "egg"))
    found = options(
        causes, request.stock, facts, volume_l=request.volume_l, water=request.water, region="UK",
        shelf=request.shelf, findings=request.findings, not_there=("fry", "egg"),
    )  # fmt: skip
    return room, request, found, Wishes(), NOW, facts


def spent(causes, budget=Budget(), room=ROOM):
    """A whole plan, timed; the stage of what is done after the last of the search is the last one."""
    told_of = asked(causes, room)
    marks, counts, first, refined = [], {}, [], []
    began, wall = time.process_time(), time.perf_counter()

    def told(stage, done, of):
        counts[stage] = min(done, of)
        marks.append((stage, time.process_time()))
        refined[:] = [time.perf_counter() - wall]

    make_plan(*told_of, budget=budget, told=told, first=lambda _: first.append(time.perf_counter() - wall))
    over = time.process_time()
    ends = {stage: max(at for s, at in marks if s == stage) for stage in STAGES if stage in counts}
    own, last = {}, began
    for stage, at in ends.items():
        own[stage], last = at - last, at
    whole = time.perf_counter() - wall
    return Spent(over - began, whole, refined[0], (first or [np.nan])[0], own, counts)


def with_a_solver(causes=ASKED["white spot"]):
    """Seconds a draw of the water of one course: ours, LSODA at the same error; and that error."""
    room, request, found, wishes, now, facts = asked(causes)
    by = by_day(request, causes, wishes, now, facts)
    suspects = of_causes([(c, None) for c in causes], facts)
    there = Judging(room, request, suspects, now, by, facts, wishes).prospect(64)
    ways = ways_of(found.open, setting(request, wishes, now, facts)).ways
    rows = []
    for way in [w for w in ways if w.acts(w.published) is not None][:DRAFTS]:
        planned = there.planned(way.acts(way.published))
        rows.append(_one(there.onward.run(planned, end=there.end, coarse=True).run))
    return tuple(float(np.mean(column)) for column in zip(*rows, strict=True))


def _one(run):
    true = solved(run, dop853, 1e-11, SOLVED)[0]
    fields = trace(run)
    mine = {
        minute: np.array([fields.fields[name][n][list(SOLVED)] for name in run.body.state])
        for n, minute in enumerate(fields.minutes)
        if minute in true
    }
    true = {minute: true[minute] for minute in mine}
    off = worst(mine, true)
    ladder = [
        (worst({minute: hours[minute] for minute in mine}, true), s / len(SOLVED))
        for hours, s in (solved(run, lsoda, rtol, SOLVED) for rtol in TOLERANCES)
    ]
    able = [s for error, s in ladder if error <= off] or [s for _, s in ladder[-1:]]
    traced(run)
    began = time.process_time()
    for _ in range(5):
        traced(run)
    return (time.process_time() - began) / 5 / run.draws, min(able), off


def section():
    """The numbers of the page's section."""
    spent(ASKED["white spot"], Budget(200, 8, 2))
    plans = {name: spent(causes) for name, causes in ASKED.items()}
    plans["white spot, unheated"] = spent(ASKED["white spot"], room=UNHEATED)
    ours, theirs, off = with_a_solver()
    one = plans["white spot"]
    drawn = 64 * one.count["simulated"]
    rest = one.own["screened"] + one.own["simulated"] - ours * drawn
    lines = "\n".join(
        f"| {name} | {p.cpu_s:.1f} | {p.refined_s:.1f} | {p.wall_s:.1f} | {p.first_s:.2f} | "
        + " | ".join(f"{p.count[s]:,} in {p.own[s]:.2f} s: {p.count[s] / p.own[s]:,.0f}" for s in STAGES)
        + " |"
        for name, p in plans.items()
    )
    return {
        "plans": lines,
        "plan_ours": f"{ours * 1e3:.3g}",
        "plan_solver": f"{theirs * 1e3:.3g}",
        "plan_off": f"{off:.1e}",
        "plan_water": theirs / ours,
        "plan_drawn": f"{drawn:,}",
        "plan_hours": (theirs * drawn + rest) / 3600,
        "plan_times": (theirs * drawn + rest) / (ours * drawn + rest),
    }
