"""Logbooks by chance: every kind of entry, for properties."""

from datetime import UTC, datetime
from uuid import UUID

from hypothesis import strategies as st

from tankward.knowledge.loader import load
from tankward.quantities.parse import Estimate, Taste
from tankward.room import acts
from tankward.room.entries.acts import CourseBegun, CourseStopped, Done, Step, StepSkipped
from tankward.room.entries.animals import Counted, Death, JarTrial, NetfulWeighed, StockAdded
from tankward.room.entries.corrections import Corrected, Undone
from tankward.room.entries.ends import OUTCOMES, CourseClosed
from tankward.room.entries.looks import Look
from tankward.room.entries.notes import Note
from tankward.room.entries.photos import PhotoAdded, PhotoRemoved
from tankward.room.entries.shelf import HoseTimed, KitChanged, SpoonWeighed, SupplyAdded
from tankward.room.entries.tanks import TankAdded, TankClosed, WaterMeasured
from tankward.room.entries.water import MEASURED, ReadingTaken
from tankward.room.names import slug
from tankward.room.photos import pictures_of
from tankward.room.things import Active, Kit, LabelRule, Reading, Spoon, Stock, Supply, Tank
from tankward.store.photos import Picture
from tankward.store.picture import kept_form
from tests.helpers.pictures import photo

# Photos by chance show one of these.
SENT = [photo(colour=colour) for colour in ((9, 9, 200), (9, 99, 9))]
PICTURES = {p.digest: p for p in (Picture.of(kept_form(content, "x")) for content in SENT)}
YEAR_2020, YEAR_2030 = (datetime(year, 1, 1, tzinfo=UTC).replace(tzinfo=None) for year in (2020, 2030))
TANKS = ("t1", "t2", "nursery")
GROUPS = ("t1-guppy", "t2-shrimp", "x")
groups = st.sampled_from(GROUPS)
texts = st.text(st.characters(codec="utf-8", exclude_categories=("C", "Zl", "Zp")), max_size=20).map(
    str.strip
)
words = st.from_regex(r"[a-z](_?[a-z]){1,12}", fullmatch=True)
names = texts.map(lambda t: t.replace("<", "").replace(">", "").strip() or "a")
amounts = st.floats(1e-6, 1e6).map(lambda v: v or 1.0)
shares = st.floats(0.01, 1.0)
sizes = st.none() | st.floats(0.1, 900)
yes = st.none() | st.booleans()
numbers = st.dictionaries(words, st.floats(0, 1000), max_size=3)
SUBSTANCES = ("praziquantel", "metronidazole", "sodium_chloride")  # an import takes none that nobody knows
doses = st.dictionaries(st.sampled_from(SUBSTANCES), amounts, max_size=3)


@st.composite
def estimates(draw, low=0.1, high=1000.0):
    ends = sorted(draw(st.lists(st.floats(low, high), min_size=3, max_size=3)))
    return draw(st.sampled_from([Estimate.exact(ends[0]), Estimate(ends[1], ends[0], ends[2])]))


tanks = st.builds(
    Tank, id=st.sampled_from(TANKS), name=names, system=st.sampled_from(("", *TANKS)),
    shape=st.sampled_from(("box", "hexagon")), length_cm=sizes, glass_mm=st.none() | st.floats(1, 40),
    fill_cm=sizes, substrate_cm=st.floats(0, 50), solids_l=st.floats(0, 100),
    volume_l=st.none() | estimates(), filter=st.sampled_from(("", "sponge", "none")),
    temp_c=st.none() | estimates(1, 40), heater=yes, light_h=st.none() | st.floats(0, 24),
    filter_age_d=st.none() | st.floats(0, 500), place=st.integers(0, 99),
)  # fmt: skip
stock = st.builds(
    Stock, id=st.sampled_from(GROUPS), tank=st.sampled_from(TANKS), kind=st.just("") | words, name=names,
    number=estimates(), length_cm=st.none() | estimates(0.1, 100), mass_g=st.none() | estimates(),
    gravid=yes, source=texts, arrived_d=st.none() | st.floats(0, 900),
)  # fmt: skip
rules = st.builds(
    LabelRule, units=amounts, per_volume_l=st.none() | amounts, repeat_after_h=st.none() | amounts,
    change_before=st.none() | shares, most_doses=st.none() | st.integers(1, 9),
)  # fmt: skip
actives = st.builds(Active, substance=st.sampled_from(SUBSTANCES), mg=amounts, form=st.just("") | words)
supplies = st.builds(
    Supply, id=words, name=names, unit=st.sampled_from(("sachet", "mL")),
    actives=st.lists(actives, max_size=2, unique_by=lambda a: a.substance).map(tuple),
    rule=st.none() | rules, left=st.none() | st.floats(0, 99), held_lawfully=st.booleans(),
)  # fmt: skip
kits = st.builds(
    Kit, scale_g=st.none() | amounts, hose_l_per_min=st.none() | estimates(),
    tests=st.lists(words, max_size=2, unique=True).map(tuple),
    syringes_ml=st.lists(amounts, max_size=3).map(tuple),
    spoons=st.lists(
        st.builds(Spoon, name=names, volume_ml=st.none() | amounts, grams=numbers), max_size=2
    ).map(tuple),
    taste=st.builds(Taste, gallon=st.sampled_from(("", "US"))), region=st.sampled_from(("", "UK")),
)  # fmt: skip
done = st.one_of(
    st.builds(acts.Dose, actives=doses, measured=texts),
    st.builds(acts.Change, share=shares, temp_c=st.none() | st.floats(0, 45), dechlorinated=yes),
    st.builds(acts.TopUp, volume_l=amounts),
    st.builds(acts.Lost, share=shares),
    st.builds(
        acts.PowerCut, hours=st.none() | st.floats(0.1, 99), off=st.sampled_from(("all", "filter", "heater"))
    ),
    st.just(acts.PowerBack()),
    st.builds(acts.Heat, temp_c=st.none() | st.floats(0, 45)),
    st.builds(acts.Feed, usual=st.floats(0, 9), actives_mg_per_g=st.just({}) | doses),
    st.builds(acts.Bath, actives=doses, volume_l=amounts, minutes=amounts, stock=st.sampled_from(GROUPS)),
    st.builds(acts.Move, stock=groups, to=st.sampled_from(TANKS), number=st.none() | amounts),
    st.builds(acts.Remove, stock=groups, number=amounts, why=st.sampled_from(("dead", "sold"))),
    st.builds(acts.LookAgain, what=texts),
)  # fmt: skip
times = st.datetimes(YEAR_2020, YEAR_2030, timezones=st.just(UTC))
steps = st.builds(Step, id=words, at=times, act=done, amount=texts, why=texts)


