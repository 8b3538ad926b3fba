"""A label's own rule, judged: what it really gives in this water, where it climbs to, and who bears that."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Literal

import msgspec

from tankward.judge.ceilings import Ceil, ceiling
from tankward.judge.limit import Limit
from tankward.judge.packets import Packet, packet
from tankward.judge.verdicts import Verdict, judge_level, refused, warn_up_to
from tankward.knowledge.known import Facts
from tankward.quantities.faults import Reason
from tankward.quantities.parse import Estimate
from tankward.room.things import LabelRule, Supply

from .amounts.fading import peaks, tends_to
from .amounts.published import Published, beyond
from .label_parts import Dosed, Faded, base_share, dosed_published, dosed_unit, faded, per_unit, works_from
from .label_put_back import PutBack, put_back

DOSES_SHOWN = 4  # a label that names no end is followed so far [our own choice]
CLIMBS = 1.1  # a peak this much over the first dose is said to build up [our own choice]
Holds = Literal["yes", "no", "not known"]


class PartJudged(msgspec.Struct, frozen=True, kw_only=True):
    """One active of the label, in its own unit (mg/L; µL/L of formalin)."""

    substance: str
    form: str
    unit: str
    per_unit: float  # level that one packet makes
    per_dose: Estimate
    base_per_dose: float | None  # as the part without the salt, where the label names a salt
    lasting: tuple[float, ...]  # peaks if nothing fades
    fading: tuple[float, ...]  # peaks at its shorter half-life
    tends_lasting: float  # infinite where nothing is ever changed
    tends_fading: float
    kept: Faded
    published: Published | None
    dose_lies: str  # below, within, above, refused or "" where nothing is published
    peak_lies: str
    ceiling: Ceil
    verdicts: tuple[Verdict, ...]  # at the lasting peak, for each inhabitant

    @property
    def builds_up(self) -> bool:
        """Whether repeats climb over the first dose if it lasts."""
        return self.lasting[-1] > self.lasting[0] * CLIMBS


class LabelVerdict(msgspec.Struct, frozen=True, kw_only=True):
    """What following a label would do in this water. `known` is false where no active is named."""

    supply: str
    known: bool
    units: float | None  # packets of one dose
    by_label: float | None  # packets the label asks for in this water
    doses: int
    every_h: float | None
    change: float
    parts: tuple[PartJudged, ...] = ()
    put_back: PutBack | None = None
    holds_together: Holds = "yes"
    fixed_ratio: Packet | None = None
    refusals: tuple[Reason, ...] = ()


def units_by_label(rule: LabelRule | None, volume_l: float) -> float | None:
    """Packets (mL, scoops) that the label asks for in so much water; None where it names no litres."""
    if rule is None or not rule.per_volume_l:
        return None
    return rule.units * volume_l / rule.per_volume_l


def judge_label(
    supply: Supply,
    volume_l: Estimate,
    facts: Facts,
    *,
    half_lives: Mapping[str, tuple[float, float] | None] | None = None,
    temp_c: Estimate | None = None,
    light_h: float | None = None,
    limits: Sequence[Limit] = (),
    units: float | None = None,
    doses: int | None = None,
) -> LabelVerdict:
    """Judge a label's rule against this water, the published levels and those who live in it.

    Parameters
    ----------
    supply : Supply
        Actives and rule as typed in from the label.
    volume_l : Estimate
        The water. [L]
    facts : Facts
        Published levels, forms, ceilings.
    half_lives : mapping, optional
        Substance -> (shortest, longest) half-life in this tank, None for not known; those of the facts where
        left out. [h]
    temp_c : Estimate, optional
        Warmth of the water: most go faster in warm water. [°C]
    light_h : float, optional
        Hours of light a day: dyes go faster in it.
    limits : sequence of Limit
        Of judge.limits, for each inhabitant and each active.
    units : float, optional
        Packets of one dose; those of the label where left out.
    doses : int, optional
        How many; the label's most where left out, else four.

    Returns
    -------
    LabelVerdict
        Levels with and without loss, where they tend, what to put back, and refusals with what would change
        them.

    Notes
    -----
    Levels: units × mg ÷ L; peaks as in amounts.fading; judged at the peak if nothing fades, the safe side.
    Safety rules 5 (fixed ratio), 9 (fading apart), 16 (ceiling).
    """
    rule = supply.rule or LabelRule()
    by_label = units_by_label(supply.rule, volume_l.value)
    dose = by_label if units is None else units
    count = doses or rule.most_doses or DOSES_SHOWN
    change = rule.change_before or 0.0
    frame = LabelVerdict(
        supply=supply.id,
        known=bool(supply.actives),
        units=dose,
        by_label=by_label,
        doses=count if rule.repeat_after_h or rule.most_doses else 1,
        every_h=rule.repeat_after_h,
        change=change,
    )
    if not supply.actives:
        return msgspec.structs.replace(frame, refusals=(NO_ACTIVES,))
    if dose is None:
        return msgspec.structs.replace(frame, refusals=(NO_RULE,))
    known = faded(supply, facts, frame.every_h, half_lives, temp_c, light_h)
    return _judged(frame, supply, volume_l, facts, known, limits)


NO_ACTIVES = Reason(
    kind="no-actives",
    because="the label names no active ingredient: neither how strong it makes the water nor who bears it "
    "can be worked out",
    would_change="ask the maker what is in it and how much, and type that in",
)
NO_RULE = Reason(
    kind="no-rule",
    because="the label does not say how much goes into how much water",
    would_change="choose a published level instead, and have the amount worked out from its strength",
)


def _judged(
    frame: LabelVerdict,
    supply: Supply,
    volume: Estimate,
    facts: Facts,
    known: Mapping[str, Faded],
    limits: Sequence[Limit],
) -> LabelVerdict:
    dosed = per_unit(supply, facts)
    parts = tuple(_part(d, known[d.substance], frame, volume, facts, limits) for d in dosed)
    back = put_back(dosed, known, frame.units or 0.0, frame.change, volume.value)
    ratio = _fixed_ratio(dosed, volume.value, limits, facts, _standing_h(frame))
    return msgspec.structs.replace(
        frame,
        parts=parts,
        put_back=back,
        holds_together=back.holds_together,
        fixed_ratio=ratio,
        refusals=_refusals(parts, ratio),
    )


def _part(
    dosed: Dosed, kept: Faded, frame: LabelVerdict, volume: Estimate, facts: Facts, limits: Sequence[Limit]
) -> PartJudged:
    """One active: levels, peaks, and where they lie."""
    amount = dosed.amount * (frame.units or 0.0)
    level = Estimate(amount / volume.value, amount / volume.high, amount / volume.low)
    lasting = tuple(peaks(level.value, frame.change, frame.doses))
    span = dosed_published(dosed.substance, facts)
    mine = [x for x in limits if x.part == dosed.substance]
    top = lasting[-1]
    return PartJudged(
        substance=dosed.substance,
        form=dosed.form,
        unit=dosed_unit(dosed.substance, facts),
        per_unit=dosed.amount / volume.value,
        per_dose=level,
        base_per_dose=_base(dosed, level.value, facts),
        lasting=lasting,
        fading=tuple(peaks(level.value, frame.change, frame.doses, kept.low)),
        tends_lasting=tends_to(level.value, frame.change),
        tends_fading=tends_to(level.value, frame.change, kept.low),
        kept=kept,
        published=span,
        dose_lies="" if span is None else beyond(level.value, span),
        peak_lies="" if span is None else beyond(top, span),
        ceiling=ceiling(dosed.substance, top, facts),
        verdicts=judge_level(
            mine,
            top * level.low / level.value,
            top,
            top * level.high / level.value,
            _standing_h(frame),
            warn_up_to=warn_up_to(dosed.substance, facts),
        ),
    )


def _base(dosed: Dosed, level: float, facts: Facts) -> float | None:
    share = base_share(dosed.substance, dosed.form, facts)
    return None if share is None else level * share


def _standing_h(frame: LabelVerdict) -> float:
    """How long the water stays dosed: to the end of the last wait."""
    return (frame.every_h or DAY_H) * frame.doses


DAY_H = 24.0


def _fixed_ratio(
    dosed: Sequence[Dosed], volume_l: float, limits: Sequence[Limit], facts: Facts, hours: float
) -> Packet | None:
    """Whether some number of packets lets all parts work and harms nobody (rule 5); None for one active."""
    if len(dosed) < 2 or not limits:
        return None
    levels = {d.substance: d.amount / volume_l for d in dosed}
    return packet(levels, works_from(levels, facts), limits, hours, facts)


def _refusals(parts: Sequence[PartJudged], ratio: Packet | None) -> tuple[Reason, ...]:
    """Every reason not to follow the label here, the fixed ratio first."""
    found = [ratio.reason] if ratio is not None and ratio.reason is not None else []
    for part in parts:
        if part.ceiling.says == "refuse" and part.ceiling.reason is not None:
            found.append(part.ceiling.reason)
        if "refused" in (part.dose_lies, part.peak_lies) and part.published is not None:
            found.append(_over(part, part.published))
        found += refused(part.verdicts)
    return tuple(dict.fromkeys(found))


def _over(part: PartJudged, span: Published) -> Reason:
    top = max(part.per_dose.value, part.lasting[-1])
    return Reason(
        kind="over-published",
        because=f"it reaches {top / span.high:.2g} times the highest published level of "
        f"{part.substance.replace('_', ' ')} ({span.shown})",
        would_change="fewer packets, or water changed before each further dose",
        source=span.source,
        status=span.status,
    )
