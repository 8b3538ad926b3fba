"""Every parameter of an organism is read by something, and what is read is there: neither in code alone nor
dead weight in the facts."""

import re
from pathlib import Path

import numpy as np

import tankward
from tankward.model.happening import spared
from tankward.model.lives.numbers import Numbers
from tankward.model.lives.tables import Around
from tankward.model.organisms import life_of, start_of
from tankward.room.acts import Bath, Change, Remove, Siphon
from tests.model.lives import herd
from tests.model.tanks import FACTS

HOME = Path(tankward.__file__).parent
BATH = Bath(actives={"sodium_chloride": 250_000.0}, volume_l=10.0, minutes=15)
ACTS = (Change(share=0.5), Siphon(floor_share=0.5), Remove(stock="fish", number=1, why="dead"), BATH)

# What nothing in the program asks for, in these kinds of life (none named: in any), each with the reason.
UNREAD = {
    "contact": ((), "a tank holds one herd: who touches whom is not told"),
    "corpse_factor": (("slow_seid",), "cancels: the routes are shares of reproduction"),
    "harm_half": (("free",), "what needs no fish harms none"),
    "harm_hill": (("free",), "what needs no fish harms none"),
    "harm_max": (("free",), "what needs no fish harms none"),
    "resist_dose": ((), "resistance goes by days since the first were infected"),
    "resist_onset": (("reservoir", "slow_seid"), "a fish resists once it has come through"),
    "seen_scope": ((), "looks through a microscope are not entered"),
    "wound_factor": ((), "which fish are wounded is not told"),
}


def read_by_the_model(monkeypatch):
    names = {organism: set() for organism in FACTS.organisms}
    plain = Numbers._drawn

    def drawn(self, name, stage, temp_c):
        names[self.organism.id].add(name)
        return plain(self, name, stage, temp_c)

    monkeypatch.setattr(Numbers, "_drawn", drawn)
    for organism in FACTS.organisms:
        for gravel in (True, False):
            there = herd(4)
            life = life_of(FACTS, organism, type(there)(**{**as_dict(there), "gravel": gravel}), 4)
            life.pace(Around(temp_c=np.full(4, 24.0), stress=np.full(4, 0.3)))
            start_of(life, None, np.full(4, 24.0))
            for act in ACTS:
                spared(act, life, ())
    return names


def as_dict(record):
    return {name: getattr(record, name) for name in record.__struct_fields__}


def read_elsewhere():
    """Names in the files that ask for parameters of organisms beside the lives."""
    files = [p for p in HOME.rglob("*.py") if "lives" not in p.parts and "knowledge" not in p.parts]
    texts = [text for text in (p.read_text(encoding="utf-8") for p in files) if asks(text)]
    return {name for text in texts for name in re.findall(r'"([a-z][a-z_]+)"', text)}


def asks(text):
    return any(word in text for word in (".parameter", "parameters(", "numbers.of(", "numbers.has("))


def test_nothing_in_the_facts_is_read_by_nothing(monkeypatch):
    names, elsewhere = read_by_the_model(monkeypatch), read_elsewhere()
    held = {(o.id, p.name) for o in FACTS.organisms.values() for p in o.parameter if p.use}
    dead = {(o, name) for o, name in held if name not in names[o] and name not in elsewhere}
    kinds = {o.id: "free" if o.host == "none" else o.structure for o in FACTS.organisms.values()}
    unexplained = {(o, name) for o, name in dead if not_told(name, kinds[o])}
    assert unexplained == set()
    assert {name for _, name in dead} == set(UNREAD)


def not_told(name, kind):
    kinds, _ = UNREAD.get(name, (None, ""))
    return kinds is None or (kinds and kind not in kinds)


def test_nothing_is_read_that_the_facts_do_not_hold(monkeypatch):
    for organism, names in read_by_the_model(monkeypatch).items():
        held = {p.name for p in FACTS.organisms[organism].parameter if p.use}
        assert names - held == set(), organism
