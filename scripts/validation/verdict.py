"""What an experiment and the model say of the same thing, and a small picture of both."""

from __future__ import annotations

import tomllib
from functools import cache
from pathlib import Path
from typing import Any

import msgspec

from tankward.model.rows import Array

ROOT = Path(__file__).parents[2]
EXPERIMENTS = ROOT / "tests" / "data" / "experiments.toml"
Experiment = dict[str, Any]


class Finding(msgspec.Struct, frozen=True, kw_only=True):
    """One published thing beside the model's. `role`: where it differs from that of the experiment."""

    what: str
    published: str
    model: str
    inside: bool
    why: str = ""
    role: str = ""


class Picture(msgspec.Struct, frozen=True, kw_only=True):
    """Published points over the model's band: (x, low, middle, high) and (x, y)."""

    x: str
    y: str
    band: tuple[tuple[float, float, float, float], ...]
    points: tuple[tuple[float, float], ...]
    log: bool = False


class Group(msgspec.Struct, frozen=True, kw_only=True):
    """Counts on single fish, fish × days, and those of as many fish with each strain of a model. Dead: −1."""

    id: str
    days: tuple[int, ...]
    judged: tuple[int, ...]  # counts that are judged: after the first, and none that repeats another
    seen: Array
    others: Array  # what the other groups counted: fish × days
    made: Array  # strains × fish × days


class Told(msgspec.Struct, frozen=True, kw_only=True):
    """One experiment in the model. `setting`: what the source does not say and was assumed."""

    id: str
    setting: str
    findings: tuple[Finding, ...]
    picture: Picture | None = None
    group: Group | None = None

    def of_role(self, role: str) -> tuple[Finding, ...]:
        """The findings that count under a role."""
        own = experiments()[self.id]["role"]
        return tuple(f for f in self.findings if (f.role or own) == role)


@cache
def experiments() -> dict[str, Experiment]:
    """All published experiments, by id."""
    found = tomllib.loads(EXPERIMENTS.read_text(encoding="utf-8"))["experiment"]
    return {e["id"]: e for e in found}
