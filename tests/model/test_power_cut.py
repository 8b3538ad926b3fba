"""Without power: no air, flow, heater or light; then it all runs again, the filter weaker than before."""

from datetime import UTC, datetime

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tankward.desk.border import Border
from tankward.desk.desk import Desk
from tankward.model.compiled import trace_compiled
from tankward.model.forecast import forecast
from tankward.model.from_room import story
from tankward.model.living import Living
from tankward.model.oracle import trace
from tankward.model.simulate import simulate
from tankward.model.warmth import after as warmth_after
from tankward.room.acts import Air, Feed, Heat, PowerBack, PowerCut
from tankward.water.oxygen import oxygen_saturation_formula
from tests.helpers.rooms import entries_from, room_from
from tests.model.tanks import FACTS, START, after, exact, run_of, tank
from tests.model.test_balance import made, total
from tests.model.test_kernels import same

NOBODY = Living(mass_g=exact(0.0), breath_50g=exact(0.0), planted=False)
CUT = (after(hours=2), PowerCut(hours=6.0))


def at(found, hours):
    return max(n for n, minute in enumerate(found.minutes) if minute == round(60 * hours))


def test_the_water_cools_to_the_room_and_is_heated_again():
    run = run_of(tank(heater=True), [CUT], hours=12)
    found, th = trace(run), run.th
    kept, cold = found.temp_c[at(found, 2)], found.temp_c[at(found, 8)]
    assert kept == pytest.approx(th.temp_c)
    assert cold == pytest.approx(th.room_c + (kept - th.room_c) * np.exp(-th.cooling_1_h * 6.0), abs=2e-3)
    usual = run.table.steps[0].standing
    assert found.temp_c[at(found, 10)] == pytest.approx(warmth_after(cold, th, usual, 2.0), abs=2e-3)


@pytest.mark.parametrize("told", [{}, {"air": True}, {"filter": "canister", "depth_cm": 40.0}])
def test_oxygen_comes_through_the_still_surface_alone(told):
    """Nobody breathes and the filter is new: what is missing is e^(−kLa t) of what it was, in still water."""
    start = {"oxygen": exact(2.0)}
    room = tank(living=NOBODY, levels=start, heater=False, temp_c=exact(20.0), filter_age_d=0.0, **told)
    run = run_of(room, [(START, PowerCut())], hours=6)
    for guild in ("first_guild_mg_h", "second_guild_mg_h"):
        run.start[guild][:] = 0.0
    found, th = trace(run), run.th
    still = th.kla_still_20 * th.kla_theta ** (th.temp_c - 20.0)
    full = oxygen_saturation_formula(th.temp_c) * th.volume_l
    lacks = [full - found.fields["oxygen_mg"][at(found, h)] for h in (0, 6)]
    assert lacks[1] == pytest.approx(lacks[0] * np.exp(-6.0 * still), rel=1e-6)
    assert (th.kla_still_20 <= 0.12 * 30.0 / told.get("depth_cm", 30.0) * 1.5).all()


def test_with_the_filter_off_the_air_stone_goes_on():
    lows = {
        off: simulate(tank(air=True), [(after(hours=2), PowerCut(hours=6.0, off=off))], FACTS, start=START,
                      hours=9, draws=64).least("oxygen")
        for off in ("all", "filter", "heater")
    }  # fmt: skip
    assert np.median(lows["all"]) < np.median(lows["filter"]) - 0.5
    assert np.median(lows["filter"]) == pytest.approx(np.median(lows["heater"]), abs=0.5)


def test_the_filter_dies_off_by_its_half_life_and_comes_back_in_days():
    run = run_of(tank(), [CUT], hours=24 * 8)
    found, th = trace(run), run.th
    fit = found.fields["filter_fit"]
    expected = 0.5 ** (6.0 / th.stood_half_h)
    assert fit[at(found, 2)] == pytest.approx(1.0)
    assert fit[at(found, 8)] == pytest.approx(expected, rel=1e-5)
    back = 1.0 - (1.0 - expected) * 0.5 ** (5.0 / th.back_half_d)
    assert fit[at(found, 8 + 24 * 5)] == pytest.approx(back, rel=1e-5)


def test_a_tank_without_a_filter_has_none_to_lose():
    found = trace(run_of(tank(filter="none"), [CUT], hours=10))
    assert found.fields["filter_fit"] == pytest.approx(1.0)


