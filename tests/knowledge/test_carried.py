"""Every number of the model stands in the facts as it was collected: value, unit, source and status.

The lists in tests/data/carried are the collection. What the facts have otherwise, since a figure was read or
a row was misread, stands in corrected.toml with its reason; nothing else may differ.
"""

import csv
import tomllib
from collections import Counter
from pathlib import Path

import pytest

CARRIED = Path(__file__).parents[1] / "data" / "carried"
UNIT = {"share": "1", "% of body mass a day": "%/d"}  # the same, in the words of the facts


def written(value):
    if isinstance(value, bool):
        return "yes" if value else "no"
    return "" if value is None else f"{value:g}" if isinstance(value, float | int) else value


def as_row(record, columns, **more):
    return {c: written(more[c] if c in more else getattr(record, c)) for c in columns}


def columns_of(name):
    return (CARRIED / f"{name}.csv").read_text(encoding="utf-8").split("\n", 1)[0].split(",")


def collected(name):
    with (CARRIED / f"{name}.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    return [{**r, **({"unit": UNIT.get(r["unit"], r["unit"])} if "unit" in r else {})} for r in rows]


def in_the_facts(facts, name):
    columns = columns_of(name)
    if name == "parameters":
        return [as_row(p, columns, organism=o.id) for o in facts.organisms.values() for p in o.parameter]
    if name == "stages":
        return [as_row(s, columns, organism=o.id) for o in facts.organisms.values() for s in o.stage]
    if name == "kills":
        return [as_row(k, columns, organism=o.id) for o in facts.organisms.values() for k in o.kill]
    found = [("tank", i, "", r) for i, r in facts.tank.items()]
    found += [("filter_effect", i, "", r) for i, r in facts.filter_effects.items()]
    found += [("oxygen_effect", i, "", r) for i, r in facts.oxygen_effects.items()]
    found += [
        ("loss", s.id, part, getattr(s.loss, part))
        for s in facts.substances.values()
        if s.loss
        for part in LOSSES
    ]
    kits = [(k.id, part, getattr(k, part)) for k in facts.kits.values() for part in PARTS_OF_A_KIT]
    found += [("kit", i, part, r) for i, part, r in kits if r is not None]
    return [as_row(r, columns, table=t, id=i, part=part) for t, i, part, r in found]


PARTS_OF_A_KIT = ("error", "lot", "zero_means")
LOSSES = ("dark", "light", "filter_naive", "filter_used", "carbon", "theta")
NUMBERS = {"stages": 80, "parameters": 922, "kills": 187, "others": 322}
LISTS = tuple(NUMBERS)


def corrections():
    found = tomllib.loads((CARRIED / "corrected.toml").read_text(encoding="utf-8"))
    return {name: found.get(name, []) for name in LISTS}


def corrected(name, row):
    """The reason for which a row may differ; "" where it may not."""
    for one in corrections()[name]:
        if all(row[k] == written(v) for k, v in one.items() if k != "why"):
            return one["why"]
    return ""


def differing(facts, name):
    """Rows of the collection that the facts lack, and rows of the facts that it lacks."""
    here, there = ([tuple(r.items()) for r in rows] for rows in (collected(name), in_the_facts(facts, name)))
    missing, more = Counter(here) - Counter(there), Counter(there) - Counter(here)
    return [dict(r) for r in missing.elements()], [dict(r) for r in more.elements()]


@pytest.mark.parametrize("name", LISTS)
def test_every_collected_row_stands_in_the_facts_or_was_corrected_for_a_reason(facts, name):
    missing, more = differing(facts, name)
    assert [r for r in missing if not corrected(name, r)] == []
    if name == "others":  # figures of the processes were added: only those of a collected name count
        named = {(r["table"], r["id"]) for r in collected(name)}
        more = [r for r in more if (r["table"], r["id"]) in named]
    assert [r for r in more if not corrected(name, r)] == []


@pytest.mark.parametrize("name", LISTS)
def test_no_correction_is_a_leftover(facts, name):
    missing, more = differing(facts, name)
    for one in corrections()[name]:
        assert len(one["why"]) > 20
        key = {k: written(v) for k, v in one.items() if k != "why"}
        assert set(key) <= set(columns_of(name))
        assert any(key.items() <= r.items() for r in (*missing, *more)), key


@pytest.mark.parametrize(("name", "number"), NUMBERS.items())
def test_the_collection_itself_is_whole(name, number):
    rows = collected(name)
    assert len(rows) == number
    assert name == "stages" or all(r["unit"] and r["status"] and r["source"] for r in rows)


def test_what_is_drawn_stands_once_in_the_facts(facts):
    """Of one name, stage, sign and temperature one row is drawn; the others are kept as evidence."""
    drawn = Counter(
        (o.id, p.name, p.stage, p.sign, p.temp_c)
        for o in facts.organisms.values()
        for p in o.parameter
        if p.use
    )
    assert {k: n for k, n in drawn.items() if n > 1} == {}


def test_copper_of_kill_rows_is_counted_as_the_doses_are(facts):
    """As sulfate; read as copper a row would be off by four."""
    rows = [k for o in facts.organisms.values() for k in o.kill if k.substance == "copper"]
    assert rows
    assert all(k.basis.startswith("copper sulfate") for k in rows)
    assert facts.substances["copper"].dose_as.startswith("copper sulfate pentahydrate")


EXPERIMENTS = Path(__file__).parents[1] / "data" / "experiments.toml"


def test_an_experiment_called_independent_feeds_no_number_that_is_drawn(facts):
    drawn = {
        key for o in facts.organisms.values() for r in (*o.parameter, *o.kill) if r.use for key in r.keys
    }
    drawn |= {key for r in (*facts.tank.values(), *facts.filter_effects.values()) for key in r.keys}
    losses = [getattr(s.loss, part) for s in facts.substances.values() if s.loss for part in LOSSES]
    drawn |= {key for r in losses for key in r.keys}
    experiments = tomllib.loads(EXPERIMENTS.read_text(encoding="utf-8"))["experiment"]
    independent = {e["id"]: e["source"] for e in experiments if e["role"] == "independent"}
    assert len(independent) == 13
    assert {i: s for i, s in independent.items() if s in drawn} == {}
