"""Published case reports as evidence: what was coded from the text, nothing added."""

import tomllib
from pathlib import Path

from tankward.judge.choices import NH3_CARE, NITRITE_CARE, OXYGEN_OVERFULL, PH_LOW, TAN_SEEN
from tankward.judge.evidence import Evidence, Happened, Outcome

FOLDER = Path(__file__).parents[2] / "tests"
CASES = tomllib.loads((FOLDER / "data" / "cases.toml").read_text())["case"]
MISSED = tomllib.loads((FOLDER / "cases" / "misses.toml").read_text())["missed"]

# water reported in a case -> the cause whose test it is, and the level above which (below, for pH) it is
# positive
READINGS = {
    "chlorine_mg_l": ("chlorine", 0.0),
    "ammonia_mg_l": ("ammonia", TAN_SEEN.value),
    "nh3_mg_l": ("ammonia", NH3_CARE.value),
    "nitrite_mg_l": ("nitrite", NITRITE_CARE.value),
}


def evidence_of(case, net):
    coded = case["coded"]
    return Evidence(
        seen=tuple(case["signs_present"]),
        absent=tuple(case["signs_looked_for_absent"]),
        onset=coded.get("course", ""),
        share=coded.get("share", ""),
        hosts=tuple(coded["host"]),
        happened=tuple(happened(case)),
        tests=tuple(tested(case["water"], net)),
    )


def happened(case):
    coded = case["coded"]
    for fact in coded["context"]:
        named = fact.get("of") or fact.get("substances") or fact.get("agents") or ()
        value = _fall(case["water"]) if fact["id"] == "temp_fall" else None
        yield Happened(context=fact["id"], age_d=fact.get("age_d"), of=tuple(named), value=value)
    if coded.get("origin"):
        yield Happened(context="origin", of=(coded["origin"],))


def _fall(water):
    """By how many degrees it got colder, where both ends are told."""
    ends = water.get("temp_before_c"), water.get("temp_c")
    return None if None in ends else ends[0] - ends[1]


def tested(water, net):
    for name, (cause, limit) in READINGS.items():
        if name in water:
            yield Outcome(cause=cause, test=net.cause(cause).tests[0].name, positive=water[name] > limit)
    if "oxygen_saturation_pct" in water:
        first = net.cause("gas_supersaturation").tests[0].name
        over = water["oxygen_saturation_pct"] / 100.0 > OXYGEN_OVERFULL.value
        yield Outcome(cause="gas_supersaturation", test=first, positive=over)
    if "ph" in water:
        first = net.cause("ph_crash").tests[0].name
        yield Outcome(cause="ph_crash", test=first, positive=water["ph"] < PH_LOW.value)
