"""What is suspected in a tank, on its page: only as if, with its strips, its chances, what isn't known."""

from datetime import timedelta

import pytest

from tankward.judge.suspects import suspects
from tankward.knowledge.loader import load
from tankward.model.result import Counted, GoneBy, Outlook, Series
from tankward.show.charts.table import chart_table, legend
from tankward.show.outlook_chart import outlook_chart
from tankward.show.words.outlook import HOLDS
from tankward.show.words.places import few_said
from tankward.show.words.suspected import gone_rows, gone_title, holds_said, lost_said, rests_on
from tankward.web.suspected import suspected

from .test_course_page import settled
from .visitor import NOW, Visitor

FACTS = load()
# T8 of 21.7 L with danios of which some were counted with white grains; T1 is well. All of it invented.
ROOM = """
1 May 2026 08:00  kit   region=other
1 May 2026 08:00  tank  T8  volume="21.7 L" temp=24C filter=sponge
1 May 2026 08:01  stock T8  kind=pearl_danio_celestial name=danios number=18 length=2.2cm
1 May 2026 08:00  tank  T1  volume="30 L" temp=24C filter=sponge
1 May 2026 08:01  stock T1  kind=guppy number=5 length=2cm
12 May 2026 20:00 reading T8  ammonia="0 mg/L as N" nitrite="0 mg/L as N" ph=7.4 temp=24C
12 May 2026 20:10 look  T8  seen=white_spots counts="white_spots 7"
"""


def line(where, unit, values, name="dactylogyridae"):
    values = tuple(float(v) for v in values)
    low, high = tuple(v / 2 for v in values), tuple(2 * v for v in values)
    return Series(
        name=name,
        where=where,
        unit=unit,
        kind="organism",
        low=low,
        q25=low,
        value=values,
        q75=high,
        high=high,
    )


def outlook(*series, **changed):
    chance = GoneBy(by=NOW + timedelta(days=7), days=7.0, low=0.2, value=0.5, high=0.6)
    told = {"likely": None, "since_h": 0.0, "counted": True, "chances": (chance,), "holds": "cautious-bound"}
    return Outlook(organism="dactylogyridae", cause="gill_flukes", series=series, **(told | changed))


@pytest.fixture(scope="module")
def keeper(tmp_path_factory):
    return Visitor(tmp_path_factory.mktemp("room") / "room", ROOM)


@pytest.fixture(scope="module")
def page(keeper):
    return settled(keeper, "/tanks/t8")


@pytest.fixture(scope="module")
def water(keeper, page):
    """The forecast that the page shows; its own organism is set aside for invented ones."""
    return keeper.client.app.state.forecasts.of("t8", NOW).forecast


def charted(keeper, water, o):
    return outlook_chart(water, o, keeper.desk.room(), FACTS, zone="UTC")


def flat(water, where, unit, value, end=None, **more):
    n = len(water.times_h)
    end = value if end is None else end
    return line(where, unit, [value + (end - value) * k / (n - 1) for k in range(n)], **more)


def test_it_is_named_as_a_suspicion_with_its_chances_by_day(page):
    words = page.words
    assert "If it is white spot suspected, not proven" in words
    section = words[words.index("If it is white spot") :]
    for part in ("Chance that it is gone", "Fri 15", "Tue 19", "9 Jun", HOLDS["cautious-bound"]):
        assert part in section
    assert "Fish that die of it until Tue 9 Jun" in section
    assert page.html.count('class="range"') >= 2
    assert "no look at a fish proves a cause" in section
    assert page.heading() != "White spot"


def test_where_nothing_is_suspected_there_is_no_strip(keeper):
    assert suspects(keeper.desk.room(), "t1", NOW, FACTS) == ()
    assert "If it is" not in settled(keeper, "/tanks/t1").words


def test_nothing_is_shown_before_the_forecast_is_there(keeper):
    held = keeper.client.app.state.forecasts.of("nowhere-yet", NOW)
    assert held.forecast is None
    assert suspected(keeper.desk.room(), held, (), NOW, "UTC", FACTS) == []


