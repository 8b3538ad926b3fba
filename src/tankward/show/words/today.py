"""Sentences about today's round."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from tankward.room.replay import Room
from tankward.rounds.jobs import Job

LATE_FROM_H = 0.5  # under half an hour nobody calls it late (our own choice, common practice)


def today_heading(jobs: Sequence[Job], room: Room) -> str:
    """How far the round is, and who comes last."""
    looks = [j for j in jobs if j.kind == "look"]
    steps = [j for j in jobs if j.kind == "step"]
    if not jobs:
        return "The round is done. Nothing has to be done tonight."
    parts = []
    if looks:
        parts.append("One tank to look at" if len(looks) == 1 else f"{len(looks)} tanks to look at")
    if steps:
        one = "1 step is due" if len(steps) == 1 else f"{len(steps)} steps are due"
        parts.append(one if looks else one[:1].upper() + one[1:])
    last = jobs[-1]
    tail = f" {room.tanks[last.tank].name} comes last." if last.state == "sick" and len(jobs) > 1 else ""
    return ", ".join(parts) + "." + tail


def clock(at: datetime) -> str:
    """An hour as it stands in the margin."""
    return f"{at:%H:%M}"


def late_words(job: Job) -> str:
    """How late a step is; "" where it isn't."""
    if job.late_h < LATE_FROM_H:
        return ""
    hours = job.late_h
    return (
        f"{hours * 60:.0f} minutes late"
        if hours < 1
        else f"{hours:.0f} hours late"
        if hours < 36
        else f"{hours / 24:.0f} days late"
    )
