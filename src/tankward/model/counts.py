"""What a look can tell of an organism: how likely is a count, in each draw.

A fish shows a sign by what it carries: half of the fish do at `sign_half` a gram (Hill `sign_hill`),
averaged over a gamma distribution of the burdens (shape `aggregation`). A look finds `look_finds` of them,
and some show it for another reason (`p_background` of the sign). An illness that is counted in fish is seen
on `seen_eye` of the fish in each of its stages. What a keeper misses once is missed again: these are drawn
once for a tank, not anew for each look. The fish of one look are alike, so heads are beta-binomial; parasites
counted on single fish are negative binomial, and so are deaths, which have other causes too.
"""

from __future__ import annotations

from datetime import datetime

import msgspec
import numpy as np

from tankward.knowledge import rules
from tankward.knowledge.beliefs import drawn, of_span
from tankward.knowledge.known import Facts
from tankward.knowledge.temperature import parameters
from tankward.quantities.faults import BadInput

from .lives.columns import shares
from .lives.tables import HOSTED
from .organisms import Life, fish_number
from .rows import Array

LEAST = 1e-9
REACH = 30.0  # times the load at which half of the fish show it: more than that no count can tell
EDGE = 1e-6  # no chance is nought or one
MOST = 2000  # fish or parasites: above it the share of them is counted


class Heads(msgspec.Struct, frozen=True, kw_only=True):
    """Between `low` and `high` of so many fish show a sign, by one look. `counted`: it gave a number."""

    at: datetime
    sign: str
    low: int
    high: int
    of: int
    counted: bool = True


class OnFish(msgspec.Struct, frozen=True, kw_only=True):
    """So many parasites were counted on so many fish together."""

    at: datetime
    sign: str
    number: int
    of: int

    @property
    def low(self) -> int:
        """As many at least."""
        return self.number

    @property
    def counted(self) -> bool:
        """It is a number."""
        return True


class Deaths(msgspec.Struct, frozen=True, kw_only=True):
    """So many were found dead between two instants."""

    since: datetime
    at: datetime
    number: int


Told = Heads | OnFish


def heads(
    at: datetime, sign: str, low: float, high: float, of: float, *, counted: bool = True
) -> Heads | None:
    """Heads that were counted; None where there was nobody to look at.

    Raises
    ------
    BadInput
        If there are fewer than none, or more than were looked at.
    """
    if not (np.isfinite([low, high, of]).all() and 0 <= low <= high):
        raise BadInput("counts", f"{sign} {low:g}", "is no number of fish. Write 0 or more.")
    if of < 1:
        return None
    if high > of:
        raise BadInput("counts", f"{sign} {high:g}", f"is more than the {of:g} that were looked at.")
    times = min(1.0, MOST / of)
    return Heads(
        at=at, sign=sign, low=round(low * times), high=round(high * times), of=round(of * times),
        counted=counted,
    )  # fmt: skip


def parasites(at: datetime, sign: str, number: float, of: float) -> OnFish | None:
    """Parasites that were counted on so many fish; None where there was none to look at.

    Raises
    ------
    BadInput
        If there are fewer than none.
    """
    if not (np.isfinite([number, of]).all() and number >= 0):
        raise BadInput("parasites", f"{sign} {number:g}", "is no number of parasites. Write 0 or more.")
    if of < 1:
        return None
    return OnFish(
        at=at,
        sign=sign,
        number=round(min(number, MOST)),
        of=max(round(of * min(1.0, MOST / max(number, 1.0))), 1),
    )


class Eyes(msgspec.Struct, frozen=True, kw_only=True):
    """How a keeper sees one organism: numbers of each draw."""

    finds: Array
    alike: Array
    half: dict[str, Array]  # by sign [1/g, 1/L where it lives free]
    elsewhere: dict[str, Array]  # share of the fish that show the sign for another reason
    by_stage: dict[str, Array]  # of what is in this stage a keeper sees so much
    nodes: Array  # burdens of eighths of the fish over their mean; none where fish are not harmed by number
    size: Array  # of the negative binomial of parasites over fish
    dead_found: Array
    dead_otherwise: Array
    dead_size: float  # of the negative binomial of deaths
    early: float  # the low end of `start` times this, where a keeper counts


