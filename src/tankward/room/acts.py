"""What can be done to water and animals. One type, used three times.

An entry is an act done, a step is an act planned, an event of the model is an act at an instant. Amounts are
in base units (mg, L, C, h); a range or "don't know" was settled where it was entered.
"""

from __future__ import annotations

from typing import Annotated as A

import msgspec

from .questions import Question as Ask


class Act(msgspec.Struct, frozen=True, kw_only=True, tag_field="act"):
    """The common type of all acts."""


class Dose(Act, frozen=True, tag="dose"):
    """Substance put into the water. `actives` is what counts; the rest says what was measured out."""

    # substance id -> mg
    actives: A[dict[str, float], Ask("How much of which active?", "masses", rest=True)]
    supply: A[str, Ask("From which packet?", "supply")] = ""
    units: A[float | None, Ask("How many of it?", "number", above=0)] = None
    measured: A[str, Ask("As you measured it")] = ""  # "250 mL of 400 mL"


class Change(Act, frozen=True, tag="change"):
    """Water taken out and replaced."""

    share: A[float, Ask("How much of the water?", "share", above=0, at_most=1)]
    temp_c: A[float | None, Ask("How warm was the new water?", "temperature", at_least=0, at_most=45)] = None
    dechlorinated: A[bool | None, Ask("Was it dechlorinated?", "yes")] = None


class TopUp(Act, frozen=True, tag="top_up"):
    """Evaporated water replaced."""

    volume_l: A[float, Ask("How much?", "volume", above=0)]


class Lost(Act, frozen=True, tag="lost_water"):
    """Water that went out and was not replaced: a leak, a hose that slipped."""

    share: A[float, Ask("How much of the water?", "share", above=0, at_most=1)]


class Siphon(Act, frozen=True, tag="siphon"):
    """The floor siphoned."""

    floor_share: A[float, Ask("How much of the floor?", "share", above=0, at_most=1, key="floor")] = 0.5


class Media(Act, frozen=True, tag="media"):
    """Carbon, zeolite or another medium put into the filter or taken out."""

    medium: A[str, Ask("Which medium?", "medium")] = "activated_carbon"
    into: A[bool, Ask("Put in (yes) or taken out (no)?", "yes", key="in")] = True


class Heat(Act, frozen=True, tag="heat"):
    """The heater set; None: unplugged."""

    temp_c: A[float | None, Ask("To how much? Or off.", "temperature_or_off", at_least=0, at_most=45)]


class Air(Act, frozen=True, tag="air"):
    """Air and surface movement turned up or back to usual."""

    more: A[bool, Ask("More air (yes) or back to usual (no)?", "yes")] = True


class PowerCut(Act, frozen=True, tag="power_cut"):
    """Nothing runs from here on, for so long; `off`: all of it, or the filter or the heater alone."""

    hours: A[float | None, Ask("For how long? Nothing: still off.", "time", above=0, at_most=1000)] = None
    off: A[str, Ask("What was off?", choices=("all", "filter", "heater"))] = "all"


class PowerBack(Act, frozen=True, tag="power_back"):
    """All that was off runs again."""


class Light(Act, frozen=True, tag="light"):
    """Hours of light a day from now on; 0 is dark."""

    hours_per_day: A[float, Ask("How many hours a day?", "number", at_least=0, at_most=24)]


class Feed(Act, frozen=True, tag="feed"):
    """Feeding from now on. `share` is of body weight a day, as fed; 1.0 of `usual` is the usual ration."""

    usual: A[float, Ask("How much of the usual?", "share", at_least=0, at_most=10)] = 1.0
    food_g: A[float | None, Ask("How much food a day?", "mass", at_least=0)] = None
    actives_mg_per_g: A[
        dict[str, float], Ask("With how much of which active?", "feed_strengths", rest=True)
    ] = {}


class Bath(Act, frozen=True, tag="bath"):
    """Animals in a tub of treated water for some minutes."""

    actives: A[dict[str, float], Ask("How much of which active?", "masses", rest=True)]
    volume_l: A[float, Ask("In how much water?", "volume", above=0)]
    minutes: A[float, Ask("For how long?", "time", above=0)]
    stock: A[str, Ask("Which animals?", "stock")] = ""
    # Of all fish of the tank; None: all, or as many as `stock` is.
    share: A[float | None, Ask("How many of the fish?", "share", above=0, at_most=1, hidden=True)] = None


class Move(Act, frozen=True, tag="move"):
    """Animals moved to another tank."""

    stock: A[str, Ask("Which animals?", "stock")]
    to: A[str, Ask("To which tank?", "tank")]
    number: A[float | None, Ask("How many? Nothing: all.", "number", above=0)] = None


class Apart(Act, frozen=True, tag="apart"):
    """Animals into a tub of water beside their tank, or back. They stay animals of that tank."""

    stock: A[str, Ask("Which animals?", "stock")]
    out: A[bool, Ask("Into the tub (yes) or back (no)?", "yes")] = True
    volume_l: A[float | None, Ask("How much water is in the tub?", "volume", above=0)] = None


class Transfer(Act, frozen=True, tag="transfer"):
    """Animals from one tub into another that is clean and dry, with new water: what is not on them stays."""

    volume_l: A[float | None, Ask("How much new water?", "volume", above=0)] = None
    # In the cup, against all of it; None: what usually does.
    carried: A[float | None, Ask("How much of the old water came along?", "share", at_least=0, at_most=1)] = (
        None
    )
    dechlorinated: A[bool | None, Ask("Was it dechlorinated?", "yes")] = None


class Remove(Act, frozen=True, tag="remove"):
    """The dead, or animals that leave for good, taken out."""

    stock: A[str, Ask("Which animals?", "stock")] = ""
    number: A[float, Ask("How many?", "number", above=0)] = 1
    why: A[str, Ask("Why?", choices=("dead", "sold", "given", "ended", "other"))] = "dead"


class Clean(Act, frozen=True, tag="clean"):
    """Filter, glass, floor or net cleaned."""

    what: A[str, Ask("What?", choices=("filter", "glass", "floor", "net", "other"))] = "filter"
    how: A[str, Ask("How?")] = ""


class LookAgain(Act, frozen=True, tag="look"):
    """Look, count or test: nothing goes in or out."""

    what: A[str, Ask("At what?")] = ""


AnyAct = (
    Dose
    | Change
    | TopUp
    | Lost
    | Siphon
    | Media
    | Heat
    | Air
    | PowerCut
    | PowerBack
    | Light
    | Feed
    | Bath
    | Move
    | Apart
    | Transfer
    | Remove
    | Clean
    | LookAgain
)

# Acts at one instant apply in this order: remove, change water, add. A keeper who changes water and doses at
# 20:00 doses the new water.
ORDER: dict[type[Act], int] = {
    LookAgain: 0, Remove: 1, Move: 1, Apart: 1, Lost: 2, Siphon: 2, Clean: 2, Media: 3, Change: 4,
    Transfer: 4, TopUp: 5, Heat: 6, Air: 6, Light: 6, PowerBack: 6, PowerCut: 6, Feed: 7, Dose: 8, Bath: 9,
}  # fmt: skip


def rank(act: Act) -> int:
    """Where an act stands among acts at one instant."""
    return ORDER[type(act)]
