"""A remedy without medicine: what it is for, what is done, the figures behind it."""

from __future__ import annotations

from typing import Literal

from tankward.knowledge.records.base import Figure, Row
from tankward.knowledge.records.organism import Place

RemedyKind = Literal["water", "wait", "apart", "siphon", "dark", "care", "vet", "end"]


class RemedyStep(Row, frozen=True, kw_only=True):
    """One thing that is done, in plain words."""

    text: str


class RemedyFigure(Figure, frozen=True, kw_only=True):
    """A number of the remedy: days, hours, a share."""

    id: str
    temp_low_c: float | None = None
    temp_high_c: float | None = None


class Remedy(Row, frozen=True, kw_only=True):
    """One remedy without medicine: one file.

    It is for the causes named, for every cause of the groups named, and for causes whose organism has one of
    the kinds of life named. `reaches` are the places in which it ends a parasite.
    """

    id: str
    name: str
    kind: RemedyKind
    causes: tuple[str, ...] = ()
    groups: tuple[str, ...] = ()
    structures: tuple[str, ...] = ()
    not_causes: tuple[str, ...] = ()
    reaches: tuple[Place, ...] = ()
    relieves: bool = False
    urgent: bool = True  # false: not where hours count
    step: tuple[RemedyStep, ...] = ()
    figure: tuple[RemedyFigure, ...] = ()