def eyes_of(life: Life, facts: Facts) -> Eyes:
    """How an organism is seen."""
    n, draws = life.numbers, life.draws
    u_half, u_else = shares("sign_half", draws), shares("sign_elsewhere", draws)
    known = parameters(life.organism)
    signs = [sign for name, _, sign in known if name == "sign_half"]
    here = [s.id for s in life.organism.stage if n.has("seen_eye", s.id)]
    return Eyes(
        finds=drawn(facts.conversion["look_finds"], shares("look_finds", draws)),
        alike=drawn(facts.conversion["look_alike"], shares("look_alike", draws)),
        half={sign: known["sign_half", "", sign].draw(u_half, 0.0, 1.0) for sign in signs},
        elsewhere={s: of_span(*facts.signs[s].p_background, "1").draw(u_else) for s in signs},
        by_stage={stage: n.of("seen_eye", stage) for stage in here},
        nodes=life.harm.share,
        size=n.of("aggregation") if n.has("aggregation") else np.ones(draws),
        dead_found=drawn(facts.conversion["dead_found"], shares("dead_found", draws)),
        dead_otherwise=drawn(facts.conversion["dead_otherwise"], shares("dead_otherwise", draws)),
        dead_size=facts.conversion["dead_size"].low,
        early=facts.conversion["start_early"].low,
    )


def carried(life: Life, eyes: Eyes, y: Array, *, single: bool = False) -> Array:
    """What a look looks for: parasites on a gram of fish, in a litre, or the share of fish seen ill. [1/g]

    `single`: those that can be seen on one fish. [1/fish]
    """
    rows = life.gathered.rows
    if life.organism.host == "none":
        return np.asarray(y[life.gathered.of_stage(life.organism.stage[0].id)].sum(0) / life.herd.volume_l)
    alive = np.maximum(fish_number(life, y), LEAST)
    if life.table.harms and not single:
        return np.asarray(y[life.table.hosted].sum(axis=0) / (alive * life.herd.fish_g))
    seen = sum(
        eyes.by_stage[row.stage] * y[r]
        for r, row in enumerate(rows)
        if row.place in HOSTED and row.stage in eyes.by_stage
    )
    return np.asarray(seen / alive if single else np.clip(seen / alive, 0.0, 1.0))


def shows(life: Life, eyes: Eyes, load: Array, sign: str) -> Array:
    """Chance that a look counts one fish as showing a sign, by what is carried (... × draws). [-]"""
    if life.organism.host == "none" or life.table.harms:
        power = (_spread(eyes, np.maximum(load, 0.0)) / eyes.half[sign]) ** rules.figure("sign_hill")
        seen = eyes.finds * (power / (1.0 + power)).mean(axis=0)
    else:
        seen = np.clip(load, 0.0, 1.0)
    elsewhere = eyes.elsewhere[sign]
    return np.asarray(np.clip(elsewhere + (1.0 - elsewhere) * seen, EDGE, 1.0 - EDGE))


def _spread(eyes: Eyes, load: Array) -> Array:
    """What each eighth of the fish carries; eighths × the rest."""
    if not eyes.nodes.size:
        return load[None]
    return np.asarray(load[None] * eyes.nodes.reshape(len(eyes.nodes), *(1,) * (load.ndim - 1), -1))


def log_likely(life: Life, eyes: Eyes, told: Told, load: Array) -> Array:
    """Logarithm of the chance of what a look told, by what is carried (... × draws)."""
    if isinstance(told, OnFish):
        return log_parasites(told.number, np.maximum(load, EDGE) * told.of, eyes.size * told.of)
    return log_heads(told, shows(life, eyes, load, told.sign), eyes.alike)


