"""What the forecast adds to the water as it is judged: the worst that is to come, and when bad
water is good again.
"""

from __future__ import annotations

import msgspec

from tankward.model.result import Forecast
from tankward.quantities.parse import Estimate

from .choices import NH3_CARE, NITRITE_CARE
from .waterstate import WaterState

WORST = {"oxygen": "least", "nh3_n": "peak", "nitrite_n": "peak"}
LIMITS = {"nh3_n": NH3_CARE, "nitrite_n": NITRITE_CARE}


def with_forecast(state: WaterState, forecast: Forecast) -> WaterState:
    """The same water with what is to come.

    Parameters
    ----------
    state : WaterState
        The water as it is.
    forecast : Forecast
        Of the same tank.

    Returns
    -------
    WaterState
        The highest ammonia and nitrite and the lowest oxygen from now on; the hour from which ammonia and
        nitrite stay under their limits to the end of the forecast; whether the readings fit together.
    """
    names = {s.name for s in forecast.series}
    ahead = {n: _worst(forecast, n, kind) for n, kind in WORST.items() if n in names}
    clear = {
        n: h for n, c in LIMITS.items() if n in names and (h := clear_from(forecast, n, c.value)) is not None
    }
    return msgspec.structs.replace(state, ahead=ahead, clear_in_h=clear, fits=forecast.fits)


def _worst(forecast: Forecast, name: str, kind: str) -> Estimate:
    found = forecast.peak(name) if kind == "peak" else forecast.least(name)
    return Estimate(found.value, found.low, found.high)


def clear_from(forecast: Forecast, name: str, limit: float) -> float | None:
    """Hours from now after which the likely level stays under a limit; None where it does not
    within the forecast.
    """
    line = [
        (t - forecast.now_h, v)
        for t, v in zip(forecast.times_h, forecast.of(name).value, strict=True)
        if t >= forecast.now_h
    ]
    over = [t for t, v in line if v > limit]
    if not over:
        return 0.0
    later = [t for t, _ in line if t > over[-1]]
    return later[0] if later else None
