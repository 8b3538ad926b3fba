"""What was read at two temperatures kills by the warmth of the water: formalin on the cysts of white spot."""

import msgspec
import numpy as np
import pytest

from scripts.validation.settings import DAY, Model, course, herd, hours, water
from tankward.model.lives.kills import reaches
from tankward.model.outbreak import run
from tests.model.tanks import FACTS

LEVEL, DRAWS, CYSTS = 128.0, 64, 1000.0
SPOT = "ichthyophthirius"


def after_a_day(temp_c, dosed):
    """Cysts and how fast the level kills them, each row alike; nothing else is there to begin with."""
    model = Model(facts=FACTS)
    life = model.life(SPOT, herd(fish=1.0, gram=1.0, litres=1e6, draws=DRAWS), DRAWS)
    levels = {"formalin": np.full(hours(1).size, LEVEL)} if dosed else {}
    around = water(model, days=1, temp_c=temp_c, levels=levels, draws=DRAWS)
    y = np.zeros((life.table.rows, DRAWS))
    y[0] = 1.0
    y[life.gathered.of_stage("tomont")[0]] = CYSTS
    made = course(life, around, y, days=1, units={"formalin": "uL/L"})
    passed = run(msgspec.structs.replace(made, every=60))
    at = passed.minutes.index(60)
    return passed.rows[at, life.gathered.of_stage("tomont")].sum(axis=0), life


@pytest.mark.parametrize("temp_c", [12.0, 14.5, 17.0])
def test_the_run_kills_as_fast_as_the_curve_says_at_that_warmth(temp_c):
    with_it, life = after_a_day(temp_c, dosed=True)
    without, _ = after_a_day(temp_c, dosed=False)
    found, _ = reaches(
        life.organism, life.gathered, "water", {"formalin": LEVEL}, {"formalin": "uL/L"}, DRAWS
    )
    tomont = next(r for r in found if r.stage == "tomont")
    rate = tomont.rate(LEVEL, np.full(DRAWS, temp_c))
    assert with_it / without == pytest.approx(np.exp(-rate * 60 / DAY), rel=2e-3)


def test_cold_water_leaves_cysts_that_warm_water_does_not():
    cold, warm = (np.median(after_a_day(t, dosed=True)[0]) for t in (12.0, 17.0))
    assert warm < 0.02 * CYSTS < cold
