"""The share of a dose that is left, hour by hour, against the same course run from act to act."""

from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

from tankward.knowledge.loader import load
from tankward.model.levels import levels, survival
from tankward.quantities.parse import Estimate
from tankward.room.acts import Change, Dose, Media

FACTS = load()
START = datetime(2026, 5, 14, 18, 0, tzinfo=UTC)
WATER = {"facts": FACTS, "volume_l": Estimate(40.0, 38.0, 42.0), "temp_c": Estimate(25.0, 24.0, 26.0)}


def at(hours):
    return START + timedelta(hours=hours)


@pytest.mark.parametrize("substance", ["praziquantel", "metronidazole", "malachite_green", "sodium_chloride"])
def test_a_course_put_together_from_what_is_left_is_the_course(substance):
    """Two doses and two changes: from act to act by the share that is left, first naive, then met."""
    carbon = [(START, Media(into=False))]
    naive, met = (
        survival(substance, carbon, start=START, hours=120, level=2.0, light_h=10.0, met=met, **WATER)
        for met in (False, True)
    )
    acts = [
        *carbon,
        (START, Dose(actives={substance: 80.0})),
        (at(48), Change(share=0.5)),
        (at(48), Dose(actives={substance: 40.0})),
        (at(72), Change(share=0.25)),
    ]
    found = levels(substance, acts, until=at(120), light_h=10.0, **WATER)
    volume = 80.0 / found.draws[1]  # of each draw, from what its first dose made
    second = 80.0 / volume * naive[48] * 0.5 + 40.0 / volume
    assert found.draws[-1] == pytest.approx(second * met[120] / met[48] * 0.75, rel=1e-9)


def test_nothing_is_left_but_what_there_was():
    left = survival("metronidazole", [(START, Media(into=False))], start=START, hours=96, level=5.0, **WATER)
    assert left.shape == (97, 64)
    assert (left[0] == 1.0).all()
    assert (np.diff(left, axis=0) <= 0).all()
    assert (left > 0).all()