def log_heads(told: Heads, chance: Array, alike: Array) -> Array:
    """Of beta-binomial heads."""
    if told.low == told.high:
        return log_beta_binomial(told.low, told.of, chance, alike)
    rows = [log_beta_binomial(k, told.of, chance, alike) for k in range(told.low, told.high + 1)]
    most = np.max(rows, axis=0)
    return np.asarray(most + np.log(sum(np.exp(r - most) for r in rows)))


def log_beta_binomial(number: int, of: int, chance: Array, alike: Array) -> Array:
    """Logarithm of the chance that so many of so many show it.

    Parameters
    ----------
    number, of : int
        Heads, 0 to `of`.
    chance : array
        Of one head. [0 to 1]
    alike : array
        Correlation of two heads of one look. [0 to 1]
    """
    total = 1.0 / alike - 1.0
    yes, no = chance * total, (1.0 - chance) * total
    out = np.full(np.broadcast_shapes(chance.shape, alike.shape), log_choose(of, number))
    for i in range(number):
        out = out + np.log((yes + i) / (total + i))
    for i in range(of - number):
        out = out + np.log((no + i) / (total + number + i))
    return np.asarray(out)


def log_parasites(number: int, mean: Array, size: Array) -> Array:
    """Logarithm of the chance of a count, negative binomial about its mean.

    Parameters
    ----------
    number : int
        Counted.
    mean : array
        Expected. [-]
    size : array
        Its size; the smaller, the more it scatters. [-]
    """
    share = mean / (mean + size)
    out = size * np.log1p(-share) + number * np.log(share)
    for i in range(number):
        out = out + np.log((size + i) / (i + 1.0))
    return np.asarray(out)


def deaths_expected(of_it: Array, fish_days: Array, eyes: Eyes) -> tuple[Array, Array]:
    """Mean and size of the deaths that are found, `of_it` of them by the organism."""
    mean = eyes.dead_found * (np.maximum(of_it, 0.0) + eyes.dead_otherwise * fish_days)
    return np.maximum(mean, EDGE), np.full(mean.shape, eyes.dead_size)


def log_choose(of: int, number: int) -> float:
    """Logarithm of of! / (number! (of − number)!)."""
    few = min(number, of - number)
    return float(np.log((of - few + 1.0 + np.arange(few)) / (1.0 + np.arange(few))).sum())


def tails(life: Life, eyes: Eyes, told: Told, load: Array) -> tuple[Array, Array]:
    """In each draw the chance of what was told or more, and of that or less. [-]"""
    if isinstance(told, OnFish):
        mean, size = np.maximum(load, EDGE) * told.of, eyes.size * told.of
        upto = [np.exp(log_parasites(k, mean, size)) for k in range(told.number + 1)]
        return 1.0 - sum(upto[:-1], np.zeros(mean.shape)), np.asarray(sum(upto))
    chance = shows(life, eyes, load, told.sign)
    each = [np.exp(log_beta_binomial(k, told.of, chance, eyes.alike)) for k in range(told.of + 1)]
    return np.asarray(sum(each[told.low :])), np.asarray(sum(each[: told.high + 1]))


def speaks_of(life: Life, eyes: Eyes, told: Told) -> Array:
    """What a count by itself says of one fish in each draw, as the series of its place has it."""
    if isinstance(told, OnFish):
        seen = np.max(list(eyes.by_stage.values()), axis=0)
        return np.asarray(max(told.number, 0.5) / told.of / np.maximum(seen, EDGE))
    share = np.clip(told.low / told.of, 0.5 / told.of, 1.0 - 0.5 / told.of)
    if life.organism.host != "none" and not life.table.harms:
        seen = np.max(list(eyes.by_stage.values()), axis=0)
        return np.asarray(np.minimum(share / np.maximum(seen, EDGE), 1.0))
    load = np.geomspace(1e-3, REACH, 97)[:, None] * eyes.half[told.sign]
    chance = shows(life, eyes, load, told.sign)
    found = [np.interp(share, chance[:, d], load[:, d]) for d in range(life.draws)]
    return np.asarray(found * (life.herd.fish_g if life.table.harms else np.ones(life.draws)))
