"""Water warmer or colder than a process of it was fitted for: the edge, wider, and a caution."""

import numpy as np
import pytest

from tankward.knowledge.loader import load
from tankward.model.known import BREATH, GUILDS, valid_c
from tankward.model.oracle import Water
from tankward.model.processes.nitrification import speed, warmth
from tankward.model.rows import ALL
from tankward.model.simulate import simulate
from tankward.show.words.forecast import caution_says
from tests.model.tanks import FACTS, START, exact, run_of, tank
from tests.model.test_forecast import NURSERY, kinds, of

DRAWS = 1024


def numbers():
    return run_of(tank(), [], hours=1, draws=DRAWS).th


def test_the_spans_are_those_of_the_facts():
    assert valid_c(FACTS, GUILDS) == (10.0, 30.0)
    assert valid_c(FACTS, BREATH) == (0.0, 30.0)


@pytest.mark.parametrize("temp_c", [10.0, 18.5, 30.0])
def test_within_its_span_a_guild_goes_by_arrhenius(temp_c):
    th = numbers()
    at = np.full(DRAWS, temp_c)
    plain = warmth(th.first_activation_kj, th.guild_reference_c, at)
    assert speed(th, th.first_activation_kj, at, ALL) == pytest.approx(plain)


@pytest.mark.parametrize(("temp_c", "edge_c"), [(35.0, 30.0), (5.0, 10.0)])
def test_five_degrees_beyond_the_edge_holds_times_and_divided_by_one_and_a_half(temp_c, edge_c):
    th = numbers()
    edge = warmth(th.first_activation_kj, th.guild_reference_c, np.full(DRAWS, edge_c))
    ratio = speed(th, th.first_activation_kj, np.full(DRAWS, temp_c), ALL) / edge
    assert np.quantile(ratio, (0.05, 0.5, 0.95)) == pytest.approx((1 / 1.5, 1.0, 1.5), rel=0.02)


def test_fish_in_hotter_water_breathe_more_and_it_is_less_sure():
    """At 34 °C the middle goes on along the line; the range is wider than at 30."""
    paces = []
    for temp_c in (30.0, 34.0):
        run = run_of(tank(temp_c=exact(temp_c), heater=False), [], hours=1, draws=DRAWS)
        run.th.breath_factor[:], run.th.breath_50g[:], run.th.temp_c[:] = 1.0, 1.5, temp_c
        run.th.breath_fed[:] = 1.5
        water = Water(run)
        paces.append(water.pace(run.table.steps[0], np.full(DRAWS, temp_c), True).breath_mg_h.copy())
    line = np.exp(-5020 / 307.15) / np.exp(-5020 / 303.15)
    assert np.median(paces[1]) / np.median(paces[0]) == pytest.approx(line, rel=0.02)
    assert paces[0].std() == pytest.approx(0.0, abs=1e-9)
    assert np.quantile(paces[1], 0.95) / np.median(paces[1]) == pytest.approx(1.5 ** (4 / 5), rel=0.02)


def test_a_run_in_filter_carries_its_load_in_hot_water_too():
    """What it carries is told of its own warmth: hot water does not make it weak."""
    hot, usual = (
        simulate(tank(temp_c=exact(t), heater=False), [], FACTS, start=START, hours=48, draws=64)
        for t in (33.0, 25.0)
    )
    levels = [np.median(f.levels("ammonia_n")[-1]) for f in (hot, usual)]
    assert levels[0] == pytest.approx(levels[1], rel=0.5)


@pytest.mark.parametrize(
    ("temp", "said"), [("26C", set()), ("33C", {"filter-beyond", "breath-beyond"}), ("7C", {"filter-beyond"})]
)
def test_the_forecast_says_so(temp, said):
    found = of(NURSERY.replace("26C", temp), days=1)
    assert kinds(found) & {"filter-beyond", "breath-beyond"} == said
    for one in found.cautions:
        if one.kind == "filter-beyond":
            assert (one.low, one.high, one.unit, one.source) == (10.0, 30.0, "C", "VANNECKE14")
            assert "fitted at 10 to 30 °C" in caution_says(one, load())
