"""Thousands of courses by the substance alone: exact from act to act, all drafts and draws at once."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from tankward.model.rows import Array

from .patterns import Sheet

TINY = 1e-12


class Active(NamedTuple):
    """One active of a full dose: what it makes of the water, and how much of it is left hour by hour."""

    substance: str
    level: Array  # of a full dose, draws
    left: Array  # hours × draws, before the filter has met it
    left_met: Array  # hours × draws, since its second dose
    there: Array  # in the water at the start, draws
    line: float  # that nobody bears it above; inf: none is known
    works: float  # from which it works; nan: not known


class Screened(NamedTuple):
    """For each draft: what is put back at each event, and for each draw the peak and the hours at work."""

    factor: Array  # drafts × events
    over: Array  # drafts: chance of passing the line of any active
    at_work_h: Array  # drafts: mean hours at or over what works, of the active that has fewest


def factors(made: Sheet, actives: tuple[Active, ...], keeps: Array) -> Array:
    """What each dose puts back, as a share of a full one, by the middle draw of the active that needs least.

    A draft that `keeps` puts back what the change took; else what a full dose lacks then.
    """
    found = np.ones_like(made.hour)
    for n, active in enumerate(actives):
        level, left, met, there = (np.median(a, axis=-1, keepdims=True) for a in active[1:5])
        middle = active._replace(level=level, left=left, left_met=met, there=there)
        own = _factors(made, middle, keeps)
        found = own if n == 0 else np.minimum(found, own)
    return found


def _factors(made: Sheet, one: Active, keeps: Array) -> Array:
    drafts, events = made.hour.shape
    given = np.zeros((drafts, events))
    level, last, met = np.repeat(one.there[None, :], drafts, axis=0), np.zeros(drafts), np.zeros(drafts, bool)
    dosed = np.zeros(drafts, bool)
    full = one.level[0]
    for k in range(events):
        level = level * _left(one, last, made.hour[:, k], met)
        level = level * (1.0 - made.share[:, k, None])
        lacks = np.clip(1.0 - level[:, 0] / full, 0.0, 1.0) if full > 0 else np.zeros(drafts)
        kept = np.where(made.share[:, k] > 0, made.share[:, k], lacks)
        part = np.where(
            made.part[:, k] < 1.0, made.part[:, k], np.where(keeps & dosed, np.minimum(kept, lacks), lacks)
        )
        factor = np.where(made.dose[:, k] > 0, part, 0.0)
        factor = np.where((made.dose[:, k] == 2) & ~dosed & (made.part[:, k] == 1.0), 1.0, factor)
        given[:, k] = factor
        level = level + (factor * full)[:, None]
        met |= dosed & (factor > 0)
        dosed |= factor > 0
        last = made.hour[:, k]
    return given


def screen(made: Sheet, factor: Array, actives: tuple[Active, ...], weights: Array, by_h: float) -> Screened:
    """Peak and hours at work of every draft, with common draws.

    Parameters
    ----------
    made : Sheet
        Drafts × events.
    factor : array
        What is put in at each event, as a share of a full dose.
    actives : tuple of Active
        What a full dose holds.
    weights : array
        Of the draws.
    by_h : float
        Hours that count, from the start.
    """
    drafts = len(made.hour)
    passed = np.zeros((drafts, weights.size), bool)
    work = np.full(drafts, np.inf)
    for one in actives:
        peak, hours = _run(made, factor, one, by_h)
        passed |= peak > one.line * (1.0 + 1e-9)
        if not np.isnan(one.works):
            work = np.minimum(work, hours @ weights)
    return Screened(factor, passed @ weights, np.where(np.isinf(work), 0.0, work))


def _run(made: Sheet, factor: Array, one: Active, by_h: float) -> tuple[Array, Array]:
    """Peak, and hours at or over what works: drafts × draws."""
    drafts, events = made.hour.shape
    level = np.repeat(one.there[None, :], drafts, axis=0)
    peak, hours = level.copy(), np.zeros_like(level)
    last, met, dosed = np.zeros(drafts), np.zeros(drafts, bool), np.zeros(drafts, bool)
    for k in range(events + 1):
        at = made.hour[:, k] if k < events else made.end
        left = _left(one, last, at, met)
        hours += _at_work(level, left, np.minimum(at, by_h) - np.minimum(last, by_h), one.works)
        level = level * left
        if k == events:
            break
        level = level * (1.0 - made.share[:, k, None]) + factor[:, k, None] * one.level
        peak = np.maximum(peak, level)
        met |= dosed & (factor[:, k] > 0)
        dosed |= factor[:, k] > 0
        last = at
    return peak, hours


def _left(one: Active, since: Array, until: Array, met: Array) -> Array:
    """Share that is left between two hours: drafts × draws."""
    last = len(one.left) - 1
    a, b = (np.clip(np.rint(h).astype(int), 0, last) for h in (since, until))
    naive, used = one.left[b] / one.left[a], one.left_met[b] / one.left_met[a]
    shares: Array = np.where(met[:, None], used, naive)
    return shares


def _at_work(level: Array, left: Array, span_h: Array, works: float) -> Array:
    """Hours for which a level that falls evenly in its logarithm stays at or over what works."""
    if np.isnan(works):
        return np.zeros_like(level)
    rate = -np.log(np.maximum(left, TINY)) / np.maximum(span_h[:, None], TINY)
    with np.errstate(divide="ignore", invalid="ignore"):
        lasts = np.where(
            rate > TINY, np.log(np.maximum(level, TINY) / works) / np.maximum(rate, TINY), np.inf
        )
    hours: Array = np.where(level >= works * (1.0 - 1e-9), np.minimum(lasts, span_h[:, None]), 0.0)
    return np.maximum(hours, 0.0)
