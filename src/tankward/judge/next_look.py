"""The next look: which sign or test would tell most, for each minute it takes and what it costs the
animals.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from typing import Literal

import msgspec
import numpy as np

from tankward.knowledge.known import Facts

from .draws import Array
from .evidence import SHARE_SIGNS, Evidence, fair
from .inference import Posterior, posterior
from .network import UNLISTED, Network
from .observing import Column, observed, sign_column, test_column

Harm = Literal["none", "a little", "one fish", "only a dead fish", "a day lost"]

# Minutes and harm of a look by what it costs; the costs are the words of the facts (common-practice).
COST: dict[str, tuple[float, Harm]] = {
    "seconds": (1.0, "none"),
    "minutes": (10.0, "none"),
    "torch": (25.0, "none"),
    "lens": (10.0, "none"),
    "microscope": (30.0, "a little"),
    "necropsy": (60.0, "only a dead fish"),
    "calendar": (5.0, "none"),
    "records": (10.0, "none"),
}
# What harm, and what has to be there, weigh in minutes of the keeper [our own choice].
HARM_MIN: dict[Harm, float] = {
    "none": 0.0, "a little": 15.0, "one fish": 240.0, "only a dead fish": 0.0, "a day lost": 60.0,
}  # fmt: skip
TOOL_MIN = {"microscope": 15.0, "necropsy": 15.0}
DEAD_SAMPLES = ("gut", "muscle", "gills")  # no keeper takes them of a live fish
HARMLESS = ("faeces",)
SIGN_MINUTES = 3.0  # to look for one sign from the side (common-practice)
ZONE_MINUTES = {"gills": 10.0, "vent": 25.0}  # gills by torch, the vent of five resting fish
FRESHLY_DEAD = ("corpse", "dead fish", "death", "necropsy")


class NextLook(msgspec.Struct, frozen=True, kw_only=True):
    """A look, what it takes, and how much it would tell."""

    id: str
    what: str  # the sign in plain words, or the name of the test
    how: str
    minutes: float
    harm: Harm
    gain: float  # bits on which causes are at work
    gain_per_minute: float  # harm and tools counted as minutes
    about: tuple[str, ...] = ()  # causes it would move most
    sample: str = ""  # what is put on the slide or opened
    tool_min: float = 0.0  # for a microscope, a board and blade


def next_look(
    evidence: Evidence, net: Network, facts: Facts, *, most: int = 5, dead_at_hand: bool = False
) -> tuple[NextLook, ...]:
    """Looks not yet done, by what each minute of them would tell.

    Parameters
    ----------
    evidence : Evidence
        What is known.
    net : Network
        The causes.
    facts : Facts
        Names of signs and how to look.
    most : int
        How many to return.
    dead_at_hand : bool
        Whether a fresh dead fish can be opened.

    Returns
    -------
    tuple of NextLook
        Best first. What only a laboratory, a veterinarian or weeks can tell is not among them.

    Notes
    -----
    The gain is the mutual information of the look's result and the set of causes at work: the entropy of the
    result less its mean entropy given the causes, averaged over 32 of the 256 draws.
    """
    evidence = fair(evidence)
    after = on_few_draws(evidence, net)
    looks = [*signs_left(evidence, net, facts), *_tests(evidence, net, dead_at_hand)]
    found = [rated(look, column, after, net) for look, column in looks]
    return tuple(sorted(found, key=lambda x: (-x.gain_per_minute, x.id))[:most])


LONG_MINUTES = 10.0  # over this a look takes its time
WORTH_ITS_TIME = 0.5  # share of the most telling look's gain from which a long one is named too
PLACE_OF_LONG = 2  # third: after two that take little


def deciding(
    looks: Sequence[NextLook], *, against: Collection[str] = (), most: int = 5
) -> tuple[NextLook, ...]:
    """The first looks, and third among them the one that decides.

    Parameters
    ----------
    looks : sequence of NextLook
        All of them, by what a minute tells.
    against : collection of str
        Signs that speak against a cause that is likely: gold dust, where white spot is. Seen, one would
        change the plan, so the most telling of them stands third.
    most : int
        How many to return.

    Returns
    -------
    tuple of NextLook
        Where no cause is likely: by the minute the vent of five resting fish never comes first; it is what
        parts worms from the rest.
        A long look that costs the animals nothing stands third if it tells at least half of what the most
        telling one does. Only a sign: it can be answered where it is asked.
    """
    first = list(looks[:most])
    third = max((x for x in looks if x.id in against), key=lambda x: x.gain, default=None) or _longer(looks)
    if third is None or third in first[: PLACE_OF_LONG + 1]:
        return tuple(first)
    rest = [x for x in first if x is not third]
    return (*rest[:PLACE_OF_LONG], third, *rest[PLACE_OF_LONG:])[:most]


def _longer(looks: Sequence[NextLook]) -> NextLook | None:
    signs = [x for x in looks if x.minutes > LONG_MINUTES and x.harm == "none" and ":" not in x.id]
    longer = max(signs, key=lambda x: x.gain, default=None)
    enough = longer is not None and longer.gain >= WORTH_ITS_TIME * max(x.gain for x in looks)
    return longer if enough else None


EVERY = 8  # every eighth draw is enough to order the looks


def on_few_draws(evidence: Evidence, net: Network) -> Posterior:
    """Chances on every eighth draw: enough to order the looks."""
    few = observed(evidence, net).of(slice(None, None, EVERY))
    return thinned(posterior(few), every=1)


def thinned(after: Posterior, every: int = EVERY) -> Posterior:
    """Every eighth draw, given that no more than two causes are at work: a third hardly changes the order."""
    none, one, two = after.none[::every], after.one[::every], after.two[::every]
    total = none + one.sum(axis=1) + two.sum(axis=(1, 2))
    return Posterior(
        none=none / total,
        one=one / total[:, None],
        two=two / total[:, None, None],
        three=np.zeros_like(one),
    )


def signs_left(evidence: Evidence, net: Network, facts: Facts) -> Iterator[tuple[NextLook, Column]]:
    """Signs that were neither seen nor looked for in vain, each with what it would say."""
    done = {*evidence.seen, *evidence.absent, *SHARE_SIGNS}
    for sign in net.leak:
        if sign not in done:
            known = facts.signs[sign]
            minutes = ZONE_MINUTES.get(known.zone, SIGN_MINUTES)
            yield _look(sign, known.plain, known.look, minutes, "none"), sign_column(net, sign)


def _tests(evidence: Evidence, net: Network, dead: bool) -> Iterator[tuple[NextLook, Column]]:
    done = {(t.cause, t.test) for t in evidence.tests}
    known = {*evidence.seen, *evidence.absent, *(h.context for h in evidence.happened)}
    for cause in net.causes:
        for test in cause.tests:
            cost = COST.get(test.cost)
            needs_dead = test.sample in DEAD_SAMPLES or any(word in test.name for word in FRESHLY_DEAD)
            told = test.same_as in known or (test.same_as in net.leak and test.cost == "seconds")
            if cost is None or told or (cause.id, test.name) in done or (needs_dead and not dead):
                continue
            harm: Harm = "only a dead fish" if needs_dead else "none" if test.sample in HARMLESS else cost[1]
            look = _look(f"{cause.id}:{test.name}", test.name, "", cost[0], harm)
            tool_min = TOOL_MIN.get(test.cost, 0.0)
            look = msgspec.structs.replace(look, sample=test.sample, tool_min=tool_min)
            yield look, test_column(net, cause.id, test.name, "")


def _look(ident: str, what: str, how: str, minutes: float, harm: Harm) -> NextLook:
    return NextLook(id=ident, what=what, how=how, minutes=minutes, harm=harm, gain=0.0, gain_per_minute=0.0)


def burden_min(minutes: float, harm: Harm, tool_min: float = 0.0) -> float:
    """What a look takes: its time, what must be there for it, and its harm, all as minutes. [min]"""
    return minutes + HARM_MIN[harm] + tool_min


def rated(look: NextLook, column: Column, after: Posterior, net: Network) -> NextLook:
    """The same look with what it would tell."""
    miss, leak = column[0][::EVERY], column[1][::EVERY]
    gain = information(after, miss, leak)
    return msgspec.structs.replace(
        look,
        gain=gain,
        gain_per_minute=gain / burden_min(look.minutes, look.harm, look.tool_min),
        about=_about(after, miss, net),
    )


def information(after: Posterior, miss: Array, leak: Array) -> float:
    """Mutual information of a look and the causes at work. [bit]"""
    quiet = 1.0 - leak
    none, one = 1.0 - quiet, 1.0 - quiet[:, None] * miss
    two = 1.0 - (quiet[:, None] * miss)[:, :, None] * miss[:, None, :]
    seen = after.none * none + (after.one * one).sum(axis=1) + (after.two * two).sum(axis=(1, 2))
    given = after.none * _entropy(none) + (after.one * _entropy(one)).sum(axis=1)
    given = given + (after.two * _entropy(two)).sum(axis=(1, 2))
    return max(float(np.mean(_entropy(seen) - given)), 0.0)


def _entropy(p: Array) -> Array:
    q = np.clip(p, 1e-12, 1.0 - 1e-12)
    return np.asarray(-q * np.log2(q) - (1.0 - q) * np.log2(1.0 - q))


def _about(after: Posterior, miss: Array, net: Network) -> tuple[str, ...]:
    """The causes with most to gain or lose by the look: likely ones that show it most."""
    weight = (after.each * (1.0 - miss)).mean(axis=0)
    best = np.argsort(-weight)[:3]
    ids = (*net.ids, UNLISTED)
    return tuple(ids[i] for i in best if weight[i] > 0.0 and ids[i] != UNLISTED)
