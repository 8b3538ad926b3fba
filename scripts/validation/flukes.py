"""Flukes on single guppies: counts over days by rules that can be failed either way."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import msgspec
import numpy as np

from tankward.model.rows import Array

from .settings import Model, band
from .singles import LITRES, STRAINS, TAIL, by_fish, far, group, grown, held, living, rid, top, turned
from .verdict import Finding, Group, Picture, Told

WIDE, INNER = (0.80, 0.98), (0.35, 0.65)  # of the counts in the band of 90 %, in that of 50 %
TAILS = (0.025, 0.975)
TIMES = 1000  # that fish are drawn again
FEWEST = 3  # fish of which a mean is told
FIFTH = 2
SEED = 20260302
Each = Callable[[Array, Group], Array]


class Kind(msgspec.Struct, frozen=True):
    """A figure of single fish, of which the mean of a group is judged."""

    what: str
    each: Each
    digits: int = 2


def kinds(g: Group) -> tuple[Kind, ...]:
    """What is judged of the fish one by one."""
    return (
        Kind("living fish rid of them on day 5", rid(FIFTH)),
        Kind("living fish rid of them on the last day", rid(len(g.days) - 1)),
        Kind("growth of each fish's worms to day 9, 1/d", grown),
        Kind("day of the top of each fish", top, 1),
        Kind("growth of each fish's worms after day 11, 1/d", turned),
    )


def counts(model: Model, id_: str, strains: int = STRAINS) -> Told:
    """Counts of the living, and what became of each fish."""
    return told_of(group(model, id_, strains))


def told_of(g: Group) -> Told:
    """What a group says of the model that made its fish."""
    found = [_bands(g), _distance(g)]
    found += [f for kind in kinds(g) if (f := _among(g, kind))]
    dead = Kind("dead by the last day", lambda c, h: (c[..., -1] < 0) * 1.0)
    last = _among(g, dead)
    found += [msgspec.structs.replace(last, role="consistency")] if last else []
    bands = [(day, *band(living(g.made, n))) for n, day in enumerate(g.days)]
    points = [(day, float(c)) for n, day in enumerate(g.days) for c in living(g.seen, n)]
    return Told(
        id=g.id,
        setting=(
            f"{len(g.made)} groups of as many fish, with the lengths given ({TAIL:g} times the standard "
            f"length, by the curve of the guppy) and the first counts, each in {LITRES:g} L without a "
            "filter; worms of a group are of one strain, of any age. Of a mean over fish the central 95 % of "
            "such groups is told."
        ),
        findings=tuple(found),
        picture=Picture(x="day", y="worms on a fish", band=tuple(bands), points=tuple(points), log=True),
        group=g,
    )


def _bands(g: Group) -> Finding:
    wide, inner = (within(g, share) for share in (0.9, 0.5))
    n = int(np.isfinite(wide).sum())
    return Finding(
        what="counts in the bands of single fish: 80 to 98 % in that of 90 %, 35 to 65 % in that of 50 %",
        published=f"{n} counts",
        model=f"{np.nanmean(wide):.0%} and {np.nanmean(inner):.0%}",
        inside=right_wide(float(np.nanmean(wide)), float(np.nanmean(inner))),
        why=f"by fish drawn again {_again([wide])} and {_again([inner])}",
    )


def right_wide(wide: float, inner: float) -> bool:
    """Neither too narrow nor too wide."""
    return WIDE[0] <= wide <= WIDE[1] and INNER[0] <= inner <= INNER[1]


def within(g: Group, share: float) -> Array:
    """How much of each count lies in the middle share of the model's spread on its day: fish × days."""
    return by_fish(g, lambda day, c: held(living(g.made, day), c, share))


def distance(g: Group) -> Array:
    """Of each count from the model's spread."""
    return by_fish(g, lambda day, c: far(living(g.made, day), c))


def elsewhere(g: Group) -> Array:
    """Of each count from what the other groups counted on its day: the reference."""
    return by_fish(g, lambda day, c: far(living(g.others, day), c))


def _distance(g: Group) -> Finding:
    own, other = distance(g), elsewhere(g)
    return Finding(
        what="distance of the counts from the spread, below that from the counts of the other four groups",
        published=f"{np.nanmean(other):.2f} from the other groups",
        model=f"{np.nanmean(own):.2f}",
        inside=bool(np.nanmean(own) < np.nanmean(other)),
        why=f"difference by fish drawn again {_again([own - other], '.2f')}",
    )


