"""The chance that a germ is gone: closed forms, generating functions by a general solver, acts."""

from itertools import pairwise

import msgspec
import numpy as np
import pytest
from scipy.integrate import solve_ivp

from tankward.model.clearance import gone_by, holds_of
from tankward.model.events import Stocked
from tankward.model.happening import by_minute, spared
from tankward.model.lives.tables import Gathering, fixed
from tankward.room.acts import Change, Siphon
from tests.model.lives import DAY, course, herd, water
from tests.model.tanks import FACTS

ACTS = ((1.5, Change(share=0.4)), (2.25, Siphon(floor_share=0.8)))


def few(told, share=0.02):
    """The same with so few at the beginning that they may die out."""
    start = told.start * share
    start[0] = 1.0
    return msgspec.structs.replace(told, start=start)


def plain(birth, death, begin, days):
    """One row that bears and dies, in a tank in which nothing else happens."""
    told = course("gyrodactylus", 64, days=days)
    g = Gathering(told.life.herd)
    row = g.row("it", "water", stage="")
    fish = g.row("fish", "host", germ=False)
    g.dies([row], fixed(death))
    g.flow(row, row, fixed(birth), lose=False)
    table = g.table(burden=0, grams=0, harms=False)
    life = msgspec.structs.replace(
        told.life, gathered=g, table=table, blocked=np.array([False]), resist_share=np.zeros(64)
    )
    start = np.zeros((3, 64))
    start[0], start[row], start[fish] = 1.0, begin, 20.0
    return msgspec.structs.replace(told, life=life, start=start)


@pytest.mark.parametrize(("birth", "death"), [(0.5, 0.2), (0.2, 0.5), (0.0, 1.0), (2.0, 1.0)])
def test_birth_and_death_by_their_closed_form(birth, death):
    """1 − q = (b − d)/(b − d e^(−(b − d)t)) for one; a Poisson number of them: exp(−n(1 − q))."""
    found = gone_by(plain(birth, death, 3.0, 9), [2 * DAY, 9 * DAY], every=30)
    for n, days in enumerate((2, 9)):
        grown = np.exp(-(birth - death) * days)
        left = (birth - death) / (birth - death * grown)
        assert found.chance[n] == pytest.approx(np.exp(-3.0 * left), abs=1e-9)


class Functions:
    """Generating functions written again: q itself, for one draw, from the list of flows."""

    def __init__(self, told, draw):
        self.life, self.told, self.d = told.life, told, draw
        e = told.around.around(0, after=True)
        self.p = told.life.pace(e)
        self.hosts = {n for n, r in enumerate(told.life.gathered.rows) if not r.germ}
        self.fish = told.life.herd.fish[draw]

    def factor(self, flow):
        """A modifier in the healthy tank: only the fish and what lies outside count."""
        return self.fish if flow.taken and self.life.gathered.modifiers[flow.taken][1] == 0 else 1.0

    def back(self, _s, q):
        p, d = self.p, self.d
        out = np.zeros_like(q)
        for r in range(1, len(q)):
            out[r] = p.die[r, d] * (1.0 - q[r]) if r not in self.hosts else 0.0
        for f, flow in enumerate(self.life.gathered.flows):
            if flow.source in self.hosts:
                continue
            rate, give = p.rate[f, d] * self.factor(flow), p.give[f, d]
            young = np.exp(give * (q[flow.gain] - 1.0)) if flow.litter else 1.0 - give + give * q[flow.gain]
            young = young * q[flow.stays] if flow.stays else young
            out[flow.source] += rate * (
                young - q[flow.source] if flow.lose else (young - 1.0) * q[flow.source]
            )
        return out

    def at(self, days):
        """q at the beginning, from 0 at the day itself."""
        acts = by_minute(self.told.around.happening, 0, self.told.end)
        q = np.zeros(self.life.table.rows)
        q[list(self.hosts)] = 1.0
        ends = sorted({0, days * DAY, *(m for m in acts if m <= days * DAY)}, reverse=True)
        for b, a in pairwise(ends):
            for what in reversed(acts.get(b, [])):
                left = np.minimum(spared(what, self.life, ())[:, self.d], 1.0)
                q = 1.0 - left * (1.0 - q)
            q = solve_ivp(self.back, (0, (b - a) / DAY), q, method="DOP853", rtol=1e-11, atol=1e-13).y[:, -1]
        return q


