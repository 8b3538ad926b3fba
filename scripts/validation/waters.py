"""New filters, and what of its food a fish gives off."""

from __future__ import annotations

from datetime import UTC, datetime

import numpy as np

from tankward.knowledge.losing import PROCESSES, at_level, filter_factor, loss_rates
from tankward.model.known import row, substance_rows
from tankward.model.living import REFERENCE_G, Living
from tankward.model.record import Record
from tankward.model.setup import Setup
from tankward.model.simulate import simulate
from tankward.quantities.parse import Estimate
from tankward.water.animals import MASS_EXPONENT

from .settings import DRAWS, Model, band, even, holds, shown
from .verdict import Finding, Picture, Told, experiments

START = datetime(2026, 3, 1, 8, tzinfo=UTC)
DAYS = 49
PASSED = 0.25  # of its top: so low it counts as removed
_kept: dict[int, Record] = {}


def _new_filter(model: Model) -> Record:
    """A bare new tank with fish from the first day."""
    if id(model.facts) not in _kept:
        breath = 20.0 * (1.0 / REFERENCE_G) ** MASS_EXPONENT
        setup = Setup(
            volume_l=Estimate.exact(60.0),
            temp_c=Estimate.exact(25.0),
            ph=Estimate.exact(7.4),
            filter="sponge",
            air=True,
            filter_age_d=0.0,
            living=Living(mass_g=Estimate.exact(20.0), breath_50g=Estimate.exact(breath)),
        )
        _kept[id(model.facts)] = simulate(setup, (), model.facts, start=START, hours=24 * DAYS, draws=DRAWS)
    return _kept[id(model.facts)]


