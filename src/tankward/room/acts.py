"""What can be done to water and animals. One type, used three times.

An entry is an act done, a step is an act planned, an event of the model is an act at an instant. Amounts are
in base units (mg, L, C, h); a range or "don't know" was settled where it was entered.
"""

from __future__ import annotations

import msgspec


class Act(msgspec.Struct, frozen=True, kw_only=True, tag_field="act"):
    """The common type of all acts."""


class Dose(Act, frozen=True, tag="dose"):
    """Substance put into the water. `actives` is what counts; the rest says what was measured out."""

    actives: dict[str, float]  # substance id -> mg
    supply: str = ""
    units: float | None = None
    measured: str = ""  # "250 mL of 400 mL", as the keeper measured it


class Change(Act, frozen=True, tag="change"):
    """Water taken out and replaced."""

    share: float
    temp_c: float | None = None
    dechlorinated: bool | None = None


class TopUp(Act, frozen=True, tag="top_up"):
    """Evaporated water replaced."""

    volume_l: float


class Siphon(Act, frozen=True, tag="siphon"):
    """The floor siphoned."""

    floor_share: float = 0.5


class Media(Act, frozen=True, tag="media"):
    """Carbon, zeolite or another medium put into the filter or taken out."""

    medium: str = "activated_carbon"
    into: bool = True


class Heat(Act, frozen=True, tag="heat"):
    """The heater set; None: unplugged."""

    temp_c: float | None


class Air(Act, frozen=True, tag="air"):
    """Air and surface movement turned up or back to usual."""

    more: bool = True


class Light(Act, frozen=True, tag="light"):
    """Hours of light a day from now on; 0 is dark."""

    hours_per_day: float


class Feed(Act, frozen=True, tag="feed"):
    """Feeding from now on. `share` is of body weight a day, as fed; 1.0 of `usual` is the usual ration."""

    usual: float = 1.0
    food_g: float | None = None
    actives_mg_per_g: dict[str, float] = {}


class Bath(Act, frozen=True, tag="bath"):
    """Animals in a tub of treated water for some minutes."""

    actives: dict[str, float]
    volume_l: float
    minutes: float
    stock: str = ""


class Move(Act, frozen=True, tag="move"):
    """Animals moved to another tank."""

    stock: str
    to: str
    number: float | None = None


class Remove(Act, frozen=True, tag="remove"):
    """The dead, or animals that leave for good, taken out."""

    stock: str = ""
    number: float = 1
    why: str = "dead"


class Clean(Act, frozen=True, tag="clean"):
    """Filter, glass, floor or net cleaned."""

    what: str = "filter"
    how: str = ""


class LookAgain(Act, frozen=True, tag="look"):
    """Look, count or test: nothing goes in or out."""

    what: str = ""


AnyAct = (
    Dose
    | Change
    | TopUp
    | Siphon
    | Media
    | Heat
    | Air
    | Light
    | Feed
    | Bath
    | Move
    | Remove
    | Clean
    | LookAgain
)

# Acts at one instant apply in this order: remove, change water, add. A keeper who changes water and doses at
# 20:00 doses the new water.
ORDER: dict[type[Act], int] = {
    LookAgain: 0, Remove: 1, Move: 1, Siphon: 2, Clean: 2, Media: 3, Change: 4, TopUp: 5, Heat: 6, Air: 6,
    Light: 6, Feed: 7, Dose: 8, Bath: 9,
}  # fmt: skip


def rank(act: Act) -> int:
    """Where an act stands among acts at one instant."""
    return ORDER[type(act)]
