"""How much water a tank holds, with the working: measured, said, or made of its sizes."""

from __future__ import annotations

from datetime import datetime

from tankward.quantities.digits import shown_range
from tankward.quantities.parse import Estimate
from tankward.quantities.working import Answer, Named, Working, answer
from tankward.water.volume import WaterVolume

from .acts import Change, Lost, TopUp
from .replay import Room
from .things import Measurement, Tank
from .time import local
from .volume import porosity, volume_of

SAYS = "The water is {shown} ({range})."


def water_of(tank: Tank, room: Room | None = None) -> Answer:
    """The water in a tank.

    Parameters
    ----------
    tank : Tank
        As it is described.
    room : Room, optional
        Where later measurements may stand.

    Returns
    -------
    Answer
        Litres with range and working; `value` None where neither volume nor sizes are known. What was
        measured since a size was last described wins over what was said, and that over the sizes; where it
        lies outside what the sizes allow, a caution says so.

    Raises
    ------
    BadInput
        If the sizes can't be those of a tank.
    """
    sizes = volume_of(tank)
    found = room.measured.get(tank.id) if room is not None else None
    if found is not None:
        return _measured(found, sizes)
    if tank.volume_l is not None:
        return _told(tank.volume_l, "as you said", sizes)
    if sizes is None:
        return Answer(value=None, unit="L", says="How much water there is is not known.")
    bed = porosity(tank.grain) if tank.substrate_cm else Estimate.exact(0.0)
    return tell_volume(sizes, bed, glass_given=tank.glass_mm is not None)


def litres_now(tank: Tank, room: Room) -> Estimate | None:
    """The water in a tank as a range of litres; None is not known."""
    found = water_of(tank, room)
    if found.value is None or found.low is None or found.high is None:
        return None
    return Estimate(found.value, found.low, found.high)


def there_now(tank: Tank, room: Room, now: datetime) -> Estimate | None:
    """The water that is in a tank at an instant, after what happens in it; None is not known. [L]"""
    full = litres_now(tank, room)
    if full is None:
        return None
    left = left_share(room, tank.id, full.value, now)
    return full if left == 1.0 else Estimate(full.value * left, full.low * left, full.high * left)


def left_share(room: Room, tank_id: str, full_l: float, now: datetime) -> float:
    """Water that is there, against the full tank: less than 1 after a loss until it was filled up again. [-]

    A change fills the tank, a top-up brings its litres.
    """
    left = 1.0
    for at, act in room.acts(tank_id):
        if at > now:
            break
        match act:
            case Lost(share=share):
                left *= 1.0 - share
            case Change():
                left = 1.0
            case TopUp(volume_l=more):
                left = min(left + more / full_l, 1.0)
    return left


HOW = {"buckets": "counted buckets", "salt": "salt and a conductivity pen"}


def _when(found: Measurement) -> str:
    """How and when it was measured: "counted buckets, 12 March"."""
    how = HOW.get(found.how, "as you measured it")
    if found.at is None:
        return how
    there = local(found.at, found.zone)
    return f"{how}, {there.day} {there:%B}"


def _measured(found: Measurement, sizes: WaterVolume | None) -> Answer:
    """The measurements one by one; where two can't both be right, their whole span and the way out."""
    work = Working()
    for one in found.every:
        told = f"{_when(one)}{f' ({one.measured})' if one.measured else ''}"
        span = shown_range(one.volume_l.low, one.volume_l.high, "L")
        work.step(told, span if one.volume_l.ranged else "", one.volume_l.value, "L")
    if found.disagree:
        told = "; ".join(
            f"{_when(m)}: {shown_range(m.volume_l.low, m.volume_l.high, 'L')}" for m in found.every
        )
        work.caution(
            f"Your measurements disagree ({told}). All of it is reckoned with. Measure once more, and take "
            "the wrong one back in the log."
        )
    return _told(found.settled, "of what was measured", sizes, work)


def _told(volume: Estimate, formula: str, sizes: WaterVolume | None, work: Working | None = None) -> Answer:
    work = work or Working()
    if not work.steps or work.cautions or volume.value != work.steps[-1].value:
        work.step("water", formula, volume.value, "L")
    if sizes is not None:
        by_size = sizes.estimate
        work.step("by the sizes", "floor × height − grains − solids", by_size.value, "L", source="GEOM")
        if volume.high < by_size.low or volume.low > by_size.high:
            work.caution("That is not what the sizes hold: one of the two is wrong.")
    return answer(volume.value, "L", work, low=volume.low, high=volume.high, says=SAYS)


def tell_volume(found: WaterVolume, bed: Estimate, *, glass_given: bool) -> Answer:
    """The working of a volume: what the sizes hold, less grains and hard things."""
    work = Working("sizes inside the glass" if not glass_given else "sizes outside; the glass was taken off")
    work.step("floor inside the glass", "by the shape", found.floor_cm2, "cm2", source="GEOM")
    work.step("the sizes hold", "floor × water height", found.full_l, "L", source="GEOM")
    if found.grains_l:
        work.step(
            "grains",
            "floor × substrate × (1 − porosity)",
            found.grains_l,
            "L",
            inputs={"porosity": bed.value, "porosity low": bed.low, "porosity high": bed.high},
            source="GEOM",
            status="memory",
        )
    if found.solids_l:
        work.step("wood and stone", "as given", found.solids_l, "L")
    work.step("water", "what the sizes hold − grains − wood and stone", found.water_l, "L")
    e = found.estimate
    parts = (
        Named.of("the sizes hold", found.full_l, "L"),
        Named.of("grains", found.grains_l, "L"),
        Named.of("wood and stone", found.solids_l, "L"),
    )
    return answer(e.value, "L", work, low=e.low, high=e.high, also=parts, says=SAYS)
