"""A course is not begun while somebody in it is unknown to the medicine: rules 1 and 6. Invented room."""

from datetime import UTC, datetime

import pytest

from tankward.desk.courses import Wanted, begun, propose
from tankward.knowledge.loader import load
from tankward.quantities.faults import Refused
from tankward.show.words.course import course_name, entry_steps
from tankward.show.words.step_parts import Context
from tests.helpers.rooms import room_from

NOW = datetime(2026, 5, 14, 18, 0, tzinfo=UTC)
FACTS = load()
ROOM = """
1 May 2026 08:00  tank   T3  length=60cm width=30cm fill=30cm filter=sponge filter-age="300 days" temp=24C
1 May 2026 08:01  stock  T3  kind=kuhli_loach number=6 length=7cm
1 May 2026 08:02  kit    scale=0.01g syringes="1/5/20 mL" region=UK
14 May 2026 17:00 reading T3  ammonia="0 mg/L as N" nitrite="0 mg/L as N" ph=7.2 temp=24C oxygen="7.5 mg/L"
"""
TRIED = ROOM + '12 May 2026 18:00 jar_trial T3 malachite_green="0.055 mg/L" hours=24h lived="kuhli_loach 1"\n'
TUB = Wanted(substance="malachite_green", route="water_long", cause="white_spot", place="tub")


def begin(text):
    room = room_from(text)
    course = propose(room, "t3", TUB, NOW, "UTC", FACTS)
    said = entry_steps(Context(course=course, facts=FACTS, kit=room.kit, shelf=room.shelf))
    return course, begun(room, course, said, course_name(course, FACTS), NOW, "UTC")


def test_malachite_green_in_a_tub_is_shown_but_not_begun_while_unknown_to_loaches():
    with pytest.raises(Refused) as stopped:
        begin(ROOM)
    (reason,) = stopped.value.reasons
    assert reason.kind == "jar-first"
    assert len(reason.who) == 1 and reason.who[0].startswith("kuhli loach")
    assert "jar trial" in reason.would_change


def test_a_jar_without_harm_opens_it():
    course, entry = begin(TRIED)
    assert not course.jar_trial
    assert entry.substance == "malachite_green"
