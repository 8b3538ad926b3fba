"""What holds pH where it was read: the carbon dioxide that nothing here explains.

A reading of pH and alkalinity says how much carbon dioxide there is; the draw's breathing, rot, plants
and air would have another amount. The difference goes on as it is (given at a steady rate, or taken as a
steady share): the tank as it is usually kept rests at its reading, and only what changes moves it, such
as less air, more food, alkalinity used up, new water.
"""

from __future__ import annotations

from types import SimpleNamespace

import numpy as np

from tankward.knowledge.beliefs import drawn, estimated
from tankward.knowledge.known import Facts
from tankward.water.animals import O2_MG_PER_MMOL
from tankward.water.carbonate import CO2, co2_saturation_formula
from tankward.water.nitrogen import CACO3_PER_N, N
from tankward.water.oxygen import oxygen_saturation_formula

from .compose import Body
from .draws import uniform
from .known import row
from .processes.carbonate import co2_of
from .rows import Array, Rows, rows_of
from .setup import Setup
from .standing import Standing

ACIDS = 2.0  # given off by each nitrogen that the filter turns over
SHARED = ("co2_to_o2", "room_co2", "respiratory_quotient")  # they take one column in turn


def carbonate(th: Rows, setup: Setup, facts: Facts, draws: int) -> None:
    """Numbers of carbon dioxide and alkalinity; all nil where not both pH and alkalinity were read.

    Notes
    -----
    mg CO2 for each mg O2: quotient × 44.01 / 32.00. Each mg of nitrogen that turns into ammonia gives
    3.57 mg of alkalinity as CaCO3 and binds 3.14 mg of carbon dioxide (computed from the formulas).
    """
    shared = {fact: drawn(row(facts, fact), uniform("carbonate", draws, n)) for n, fact in enumerate(SHARED)}
    known = setup.ph is not None and setup.alkalinity is not None
    read = np.full(draws, float(known))
    th.carbonate_read = read
    th.co2_to_o2, th.room_co2_ppm = shared["co2_to_o2"], shared["room_co2"]
    th.co2_per_oxygen = read * shared["respiratory_quotient"] * CO2 / O2_MG_PER_MMOL
    th.alkalinity_per_n = read * CACO3_PER_N / ACIDS
    th.co2_per_n = read * CO2 / N
    about = setup.alkalinity
    th.alkalinity = read * (0.0 if about is None else estimated(about, uniform("reading_kh", draws)))
    th.co2_usual = th.alkalinity * co2_of(th.ph, th.temp_c)
    _of_the_tap(th, setup)
    th.co2_given_mg_h, th.co2_taken_1_h = np.zeros(draws), np.zeros(draws)


def _of_the_tap(th: Rows, setup: Setup) -> None:
    """What new water brings: its alkalinity, or that of the tank where it is not known; its carbon
    dioxide, or that of water which has stood in the room where its pH is not known.
    """
    told = "alkalinity" in setup.tap
    th.tap_alkalinity = th.carbonate_read * setup.tap["alkalinity"].value if told else th.alkalinity.copy()
    if told and "ph" in setup.tap:
        th.tap_co2 = th.tap_alkalinity * co2_of(setup.tap["ph"].value, th.temp_c)
    else:
        th.tap_co2 = th.carbonate_read * co2_saturation_formula(th.temp_c, th.room_co2_ppm)


def hold(th: Rows, body: Body, setup: Setup, usual: Standing) -> None:
    """What is given or taken so that carbon dioxide rests at its reading, over a day as the tank is kept.

    Notes
    -----
    The mean over light and dark of what all processes do to it where oxygen is full, what lies has come
    to its usual amount, and the filter turns over what it carries. What is missing is given at a steady
    rate; what is too much is taken as a share, so that it never falls below nothing. Nobody has measured
    it (computed).
    """
    if not setup.alkalinity or "co2_mg" not in body.state:
        return
    share_lit = usual.light_h / 24.0
    short = share_lit * _short(th, body, usual, True) + (1.0 - share_lit) * _short(th, body, usual, False)
    th.co2_given_mg_h = th.carbonate_read * np.maximum(-short, 0.0)
    held = np.maximum(th.co2_usual * th.volume_l, 1e-9)
    th.co2_taken_1_h = th.carbonate_read * np.maximum(short, 0.0) / held


def _short(th: Rows, body: Body, usual: Standing, lit: bool) -> Array:
    """How carbon dioxide would rise at its reading. [mg/h]"""
    draws = th.volume_l.size
    food = th.ration_mg_h * usual.feed if usual.food_g is None else usual.food_g * 1000.0 / 24.0
    e = SimpleNamespace(
        temp_c=th.temp_c, lit=lit, more_air=False, flows=True, powered=True, stock=1.0,
        ration_mg_h=th.ration_mg_h, food_mg_h=np.broadcast_to(food, (draws,)), left=np.ones(draws),
    )  # fmt: skip
    p = body.pace(e, th, draws)
    _, y = rows_of(body.state, draws)
    y.oxygen_mg[:] = oxygen_saturation_formula(th.temp_c) * th.volume_l
    y.co2_mg[:] = th.co2_usual * th.volume_l
    y.alkalinity_mg[:] = th.alkalinity * th.volume_l
    y.waste_mg[:] = p.left_mg_h / p.rot_1_h
    ones = np.ones(draws)
    changes, dy = rows_of(body.state, draws)
    body.rates(y, SimpleNamespace(filter=ones, plants=ones), p, th, dy, changes)
    return np.asarray(dy.co2_mg + ACIDS * th.co2_per_n * th.nitrified_usual * dy.tan_mg)
