"""The tables of printed figures, and what it means to come out at one."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import msgspec
import numpy as np

DATA = Path(__file__).parent / "data"
FILES = ("water", "dose", "husbandry")


class Check(msgspec.Struct, frozen=True, kw_only=True):
    """One printed figure: what is computed, from what, and how far off a right answer may be."""

    id: str
    file: str
    quantity: str
    inputs: dict[str, Any]
    expected: float | list[float]
    unit: str
    source: str
    status: str
    where: str = ""
    kind: str = ""
    tolerance: float | None = None
    rel_tol: float | None = None
    evidence: str = ""
    note: str = ""
    differs: str = ""

    @property
    def name(self) -> str:
        return f"{self.source}-{self.file}-{self.id}"

    @property
    def room(self) -> Any:
        """How far off a right answer may be, in the unit."""
        if self.tolerance is not None:
            return self.tolerance
        return np.abs(self.expected) * (self.rel_tol or 0.0)


def load(file: str) -> list[Check]:
    rows = tomllib.loads((DATA / f"{file}.toml").read_text(encoding="utf-8"))["check"]
    renamed = [{"quantity": r.get("formula", ""), **r, "file": file} for r in rows]
    return [msgspec.convert({k: v for k, v in r.items() if k != "formula"}, Check) for r in renamed]


def not_run() -> dict[str, str]:
    """Id of a check that can't be run, and why."""
    return tomllib.loads((DATA / "not_run.toml").read_text(encoding="utf-8"))["reasons"]


def off_by(check: Check, found: Any) -> float:
    """Greatest distance from the printed figure, in parts of what is allowed."""
    distance = np.abs(np.asarray(found, dtype=float) - np.asarray(check.expected, dtype=float))
    room = np.asarray(check.room, dtype=float) + 1e-12
    return float(np.max(distance / room))
