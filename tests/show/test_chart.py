"""What the bedside chart says: days, limits off the scale, the table, the legend, the printed file."""

from datetime import datetime, timedelta
from xml.etree import ElementTree

import msgspec
import numpy as np
import pytest

from tankward.show.charts import Limit, Reading, Strip, bedside, chart_table, legend, opened
from tankward.show.charts.scale import days_of, nice_ticks, said_hour, scale_of
from tests.show.pictures import BERLIN, chart

SVG = "{http://www.w3.org/2000/svg}"


def written(svg):
    return [(e.text, e.get("class")) for e in ElementTree.fromstring(svg).iter(f"{SVG}text")]


def strip(values, **more):
    return Strip(name="Ammonia", unit="mg/L", mid=np.asarray(values, float), **more)


def test_today_is_bold_and_never_left_out():
    for width in (280.0, 350.0, 984.0):
        today = [text for text, kind in written(bedside(chart(), width)) if kind == "day-name today"]
        assert len(today) == 1
        assert today[0].startswith("Tue")


def test_days_of_four_weeks_still_name_today():
    long = chart(hours=np.arange(0.0, 28 * 24.0, 6.0), strips=())
    names = [text for text, kind in written(bedside(long, 350)) if kind.startswith("day-name")]
    assert "12 May" in names
    assert len(names) < 10


def test_a_day_of_25_hours_is_25_hours_wide():
    """The clocks in Berlin went back on 26 October 2025."""
    autumn = chart(start=datetime(2025, 10, 25, tzinfo=BERLIN), now_h=30.0, strips=())
    lengths = [day.to_h - day.from_h for day in days_of(autumn)]
    assert lengths[:3] == [24, 25, 24]
    assert said_hour(autumn, 48.0) == "Sun 26, 23:00"


def test_a_far_limit_never_stretches_the_scale():
    calm = strip([0.001, 0.002])
    with_limit = msgspec.structs.replace(
        calm, limits=(Limit(level=5.0, words="keep under 5", kind="danger"),)
    )
    assert scale_of(with_limit).high == scale_of(calm).high
    assert [limit.words for limit in scale_of(with_limit).above] == ["keep under 5"]
    svg = bedside(chart(strips=(with_limit,), hours=np.array([0.0, 100.0])), 350)
    assert 'class="break"' in svg


def test_a_near_limit_is_on_the_scale():
    scale = scale_of(strip([0.01, 0.015], limits=(Limit(level=0.02, words="keep under 0.02"),)))
    assert scale.high >= 0.02
    assert 0.02 in scale.ticks
    assert scale.above == scale.below == ()


def test_a_limit_far_below_stands_below():
    scale = scale_of(strip([7.5, 8.0], floor=None, limits=(Limit(level=2, words="keep over 2", over=False),)))
    assert [limit.words for limit in scale.below] == ["keep over 2"]


def test_a_limit_nobody_measured_is_a_ring_and_words():
    svg = bedside(chart(), 350)
    assert 'class="m-unknown"' in svg
    assert "shrimp: not measured" in svg


@pytest.mark.parametrize(
    ("low", "high", "about", "ticks"),
    [
        (0, 6.4, 4, (0, 2, 4, 6)),
        (0, 0.02, 2, (0, 0.01, 0.02)),
        (24.6, 28.2, 2, (26, 28)),
        (0, 1, 4, (0, 0.25, 0.5, 0.75, 1)),
    ],
)
def test_ticks_are_round(low, high, about, ticks):
    assert nice_ticks(low, high, about) == pytest.approx(ticks)


def test_what_happened_is_solid_and_what_will_is_dashed():
    svg = bedside(chart(), 350)
    assert svg.count('class="mid past"') == svg.count('class="mid ahead"') == 2
    assert 'class="mid old"' in bedside(chart(old=True), 350)


def test_only_the_quantity_in_question_leads():
    assert bedside(chart(), 350).count('class="strip lead"') == 1


