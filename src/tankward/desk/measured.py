"""Shorter ways to write what was measured: buckets counted, salt and a pen; the scale that is owned."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from tankward.quantities.faults import BadInput
from tankward.quantities.parse import Estimate, is_unknown, number, quantity
from tankward.quantities.working import Answer, Working, answer
from tankward.room.entries.animals import NetfulWeighed
from tankward.room.entries.shelf import SpoonWeighed
from tankward.room.entries.tanks import WaterMeasured
from tankward.room.forms import Form
from tankward.room.measuring import by_buckets
from tankward.room.numerals import plain
from tankward.room.replay import Room

from .calculations import CALCULATIONS

TRACER = CALCULATIONS["volume-by-salt"]
SALT_KEYS = tuple(i.name for i in TRACER.inputs)
BUCKET_KEYS = ("buckets", "bucket", "rest")
SPACE = re.compile(r"(?<=\d)(?=[A-Za-zµ])")  # "10L" as it is read aloud
SAYS = "The tank holds {shown} of water ({range})."


def measured(
    form: Form, texts: Mapping[str, str], room: Room, tank: str = ""
) -> tuple[dict[str, str], dict[str, Any]]:
    """A measurement in the shorter ways, and what follows from what the keeper owns.

    Raises
    ------
    BadInput
        For what is missing or can't be.
    """
    given = dict(texts)
    if form.record in (NetfulWeighed, SpoonWeighed) and room.kit.scale_g is not None:
        return given, {"step": room.kit.scale_g}
    if form.record is not WaterMeasured or "volume" in given:
        return given, {}
    if "salt" in given:
        return _kept(given, SALT_KEYS, salt_volume(given, room, tank), "salt", salt_told(given))
    if "buckets" in given:
        return _kept(given, BUCKET_KEYS, bucket_volume(given, room), "buckets", buckets_told(given))
    return given, {}


def _kept(
    given: Mapping[str, str], keys: tuple[str, ...], found: Answer, how: str, told: str
) -> tuple[dict[str, str], dict[str, Any]]:
    assert found.value is not None and found.low is not None and found.high is not None
    rest = {k: v for k, v in given.items() if k not in keys}
    return rest, {
        "volume": Estimate(found.value, found.low, found.high),
        "how": how,
        "measured": SPACE.sub(" ", given.get("measured", told)),
    }


def bucket_volume(texts: Mapping[str, str], room: Room) -> Answer:
    """The water of a tank by counted buckets: buckets=3.5 bucket=10L rest=2L."""
    full = float(number(texts["buckets"].strip(), "buckets"))
    if not 0 <= full <= 1000:
        raise BadInput("buckets", texts["buckets"], "can't be right: it lies between 0 and 1,000.")
    bucket = _bucket(texts.get("bucket", ""), room)
    rest = texts.get("rest", "").strip()
    rest_l = 0.0 if not rest or is_unknown(rest) else quantity(rest, "volume", "rest", room.kit.taste).value
    if rest_l < 0 or full * bucket + rest_l <= 0:
        raise BadInput("buckets", texts["buckets"], "comes to no water at all. Count what was poured.")
    work = Working("filled to the same mark each time, and the tank as full as it usually stands")
    work.step("buckets", "counted", full, "")
    work.step("one bucket", "to its mark", bucket, "L", status="memory")
    if rest_l:
        work.step("left over", "measured apart", rest_l, "L")
    found = by_buckets(full, bucket, rest_l)
    work.step("water", "buckets × bucket + left over; marks lie 5 % off", found.value, "L", status="memory")
    return answer(found.value, "L", work, low=found.low, high=found.high, says=SAYS)


def _bucket(text: str, room: Room) -> float:
    mine = room.kit.buckets_l
    if not text.strip() or is_unknown(text):
        if len(mine) == 1:
            return mine[0]
        told = "is missing: how much does the bucket hold? Write bucket=10L."
        raise BadInput("bucket", text, told)
    litres = quantity(text, "volume", "bucket", room.kit.taste).value
    if not 0 < litres <= 1000:
        raise BadInput("bucket", text, "can't be right: it lies between 0 and 1,000 L.")
    return litres


def buckets_told(texts: Mapping[str, str]) -> str:
    """As it was counted: "3.5 buckets of 10 L and 2 L"."""
    bucket, rest = texts.get("bucket", "").strip(), texts.get("rest", "").strip()
    of = f" of {bucket}" if bucket and not is_unknown(bucket) else ""
    more = f" and {rest}" if rest and not is_unknown(rest) else ""
    return f"{texts['buckets'].strip()} buckets{of}{more}"


def salt_volume(texts: Mapping[str, str], room: Room, tank: str = "") -> Answer:
    """The water of a tank by salt and a pen, by the calculation of that name."""
    own = {k: v for k, v in texts.items() if k in SALT_KEYS and v.strip() and not is_unknown(v)}
    if "temp" not in own and (temp := _temp(room, tank)):
        own["temp"] = temp
    return TRACER.run(own, room.kit.taste)


def _temp(room: Room, tank: str) -> str:
    known = room.tanks.get(tank)
    return f"{plain(known.temp_c.value)} C" if known and known.temp_c is not None else ""


def salt_told(texts: Mapping[str, str]) -> str:
    """As it was measured: "2 g of salt, 450 to 560 uS/cm, with a jar"."""
    jar = ", with a jar" if texts.get("jar-salt", "").strip() else ""
    return f"{texts['salt'].strip()} of salt, {texts.get('before', '')} to {texts.get('after', '')}{jar}"
