"""Rule 21: what must be minded when the water is lowered by half, said wherever slips or what-now do so."""

import pytest

from tankward.judge.lowering import HEATER_COOLS_MIN, lowers, times_as_fast
from tankward.judge.slips import SLIPS, what_now
from tankward.judge.urgent import Told, first_steps
from tankward.quantities.parse import Estimate
from tankward.show.words.judge import step_soft
from tankward.show.words.lowering import lowering_says, lowering_short
from tankward.show.words.mistake import SLIPS as WORDS
from tankward.show.words.urgent import act_below
from tests.judge.tanks import FACTS

# Everything the rule asks for: the heater, its quarter of an hour, the inlet, the line, the hands, the
# ammonia, and what is not done on one day.
SAYS = (
    "Heater's plug out", "15 minutes", "once it is covered", "filter's inlet",
    "Mark the line", "Plugs out before hands go in", "twice as fast", "fill up at once",
    "half as strong", "No filter wash",
    "no deep siphon",
)  # fmt: skip
HALF = [Told(big_change_d=7.0), Told(ph=7.6), Told(volume_l=Estimate.exact(45.0), ph=7.4)]


def test_rule_21_everything_is_said_where_half_goes():
    assert all(words in lowering_says(0.5) for words in SAYS), lowering_says(0.5)
    assert HEATER_COOLS_MIN.value == 15.0


def test_rule_21_ammonia_rises_as_the_water_gets_less():
    """The same fish in 1 − f of the water: 1 ÷ (1 − f) times as fast, by arithmetic."""
    assert times_as_fast(0.5) == 2.0
    assert times_as_fast(2 / 3) == pytest.approx(3.0)
    assert "three times as fast" in lowering_says(0.67)


@pytest.mark.parametrize(("share", "asked"), [(0.175, False), (0.3, False), (0.5, True), (0.75, True)])
def test_rule_21_is_asked_for_from_half_on(share, asked):
    assert lowers(share) is asked
    assert bool(lowering_says(share)) is asked
    assert bool(lowering_short(share)) is asked


@pytest.mark.parametrize("told", HALF, ids=range(len(HALF)))
def test_rule_21_stands_with_the_half_change_of_the_ten_minutes(told):
    (change,) = [s for s in first_steps(told, FACTS) if s.act == "change"]
    assert change.share == 0.5
    assert "Heater's plug out" in act_below(change)
    assert "Heater's plug out" in step_soft(change)


def test_rule_21_is_not_a_wall_of_words_before_a_small_change():
    (change,) = [s for s in first_steps(Told(ph=6.2), FACTS) if s.act == "change"]
    assert act_below(change) == ""


@pytest.mark.parametrize("slip", SLIPS)
def test_rule_21_stands_with_every_half_change_of_every_slip(slip):
    for told in HALF:
        for step in what_now((), WORDS[slip][1], told, FACTS).steps:
            if lowers(step.share):
                assert "Heater's plug out" in step_soft(step)