def test_the_table_says_the_same():
    table = chart_table(chart())
    assert table.head == ("When", "Metronidazole, mg/L", "Warmth, °C", "What happens", "thin", "dead")
    rows = {row[0]: row for row in table.rows}
    assert all(len(row) == len(table.head) for row in table.rows)
    assert rows["Sun 10, 06:00"][1] == "not known", (
        "before the first dose nothing is known, which is not zero"
    )
    assert rows["Mon 11, 00:30"][1:4] == ("5 (5 to 5)", "25.2 (24.9 to 25.5)", "350 mL")
    assert rows["Sun 10, 16:00"][2] == "25.1, read"
    assert rows["Tue 12, 18:30"][3] == "half out, 250 mL, planned"
    assert rows["Sun 10, 06:00"][4:] == ("3", "1")
    assert [when for when in rows if when.endswith("(now)")] == ["Tue 12, 18:12 (now)"]


def test_the_legend_names_only_what_is_drawn():
    assert "Dot: a reading" in legend(chart())
    bare = chart(strips=(strip([1.0, 2.0]),))
    assert legend(bare) == "Solid: what happened. Dashed: planned."


def test_a_flat_and_an_unknown_strip_can_be_drawn():
    hours = np.array([0.0, 50.0, 100.0])
    flat, unknown = strip([0.0, 0.0, 0.0]), strip([np.nan] * 3)
    svg = bedside(chart(strips=(flat, unknown), hours=hours, acts=(), counts=()), 350)
    assert ElementTree.fromstring(svg).get("role") == "img"
    assert "nan" not in svg


def test_the_whole_chart_is_small():
    """Two strips of 360 hours with fans, as sent to a phone."""
    assert len(bedside(chart(), 350).encode()) < 12_000


def test_a_file_that_stands_alone_carries_its_style():
    svg = bedside(chart(), 680, standalone=True)
    style = ElementTree.fromstring(svg).find(f"{SVG}style").text
    used = {name for e in ElementTree.fromstring(svg).iter() for name in e.get("class", "").split()}
    plain = {
        "bedside",
        "plot",
        "range-now",
        "strip",
        "past",
        "tick-label",
        "act-words",
        "day-name",
        "row-name",
        "done",
    }
    both = {"danger", "caution"}
    assert {name for name in used if f".{name}" not in style} <= plain | both
    assert "var(" not in style
    assert "DejaVu Sans" in style


def test_now_may_be_any_instant():
    later = chart(now_h=chart().now_h + timedelta(days=4) / timedelta(hours=1))
    assert ElementTree.fromstring(bedside(later, 280)).find(f"{SVG}title").text == later.says


HOURS = np.arange(0.0, 240.0, 24.0)  # now is hour 60
KEEP_UNDER_1 = (Limit(level=1.0, words="keep under 1"),)


@pytest.mark.parametrize(
    ("opens", "more"),
    [
        (True, {"lead": True}),
        (False, {}),
        (False, {"limits": KEEP_UNDER_1}),
        (True, {"limits": KEEP_UNDER_1, "high": np.where(HOURS == 216, 1.0, 0.5), "low": np.full(10, 0.4)}),
        (False, {"limits": KEEP_UNDER_1, "high": np.where(HOURS == 0, 1.0, 0.5), "low": np.full(10, 0.4)}),
        (True, {"limits": KEEP_UNDER_1, "readings": (Reading(hour=50, value=1.2),)}),
        (True, {"limits": (Limit(level=0.5, words="keep over 0.5", over=False),)}),
        (False, {"limits": (Limit(level=None, words="not measured"),)}),
    ],
)
def test_a_strip_opens_when_it_matters_within_a_week(opens, more):
    calm = Strip(name="Nitrite", unit="mg/L", mid=np.full(10, 0.5), value="0.5", **more)
    lead = Strip(name="Drug", unit="mg/L", mid=np.full(10, 3.0), lead=True)
    kept, quiet = opened(chart(strips=(lead, calm), hours=HOURS))
    assert [strip.name for strip in kept.strips] == (["Drug", "Nitrite"] if opens else ["Drug"])
    assert quiet == ("" if opens else "Nitrite 0.5: nothing to see.")


def test_a_chart_of_calm_strips_shows_them_all():
    calm = Strip(name="Nitrite", unit="mg/L", mid=np.full(10, 0.5), value="0.5")
    kept, quiet = opened(chart(strips=(calm,), hours=HOURS))
    assert (len(kept.strips), quiet) == (1, "")
