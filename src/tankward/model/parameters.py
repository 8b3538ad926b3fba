"""A setup and the facts into numbers for each draw."""

from __future__ import annotations

from collections.abc import Sequence
from types import ModuleType, SimpleNamespace

import numpy as np

from tankward.knowledge.beliefs import Z95, drawn, estimated, normal, quantile
from tankward.knowledge.known import Facts
from tankward.knowledge.records.base import Drawn
from tankward.quantities.parse import Estimate
from tankward.water.chlorine import ammonia_n_from_chloramine
from tankward.water.nitrogen import nitrifier_ph_factor

from .draws import uniform
from .kits import acidity
from .known import BREATH, GUILDS, row, valid_c
from .processes.nitrification import speed
from .resting import carbonate
from .rows import ALL, Array, Rows
from .setup import Setup
from .tank import PROCESSES

SURFACE = {
    "sponge": "kla_sponge",
    "box": "kla_ripple",
    "canister": "kla_ripple",
    "internal": "kla_ripple",
    "none": "kla_still",
}
GOES_WITH_DEPTH = ("kla_still", "kla_ripple")
BOX_CM2 = 1000 ** (2 / 3) * 10 / 2 ** (2 / 3)  # outside of a 2 × 1 × 1 box of one litre


def parameters(setup: Setup, facts: Facts, draws: int, processes: Sequence[ModuleType] = PROCESSES) -> Rows:
    """Every number that the processes read, one value for each draw.

    Parameters
    ----------
    setup : Setup
        The tank.
    facts : Facts
        Where the ranges come from.
    draws : int
        64, 128, 256, 512 or 1024; fewer are the first of more.
    processes : sequence of modules
        Whose numbers are drawn.

    Returns
    -------
    Rows
        Arrays of length `draws` by name.
    """
    th = SimpleNamespace()
    for process in processes:
        for name, fact in process.DRAWN.items():
            setattr(th, name, drawn(row(facts, fact), uniform(name, draws)))
    for part in (*_PLAIN, _animals, _air, _beyond, _filter, carbonate):
        part(th, setup, facts, draws)
    return th


def plain_parameters(setup: Setup, facts: Facts, draws: int) -> Rows:
    """What a substance alone needs of the water: volume, warmth, light, what new water brings."""
    th = SimpleNamespace()
    for part in _PLAIN:
        part(th, setup, facts, draws)
    return th


def _take(facts: Facts, fact: str, name: str, draws: int) -> Array:
    return drawn(row(facts, fact), uniform(name, draws))


def _known(about: Estimate | None, unknown: Drawn, off: float, name: str, draws: int) -> Array:
    """A value as told, off by at most `off` where no range was told; the range of the unknown where it
    was not.
    """
    u = uniform(name, draws)
    if about is None:
        return drawn(unknown, u)
    return estimated(about, u) if about.ranged else quantile(about.value - off, about.value + off, "C", u)


def _water(th: Rows, setup: Setup, facts: Facts, draws: int) -> None:
    kits = facts.kits
    th.volume_l = estimated(setup.volume_l, uniform("volume_l", draws))
    th.per_l = 1.0 / th.volume_l
    th.temp_c = _known(
        setup.temp_c, row(facts, "temp_unknown"), kits["thermometer_digital"].lot.high, "temp_c", draws
    )
    u = uniform("ph", draws)
    th.ph = drawn(row(facts, "ph_unknown"), u) if setup.ph is None else acidity(setup.ph, facts, u)


def _animals(th: Rows, setup: Setup, facts: Facts, draws: int) -> None:
    u = uniform("fish_g", draws)
    living = setup.living
    if living is None:
        grams = drawn(row(facts, "fish_g_l"), u) * th.volume_l
        th.fish_g, th.breath_50g = grams, grams / 50.0 * 50.0**0.21  # as fish of a gram
        th.planted = np.zeros(draws)
    else:
        th.fish_g, th.breath_50g = estimated(living.mass_g, u), estimated(living.breath_50g, u)
        th.planted = np.full(draws, float(living.planted))
    th.feed_share = _take(facts, "feed_share", "feed_share", draws)
    th.ration_mg_h = th.fish_g * th.feed_share / 100.0 * 1000.0 / 24.0


def _air(th: Rows, setup: Setup, facts: Facts, draws: int) -> None:
    """Gas exchange at 20 °C, as the tank runs, with more air, and the part that the surface does. [1/h]"""
    fact = SURFACE.get(setup.filter, "kla_unknown")
    th.kla_20 = _take(facts, fact, "kla_20", draws)
    if fact in GOES_WITH_DEPTH:
        th.kla_20 = _deep(th.kla_20, setup, facts)
    th.kla_surface_20 = th.kla_20 if fact in GOES_WITH_DEPTH else np.zeros(draws)
    still = (
        th.kla_20 if fact == "kla_still" else _deep(_take(facts, "kla_still", "kla_20", draws), setup, facts)
    )
    stone = _take(facts, "kla_airstone", "kla_more_20", draws)
    th.kla_still_20 = np.minimum(still, th.kla_20)
    th.kla_air_20 = stone
    th.kla_stone_20 = stone if setup.air else np.zeros(draws)
    if setup.air:
        th.kla_20 = np.maximum(th.kla_20, stone)
    th.kla_more_20 = np.maximum(th.kla_20, stone)


