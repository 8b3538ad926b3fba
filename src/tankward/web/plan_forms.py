"""What the plan's page asks: when you are there, with what, whom it must not hurt, where, until when."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from urllib.parse import urlencode

import msgspec

from tankward.desk.lives import Lives
from tankward.desk.plans import PlanWish
from tankward.quantities.faults import BadInput
from tankward.show.words.plan_wishes import BORNE, BORNE_HEADS
from tankward.treat.planner.clock import WAKING
from tankward.treat.planner.records import WHATS

from .fields import Shown

FIND = "find"
AWAY = "away"
TOUCHED = (("on_shelf", "With what is on the shelf now"), ("no_medicine", "No medicine"))
CARRIED = ("gone", "sensitised", "pregnant_or_children", "window", "goggles", "expert")


class Touch(msgspec.Struct, frozen=True, kw_only=True):
    """One thing to touch: a box of a form with its words."""

    name: str
    value: str
    words: str
    on: bool


class WishForm(msgspec.Struct, frozen=True, kw_only=True):
    """The form, as it is shown."""

    action: str
    hidden: list[tuple[str, str]]
    hours: list[Shown]
    touches: list[Touch]
    spare: list[Touch]
    place: str
    tub: Shown
    over_by: Shown
    start: Shown
    borne: list[Shown]
    open: bool  # something in its fold was typed or is at fault


def wish_of(query: Mapping[str, str], spare: Sequence[str] = ()) -> PlanWish:
    """What an address asks for. `spare` comes several times: one for each that is touched."""
    names = [n for n in PlanWish.__struct_fields__ if n not in ("cause", "hours", "spare")]
    known = {n: str(query[n]).strip() for n in names if str(query.get(n, "")).strip()}
    return PlanWish(
        cause=str(query.get("cause", "")),
        hours=with_away(str(query.get("hours", "")), str(query.get(AWAY, ""))),
        spare=",".join(dict.fromkeys(s for s in spare if s)),
        **known,
    )


def with_away(hours: str, away: str) -> str:
    """The hours and the days away as one text: "18:00-22:00" and "Thu-Sun"."""
    days = away.strip().removeprefix("away").strip(" ;,")
    return "; ".join(part for part in (hours.strip(" ;"), f"away {days}" if days else "") if part)


def wish_form(
    tank: str, query: Mapping[str, str], wish: PlanWish, kit_hours: str, lives: Sequence[Lives],
    fault: BadInput | None,
) -> WishForm:  # fmt: skip
    """The form as it was sent; before that with what the kit says, else that nobody is there at night."""
    asked = FIND in query
    folded = [getattr(wish, n) for n in ("start", *(w.replace("-", "_") for w in WHATS))]

    def asks(name: str, label: str, hint: str) -> Shown:
        wrong = fault is not None and fault.field.replace("-", "_") == name
        typed = str(query.get(name, "")) if name != "hours" or asked else kit_hours or WAKING
        return Shown(name=name, label=label, value=typed, hint=hint, error=str(fault) if wrong else "")

    return WishForm(
        action=f"/tanks/{tank}/plan",
        hidden=[("cause", wish.cause), *((n, getattr(wish, n)) for n in CARRIED if getattr(wish, n))],
        hours=[
            asks("hours", "When are you there?", f"like {LIKE}"),
            asks(AWAY, "Away on some days?", "like Thu-Sun or 15-20 May"),
        ],
        touches=[_touch(name, words, getattr(wish, name) == "yes") for name, words in TOUCHED],
        spare=_spared(wish, lives),
        place=wish.place,
        tub=asks("tub", "Water of a hospital tub", "like 15 L; empty: 10 L"),
        over_by=asks("over_by", "Over by when?", "like in 20 days"),
        start=asks("start", "First step at", "like tomorrow 19:00; empty: the best of the next days"),
        borne=[_borne(what, wish) for what in WHATS],
        open=any(folded) or (fault is not None and fault.field in ("start", *WHATS)),
    )


def _touch(name: str, words: str, on: bool) -> Touch:
    return Touch(name=name, value="yes", words=words, on=on)


def _spared(wish: PlanWish, lives: Sequence[Lives]) -> list[Touch]:
    """Those who live there."""
    named = set(wish.spare.split(","))
    return [
        Touch(name="spare", value=g.stock.id, words=g.stock.name or g.common, on=g.stock.id in named)
        for g in lives
    ]


LIKE = "Mon-Fri 18:00-22:00; Sat, Sun 8:00-22:00"


def _borne(what: str, wish: PlanWish) -> Shown:
    name = what.replace("-", "_")
    return Shown(name=name, label=BORNE_HEADS[what], value=getattr(wish, name), choices=BORNE)


def plan_url(tank: str, cause: str, **more: str) -> str:
    """The way to the wishes."""
    return f"/tanks/{tank}/plan?{urlencode({'cause': cause} | {k: v for k, v in more.items() if v})}"