def test_nitrogen_balances_through_a_cut():
    run = run_of(tank(), [CUT, (after(hours=20), PowerCut(hours=1.0, off="filter"))], hours=36)
    found = trace(run)
    assert total(found)[-1] == pytest.approx(made(run, 36), rel=1e-9)
    lost = run_of(tank(), [], hours=36)
    rises = [f.fields["tan_mg"][at(f, 8)] for f in (found, trace(lost))]
    assert np.median(rises[0]) > np.median(rises[1])


def test_fish_take_more_than_still_water_gives():
    """The least oxygen of a night without power lies below that of any other night."""
    crowd = Living(mass_g=exact(60.0), breath_50g=exact(6.0), planted=True)
    cut, usual = (
        simulate(tank(living=crowd), told, FACTS, start=START, hours=30, draws=64).least("oxygen")
        for told in ([(after(hours=14), PowerCut(hours=8.0))], [])
    )
    assert (cut <= usual + 1e-6).all()
    assert np.median(cut) < np.median(usual) - 1.0


def test_what_was_set_meanwhile_holds_when_the_power_is_back():
    told = [
        (after(hours=1), PowerCut()),
        (after(hours=2), Air(more=True)),
        (after(hours=2), Heat(temp_c=22.0)),
        (after(hours=4), PowerBack()),
    ]
    steps = run_of(tank(), told, hours=6).table.steps
    during, then = (next(s for s in steps if s.minute == m).standing for m in (180, 240))
    assert (during.heater_c, during.flows, during.more_air) == (None, False, True)
    assert (then.heater_c, then.flows, then.off) == (22.0, True, "")


def test_the_light_is_off_with_the_power():
    steps = run_of(tank(), [(START, PowerCut(hours=12.0))], hours=14).table.steps
    assert not any(s.lit for s in steps if s.minute < 720)
    usual = run_of(tank(), [(START, PowerCut(hours=12.0, off="heater"))], hours=14).table.steps
    assert any(s.lit for s in usual if s.minute < 720)


@settings(max_examples=8, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(
    hours=st.none() | st.floats(0.25, 20.0),
    off=st.sampled_from(["all", "filter", "heater"]),
    filter=st.sampled_from(["sponge", "canister", "none"]),
    air=st.booleans(),
)
def test_any_cut_runs_the_same_compiled(hours, off, filter, air):
    told = [(after(hours=3), PowerCut(hours=hours, off=off)), (after(hours=5), Feed(usual=0.0))]
    run = run_of(tank(filter=filter, air=air, heater=True), told, hours=30)
    same(trace(run), trace_compiled(run))


NOW = datetime(2026, 3, 7, 9, 0, tzinfo=UTC)
ROOM = """
1 March 2026 08:00  tank   Nursery  volume="54 L" temp=26C filter=canister heater=yes light=8h
1 March 2026 08:05  stock  Nursery  kind=guppy number=60 length=3cm
"""


def test_it_is_written_down_and_the_forecast_starts_from_it(tmp_path):
    with Desk.open(tmp_path / "room") as desk:
        desk.append(*entries_from(ROOM))
        border = Border.of(desk, FACTS, NOW, "UTC")
        entry = border.log("power-cut", "Nursery", {"hours": "6h", "when": "7 March 03:00"}).entry
        assert entry.act == PowerCut(hours=6.0)
        plain = forecast(desk.room(), "nursery", NOW, facts=FACTS, days=1, draws=64)
        desk.append(entry)
        found = forecast(desk.room(), "nursery", NOW, facts=FACTS, days=1, draws=64)
    assert found.at("temp_c", 0.0).value < plain.at("temp_c", 0.0).value - 0.5
    assert found.at("ammonia_n", 2.0).value > plain.at("ammonia_n", 2.0).value


def test_a_cut_that_still_goes_on_is_known_from_before_the_beginning():
    room = room_from(ROOM + "2 March 2026 08:00  power_cut  Nursery\n")
    told = story(room, "nursery", NOW, NOW, FACTS, ())
    assert told.acts == ((NOW, PowerCut()),)
    ended = room_from(ROOM + "2 March 2026 08:00  power_cut  Nursery  hours=24h\n")
    assert story(ended, "nursery", NOW, NOW, FACTS, ()).acts == ()
    back = room_from(
        ROOM + "2 March 2026 08:00  power_cut  Nursery\n2 March 2026 18:00  power_back  Nursery\n"
    )
    assert story(back, "nursery", NOW, NOW, FACTS, ()).acts == ()
