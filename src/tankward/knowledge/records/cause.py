"""Causes, signs, contexts, the words keepers use, and what surveys found."""

from __future__ import annotations

from typing import Literal

import msgspec

from tankward.knowledge.records.base import Figure, Pair, Record, Row, Status

Zone = Literal["mouth", "eye", "head", "gills", "back", "body", "belly", "fins", "vent", "none"]
Sample = Literal["", "skin", "fin", "gills", "lesion", "faeces", "gut", "muscle"]
CauseGroup = Literal["water", "keeping", "parasite", "bacteria", "fungus", "virus"]


class Word(Row, frozen=True, kw_only=True):
    """A word keepers use, and what it stands for."""

    plain: str
    say: tuple[str, ...]
    kind: str
    means: str
    signs: tuple[str, ...] = ()
    topic: str = ""
    clinical: str = ""
    ask: str = ""
    not_: tuple[str, ...] = msgspec.field(name="not", default=())
    urgent: bool = False


class Sign(Row, frozen=True, kw_only=True):
    """Something that can be seen. `zone` is its place on the fish; "none" is a thing of the tank."""

    id: str
    group: str
    zone: Zone
    plain: str
    look: str
    normal: str
    p_background: Pair
    usual_per_min: Pair | None = None  # beats of the gill covers of a small fish at rest
    usual_at_c: float | None = None
    tells: str = ""  # all that it comes to, where keepers take it for more
    word: tuple[Word, ...] = ()


class Context(Row, frozen=True, kw_only=True):
    """A dated fact about the tank that moves the odds of a cause."""

    id: str
    kind: str
    ask: str
    yes: str
    read_from: str
    window_d: Pair | None = None
    fade_d: float | None = None


class Basis(Record, frozen=True, kw_only=True):
    """Where all the judged numbers of a cause come from."""

    source: str
    status: Status


class Chance(Record, frozen=True, kw_only=True):
    """A sign and the chance that it is seen, or the factor by which the odds fall when it is."""

    id: str
    low: float
    high: float


class Weight(Record, frozen=True, kw_only=True):
    """A context and the factor on the odds of this cause, with what makes it count."""

    id: str
    factor: Pair
    of: tuple[str, ...] = ()
    none_of: tuple[str, ...] = ()
    one_of: str = ""
    window_d: Pair | None = None
    fade_d: float | None = None
    above_c: float | None = None
    below_c: float | None = None
    min_g_l: float | None = None


class Course(Record, frozen=True, kw_only=True):
    """Chance that the trouble came on within hours, days or weeks."""

    hours: Pair
    days: Pair
    weeks: Pair


class Share(Record, frozen=True, kw_only=True):
    """Chance that one fish, some, or most of those at risk are ill."""

    one: Pair
    some: Pair
    most: Pair


class Test(Row, frozen=True, kw_only=True):
    """A look that speaks for or against it.

    `sample`: what is put on the slide, or opened; "" for none. `same_as`: the sign or the context that tells
    the same.
    """

    name: str
    sensitivity: Pair
    specificity: Pair
    cost: str
    sample: Sample = ""
    same_as: str = ""


class Published(Row, frozen=True, kw_only=True):
    """A measured figure about it."""

    what: str
    value: float | None = None
    kind: str = ""


class Cause(Record, frozen=True, kw_only=True):
    """One cause: one file."""

    id: str
    name: str
    group: CauseGroup
    prior: Pair
    onset: str
    share_words: str
    course: Course
    share_of_tank: Share
    basis: Basis
    sign: tuple[Chance, ...]
    against: tuple[Chance, ...]
    context: tuple[Weight, ...]
    first_look: str
    urgency: str
    human_hazard: str
    notifiable: str
    test: tuple[Test, ...] = ()
    published: tuple[Published, ...] = ()
    names: tuple[str, ...] = ()
    organisms: tuple[str, ...] = ()
    split_from: str = ""
    note: str = ""


class UnknownCause(Row, frozen=True, kw_only=True):
    """Course and share of the tank when nothing known is at work."""

    course: Course
    share_of_tank: Share


class HostTag(Record, frozen=True, kw_only=True):
    """A kind of host as causes speak of it, with finer tags."""

    id: str
    finer: tuple[str, ...]


class Survey(Figure, frozen=True, kw_only=True):
    """What was found when many fish were looked at. `share` is the 95 % range of `value`."""

    id: str
    population: str
    host_group: str
    origin: str
    cause: str
    n: int | None = None
    share: Pair | None = None


class PriorByGroup(Row, frozen=True, kw_only=True):
    """A factor on the odds of a cause in a group of hosts, computed from surveys."""

    group: str
    cause: str
    factor: Pair
    surveys: tuple[str, ...]
    why: str


class GenericTest(Row, frozen=True, kw_only=True):
    """What a test can and cannot find, whatever the cause."""

    name: str
    finds: tuple[str, ...] = ()
    sensitivity: Pair | None = None
    specificity: Pair | None = None
    sensitivity_histology: float | None = None
    sensitivity_pcr: float | None = None
    sensitivity_qpcr: float | None = None
    any_method: float | None = None
