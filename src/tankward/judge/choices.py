"""The thresholds that are our own choice: where a rule needs a number that nobody has published, it stands
here with its status.
"""

from __future__ import annotations

import msgspec

from tankward.knowledge.records.base import Status


class Choice(msgspec.Struct, frozen=True, kw_only=True):
    """One chosen number."""

    value: float
    unit: str
    why: str
    source: str = "none"
    status: Status = "common-practice"


def _mem(value: float, unit: str, why: str) -> Choice:
    return Choice(value=value, unit=unit, why=why, status="memory")


def _habit(value: float, unit: str, why: str) -> Choice:
    return Choice(value=value, unit=unit, why=why)


# Limits of an inhabitant: assessment factors on a 96 h LC50 and the share of it beyond which nothing is
# offered.
LC50_OWN_SPECIES = _mem(0.1, "share", "own species' 96 h LC50")
LC50_OWN_GROUP = _mem(0.03, "share", "a relative's 96 h LC50")
LC50_OTHER_GROUP = _mem(0.01, "share", "another group's 96 h LC50")
LC50_REFUSED = _mem(0.25, "share", "at this share of the LC50 and above nothing is offered")
CAUTION_SHARE = _mem(
    0.5, "share", "of the highest recommended level, where only the class 'caution' is known"
)
HARM_SHARE = _mem(0.5, "share", "of a level at which a stage was seen harmed")
LC50_HOURS = _habit(96, "h", "the usual length of a toxicity test")

# Water.
NH3_CARE = _habit(0.02, "mg/L as N", "the poisonous part of ammonia: no medicine above it")
NH3_DANGER = _mem(0.1, "mg/L as N", "the poisonous part of ammonia: act tonight")
TAN_SEEN = _habit(0.25, "mg/L as N", "total ammonia that a run-in tank does not show")
NITRITE_CARE = _mem(0.5, "mg/L as N", "above it nitrite counts as stress")
NITRITE_DANGER = _mem(1.0, "mg/L as N", "nitrite: act tonight")
CHLORINE_SEEN = _habit(0.0, "mg/L", "any chlorine that a kit can see is too much")
NITRATE_CARE = _habit(11.3, "mg/L as N", "nitrate, 50 mg/L as the ion: change water")
OXYGEN_CARE = _mem(5.0, "mg/L", "sick fish want at least this")
OXYGEN_OVERFULL = _mem(1.15, "share", "of what the water holds: above it gas may bubble out inside a fish")
OXYGEN_DANGER = _mem(3.0, "mg/L", "planning floor of a calm, healthy adult")
PH_LOW = _mem(5.5, "pH", "below it the filter stops and the tank may be crashing")
CROWDED_G_L = _mem(1.0, "g/L", "more grams of fish than this in a litre are a stress")
SOFT_KH = _habit(53.5, "mg/L as CaCO3", "3 dKH: under it the water is weakly buffered")
SOFT_CONDUCTIVITY = _habit(150, "uS/cm", "under it the water is soft")
READING_OLD_H = _habit(24, "h", "older than this a reading does not clear the water for a medicine")
READING_STALE_H = _habit(168, "h", "older than this a reading says nothing of today")

# Conditions.
COPPER_ALKALINITY = Choice(
    value=50,
    unit="mg/L as CaCO3",
    why="below it copper kills fish",
    source="FA13",
    status="published-read",
)
FORMALIN_OXYGEN = _mem(6.0, "mg/L", "formalin takes about 1 mg/L of oxygen per 5 uL/L")
FORMALIN_TEMP = _mem(25.0, "C", "over it formalin is more poisonous and oxygen is less")

# The next ten minutes.
DECHLORINATE_EXCESS = _mem(1.5, "ratio", "a little too much does no harm, too little does")
OLD_TANK_D = _mem(60, "d", "two months without a big change: the tank may be old and acid")
ACID_PH = _mem(6.8, "pH", "under it a big change with hard tap water frees ammonia")
SMALL_CHANGE = _mem(0.175, "share", "15 to 20 % where the tank may be old and acid")
HALF_CHANGE = _habit(0.5, "share", "half, where the tank is not old")
SHOCK_TEMP = _habit(2.0, "C", "new water within this of the tank's")
MEDICINE_H = _mem(48, "h", "a dose within this time may have done it")

# Causes.
CONTEXT_CAP = _mem(30, "ratio", "all that is known of the past moves the odds by no more than this")
FLOOR = _mem(0.001, "share", "no cause of the list is ever ruled out by signs alone")
UNLISTED_LOW = _mem(0.05, "share", "something that is not on the list, low end")
UNLISTED_HIGH = _mem(0.15, "share", "something that is not on the list, high end")

# Questions, one after the other.
MOST_QUESTIONS = _habit(12, "1", "questions asked one after the other: more tire whoever answers")
WORTH_ASKING = _habit(0.01, "bit", "a question that would tell less is not asked")

# Breathing, counted.
FASTER_BREATH = _habit(1.25, "ratio", "beside a well tank mate a fish breathes fast from here on")
MISCOUNTED_BEATS = Choice(
    value=8, unit="1/min", why="two counts over 15 s, each out by one beat", status="computed"
)

# Which organisms a forecast follows.
LIKELY_ENOUGH = _mem(0.33, "share", "a cause under this is not followed through the forecast")
MOST_FOLLOWED = _habit(2, "1", "organisms followed at once, so that nobody waits")
