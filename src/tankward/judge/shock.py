"""How much of the water one change may replace: what new water that is not like the old would do to them."""

from __future__ import annotations

from collections.abc import Collection
from typing import Literal

import msgspec

from tankward.knowledge.known import Facts
from tankward.quantities.faults import OutOfRange
from tankward.water.ammonia import unionised_share
from tankward.water.carbonate import ph_of_mixture
from tankward.water.mixing import mixture

from .choices import HALF_CHANGE, NH3_CARE, SMALL_CHANGE, Choice

By = Literal["half", "old", "salt", "ph", "ammonia", "kh", "gh", "conductivity"]
STRAIGHT = ("kh", "gh", "conductivity")  # what mixes straight
USUAL_TEMP_C = 25.0
EVERY_H = Choice(value=1.0, unit="h", why="new water is matched, warmed and let in slowly in between")
SMALL_EVERY_H = Choice(value=2.5, unit="h", why="every two to three hours: an old tank", status="memory")
SOFT_SHRIMP = "bee_shrimp"
# Less than a tenth of the water thins nothing. Where even that moves the salts further than they should go,
# the new water is to be matched first: it is said so [our own choice].
TENTH = Choice(value=0.1, unit="share", why="less thins nothing", status="memory")
STEPS = 20  # the share is looked for in so many parts of the largest


class Mixes(msgspec.Struct, frozen=True, kw_only=True):
    """What a water brings into a mixture; None: not known. Hardness in mg/L as CaCO3."""

    ph: float | None = None
    kh: float | None = None
    gh: float | None = None
    conductivity: float | None = None
    ammonia_n: float | None = None
    temp_c: float | None = None


class Bound(msgspec.Struct, frozen=True, kw_only=True):
    """What those who live there bear of a change, and by which rows it is so."""

    temp_c: float  # how far the new water may be off
    ph_day: float
    salts: float  # of what there is of them, at one change [share]
    salt_day: float  # of a salt that was dosed [share]
    source: str = "none"
    status: str = "common-practice"


class Largest(msgspec.Struct, frozen=True):
    """The most of the water that may be changed at once, what sets it, and the pH afterwards."""

    share: float
    by: By
    ph: float | None = None


def bound_of(facts: Facts, kinds: Collection[str] = (), *, tender: bool = False) -> Bound:
    """What they bear of a change.

    Parameters
    ----------
    facts : Facts
        The rows of `change_limit`.
    kinds : collection of str
        Ids of the animals that live there.
    tender : bool
        Fry, or fish that are sick.
    """
    rows = {r.id: (r.high or 0.0) for r in facts.hygiene.change_limit}
    return Bound(
        temp_c=rows["t_fry" if tender else "t_fish"],
        ph_day=rows["ph_day"],
        salts=rows["tds_shrimp" if SOFT_SHRIMP in kinds else "tds_change"] / 100.0,
        salt_day=rows["salt_down"] / 100.0,
    )


def largest(
    old: Mixes, new: Mixes, bound: Bound, *, small: bool, ph_lately: tuple[float, float] | None = None
) -> Largest:
    """The most that may be changed at once.

    Parameters
    ----------
    old, new : Mixes
        The tank's water, and what goes in.
    bound : Bound
        What they bear.
    small : bool
        The tank may be old and acid, and nobody knows better: 15 to 20 % (safety rule 17).
    ph_lately : pair, optional
        Lowest and highest pH of the last 24 hours; None: as it is now.

    Returns
    -------
    Largest
        Half at most; less where the salts would move by more than a quarter of themselves (then a tenth at
        least), the pH by more than it may in a day, or where the new pH would make the ammonia poisonous.

    Notes
    -----
    Salts by the conductivity; where it is not known, by the general hardness; the carbonate hardness shows
    itself in the pH and counts as a salt only where no pH is known. A quantity that is not known in both
    waters sets no bound of its own: then `small` is what is left.
    """
    most = Largest(SMALL_CHANGE.value, "old") if small else Largest(HALF_CHANGE.value, "half")
    salts = _salts(old, new)
    share = _straight(getattr(old, salts), getattr(new, salts), bound.salts) if salts else None
    if salts and share is not None and share < most.share:
        most = Largest(max(share, TENTH.value), salts)
    if old.ph is None or new.ph is None:
        return most
    span = ph_lately or (old.ph, old.ph)
    if old.kh is None or new.kh is None:
        return _by_ph_alone(most, old.ph, new.ph, span, bound)
    return _by_carbonate(most, old, new, span, bound)


