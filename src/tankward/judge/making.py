"""The ways in which a limit is made, in the order in which they are tried."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec.structs import replace

from .choices import (
    CAUTION_SHARE,
    HARM_SHARE,
    LC50_HOURS,
    LC50_OTHER_GROUP,
    LC50_OWN_GROUP,
    LC50_OWN_SPECIES,
    Choice,
)
from .figures import HARM, LC50, NO_EFFECT, Figure
from .inhabitant import Inhabitant
from .limit import Kind, Limit, Near
from .trials import Trial, passed

LIKE = {"shrimp": ("shrimp", "crustacean"), "crayfish": ("shrimp", "crustacean")}
YOUNG_STAGES = ("fry", "egg")
FACTORS: tuple[tuple[Near, Choice], ...] = (
    ("own species", LC50_OWN_SPECIES),
    ("own group", LC50_OWN_GROUP),
    ("another group", LC50_OTHER_GROUP),
)


def comparable(figure: Figure, one: Inhabitant) -> bool:
    """Figures of like animals at the same stage: of fish for fish, of crustaceans for shrimp."""
    stage = one.stage if one.stage in YOUNG_STAGES else ""
    return figure.kind in LIKE.get(one.kind, (one.kind,)) and figure.stage == stage


def near(figure: Figure, one: Inhabitant) -> Near:
    """How near the figure's animal is; a row that also names a group is a relative's."""
    if one.group and one.group in figure.applies_to:
        return "own group"
    if one.stock.kind and one.stock.kind in figure.applies_to:
        return "own species"
    return "another group"


def harmful(rows: Sequence[Figure], one: Inhabitant) -> list[Figure]:
    """Levels at which its species, its group or, of fry and eggs, any fish was seen harmed."""
    young = one.stage in YOUNG_STAGES
    return [f for f in rows if f.endpoint in HARM and (young or near(f, one) != "another group")]


def by_no_effect(bare: Limit, rows: Sequence[Figure], one: Inhabitant, hours: float) -> Limit | None:
    """The highest published level without effect of its own species, tested for at least so long."""
    fit = [f for f in rows if f.endpoint in NO_EFFECT and near(f, one) == "own species"]
    fit = [f for f in fit if (f.hours or 0.0) >= hours]
    if not fit or one.presumed:
        return None
    return _from(bare, max(fit, key=lambda f: f.level), "published-no-effect", "own species", 1.0)


def by_lc50(bare: Limit, rows: Sequence[Figure], one: Inhabitant) -> Limit | None:
    """A share of the 96 h LC50 of the nearest animal.

    Notes
    -----
    Of its own species or group the lowest counts. Of other groups the middle one does, at the smallest share;
    those below it stay on the screen.
    """
    deadly = [f for f in rows if f.endpoint in LC50 and (f.hours or 0.0) >= LC50_HOURS.value]
    full = sorted(deadly, key=lambda f: f.level)
    for nearness, factor in FACTORS:
        fit = [f for f in full if near(f, one) == nearness]
        if fit:
            fit = [f for f in fit if f.kind == one.kind] or fit
            chosen = fit[(len(fit) - 1) // 2] if nearness == "another group" else fit[0]
            made = _from(bare, chosen, "lc50-share", nearness, factor.value)
            lower = tuple(f for f in full if f.level < chosen.level)
            return replace(made, lc50=chosen.level, lower=lower)
    return None


def _from(bare: Limit, figure: Figure, kind: Kind, nearness: Near, factor: float) -> Limit:
    return replace(
        bare,
        level=figure.level * factor,
        kind=kind,
        near=nearness,
        factor=factor,
        hours=figure.hours,
        source=figure.source,
        status=figure.status,
    )


def by_class(bare: Limit) -> Limit:
    """No figure: its class, kept low. What nobody knows stays unknown: neither zero nor safe."""
    if bare.cls == "unknown" or bare.usual.highest is None:
        return bare
    return replace(bare, level=_share(bare, bare.usual.highest), kind="class")


def by_bath(bare: Limit, hours: float) -> Limit:
    """A timed bath: only one that was published, for no longer than it was published."""
    tested = [level for level, h in bare.usual.published if h is not None and hours <= h]
    if not tested or bare.cls == "unknown":
        return bare
    return replace(bare, level=_share(bare, max(tested)), kind="class", hours=hours)


def _share(bare: Limit, highest: float) -> float:
    """What a class stands for: all, half or none of the highest level recommended for the route."""
    if bare.cls == "ok":
        return highest
    if bare.cls != "caution":
        return 0.0
    # Half a temperature means nothing: where heat asks for care, the gentlest recommended is the limit.
    return (bare.usual.lowest or 0.0) if bare.unit == "C" else highest * CAUTION_SHARE.value


def capped(limit: Limit, harm: Sequence[Figure]) -> Limit:
    """Never above half of a level seen to harm, nor above the cap of its group; nothing where it
    must not be.
    """
    worst = min(harm, key=lambda f: f.level, default=None) if limit.unit != "C" else None
    caps = [limit.cap] if limit.cap is not None else []
    caps += [worst.level * HARM_SHARE.value] if worst else []
    caps += [0.0] if limit.cls in ("avoid", "lethal") and limit.kind_of != "plant" else []
    if not caps:
        return limit
    level = 0.0 if 0.0 in caps else None if limit.level is None else min(limit.level, *caps)
    kind: Kind = "class" if level == 0.0 and limit.kind == "unknown" else limit.kind
    return replace(limit, level=level, cap=min(caps), kind=kind, harmed_at=worst)


def by_trials(limit: Limit, trials: Sequence[Trial]) -> Limit:
    """A jar trial of these very animals narrows what nobody knew; it never lifts a refusal."""
    level = passed(trials, limit.part, limit.animal or limit.who)
    if level is None or limit.cap == 0.0:
        return limit
    if level == 0.0:
        return replace(limit, level=0.0, cap=0.0, kind="jar-trial", source="none", status="computed")
    if limit.level is not None and limit.level >= level:
        return replace(limit, tried=level)
    return replace(
        limit,
        level=level,
        tried=level,
        kind="jar-trial",
        near="own species",
        source="none",
        status="computed",
    )