def _again(figures: Sequence[Array], form: str = ".0%") -> str:
    """Central 95 % of a mean over counts, the fish drawn again and again with all their counts."""
    rng, drawn = np.random.default_rng(SEED), []
    sums = [(np.nansum(f, axis=1), np.isfinite(f).sum(axis=1)) for f in figures]
    for _ in range(TIMES):
        picks = [rng.integers(len(total), size=len(total)) for total, _ in sums]
        whole = sum(total[p].sum() for (total, _), p in zip(sums, picks, strict=True))
        drawn.append(whole / max(sum(n[p].sum() for (_, n), p in zip(sums, picks, strict=True)), 1))
    low, high = np.quantile(drawn, TAILS)
    return f"{low:{form}} to {high:{form}}"


def mean(each: Array) -> Array:
    """Over the fish of a group, where there are enough of them."""
    there = np.isfinite(each)
    n = there.sum(axis=-1)
    whole = np.where(there, each, 0.0).sum(axis=-1)
    return np.asarray(np.where(n >= FEWEST, whole / np.maximum(n, 1), np.nan))


def _among(g: Group, kind: Kind) -> Finding | None:
    """Where the mean of the fish seen lies among the means of groups that the model makes."""
    seen, made = float(mean(kind.each(g.seen, g))), mean(kind.each(g.made, g))
    if not np.isfinite(seen):
        return None
    low, high = np.quantile(made[np.isfinite(made)], TAILS)
    fish = int(np.isfinite(kind.each(g.seen, g)).sum())
    side = "more" if low > seen else "less" if high < seen else ""
    return Finding(
        what=kind.what,
        published=f"{seen:.{kind.digits}f}, mean of {fish} fish",
        model=f"{low:.{kind.digits}f} to {high:.{kind.digits}f} in groups of as many",
        inside=bool(low <= seen <= high),
        why=f"the model has {side}" if side else "",
    )


class Rule(msgspec.Struct, frozen=True):
    """One rule on all five groups as one."""

    what: str
    seen: str
    told: str
    kept: bool


def as_one(groups: Sequence[Group], *, ranges: bool = True) -> list[Rule]:
    """The same rules on five groups together."""
    parts = [(within(g, 0.9), within(g, 0.5), distance(g), elsewhere(g)) for g in groups]
    flat = [np.concatenate([p[k].ravel() for p in parts]) for k in range(4)]
    wide, inner, own, other = (float(np.nanmean(f)) for f in flat)
    spans = [_again([p[k] for p in parts]) if ranges else "" for k in (0, 1)]
    rules = [
        Rule(
            "in the bands of 90 and of 50 %",
            "80 to 98 and 35 to 65 % if right",
            f"{wide:.0%} ({spans[0]}) and {inner:.0%} ({spans[1]})",
            right_wide(wide, inner),
        ),
        Rule("distance", f"{other:.2f} from the other groups", f"{own:.2f}", own < other),
    ]
    rng = np.random.default_rng(SEED)
    for number, kind in enumerate(kinds(groups[0])):
        told = [kinds(g)[number] for g in groups]
        seen = float(np.nanmean([float(mean(k.each(g.seen, g))) for k, g in zip(told, groups, strict=True)]))
        made = [mean(k.each(g.made, g)) for k, g in zip(told, groups, strict=True)]
        told_of_all = [m[np.isfinite(m)] for m in made]
        drawn = [m[rng.integers(m.size, size=TIMES)] for m in told_of_all if m.size]
        fives = np.mean(drawn, axis=0)
        low, high = np.quantile(fives, TAILS)
        d = kind.digits
        rules.append(
            Rule(kind.what, f"{seen:.{d}f}", f"{low:.{d}f} to {high:.{d}f}", bool(low <= seen <= high))
        )
    return rules


def taken(groups: Sequence[Group], strain: int) -> list[Group]:
    """Five groups as the model itself makes them, in place of those that were counted."""
    made = [g.made[(strain + 17 * n) % len(g.made)] for n, g in enumerate(groups)]
    return [
        msgspec.structs.replace(
            g, seen=made[n], others=np.concatenate([m for k, m in enumerate(made) if k != n])
        )
        for n, g in enumerate(groups)
    ]


def judged_by(groups: Sequence[Group], counted: Sequence[Group]) -> list[Group]:
    """What one model says of counts that are another's."""
    return [
        msgspec.structs.replace(g, seen=c.seen, others=c.others) for g, c in zip(groups, counted, strict=True)
    ]


def on_the_band(groups: Sequence[Group]) -> float:
    """The older rule: share of the counts in the band of 90 % or on its edge."""

    def of(g: Group) -> Array:
        def on(day: int, counted: Array) -> Array:
            low, _, high = band(living(g.made, day))
            return ((counted >= low) & (counted <= high)) * 1.0

        return by_fish(g, on).ravel()

    return float(np.nanmean(np.concatenate([of(g) for g in groups])))
