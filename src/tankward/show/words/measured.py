"""An amount in the keeper's own measure: what to take, with what, how far it may be out."""

from __future__ import annotations

import msgspec

from tankward.quantities.digits import plain_number, shown, shown_range
from tankward.treat.amounts.batch import Batch
from tankward.treat.amounts.dosing import pieces, product_shown
from tankward.treat.amounts.measure import Measured

from .acts import upper

MG_PER_G = 1000.0
LEAST_MG_L = 0.001  # nobody measures so little at home [our own choice]
UNMEASURED = 0.01  # of the high end: a level under it is told by the high end alone [our own choice]
OFF = ("spoon", "syringe", "jug", "piece")  # tools whose error is worth a word
SMALL = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")


class Amount(msgspec.Struct, frozen=True, kw_only=True):
    """The number large, its unit, what it is of; the same in one phrase; how to come by it."""

    number: str
    unit: str
    of: str = ""
    short: str
    how: str = ""


def amount_of(measured: Measured, of: str = "") -> Amount:
    """An amount as it is measured.

    Parameters
    ----------
    measured : Measured
        What is to be given, and with which tool.
    of : str
        What it is an amount of: "cooking salt". Left out for packets, which name themselves.
    """
    if measured.batch is not None:
        return _batch(measured.batch)
    number, unit = _parted(measured)
    short = counted(measured.amount, measured.unit) if measured.tool == "piece" else f"{number} {unit}"
    named = f"of {of}" if of and measured.tool != "piece" else ""
    return Amount(number=number, unit=unit, of=named, short=short, how=_how(measured))


def _parted(m: Measured) -> tuple[str, str]:
    if m.tool == "scale":
        step_g = (m.high - m.low) / 2 / MG_PER_G
        return plain_number(m.amount / MG_PER_G, step_g), "g"
    if m.tool == "spoon":
        number, _, unit = pieces(m.count, f"level {m.tool_name}").partition(" ")
        return number, unit
    number, _, unit = product_shown(m.amount, m.unit).partition(" ")
    return number, unit


def counted(count: float, piece: str) -> str:
    """ "one and a half sachets": whole and half ones in words."""
    whole, rest = divmod(count, 1)
    if whole > 10 or rest not in (0.0, 0.5):
        return pieces(count, piece)
    many = pieces(2 if count > 1 else 1, piece).partition(" ")[2]
    if rest == 0.0:
        return f"{SMALL[int(whole)]} {many}"
    return f"half a {piece}" if whole == 0 else f"{SMALL[int(whole)]} and a half {many}"


def _how(m: Measured) -> str:
    told = {
        "scale": f"Weighed on the {m.tool_name}",
        "spoon": "Spoon level, not heaped",
        "syringe": f"With the {m.tool_name}",
        "jug": "With a measuring jug",
        "drops": "Counted, bottle upright",
        "piece": "Halved by eye" if m.count % 1 else "",
        "none": "Too little for what you own: make a larger batch, or ask someone with a finer scale",
    }.get(m.tool, "")
    off = max(m.high - m.amount, m.amount - m.low) / m.amount if m.amount else 0.0
    out = f", out by at most {shown(100 * off, '%')}" if told and off >= 0.02 and m.tool in OFF else ""
    kit = " (a common kit: yours isn't written down)" if m.assumed_kit and told else ""
    return f"{told}{out}{kit}." if told else ""


def _batch(b: Batch) -> Amount:
    """So much of a cup, a bottle or a dilution."""
    into = shown(b.into_ml / 1000, "L")
    taken = (
        counted(b.take, b.take_unit) if b.take_unit not in ("mg", "L") else product_shown(b.take, b.take_unit)
    )
    number, _, unit = shown(b.portion_ml / 1000, "L").partition(" ")
    of = f"of the {into} with {taken} stirred in" if not b.steps else f"of the thinned {into} with {taken}"
    return Amount(number=number, unit=unit, of=of, short=f"{number} {unit}", how=batch_how(b))


def batch_how(b: Batch) -> str:
    """How the cup, the bottle or the dilution is made."""
    into = shown(b.into_ml / 1000, "L")
    taken = (
        counted(b.take, b.take_unit) if b.take_unit not in ("mg", "L") else product_shown(b.take, b.take_unit)
    )
    start = (
        f"{upper(taken)} into {into} of water, stirred"
        if b.kind != "liquid"
        else (f"{upper(taken)} filled up to {into} with water")
    )
    thin = ""
    if b.steps:
        times = "once" if b.steps == 1 else f"{SMALL[b.steps]} times over"
        thin = f"; {b.step_take_ml:g} mL of that filled up to {b.step_into_ml:g} mL, {times}"
    give = f"Give {shown(b.portion_ml / 1000, 'L')} with the {b.tool}"
    rest = b.into_ml - b.portion_ml
    if b.pour_out_ml is not None:
        give = f"Take {shown(b.pour_out_ml / 1000, 'L')} out with the {b.tool} and give the rest"
        rest = 0.0
    left = " The rest down the sink after carbon, not into another tank." if rest > 0 or b.pour_out_ml else ""
    return f"{start}{thin}. {give}; out by at most {shown(max(100 * b.off, 1.0), '%')}.{left}"


def buckets(litres: float, sizes: tuple[float, ...]) -> str:
    """Litres in the keeper's own buckets: "one and a half of your 10 L buckets"."""
    if not sizes:
        return ""
    size = max(sizes)
    halves = round(litres / size * 2) / 2
    if halves < 0.5 or abs(halves * size - litres) > 0.1 * litres:
        return ""
    many = counted(halves, "bucket").removesuffix(" buckets").removesuffix(" bucket")
    if halves <= 1:
        return f"{'half a' if halves == 0.5 else 'one'} {shown(size, 'L')} bucket"
    return f"{many} {shown(size, 'L')} buckets"


def level_shown(value: float, unit: str) -> str:
    """How strong: grams where milligrams would run into thousands."""
    return (
        shown(value / MG_PER_G, "g/L") if unit == "mg/L" and value >= 0.995 * MG_PER_G else shown(value, unit)
    )


def level_range(low: float, high: float, unit: str) -> str:
    """The same of a range; what is so small that nobody could measure it is no figure."""
    if unit.startswith("mg/L") and 0.0 < high < LEAST_MG_L:
        return f"under {shown(LEAST_MG_L, unit)}"
    if 0.0 < low < UNMEASURED * high:
        return f"under {level_shown(high, unit)}"
    if unit == "mg/L" and high >= 0.995 * MG_PER_G:
        return shown_range(low / MG_PER_G, high / MG_PER_G, "g/L")
    return shown_range(low, high, unit)


def degrees(value: float) -> str:
    """A difference of warmth, without a tenth that nobody asked for."""
    return f"{plain_number(value)} °C"