def test_a_strip_opens_where_it_matters_within_a_week_else_it_is_one_line(keeper, water):
    much = flat(water, "on fish", "1/fish", 12.0)
    few = flat(water, "water", "1/L", 0.5)
    chart = charted(keeper, water, outlook(much, few))
    assert [s.name for s in chart.strips] == ["On the fish"]
    assert (chart.strips[0].value, chart.strips[0].value_range) == ("12", "6 to 24")
    assert chart.quiet == "Free in the water 0.2 to 1 a litre."
    assert "on the fish 6 to 24 a fish" in chart.says
    none = charted(keeper, water, outlook(flat(water, "on fish", "1/fish", 0.1)))
    assert none.strips == ()
    assert none.quiet.startswith("On the fish")


def test_off_the_fish_a_strip_opens_where_there_is_more_and_more(keeper, water):
    ahead = [1.0 if hour <= water.now_h else 9.0 for hour in water.times_h]
    rises = charted(keeper, water, outlook(line("surfaces", "1/L", ahead)))
    stays = charted(keeper, water, outlook(flat(water, "surfaces", "1/L", 9.0)))
    assert [s.name for s in rises.strips] == ["On floor and glass"]
    assert stays.strips == ()


def test_the_ill_are_told_of_a_hundred_fish(keeper, water):
    chart = charted(keeper, water, outlook(flat(water, "on fish", "1", 0.2)))
    assert chart.strips[0].name == "Ill on the skin"
    assert (chart.strips[0].unit, chart.strips[0].value) == ("of 100 fish", "20")


def test_what_looks_counted_is_a_dot_and_a_line_of_the_table(keeper, water):
    at = water.now_h - 6.0
    o = outlook(
        flat(water, "on fish", "1/fish", 12.0), looks=(Counted(at_h=at, low=4.0, value=9.0, high=20.0),)
    )
    chart = charted(keeper, water, o)
    assert [(r.value, r.low, r.high) for r in chart.strips[0].readings] == [(9.0, 4.0, 20.0)]
    assert "Dot: what a look counted" in legend(chart)
    cells = [cell for row in chart_table(chart).rows for cell in row]
    assert "9, counted" in cells


def test_a_look_that_counted_reaches_the_forecast(water):
    (found,) = water.outlooks
    assert found.counted
    (look,) = found.looks
    assert 0 < look.low < look.value < look.high
    assert look.at_h == pytest.approx(water.now_h - 52 / 60)


def test_what_lives_in_every_tank_is_told_by_the_fish():
    o = outlook(holds="never-gone")
    assert gone_title(o) == "Chance that no fish is ill by"
    assert "Gone is no goal" in holds_said(o, FACTS)
    assert "while they are few" in holds_said(outlook(holds="while-few"), FACTS)


def test_a_withheld_chance_names_the_substance():
    o = outlook(chances=(), withheld=("copper",))
    assert gone_rows(o, NOW, "UTC") == []
    assert "copper" in holds_said(o, FACTS)
    assert any(
        "isn't known" in text
        for text in rests_on(outlook(silent={"copper": ("egg",)}, acts=("copper",)), FACTS)
    )


def test_a_chance_is_said_in_words_by_its_day():
    (row,) = gone_rows(outlook(), NOW, "UTC")
    assert row.day == "Tue 19"
    assert row.words == "About even, perhaps unlikely"
    assert row.numbers == "20 to 60 %"


def test_no_figure_that_nobody_could_count():
    assert [few_said(v) for v in (0.0001, 0.05, 0.31, 2.0, 3.4, 335.6)] == [
        "0", "under 0.1", "0.3", "2", "3", "336",
    ]  # fmt: skip


def test_fish_lost_are_whole_fish():
    lost = line("dactylogyridae", "1", [0.0] * 28 + [1.2], name="fish_lost")
    assert lost_said(outlook(lost), NOW + timedelta(days=7), NOW, "UTC") == (
        "Fish that die of it until Tue 19 May: 1 to 2."
    )
    assert lost_said(outlook(), NOW, NOW, "UTC") == ""


def test_a_tank_warmer_than_what_was_read_is_told_on_its_page(tmp_path):
    """White spot was read up to 29.4 °C on the fish."""
    warm = Visitor(tmp_path / "room", ROOM.replace("temp=24C", "temp=31C"))
    said = settled(warm, "/tanks/t8").words
    assert "lives was read at 7 to 29.4 °C: outside of that the nearest figure was taken" in said
    assert "29.4 °C" not in settled(warm, "/tanks/t1").words