def _salts(old: Mixes, new: Mixes) -> Literal["kh", "gh", "conductivity"] | None:
    """Which quantity tells how the salts move; None where nobody can say."""
    if old.conductivity is not None and new.conductivity is not None:
        return "conductivity"
    if old.gh is not None and new.gh is not None:
        return "gh"
    by_ph = old.ph is not None and new.ph is not None
    return None if by_ph or old.kh is None or new.kh is None else "kh"


def _straight(old: float | None, new: float | None, most: float) -> float | None:
    """Share at which something that mixes straight moves by `most` of itself. None: no bound."""
    if old is None or new is None or old == new or old <= 0.0:
        return None
    return most * old / abs(new - old)


def _by_ph_alone(most: Largest, old: float, new: float, span: tuple[float, float], bound: Bound) -> Largest:
    """Without carbonate hardness nobody can say where the pH of a mixture lies: little, if they differ."""
    fits = max(abs(new - end) for end in (*span, old)) <= bound.ph_day + 1e-9
    if fits or most.share <= SMALL_CHANGE.value:
        return Largest(most.share, most.by, None)
    return Largest(SMALL_CHANGE.value, "ph", None)


def _by_carbonate(most: Largest, old: Mixes, new: Mixes, span: tuple[float, float], bound: Bound) -> Largest:
    """The largest share, in twentieths of what is allowed, that keeps pH and ammonia within bounds."""
    by: By = most.by
    for part in range(STEPS, 0, -1):
        share = most.share * part / STEPS
        ph = ph_after(old, new, share)
        if ph is None:
            return _by_ph_alone(most, old.ph or 0.0, new.ph or 0.0, span, bound)
        if max(ph - span[0], span[1] - ph) > bound.ph_day + 1e-9:
            by = "ph"
        elif _poisons(old, new, share, ph):
            by = "ammonia"
        else:
            return Largest(share, by, ph)
    return Largest(0.0, by, old.ph)


def ph_after(old: Mixes, new: Mixes, share: float) -> float | None:
    """pH of the mixture; None where it can't be worked out."""
    if old.ph is None or new.ph is None or old.kh is None or new.kh is None:
        return None
    warm = USUAL_TEMP_C if old.temp_c is None else old.temp_c
    try:
        return float(ph_of_mixture(old.ph, old.kh, new.ph, new.kh, share, warm))
    except OutOfRange:
        return None


def _poisons(old: Mixes, new: Mixes, share: float, ph: float) -> bool:
    """Whether the poisonous part of the ammonia would rise over its bound, and over what it is now."""
    if old.ammonia_n is None or old.ph is None:
        return False
    warm = USUAL_TEMP_C if old.temp_c is None else old.temp_c
    before = old.ammonia_n * float(unionised_share(old.ph, warm))
    after = float(mixture(old.ammonia_n, new.ammonia_n or 0.0, share)) * float(unionised_share(ph, warm))
    return after > max(before, NH3_CARE.value) * (1.0 + 1e-9)


def mixed(old: Mixes, new: Mixes, share: float) -> Mixes:
    """The tank's water after a change. What is not known in both is not known afterwards."""
    straight = {
        name: float(mixture(a, b, share))
        for name in (*STRAIGHT, "ammonia_n")
        if (a := getattr(old, name)) is not None and (b := getattr(new, name)) is not None
    }
    ph = ph_after(old, new, share)
    known = old.ph if ph is None else ph
    return Mixes(ph=known, temp_c=old.temp_c, **straight)
