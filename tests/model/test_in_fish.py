"""What medicated food leaves in the fish."""

import numpy as np
import pytest

from tankward.model.events import Timed
from tankward.model.in_fish import by_mouth, in_fish
from tankward.model.oracle import trace
from tankward.model.simulate import minutes
from tankward.room.acts import Dose, Feed
from tests.model.tanks import FACTS, START, after, exact, run_of, tank
from tests.model.test_forecast import NOW, NURSERY, kinds, of

FED = Feed(food_g=0.2, actives_mg_per_g={"praziquantel": 10.0})


def followed(told, hours):
    run = run_of(tank(temp_c=exact(25.0)), told, hours=hours)
    timed = [Timed(minutes(at, START), act) for at, act in told]
    found = trace(run)
    return run, found, in_fish(run, found, timed, FACTS)


def test_it_comes_to_where_intake_meets_loss_and_fades_after():
    """Closed form in each draw: b = intake/k (1 − e^−kt), then e^−kt of it."""
    told = [(START, FED), (after(days=2), Feed())]
    run, found, fed = followed(told, 96)
    levels = fed["praziquantel"]
    at = {m: levels[n] for n, m in enumerate(found.minutes)}
    k = np.log(at[48 * 60] / at[96 * 60]) / 48.0
    intake = at[60] * k / (1 - np.exp(-k))
    assert at[48 * 60] == pytest.approx(intake / k * (1 - np.exp(-48 * k)), rel=1e-9)
    swallowed = 10.0 * 0.2 / 24.0 * (1 - run.th.uneaten) / (run.th.fish_g / 1000.0)
    assert (intake < swallowed).all()
    assert (intake > 0.02 * swallowed).all()


def test_in_cold_water_it_stays_longer():
    told = [(START, FED), (after(days=1), Feed())]
    warm = followed(told, 48)[2]["praziquantel"][-1]
    run = run_of(tank(temp_c=exact(18.0)), told, hours=48)
    timed = [Timed(minutes(at, START), act) for at, act in told]
    cold = in_fish(run, trace(run), timed, FACTS)["praziquantel"][-1]
    assert (cold > warm).all()


def test_without_a_figure_there_is_no_line_and_it_is_said():
    assert by_mouth(FACTS, "fenbendazole") is None
    assert by_mouth(FACTS, "metronidazole") is None
    found = of(NURSERY, [(NOW, Feed(food_g=0.2, actives_mg_per_g={"metronidazole": 5.0}))])
    assert "in-fish-unknown" in kinds(found, "metronidazole")
    assert all(s.where == "water" for s in found.series)


def test_the_forecast_shows_it_beside_the_water():
    found = of(NURSERY, [(NOW, FED)])
    line = next(s for s in found.series if s.where == "fish")
    assert (line.name, line.unit, line.kind) == ("praziquantel", "mg/kg", "in_fish")
    assert line.value[0] == 0.0
    assert 0 < line.low[-1] < line.value[-1] < line.high[-1]
    assert found.of("praziquantel").where == "water"


def test_a_bath_has_no_line():
    found = of(NURSERY, [(NOW, Dose(actives={"praziquantel": 108.0}))])
    assert "in-fish-by-bath" in kinds(found, "praziquantel")
    assert all(s.where == "water" for s in found.series)