@st.composite
def measured(draw):
    row = MEASURED[draw(st.sampled_from(sorted(MEASURED)))]
    low, value, high = sorted(draw(st.lists(st.floats(0, row.at_most), min_size=3, max_size=3)))
    kits = [k.id for k in load().kits.values() if row.quantity in k.quantities]
    if draw(st.booleans()):
        return Reading(quantity=row.quantity, value=value, kit=draw(st.sampled_from(["", *kits])))
    return Reading(quantity=row.quantity, value=value, low=low, high=high)


readings = st.lists(measured(), max_size=3, unique_by=lambda r: r.quantity).map(tuple)
signs = st.lists(words, max_size=3, unique=True).map(tuple)
history = st.dictionaries(words, st.none() | st.floats(0, 400), max_size=2)


def _kinds(ids):
    entry = st.sampled_from(ids)
    return {
        TankAdded: {"thing": tanks},
        StockAdded: {"thing": stock},
        SupplyAdded: {"thing": supplies},
        KitChanged: {"thing": kits},
        SpoonWeighed: {
            "spoon": names,
            "powder": words,
            "spoons": st.floats(0.5, 999),
            "mass_g": st.floats(0.01, 9e4),
            "volume_ml": st.none() | st.floats(0.1, 999),
            "step_g": st.none() | st.floats(0.001, 10),
        },
        HoseTimed: {"volume_l": st.floats(0.1, 999), "minutes": st.floats(0.05, 599)},
        NetfulWeighed: {
            "stock": groups,
            "number": st.floats(1, 900),
            "mass_g": st.floats(0.01, 9e4),
            "step_g": st.none() | st.floats(0.001, 10),
        },
        Counted: {"stock": groups, "number": estimates()},
        Death: {"stock": st.just("") | groups, "number": st.integers(1, 50), "taken_out": yes},
        TankClosed: {"why": texts},
        WaterMeasured: {
            "volume_l": estimates(),
            "how": st.sampled_from(("buckets", "salt")),
            "measured": texts,
        },
        ReadingTaken: {"values": readings, "where": st.sampled_from(("tank", "tap"))},
        Look: {"seen": signs, "absent": signs, "counts": numbers, "well": yes, "history": history},
        JarTrial: {"conc_mg_l": doses, "hours": st.floats(0.1, 999), "lived": numbers, "ill": yes},
        Note: {"text": texts.map(lambda t: t or "a")},
        Done: {"act": done, "step": st.just("") | words},
        CourseBegun: {"name": names, "steps": st.lists(steps, max_size=2).map(tuple), "statement": texts},
        StepSkipped: {"step": words, "why": texts},
        CourseStopped: {"course": st.just("") | entry, "why": texts},
        CourseClosed: {
            "course": st.just("") | entry,
            "outcome": st.sampled_from(OUTCOMES),
            "seen": signs,
            "cause": st.just("") | words,
        },
        Undone: {"entry": entry},
        Corrected: {"entry": entry, "by": entry},
        PhotoAdded: {"digest": st.sampled_from(sorted(PICTURES)), "about": entry, "shows": texts},
        PhotoRemoved: {"photo": entry},
    }


ZONES = ("UTC", "Europe/Berlin", "America/New_York")


@st.composite
def logbooks(draw, most=8):
    """Some entries of every kind, with ids of their own; undoings and corrections point at some of them."""
    made = draw(st.lists(st.uuids(), min_size=1, max_size=most, unique=True))
    ids = [str(UUID(int=u.int)) for u in made]
    kinds = _kinds(ids)
    found = []
    for id_ in ids:
        kind = draw(st.sampled_from(sorted(kinds, key=lambda k: k.__name__)))
        own = {name: draw(strategy) for name, strategy in kinds[kind].items()}
        head = {
            "id": id_, "at": draw(times), "zone": draw(st.sampled_from(ZONES)),
            "tank": draw(st.sampled_from(("", *TANKS))), "who": draw(texts),
            "sure": draw(st.sampled_from(("sure", "about"))), "note": draw(texts),
        }  # fmt: skip
        found.append(kind(**head, **own))
    return found


def shown_in(entries):
    """The pictures that these entries need."""
    return [PICTURES[digest] for digest in sorted(pictures_of(entries))]


__all__ = ["PICTURES", "logbooks", "shown_in", "slug"]