def _tops(record: Record) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Day of the top of ammonia and of nitrite, day at which both are low again; the last day: not yet."""
    days = np.array(record.times_h) / 24.0
    tan, nitrite = (record.levels(name).astype(float) for name in ("ammonia_n", "nitrite_n"))
    high = (tan > PASSED * tan.max(axis=0)) | (nitrite > PASSED * nitrite.max(axis=0))
    whole = days[len(days) - 1 - high[::-1].argmax(axis=0)]
    return days[tan.argmax(axis=0)], days[nitrite.argmax(axis=0)], whole


def start_up(model: Model) -> Told:
    """How long a new filter takes."""
    told, record = experiments()["filter_start_up"], _new_filter(model)
    tan, nitrite, whole = _tops(record)
    spans = (
        ("ammonia at its top, day", tan, told["ammonia_peak_d"]),
        ("nitrite at its top, day", nitrite, told["nitrite_peak_d"]),
    )
    findings = [_within(what, values, span) for what, values, span in spans]
    weeks = [7.0 * w for w in told["whole_weeks"]]
    findings.append(_within("both low again, day", whole, weeks))
    findings.append(
        Finding(
            what="nitrite later than ammonia",
            published="yes",
            model=f"in {(nitrite > tan).mean():.2f} of the draws",
            inside=bool((nitrite > tan).mean() > 0.95),
        )
    )
    at = [n for n, h in enumerate(record.times_h) if h % 24 == 0]
    return Told(
        id="filter_start_up",
        setting="60 L, 20 g of fish from the first day, usual feeding, sponge filter, 25 °C, pH 7.4.",
        findings=tuple(findings),
        picture=Picture(
            x="day",
            y="ammonia, mg/L N",
            band=tuple(
                (record.times_h[n] / 24.0, *band(record.levels("ammonia_n")[n].astype(float))) for n in at
            ),
            points=(),
        ),
    )


def _within(what: str, values: np.ndarray, span: list[float]) -> Finding:
    """Most draws fall into the published span: its middle one does."""
    middle = float(np.median(values))
    inside = span[0] <= middle <= span[1]
    side = "" if inside else "sooner" if middle < span[0] else "later"
    return Finding(
        what=what,
        published=f"{span[0]:g} to {span[1]:g}",
        model=f"{shown(values)}, half by {middle:.0f}",
        inside=inside,
        why=f"the model is {side}" if side else "",
    )


def carp(model: Model) -> Told:
    """A filter that starts with fish: only the order of things, as amounts and warmth were cut off."""
    record = _new_filter(model)
    tan, nitrite = (record.levels(name).astype(float) for name in ("ammonia_n", "nitrite_n"))
    on_top, at_top, _ = _tops(record)
    days = np.array(record.times_h) / 24.0
    high = tan > 0.8 * tan.max(axis=0)
    flat = days[len(days) - 1 - high[::-1].argmax(axis=0)] - days[high.argmax(axis=0)]
    return Told(
        id="filter_start_up_carp",
        setting="The tank of the row above; the source's amounts and warmth are not known.",
        findings=(
            Finding(
                what="days for which ammonia stays near its top",
                published="about 10",
                model=shown(flat),
                inside=holds(flat, 10.0),
            ),
            Finding(
                what="nitrite at its top after ammonia",
                published="yes",
                model=f"in {(at_top > on_top).mean():.2f} of the draws",
                inside=bool((at_top > on_top).mean() > 0.95),
            ),
            Finding(
                what="top of nitrite over top of ammonia",
                published="3.9 or more",
                model=shown(nitrite.max(axis=0) / tan.max(axis=0)),
                inside=band(nitrite.max(axis=0) / tan.max(axis=0))[2] >= 3.9,
            ),
        ),
    )


def flounder(model: Model) -> Told:
    """Share of the nitrogen eaten that comes out as ammonia within a day."""
    ends, nitrogen = row(model.facts, "tan_per_protein"), row(model.facts, "protein_nitrogen")
    share = even(ends.low, ends.high) / nitrogen.low
    seen = experiments()["ammonia_flounder_share"]["ammonia_share_24h"]
    return Told(
        id="ammonia_flounder_share",
        setting="The share alone: meals are spread over the day, so their hours are not told.",
        findings=(
            Finding(
                what="share of the nitrogen eaten that is given off as ammonia in a day",
                published=f"{seen[1]} and {seen[0]}",
                model=shown(share),
                inside=all(holds(share, s) for s in seen),
                why="these young sea fish grew on one meal and were watched for a day; sea bream gave off "
                "0.30, and the facts have fish that are fed day after day: more ammonia, never less",
            ),
        ),
    )


def adaptation(model: Model) -> Told:
    """How fast praziquantel goes the first time, and when the tank has met it."""
    told = experiments()["pzq_adaptation"]
    u = {name: even(0.0, 1.0, turn=turn) for turn, name in enumerate(PROCESSES, 1)}
    loss = model.facts.substances["praziquantel"].loss
    if loss is None:
        raise ValueError("praziquantel has no loss")
    rates = loss_rates(loss, u, 20.0)
    days = told["days_to_undetectable"]
    faster = (rates.dark + rates.filter_used) / (rates.dark + rates.filter_naive)
    sterile = 1.0 - np.exp(-rates.dark * 24.0 * 15.0)
    return Told(
        id="pzq_adaptation",
        setting=(
            "The losses as drawn at 20 °C, in the dark. What could still be detected is not told, so "
            "it is compared how many times as fast it goes, not the days."
        ),
        findings=(
            Finding(
                what="times as fast from the second dose on",
                published=f"{days[0] / days[1]:g}",
                model=shown(faster),
                inside=holds(faster, days[0] / days[1]),
            ),
            Finding(
                what="share lost in 15 d in sterile water",
                published="none",
                model=shown(sterile),
                inside=float(np.median(sterile)) < 0.1,
            ),
        ),
    )


def formaldehyde(model: Model) -> Told:
    """What one dose leaves of a filter."""
    told = experiments()["nitrification_formaldehyde"]
    known = substance_rows(model.facts, "formalin")
    usual, u = known.usual, {"formalin": even(0.0, 1.0)}
    if usual is None:
        raise ValueError("formalin has no usual level")
    factor = filter_factor(model.facts, "formalin", "filter", u)
    findings = []
    for mg_l, harmed in zip(told["setup"]["dose_mg_l_formaldehyde"], told["impaired"], strict=True):
        left = at_level(factor, mg_l / FORMALDEHYDE, usual)
        inside = (float(np.median(left)) < UNHARMED) == harmed
        findings.append(
            Finding(
                what=f"filter after {mg_l:g} mg/L of formaldehyde",
                published="impaired" if harmed else "not impaired",
                model=f"{shown(left)} of it works",
                inside=inside,
                why="" if inside else "an effect word counts in full from half the usual level on",
            )
        )
    return Told(
        id="nitrification_formaldehyde",
        setting=f"The effect word alone, at a usual level of {usual:.0f} µL/L of the solution.",
        findings=tuple(findings),
    )


FORMALDEHYDE = 0.37  # mg in a µL of the solution, by the convention of labels
UNHARMED = 0.9
