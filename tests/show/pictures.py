"""An invented chart and an invented room, to be drawn by the tests."""

from datetime import datetime
from zoneinfo import ZoneInfo

import numpy as np

from tankward.show.charts import Act, Chart, CountRow, Limit, Reading, Strip, Works
from tankward.show.drawings.drawn import RackTank

BERLIN = ZoneInfo("Europe/Berlin")
DOSES_H = (18.5, 60.5, 108.5)


def hours_with_jumps(end_h=180.0):
    """Half-hour steps; at a dose the hour stands twice."""
    return np.sort(np.concatenate([np.arange(0.0, end_h, 0.5), DOSES_H]))


def level(hours, rate):
    """5 mg/L after each dose, fading."""
    out = np.full(hours.size, np.nan)
    for dose in DOSES_H:
        first = int(np.searchsorted(hours, dose)) + 1
        out[first:] = 5.0 * np.exp(-rate * (hours[first:] - hours[first]))
    return out


def chart(**changes):
    hours = hours_with_jumps()
    drug = Strip(
        name="Metronidazole", unit="mg/L", kind="in the water", lead=True, value="3.3",
        value_range="2.2 to 4.1", mid=level(hours, 0.0095), low=level(hours, 0.02), q25=level(hours, 0.013),
        q75=level(hours, 0.007), high=level(hours, 0.004), works=Works(low=4, high=6, words="works: 4 to 6"),
        limits=(
            Limit(level=7, words="keep under 7"),
            Limit(level=15, words="refused over 15", kind="danger"),
            Limit(level=None, words="shrimp: not measured"),
        ),
    )  # fmt: skip
    warmth = 25 + 0.2 * np.sin(hours / 12)
    strips = (
        drug,
        Strip(
            name="Warmth", unit="°C", kind="", mid=warmth, low=warmth - 0.3, high=warmth + 0.3, floor=None,
            readings=(Reading(hour=10, value=25.1, low=24.9, high=25.3),),
            limits=(Limit(level=28, words="keep under 28"),),
        ),
    )  # fmt: skip
    fields = {
        "says": "The drug has thinned below what works.",
        "start": datetime(2026, 5, 10, 6, tzinfo=BERLIN),
        "now_h": 60.2,
        "hours": hours,
        "strips": strips,
        "acts": (
            Act(hour=18.5, words="350 mL", done=True),
            Act(hour=60.5, words="half out, 250 mL", short="250", done=False),
        ),
        "counts": (
            CountRow(name="thin", counts={0: 3, 1: 2}),
            CountRow(name="dead", counts={0: 1}, dead=True),
        ),
        "counts_of": "Seen, of ten fish",
    }
    return Chart(**{**fields, **changes})


TANKS = (
    RackTank(
        name="T1", url="/tanks/1", width_cm=60, height_cm=30, water_cm=26, litres="46 L",
        caption=("14 rainbowfish", "well"), form="torpedo",
    ),
    RackTank(
        name="T2", url="/tanks/2", width_cm=30, height_cm=20, water_cm=18, caption=("10 shrimp", "sick"),
        mark="danger", mark_words="sick", sand=True, form="shrimp",
    ),
    RackTank(name="T3 <b>", width_cm=45, height_cm=27, empty=True, caption=("empty & dry", "")),
)  # fmt: skip
