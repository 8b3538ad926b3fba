"""Every published case report: what the list of causes says of it, and whether an option would harm."""

from __future__ import annotations

from itertools import pairwise

import msgspec
import numpy as np

from tankward.judge.causes import causes
from tankward.judge.findings import findings
from tankward.judge.next_look import next_look
from tankward.judge.waterstate import said_water
from tankward.quantities.parse import Estimate
from tankward.room.things import Reading, Stock
from tankward.treat.remedies.options import options

from .evidence import CASES, evidence_of
from .harm import harms
from .rivals import by_prior, log_score, naive

VOLUME_L, FISH = 60.0, 20
GOOD = {"ammonia_n": 0.0, "nitrite_n": 0.0, "ph": 7.4, "temp_c": 25.0, "oxygen": 7.5, "kh": 71.0}
REPORTED = {"ammonia_mg_l": "ammonia_n", "nitrite_mg_l": "nitrite_n", "ph": "ph", "temp_c": "temp_c"}
OTHERS = (("cherry_shrimp", 20), ("ramshorn", 6), ("java_moss", 1))
LIMITS = (0.0, 0.02, 0.05, 0.1, 0.2, 0.4, 0.7, 1.0)


class Told(msgspec.Struct, frozen=True, kw_only=True):
    """One case: where its confirmed cause stands in three lists, and what was offered."""

    id: str
    cause: str
    places: dict[str, int]
    scores: dict[str, float]
    acceptable_at: int
    first: str
    stated: dict[str, float]  # every cause with its chance
    right: frozenset[str]
    next_: str
    offered: int
    harm: tuple[str, ...]