def _deep(kla: Array, setup: Setup, facts: Facts) -> Array:
    """Through the surface: the deeper the water, the slower. [1/h]"""
    return kla * facts.tank["kla_depth"].low / setup.depth_cm if setup.depth_cm else kla


def _heat(th: Rows, setup: Setup, facts: Facts, draws: int) -> None:
    """Where the water's warmth goes: rate of cooling [1/h], what the heater can do [°C/h], the room [°C]."""
    cm2 = setup.glass_cm2 or BOX_CM2 * setup.volume_l.value ** (2 / 3)
    wh_per_k = facts.tank["water_heat"].low * th.volume_l
    th.cooling_1_h = _take(facts, "heat_loss", "heat_loss", draws) * cm2 * 1e-4 / wh_per_k
    th.heating_c_h = _take(facts, "heater_share", "heater_share", draws) * th.volume_l / wh_per_k
    room = _take(facts, "room_temp", "room_temp_c", draws)
    th.room_c = th.temp_c if setup.heater is False else np.minimum(room, th.temp_c)


def _light(th: Rows, setup: Setup, facts: Facts, draws: int) -> None:
    """Where the hours of light are not known, they count as a usual day's, stronger or weaker."""
    hours = _take(facts, "light_hours", "light_h", draws)
    th.light_scale = np.ones(draws) if setup.light_h is not None else hours / usual_light_h(facts)


def usual_light_h(facts: Facts) -> float:
    """The middle of the usual hours of light a day."""
    usual = row(facts, "light_hours")
    return float(np.sqrt(usual.low * usual.high))


def _beyond(th: Rows, setup: Setup, facts: Facts, draws: int) -> None:
    """For which warmth guilds and breath were fitted [°C], and how much less sure each degree beyond makes
    them: × ÷ `widen_beyond` for every `widen_beyond_step`. [1/°C]
    """
    widen = np.log(facts.conversion["widen_beyond"].low) / facts.conversion["widen_beyond_step"].low
    for name, equation in (("guilds", GUILDS), ("breath", BREATH)):
        low, high = valid_c(facts, equation)
        setattr(th, f"{name}_from_c", np.full(draws, low))
        setattr(th, f"{name}_to_c", np.full(draws, high))
        setattr(th, f"{name}_beyond_1_c", widen * normal(uniform(f"{name}_beyond", draws)) / Z95)


def _filter(th: Rows, setup: Setup, facts: Facts, draws: int) -> None:
    """What each guild can turn over at the beginning. [mg N/h at the guild's reference temperature]

    Notes
    -----
    What the usual food makes, times what a filter of this age carries of it (memory); the second guild
    of a young filter lags behind.
    """
    protein = th.ration_mg_h * th.feed_protein
    made = protein * ((1 - th.uneaten) * th.tan_per_protein + th.uneaten * th.protein_nitrogen)
    carried = _carried(setup, facts, draws)
    stood = setup.filter != "none"  # else what turns it over sits on glass and ground, and goes on
    th.stood_share = th.stood_share if stood else np.ones(draws)
    th.stood_half_h = th.stood_half_h if stood else np.full(draws, np.inf)
    th.nitrified_usual = np.minimum(carried, 1.0)
    young = carried_fact(setup, facts) != ("filter_start_run_in", "filter_start_run_in")
    lag = _take(facts, "nitrite_guild_lag", "second_guild_lag", draws) if young else np.ones(draws)
    acid = nitrifier_ph_factor(th.ph)
    acid = np.where(acid > 0, acid, 1.0)  # a filter that is run in carries its load at its own pH
    first = speed(th, th.first_activation_kj, th.temp_c, ALL) * acid
    second = speed(th, th.second_activation_kj, th.temp_c, ALL) * acid
    th.first_start_mg_h = made * carried / first
    th.second_start_mg_h = made * carried * lag / second


def carried_fact(setup: Setup, facts: Facts) -> tuple[str, str]:
    """Between which two facts the filter's strength at the beginning lies; twice the same where its age
    is known.
    """
    if setup.filter == "none":
        return "filter_start_new", "filter_start_new"
    age = setup.filter_age_d
    if age is None:
        return "filter_start_young", "filter_start_run_in"
    if age >= facts.tank["filter_run_in_d"].low:
        return "filter_start_run_in", "filter_start_run_in"
    if age >= facts.tank["filter_young_d"].low:
        return "filter_start_young", "filter_start_young"
    new = "filter_start_seeded" if setup.filter_seeded else "filter_start_new"
    return new, new


def _carried(setup: Setup, facts: Facts, draws: int) -> Array:
    low, high = (row(facts, fact) for fact in carried_fact(setup, facts))
    return quantile(low.low, high.high, "ratio", uniform("filter_start", draws))


def _tap(th: Rows, setup: Setup, facts: Facts, draws: int) -> None:
    for name in ("ammonia_n", "nitrite_n", "nitrate_n"):
        setattr(th, f"tap_{name}", np.full(draws, setup.tap[name].value if name in setup.tap else 0.0))
    if setup.tap_chloramine and "ammonia_n" not in setup.tap:
        chlorine = _take(facts, "cl.tap", "tap_chloramine", draws)
        th.tap_ammonia_n = np.asarray(ammonia_n_from_chloramine(chlorine))


_PLAIN = (_water, _heat, _light, _tap)
