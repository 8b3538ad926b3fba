"""A course judged without the run on: the same chances as the outlook's pass, the water's peaks."""

from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

from tankward.model.clearance import gone_by
from tankward.model.follow import follow, herd_of
from tankward.model.from_room import story
from tankward.model.judged import judged
from tankward.model.organisms import life_of
from tankward.model.simulate import simulate
from tankward.quantities.faults import BadInput
from tankward.room.acts import Dose
from tankward.room.text import room_of_text
from tests.model.tanks import FACTS

NOW = datetime(2026, 3, 7, 9, 0, tzinfo=UTC)
TANK = """
1 March 2026 08:00  tank     Nursery  volume="54 L" temp=26C filter=sponge filter-age="12 weeks" light=8h
1 March 2026 08:05  stock    Nursery  kind=guppy number=20 length=2.5cm
"""
DAY = 1440


def asked(mg):
    planned = ((NOW + timedelta(hours=2), Dose(actives={"praziquantel": mg})),) if mg else ()
    told = story(room_of_text(TANK), "nursery", NOW, NOW + timedelta(hours=1), FACTS, planned)
    record = simulate(told.setup, told.acts, FACTS, start=told.start, hours=24 * 8, draws=64)
    return told, record


def judgement(mg, draws=64, **more):
    told, record = asked(mg)
    life = life_of(FACTS, "gyrodactylus", herd_of(told, FACTS, draws), draws)
    return judged(told, record, [life], FACTS, begin=0, days=(3 * DAY, 8 * DAY), **more), told, record, life


def test_it_says_what_the_whole_run_says():
    found, told, record, life = judgement(135.0)
    whole = follow(life, told, record, 0, None, FACTS)
    chance = gone_by(whole.course, (3 * DAY, 8 * DAY)).chance
    assert (found.gone["gyrodactylus"].chance == chance).all()
    levels = record.levels("praziquantel")
    assert (found.peaks["praziquantel"] == levels.max(axis=0)).all()
    assert (found.lowest["oxygen"] == record.levels("oxygen").min(axis=0)).all()


def test_a_dose_makes_it_likelier_that_they_are_gone_and_many_less():
    few, many = np.full(64, 0.2), np.full(64, 20.0)
    none, dosed, crowd = (
        judgement(mg, burdens={"gyrodactylus": b})[0].gone["gyrodactylus"].chance[1].mean()
        for mg, b in ((0.0, few), (135.0, few), (135.0, many))
    )
    assert dosed > none + 0.02
    assert crowd < dosed


def test_a_day_outside_the_record_is_refused():
    told, record = asked(0.0)
    with pytest.raises(BadInput, match="lies outside"):
        judged(told, record, [], FACTS, begin=0, days=(9 * DAY,))
    with pytest.raises(BadInput, match="lies outside"):
        judged(told, record, [], FACTS, begin=DAY, days=(DAY,))