def stock_of(case, facts, *, with_others):
    """The fish of the report: its species if it is among the facts, else one of its kind, else unknown."""
    named = {a.scientific: a.id for a in facts.animals.values()}
    kinds = [named[s] for s in case["species"] if s in named]
    tags = set(case["coded"]["host"])
    kinds = kinds or [a.id for a in facts.animals.values() if a.id in tags][:1]
    kinds = (
        kinds or [a.id for a in facts.animals.values() if a.kind == "fish" and tags & set(a.host_tags)][:1]
    )
    fish = [(kind, FISH // len(kinds)) for kind in kinds] or [("", FISH)]
    fish += [(k, n) for k, n in OTHERS if with_others and (k in facts.animals or k in facts.plants)]
    return tuple(
        Stock(
            id=f"s{n}",
            tank="reported",
            name=kind.replace("_", " ") or "fish",
            kind=kind,
            number=Estimate.exact(float(number)),
            length_cm=Estimate.exact(4.0 if n == 0 else 2.0),
        )
        for n, (kind, number) in enumerate(fish)
    )


def water_of(case, facts, stock):
    told = {REPORTED[k]: v for k, v in case["water"].items() if k in REPORTED and isinstance(v, int | float)}
    rows = [Reading(quantity=q, value=v) for q, v in (GOOD | told).items()]
    return said_water(rows, facts, stock, Estimate.exact(VOLUME_L))


def offers(case, ranking, facts):
    """Open options for the first three causes: in the tank as reported, and with shrimp, snails, moss."""
    still = [
        s for c in case["coded"]["context"] for s in c.get("substances", ()) if c.get("age_d", 99.0) <= 2.0
    ]
    still = [s for s in still if s in facts.substances]
    for with_others in (False, True):
        stock = stock_of(case, facts, with_others=with_others)
        water = water_of(case, facts, stock)
        found = options(
            [r.id for r in ranking.ranked[:3]],
            stock,
            facts,
            volume_l=Estimate.exact(VOLUME_L),
            water=water,
            findings=findings(water, facts),
            ranking=ranking,
            seen=case["signs_present"],
            still_in=dict.fromkeys(still, 1.0),
        )
        nh3 = case["water"].get("nh3_mg_l")
        for option in found.open:
            yield option, tuple(harms(option, stock, facts, nh3_n=nh3, still_in=still))


def tell(case, net, facts):
    """One case held against the three lists."""
    evidence = evidence_of(case, net)
    ranking = causes(evidence, net)
    confirmed = case["expected"]["top3"]
    right = frozenset({confirmed, *case["expected"]["also_acceptable"]})
    stated = {r.id: r.value for r in ranking.ranked}
    lists = {
        "ours": {name: v / sum(stated.values()) for name, v in stated.items()},
        "naive": naive(evidence, net),
        "prior": by_prior(net),
    }
    order = list(stated)
    offered = list(offers(case, ranking, facts))
    looks = next_look(evidence, net, facts, most=1, dead_at_hand=True)
    return Told(
        id=case["id"],
        cause=confirmed,
        places={name: list(chances).index(confirmed) + 1 for name, chances in lists.items()},
        scores={name: log_score(chances[confirmed]) for name, chances in lists.items()},
        acceptable_at=min(order.index(c) + 1 for c in right if c in order),
        first=order[0],
        stated=stated,
        right=right,
        next_=looks[0].what if looks else "",
        offered=len(offered),
        harm=tuple(dict.fromkeys(f"{o.id}: {word}" for o, words in offered for word in words)),
    )


def calibration(told):
    """Rows: from, to, how many statements, mean chance stated, share that was so."""
    pairs = [(v, name == t.cause) for t in told for name, v in t.stated.items()]
    stated, so = np.array([p for p, _ in pairs]), np.array([s for _, s in pairs])
    rows = []
    for low, high in pairwise(LIMITS):
        inside = (stated >= low) & ((stated < high) | (high == 1.0))
        if inside.any():
            rows.append(
                (low, high, int(inside.sum()), float(stated[inside].mean()), float(so[inside].mean()))
            )
    return rows


def all_told(net, facts):
    return [tell(case, net, facts) for case in CASES]


def share(told, name, most):
    return sum(t.places[name] <= most for t in told)


NAMES = {
    "ours": "the list as it is shown",
    "naive": "naive Bayes, signs alone",
    "prior": "how common each cause is",
}


TEXT = """# Does it name the cause, and would it have harmed?

This page is made by `make cases`: {n} published reports with a cause that a laboratory or a veterinarian
confirmed. What the report tells (signs, course, how many, whose kind, what went before, water) is given to
the list of causes as a keeper would give it; nothing was fitted to these reports. Many tell of one or two
signs and of no water: a plain eye cannot part what they have in common, and then the next look is the answer.

**The confirmed cause is among the first three in {third} of {n}; an acceptable one in {acceptable}.
Of {offered} options offered, {harmed} would have harmed by the rules below.**

| list | first | first three | first five | log score, lower is better |
| --- | --- | --- | --- | --- |
{lists}

The log score is the mean of -ln of the share of chance that the confirmed cause had. Naive Bayes takes one
cause at a time, every sign on its own, and knows nothing of what went before.

## Are the stated chances right?

All causes of all reports: where a chance in this range was stated, how often was it the confirmed one? A
report confirms one cause as a rule, so that of two that were there one counts as wrong.

| stated | statements | mean stated | were so |
| --- | --- | --- | --- |
{calibration}

## Would an option have harmed?

For the first three causes of each report every open option is judged twice: with the fish reported, and with
shrimp, snails and moss beside them. The judge is written apart from what makes the options and reads the
facts alone: an inhabitant for whom a part is lethal or to be avoided; a level over a quarter of the LC50 of
an inhabitant's species; what the substance is not for; what it must not meet in the water; hazardous and
historic substances; a veterinarian's substance without one; medicine that burdens at a poisonous ammonia
level. A harmful option that is planted is caught (`tests/cases/test_harm.py`).

{harms}

## Case by case

| report | confirmed | place | an acceptable one at | named first | next look |
| --- | --- | --- | --- | --- | --- |
{cases}

## Not among the first three, and why

{misses}
"""


def page(told, misses):
    """The text of docs/cases.md."""
    harmed = [f"- `{t.id}`: {h}" for t in told for h in t.harm]
    lists = (
        f"| {words} | "
        + " | ".join(str(share(told, name, most)) for most in (1, 3, 5))
        + f" | {np.mean([t.scores[name] for t in told]):.2f} |"
        for name, words in NAMES.items()
    )
    stated = (f"| {a:.0%} to {b:.0%} | {k} | {p:.1%} | {q:.1%} |" for a, b, k, p, q in calibration(told))
    cases = (
        f"| `{t.id}` | {t.cause} | {t.places['ours']} | {t.acceptable_at} | {t.first} | {t.next_} |"
        for t in told
    )
    return TEXT.format(
        n=len(told),
        third=share(told, "ours", 3),
        acceptable=sum(t.acceptable_at <= 3 for t in told),
        offered=sum(t.offered for t in told),
        harmed=len(harmed),
        lists="\n".join(lists),
        calibration="\n".join(stated),
        harms="\n".join(harmed or ["None would have."]),
        cases="\n".join(cases),
        misses="\n".join(f"- `{name}`: {why}." for name, why in misses.items()),
    )