@pytest.mark.parametrize(
    "organism", ["ichthyophthirius", "piscinoodinium", "dactylogyridae", "camallanus", "gyrodactylus"]
)
def test_lives_on_fish_by_generating_functions(organism):
    told = few(course(organism, 64, days=4, acts=ACTS))
    found = gone_by(told, [4 * DAY])
    germs = [n for n, row in enumerate(told.life.gathered.rows) if row.germ]
    for draw in (0, 7, 31):
        q = Functions(told, draw).at(4)
        lines = np.exp(-(told.start[germs, draw] * (1.0 - q[germs])).sum())
        assert found.chance[0, draw] == pytest.approx(lines, abs=1e-6)


@pytest.mark.parametrize(
    "organism", ["aeromonas", "capillaria", "cryptobia", "lernaea", "tapeworms", "trichodina"]
)
def test_a_finer_step_says_the_same(organism):
    """The target of 1e-6 at the step that is taken."""
    told = few(course(organism, 64, days=3, acts=ACTS))
    coarse, fine = (gone_by(told, [DAY, 3 * DAY], every=every).chance for every in (None, 15))
    assert coarse == pytest.approx(fine, abs=1e-6)


@pytest.mark.parametrize(
    ("organism", "levels"),
    [
        ("gyrodactylus", {"praziquantel": (2.5, 2.0)}),
        ("trichodina", {"formalin": (25.0, 1.0)}),
        ("ichthyophthirius", {"formalin": (25.0, 0.5)}),
    ],
)
def test_a_substance_that_kills_within_minutes(organism, levels):
    told = few(course(organism, 64, days=3, levels=levels))
    coarse, fine = (gone_by(told, [3 * DAY], every=every).chance for every in (None, 5))
    assert coarse == pytest.approx(fine, abs=1e-6)


def test_days_side_by_side_are_days_alone():
    told = few(course("dactylogyridae", 64, days=6, acts=ACTS))
    both = gone_by(told, [2 * DAY, 6 * DAY]).chance
    for n, day in enumerate((2, 6)):
        assert both[n] == pytest.approx(gone_by(told, [day * DAY]).chance[0], abs=1e-9)


def test_what_is_gone_with_all_the_fish_and_all_the_water():
    """No fish, no water, no floor: what is left in a corpse alone."""
    acts = ((1.0, Stocked(share=0.0)), (1.0, Change(share=1.0)))
    told = course("gyrodactylus", 64, days=2, acts=acts)
    start = told.start.copy()
    start[told.life.table.corpse] = 0.0
    left = gone_by(msgspec.structs.replace(told, start=start), [2 * DAY]).chance
    stays = gone_by(few(course("gyrodactylus", 64, days=2), 1.0), [2 * DAY]).chance
    assert np.median(left) > 1000 * np.median(stays)


def test_each_kind_says_for_what_its_chance_holds():
    kinds = {o.structure: holds_of(o.structure) for o in FACTS.organisms.values()}
    assert kinds["reservoir"] == "never-gone"
    assert kinds["logistic"] == "while-few"
    assert kinds["egg_pool"] == "cautious-bound"
    assert kinds["birth_death_on_host"] == "cautious-bound"


def test_no_substance_is_no_death_by_it():
    assert not course("gyrodactylus", 16).reach
    assert water(16, days=1).logs == {}


@pytest.mark.parametrize("every", [60, 45, 30])
def test_swimmers_that_settle_within_minutes_leave_no_draw_without_an_answer(every):
    """A stage of a step that looks a little below nothing, times a clutch of hundreds, was endless."""
    crowded = herd(256, fish=20.0, litres=58.0, gram=4.6)
    made = course("ichthyophthirius", 256, days=3, at=crowded, temp_c=23.65)
    found, fine = (gone_by(made, [3 * DAY], every=minutes).chance[0] for minutes in (every, 10))
    assert np.isfinite(found).all()
    assert np.abs(found - fine).max() < 1e-6
