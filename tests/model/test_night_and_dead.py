"""What the dead and the plants do to the water, against closed forms."""

import numpy as np
import pytest

from tankward.model.events import Died, Timed
from tankward.model.living import Living
from tankward.model.oracle import trace
from tankward.model.prepare import prepare
from tankward.water.oxygen import oxygen_saturation_formula
from tests.model.tanks import FACTS, START, exact, tank

NOBODY = Living(mass_g=exact(0.0), breath_50g=exact(0.0), planted=False)


def alone(hours, events=(), **changed):
    """Nobody eats or breathes, no guild works: what is left is what is asked for."""
    told = {"living": NOBODY, "heater": False, "levels": {}} | changed
    run = prepare(tank(**told), list(events), (), FACTS, start=START, hours=hours, draws=64)
    for guild in ("first_guild_mg_h", "second_guild_mg_h"):
        run.start[guild][:] = 0.0
    return run, trace(run)


def test_a_corpse_turns_into_ammonia_by_its_rate_and_takes_oxygen():
    """2 g: nitrogen 1 − e^(−k t) of it after three days, and none is lost."""
    run, found = alone(72, [Timed(0, Died(grams=2.0))])
    nitrogen = 2000.0 * run.th.body_nitrogen
    rotten = nitrogen * (1.0 - np.exp(-run.th.waste_decay_d * 3.0))
    assert found.fields["tan_mg"][-1] == pytest.approx(rotten, rel=1e-6)
    assert found.fields["tan_mg"][-1] + found.fields["waste_mg"][-1] == pytest.approx(nitrogen, rel=1e-9)
    _, clean = alone(72)
    assert (found.fields["oxygen_mg"][10:].min(axis=0) < clean.fields["oxygen_mg"][10:].min(axis=0)).all()


@pytest.mark.parametrize(("light_h", "lit"), [(24.0, True), (0.0, False)])
def test_plants_make_oxygen_by_day_and_take_part_of_it_back_by_night(light_h, lit):
    """At rest kLa V (O2 − full) is what they make, or less what they take by O2/(half + O2)."""
    planted = Living(mass_g=exact(0.0), breath_50g=exact(0.0), planted=True)
    run, found = alone(400, living=planted, light_h=light_h)
    th, oxygen = run.th, found.fields["oxygen_mg"][-1]
    full = oxygen_saturation_formula(th.temp_c) * th.volume_l
    kla = np.maximum(th.kla_20, th.kla_surface_20) * th.kla_theta ** (th.temp_c - 20.0)
    made = th.plants_mg_l_h * th.volume_l
    level = oxygen / th.volume_l
    taken = made * th.plants_night * level / (th.oxygen_half_mg_l + level)
    assert kla * (oxygen - full) == pytest.approx(made if lit else -taken, rel=1e-5, abs=1e-7)
