"""The strips of a tank: pH and KH where both were read, what medicated food leaves in the fish."""

from datetime import UTC, datetime, timedelta

import pytest

from tankward.knowledge.loader import load
from tankward.model.forecast import forecast
from tankward.room.acts import Feed
from tankward.room.text import room_of_text
from tankward.show.bedside import bedside_chart
from tankward.show.charts.table import chart_table

FACTS = load()
NOW = datetime(2026, 3, 7, 9, 20, tzinfo=UTC)
TANK = """
1 March 2026 08:00  tank     Nursery  volume="54 L" temp=26C filter=sponge filter-age="12 weeks" light=8h
1 March 2026 08:05  stock    Nursery  kind=guppy number=20 length=2.5cm
6 March 2026 20:00  reading  Nursery  ph={ph} temp=26C ammonia="0 mg/L as N"{more}
"""


def charted(ph="7.4", more="", planned=()):
    room = room_of_text(TANK.format(ph=ph, more=more))
    found = forecast(room, "nursery", NOW, facts=FACTS, planned=planned, draws=64)
    return bedside_chart(found, room, FACTS, says="Well.", zone="UTC", planned=planned)


def named(chart):
    return [s.name for s in chart.strips]


def test_ph_and_kh_are_one_line_while_they_do_not_matter():
    chart = charted(more=' kh="80 mg/L CaCO3"')
    assert not {"pH", "KH"} & set(named(chart))
    assert chart.quiet.startswith("pH 7.4, KH ")
    assert chart.quiet.endswith(": nothing to see.")


def test_ph_that_falls_far_opens_its_strip_with_kh_beside():
    chart = charted(ph="5.6", more=' kh="4 mg/L CaCO3"')
    assert named(chart)[-2:] == ["pH", "KH"]
    assert chart.quiet == ""
    ph = chart.strips[-2]
    assert [limit.words for limit in ph.limits] == ["keep over 5.5"]
    assert "pH" in chart_table(chart).head


def test_without_kh_nothing_is_told_of_ph():
    chart = charted()
    assert "pH" not in named(chart)
    assert chart.quiet == ""


def test_what_medicated_food_leaves_in_the_fish_leads_the_chart():
    fed = [(NOW + timedelta(hours=9), Feed(usual=1.0, actives_mg_per_g={"praziquantel": 10.0}))]
    chart = charted(planned=fed)
    own = [s for s in chart.strips if "in the fish" in s.unit]
    assert [s.name for s in own] == ["Praziquantel"]
    assert own[0].unit == "in the fish, mg/kg"
    assert own[0].lead and own[0].limits == () and own[0].works is None
    assert float(own[0].mid.max()) > 0


@pytest.mark.parametrize("zone", ["UTC", "Europe/Berlin"])
def test_the_line_for_now_is_where_the_forecast_begins(zone):
    room = room_of_text(TANK.format(ph="7.4", more=""))
    found = forecast(room, "nursery", NOW, facts=FACTS, draws=64)
    chart = bedside_chart(found, room, FACTS, says="Well.", zone=zone)
    assert chart.now_h == 84.0
    assert chart.start == NOW - timedelta(hours=84)
