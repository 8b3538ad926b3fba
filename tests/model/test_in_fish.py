"""What medicated food leaves in the fish."""

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from tankward.knowledge.beliefs import drawn
from tankward.model.draws import uniform
from tankward.model.events import Timed
from tankward.model.in_fish import by_mouth, in_fish
from tankward.model.known import row
from tankward.model.oracle import trace
from tankward.model.simulate import minutes
from tankward.room.acts import Dose, Feed, Heat
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


@pytest.mark.parametrize(("acts", "target"), [((), 1e-8), (((after(hours=6), Heat(temp_c=30.0)),), 2e-4)])
def test_against_a_general_solver(acts, target):
    """Day by day the same as a solver of high order makes of intake and loss, by the warmth as it was."""
    told = [(START, FED), (after(days=2), Feed()), *acts]
    run = run_of(tank(temp_c=exact(25.0), heater=True), told, hours=96)
    timed = [Timed(minutes(at, START), act) for at, act in told]
    found = trace(run)
    levels = in_fish(run, found, timed, FACTS)["praziquantel"]
    setup = tank(temp_c=exact(25.0), heater=True)
    fine = trace(run_of(setup, told, hours=96, step_min=5, marks=range(0, 5760, 10)))
    as_warm = followed(told[:2], 96)
    k = np.log(levels_at(as_warm, 72) / levels_at(as_warm, 96)) / 24.0
    start = levels_at(as_warm, 1)
    intake = start * k / (1 - np.exp(-k))
    q10 = drawn(row(FACTS, "elimination_q10"), uniform("substance_1_theta", 64, 8))
    hours = np.array(fine.minutes) / 60.0

    def rates(t, held):
        at = np.searchsorted(hours, t, side="right").clip(1, len(hours) - 1)
        share = (t - hours[at - 1]) / max(hours[at] - hours[at - 1], 1e-9)
        temp = fine.temp_c[at - 1] + share * (fine.temp_c[at] - fine.temp_c[at - 1])
        return np.where(t < 48.0, intake, 0.0) - k * q10 ** ((temp - fine.temp_c[0]) / 10.0) * held

    held, worst = np.zeros(64), 0.0
    for begin in range(0, 96, 6):
        span = begin, begin + 6
        done = solve_ivp(rates, span, held, method="DOP853", rtol=1e-11, atol=1e-12, max_step=0.5)
        held = done.y[:, -1]
        ours = levels[max(n for n, m in enumerate(found.minutes) if m == span[1] * 60)]
        worst = max(worst, (np.abs(ours - held) / levels.max(axis=0)).max())
    assert worst < target


def levels_at(one, hour):
    _, found, fed = one
    return fed["praziquantel"][max(n for n, m in enumerate(found.minutes) if m == hour * 60)]


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
