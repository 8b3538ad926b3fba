"""What today's readings changed: the same forecast without them, and nothing where nothing was read."""

from datetime import UTC, datetime

from tankward.judge.learned import learned
from tankward.knowledge.loader import load
from tankward.model.forecast import forecast
from tests.helpers.rooms import room_from

FACTS = load()
NOW = datetime(2026, 3, 9, 20, 0, tzinfo=UTC)
ROOM = """
1 March 2026 08:00  tank    A  volume="50 L" temp=25C filter=sponge
1 March 2026 08:01  stock   A  kind=guppy number=10 length=2.5cm
7 March 2026 08:00  reading A  ammonia="0 mg/L as N" nitrite="0 mg/L as N" ph=7.4 temp=25C
"""
BAD = '9 March 2026 18:00  reading A  nitrite="1 mg/L as N"\n'


def told(more=""):
    room = room_from(ROOM + more)
    found = forecast(room, "a", NOW, facts=FACTS, days=3, draws=64)
    return learned(room, found, (), "UTC", FACTS)


def test_without_a_reading_of_today_there_is_nothing_to_tell():
    assert told().moved == ()
    assert told('9 March 2026 18:00  reading A  where=tap nitrite="1 mg/L as N"\n').read == ()


def test_a_reading_out_of_line_moves_the_forecast_and_only_what_it_touches():
    found = told(BAD)
    assert found.read == ("nitrite_n",)
    by = {m.name: m for m in found.moved}
    assert by["nitrite_n"].matters
    assert by["nitrite_n"].after.value > 2 * by["nitrite_n"].before.value
    assert not by["temp_c"].matters


def test_the_day_is_that_of_the_keepers_clock():
    room = room_from(ROOM + BAD)
    found = forecast(room, "a", NOW, facts=FACTS, days=3, draws=64)
    assert learned(room, found, (), "Pacific/Kiritimati", FACTS).read == ("nitrite_n",)  # both on the 10th
    early = room_from(ROOM + BAD.replace("18:00", "04:00"))
    later = forecast(early, "a", NOW, facts=FACTS, days=3, draws=64)
    assert learned(early, later, (), "Pacific/Kiritimati", FACTS).read == ()  # there the 9th, now the 10th
