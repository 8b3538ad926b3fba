"""What a keeper has set and what stays so until it is set again: light, air, food, heater, carbon."""

from __future__ import annotations

import msgspec

from tankward.room.acts import Air, AnyAct, Dose, Feed, Heat, Light, Media, PowerBack, PowerCut

from .events import Event, Stocked

DAY_MIN = 1440
NOON_OF_LIGHT_MIN = 15 * 60  # lights are taken to burn around 15:00 [common practice, no source]
CARBON = "activated_carbon"
AS_USUAL = "usual"


class Rules(msgspec.Struct, frozen=True, kw_only=True):
    """Spans of time after which something counts otherwise, in minutes."""

    carbon_fresh: int
    carbon_spent: int
    filter_remembers: int
    same_dose: int


class Standing(msgspec.Struct, frozen=True, kw_only=True):
    """How the tank is kept from one instant on."""

    light_h: float = 9.0
    more_air: bool = False
    feed: float = 1.0  # of the usual ration
    food_g: float | None = None  # a day; wins over the ration
    medicated: dict[str, float] = {}  # substance -> mg in a gram of the food
    heat: float | str | None = AS_USUAL  # °C; None: unplugged
    off: str = ""  # without power: "all", "filter", "heater"; "" nothing
    carbon_at: int | None = None  # minute at which carbon went in
    stock: float = 1.0  # of the animals that the tank is reckoned for
    fish: float = 1.0  # of its fish alone
    dosed: dict[str, tuple[int, ...]] = {}  # substance -> minutes

    def after(self, what: AnyAct | Event, minute: int) -> Standing:
        """What stands after an act."""
        replace = msgspec.structs.replace
        match what:
            case Light():
                return replace(self, light_h=what.hours_per_day)
            case Air():
                return replace(self, more_air=what.more)
            case Feed():
                return replace(self, feed=what.usual, food_g=what.food_g, medicated=what.actives_mg_per_g)
            case PowerCut():
                return replace(self, off=what.off)
            case PowerBack():
                return replace(self, off="")
            case Heat():
                return replace(self, heat=what.temp_c)
            case Media() if what.medium == CARBON:
                return replace(self, carbon_at=minute if what.into else None)
            case Stocked():
                return replace(self, stock=what.share, fish=what.of_fish)
            case Dose():
                more = {s: (*self.dosed.get(s, ()), minute) for s in what.actives}
                return replace(self, dosed={**self.dosed, **more})
        return self

    def lit(self, minute_of_day: float) -> bool:
        """Whether the light burns; minutes since a midnight, of any day."""
        from_noon = abs((minute_of_day - NOON_OF_LIGHT_MIN + DAY_MIN / 2) % DAY_MIN - DAY_MIN / 2)
        return self.off != "all" and (from_noon < self.light_h * 30 or self.light_h >= 24)

    @property
    def heater_c(self) -> float | str | None:
        """What the heater holds: as it is set, and nothing without power."""
        return None if self.off in ("all", "heater") else self.heat

    @property
    def flows(self) -> bool:
        """Whether water goes through the filter."""
        return self.off not in ("all", "filter")

    def carbon(self, minute: int, rules: Rules) -> float:
        """How much of fresh carbon the carbon in the filter is worth: 1, then a half, then nothing."""
        if self.carbon_at is None:
            return 0.0
        age = minute - self.carbon_at
        return 1.0 if age < rules.carbon_fresh else 0.5 if age < rules.carbon_spent else 0.0

    def met(self, substance: str, rules: Rules) -> bool:
        """Whether the filter had met a substance when it was last dosed: within four weeks, and not
        just now.
        """
        doses = self.dosed.get(substance, ())
        if not doses:
            return False
        ages = [doses[-1] - before for before in doses]
        return any(rules.same_dose <= age <= rules.filter_remembers for age in ages)


def switches(standing: Standing, start_of_day: int, begin: int, end: int) -> list[int]:
    """Minutes at which the light goes on or off between two instants."""
    if not 0 < standing.light_h < 24:
        return []
    half = round(standing.light_h * 30)
    first = (begin + start_of_day) // DAY_MIN - 1
    days = range(first, (end + start_of_day) // DAY_MIN + 2)
    ends = [day * DAY_MIN + NOON_OF_LIGHT_MIN + side - start_of_day for day in days for side in (-half, half)]
    return [minute for minute in ends if begin < minute < end]


def turns(standing: Standing, rules: Rules, begin: int, end: int) -> list[int]:
    """Minutes at which carbon counts for less."""
    if standing.carbon_at is None:
        return []
    ends = (standing.carbon_at + rules.carbon_fresh, standing.carbon_at + rules.carbon_spent)
    return [minute for minute in ends if begin < minute < end]
