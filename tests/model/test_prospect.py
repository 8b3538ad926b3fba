"""A tank made ready to be judged many times: the same answers as one run through the past and on."""

from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, datetime, timedelta
from functools import cache

import msgspec
import numpy as np
import pytest

from tankward.model import run as forms
from tankward.model.clearance import gone_by
from tankward.model.draws import COUNTS
from tankward.model.follow import herd_of
from tankward.model.forecast import forecast
from tankward.model.from_room import story
from tankward.model.learned import learned
from tankward.model.now import spread
from tankward.model.organisms import life_of
from tankward.model.outbreak import run as run_on
from tankward.model.prospect import prospect, tub_prospect
from tankward.model.simulate import minutes, simulate
from tankward.model.suspect import Suspect, seen_of
from tankward.model.weigh import Evidence
from tankward.quantities.faults import BadInput
from tankward.quantities.parse import Estimate
from tankward.room.acts import Change, Dose, Feed, Heat, Light, Media, Move, Siphon
from tankward.room.text import room_of_text
from tests.model.tanks import FACTS

PARTS = (forms._ready, forms._ends, forms._rows, forms._back, forms._bands)


@pytest.fixture(autouse=True, scope="module")
def compiled():
    """The compiled form, as planners have it; afterwards as it was."""
    before = [list(part) for part in PARTS]
    if not forms.compiled_runs() or not forms.compiled_rows():
        forms._load()
    yield
    for part, told in zip(PARTS, before, strict=True):
        part[:] = told


NOW = datetime(2026, 3, 8, 9, 20, tzinfo=UTC)
DAY = 1440
TANK = """
1 March 2026 08:00  tank     Nursery  volume="54 L" temp=26C filter=sponge filter-age="12 weeks" light=8h
1 March 2026 08:05  stock    Nursery  kind=guppy number=20 length=2.5cm
"""
READ = '3 March 2026 08:00  reading  Nursery  ammonia="0.25 mg/L as N" ph=7.6 kh=4dKH\n'
LOOK = '6 March 2026 20:00  look     Nursery  seen=white_spots,flashing counts="white_spots 6"\n'
SPOT, FLUKE, WORM = (Suspect(organism=name) for name in ("ichthyophthirius", "gyrodactylus", "camallanus"))
PASTS = {
    "nothing": "",
    "readings": READ,
    "doses": READ + """
5 March 2026 20:00  change   Nursery  share=30%
5 March 2026 20:00  dose     Nursery  formalin=540mg malachite_green=4mg
7 March 2026 20:00  dose     Nursery  praziquantel=100mg
""",
    "food": READ + '5 March 2026 08:00  feed     Nursery  usual=80% praziquantel=10mg/g\n',
    "power": READ + '8 March 2026 04:00  power_cut Nursery  hours=9h\n',
    "carbon": READ + """
4 March 2026 20:00  dose     Nursery  praziquantel=100mg
6 March 2026 20:00  media    Nursery  in=yes
""",
    "water": READ + """
2 March 2026 20:00  top_up   Nursery  volume=2L
5 March 2026 20:00  top_up   Nursery  volume=3L
6 March 2026 20:00  lost_water Nursery  share=20%
""",
    "just now": READ + """
8 March 2026 09:20  change   Nursery  share=40%
8 March 2026 09:20  dose     Nursery  praziquantel=100mg
""",
}  # fmt: skip


def at(days, hours=0.0):
    return NOW + timedelta(days=days, hours=hours)


COURSE = (
    (at(0, 1), Change(share=0.3)),
    (at(0, 1), Dose(actives={"malachite_green": 4.0, "formalin": 540.0})),
    (at(0, 6), Heat(temp_c=29.0)),
    (at(2), Dose(actives={"praziquantel": 100.0})),
    (at(2, 2), Feed(usual=0.5, actives_mg_per_g={"praziquantel": 8.0})),
    (at(4), Change(share=0.5)),
    (at(5), Media()),
)
ENDS = (4 * DAY, 7 * DAY)


@cache
def ready(past_of, draws=64, suspects=(SPOT,)):
    room = room_of_text(TANK + PASTS[past_of])
    return prospect(room, "nursery", NOW, FACTS, days=8, suspects=suspects, draws=draws)


def whole(room, planned, *, days, draws=64):
    """The water by one run from the week before."""
    start = (NOW - timedelta(days=7)).replace(minute=0)
    told = story(room, "nursery", start, NOW, FACTS, planned)
    events = (*told.events, *Evidence(FACTS, draws, start, told.setup.levels).events(told.readings))
    hours = (NOW - start) / timedelta(hours=1) + 24.0 * days
    record = simulate(
        told.setup, told.acts, FACTS, start=start, hours=hours, draws=draws, events=events, marks=(NOW,)
    )
    return told, record, np.arange(record.row_of(NOW), len(record.minutes))


def off(one, other):
    """Difference as a share of the largest value; of float32."""
    return np.abs(one - other).max() / max(np.abs(other).max(), 1e-12)


@pytest.mark.parametrize("past_of", PASTS)
def test_the_water_goes_on_as_one_run_through_both(past_of):
    """Step by step the same numbers. Where the water line falls the processes ask for it in the middle of
    spans, and now ends one: 1e-3. What is done now is done before what is planned for now.
    """
    found = ready(past_of).judged(COURSE, ENDS)
    _, record, ahead = whole(room_of_text(TANK + PASTS[past_of]), COURSE, days=7)
    close = 1e-3 if past_of == "water" else 1e-6
    assert set(found.peaks) == set(record.names)
    for name in record.names:
        assert off(found.peaks[name], record.highest(name, ahead)) < close, name
        assert off(found.lowest[name], record.least(name, ahead)) < close, name
    assert set(found.in_fish) == set(record.in_fish)
    for name, levels in record.in_fish.items():
        assert off(found.in_fish[name], levels[ahead].max(axis=0)) < close, name


@pytest.mark.parametrize("past_of", PASTS)
@pytest.mark.parametrize("suspect", [SPOT, FLUKE, WORM], ids=lambda s: s.organism)
def test_the_chance_is_that_of_one_run_through_both(past_of, suspect):
    """With a look two days ago: followed from it to now, then back from the days asked for. Steps fall
    otherwise, and while water warms paces go straight between other knots: 5e-5; after a loss of water its
    levels are 1e-3 off, and so the chances.
    """
    room = room_of_text(TANK + PASTS[past_of] + LOOK)
    found = prospect(room, "nursery", NOW, FACTS, days=8, suspects=(suspect,))
    gone = found.judged(COURSE, ENDS)
    told, record, _ = whole(room, COURSE, days=7)
    life = life_of(FACTS, suspect.organism, herd_of(told, FACTS, 64), 64)
    seen = seen_of(room, "nursery", suspect, NOW, told.start, FACTS)
    lesson = learned(life, told, record, found.weights, seen, NOW, FACTS)
    assert lesson.weights == pytest.approx(found.weights_of(suspect.organism), abs=1e-5)
    if lesson.found.unknown:
        assert gone.withheld == {suspect.organism: lesson.found.unknown}
        return
    mine = gone.gone[suspect.organism]
    assert mine.minutes == ENDS
    chance = from_here(lesson.found.course, minutes(NOW, told.start))
    assert np.abs(mine.chance - chance).max() < (1e-3 if past_of == "water" else 5e-5)


def from_here(course, here):
    """The chances from the rows as they stand at a minute."""
    replace = msgspec.structs.replace
    rows = run_on(replace(course, end=here)).rows[-1] if course.begin < here else course.start
    infected = (here - course.begin) / DAY
    return gone_by(
        replace(course, begin=here, start=rows, infected_d=infected), [here + end for end in ENDS]
    ).chance


@pytest.mark.parametrize("suspect", [SPOT, FLUKE], ids=lambda s: s.organism)
def test_a_forecast_shows_the_same_chance(suspect):
    """It goes back to its last kept rows, up to two hours before now, in which the outbreak goes on by the
    other form: 2e-3 of the mean.
    """
    room = room_of_text(TANK + READ + LOOK)
    shown = forecast(room, "nursery", NOW, facts=FACTS, days=7, planned=COURSE, draws=64, suspects=(suspect,))
    found = prospect(room, "nursery", NOW, FACTS, days=8, suspects=(suspect,))
    gone = found.judged(COURSE, ENDS).gone[suspect.organism].chance
    assert found.weights == pytest.approx(shown.weights)
    assert found.mean(gone[-1], suspect.organism) == pytest.approx(
        shown.outlooks[0].chances[-1].value, abs=2e-3
    )


TOLD = {
    "ammonia": READ
    + "".join(
        f'{day} March 2026 08:05  reading Nursery ammonia="2 mg/L as N" nitrite="1 mg/L as N" oxygen=3mg/L\n'
        for day in range(3, 9)
    ),
    "well": READ + "7 March 2026 20:00  look     Nursery  well=yes\n",
}


@pytest.mark.parametrize("told_of", TOLD)
def test_fewer_draws_are_the_first_of_more(told_of):
    """Whether the draws stand as they are or were drawn anew, because few of them carry the weight. Steps
    going back are as short as the strongest of the draws asks: 1e-4.
    """
    room = room_of_text(TANK + TOLD[told_of] + LOOK)
    of = {n: prospect(room, "nursery", NOW, FACTS, days=8, suspects=(SPOT,), draws=n) for n in (64, 256)}
    assert (of[64].water.kept is None) == (told_of == "well")
    few, many = (of[n].judged(COURSE, ENDS) for n in (64, 256))
    fewer = of[256].first(64)
    same = fewer.judged(COURSE, ENDS)
    for name in few.peaks:
        assert (few.peaks[name] == many.peaks[name][:64]).all()
        assert (few.peaks[name] == same.peaks[name]).all()
    own, wide = (j.gone[SPOT.organism].chance for j in (few, many))
    assert own == pytest.approx(wide[:, :64], abs=1e-4)
    assert own == pytest.approx(same.gone[SPOT.organism].chance, abs=1e-4)
    for one in (of[64], of[256], fewer):
        assert one.weights.sum() == pytest.approx(1.0)
        assert one.weights_of(SPOT.organism).sum() == pytest.approx(1.0)


def test_draws_that_were_drawn_anew_go_on_as_one_run_through_both():
    room = room_of_text(TANK + TOLD["ammonia"])
    made = prospect(room, "nursery", NOW, FACTS, days=8)
    kept = made.water.kept
    assert kept is not None
    found = made.judged(COURSE, ENDS)
    _, record, ahead = whole(room, COURSE, days=7, draws=1024)
    for name in record.names:
        assert off(found.peaks[name], record.highest(name, ahead)[kept]) < 1e-6, name


def test_draws_are_drawn_anew_as_often_as_they_weigh():
    """Of the first 64 as of all: each draw as often as its weight says, within one."""
    weights = np.random.default_rng(1).gamma(0.3, size=1024)
    weights /= weights.sum()
    order = spread(weights)
    for n in COUNTS:
        often = np.bincount(order[:n], minlength=1024)
        assert np.abs(often - n * weights).max() < 1.0 + 1e-9


def test_two_threads_at_once_get_the_same_bytes():
    """Courses alike to an organism but for their food are worked out once, by whoever comes first."""
    made = ready("doses", 256, (SPOT, FLUKE))
    courses = [COURSE[:n] for n in range(len(COURSE) + 1)] * 2
    courses += [(*COURSE[:3], (at(1), Feed(usual=share))) for share in (0.0, 0.5, 1.5)]

    def told(course):
        found = made.judged(course, ENDS)
        parts = [*found.peaks.values(), *found.lowest.values(), *(g.chance for g in found.gone.values())]
        return b"".join(np.ascontiguousarray(part).tobytes() for part in parts)

    alone = [told(course) for course in courses]
    with ThreadPoolExecutor(2) as pool:
        assert list(pool.map(told, courses)) == alone


def test_what_was_judged_before_changes_nothing():
    one, other = (
        ready("doses"),
        prospect(room_of_text(TANK + PASTS["doses"]), "nursery", NOW, FACTS, days=8, suspects=(SPOT,)),
    )
    one.judged(COURSE[:3], ENDS)
    one.judged([(when, Feed(usual=0.2) if isinstance(act, Feed) else act) for when, act in COURSE], ENDS)
    first, again = one.judged(COURSE, ENDS), other.judged(COURSE, ENDS)
    assert all((first.peaks[name] == again.peaks[name]).all() for name in first.peaks)
    assert (first.gone[SPOT.organism].chance == again.gone[SPOT.organism].chance).all()


# Course, and how far from the exact form the coarse one may be: 0.005 of a chance in the mean of the draws,
# 3 % of a peak of ammonia, 0.05 mg/L of oxygen [our own choice]; here it stays a tenth of the first.
WIDE = {
    "dosed": COURSE,
    "warm and fed": ((at(0, 1), Heat(temp_c=30.0)), (at(0, 2), Feed(usual=2.0)), (at(3), Change(share=0.5))),
    "cold water": tuple((at(day), Change(share=0.4, temp_c=18.0)) for day in (1, 3, 5)),
    "siphoned": tuple((at(day), act) for day in range(1, 7) for act in (Change(share=0.5), Siphon())),
    "dark and salt": ((at(0, 1), Light(hours_per_day=0.0)), (at(1), Dose(actives={"sodium_chloride": 9e4}))),
}


@pytest.mark.parametrize("course", WIDE)
@pytest.mark.parametrize("suspect", [SPOT, FLUKE, WORM], ids=lambda s: s.organism)
def test_the_coarse_form_ranks_as_the_exact_one(course, suspect):
    made = ready("carbon", 64, (suspect,))
    exact, coarse = (made.judged(WIDE[course], ENDS, coarse=rough) for rough in (False, True))
    assert off(coarse.peaks["nh3_n"], exact.peaks["nh3_n"]) < 0.03
    assert off(coarse.peaks["nitrite_n"], exact.peaks["nitrite_n"]) < 0.03
    assert np.abs(coarse.lowest["oxygen"] - exact.lowest["oxygen"]).max() < 0.05
    for name, other in exact.gone.items():
        for own, whole_of in zip(coarse.gone[name].chance, other.chance, strict=True):
            assert made.mean(own, name) == pytest.approx(made.mean(whole_of, name), abs=5e-4)


def test_the_coarse_form_stays_sound_in_a_crowded_tank():
    """Where the filter is fast and breath is heavy it takes shorter steps."""
    crowded = TANK.replace("number=20 length=2.5cm", "number=90 length=3.5cm")
    made = prospect(room_of_text(crowded + READ), "nursery", NOW, FACTS, days=8)
    exact, coarse = (made.judged(WIDE["warm and fed"], coarse=rough) for rough in (False, True))
    assert off(coarse.peaks["nh3_n"], exact.peaks["nh3_n"]) < 0.03
    assert np.abs(coarse.lowest["oxygen"] - exact.lowest["oxygen"]).max() < 0.2


@pytest.mark.parametrize("suspect", [SPOT, FLUKE, WORM], ids=lambda s: s.organism)
def test_the_coarse_form_holds_where_the_water_seldom_comes_to_rest(suspect):
    """Unheated, with cold water every day or two: what a keeper is shown of a plan is judged so as well."""
    unheated = room_of_text(TANK.replace("temp=26C", "temp=24C heater=no") + PASTS["doses"])
    made = prospect(unheated, "nursery", NOW, FACTS, days=8, suspects=(suspect,), draws=256)
    acts = [(at(day / 2), Change(share=0.4, temp_c=17.0 + day % 3)) for day in (2, 3, 5, 8, 9, 12)]
    exact, coarse = (made.judged([*acts, *COURSE[:3]], ENDS, coarse=rough) for rough in (False, True))
    assert np.abs(exact.lowest["temp_c"] - coarse.lowest["temp_c"]).max() < 0.03
    assert off(coarse.peaks["nh3_n"], exact.peaks["nh3_n"]) < 0.01
    assert np.abs(coarse.lowest["oxygen"] - exact.lowest["oxygen"]).max() < 0.02
    for name, other in exact.gone.items():
        for own, whole_of in zip(coarse.gone[name].chance, other.chance, strict=True):
            assert made.mean(own, name) == pytest.approx(made.mean(whole_of, name), abs=1e-3)


def test_the_oracle_serves_where_nothing_is_compiled(monkeypatch):
    made = ready("doses")
    found = made.judged(COURSE[:4], (4 * DAY,))
    for part in PARTS:
        monkeypatch.setattr(forms, {id(p): n for n, p in vars(forms).items() if p is part}[id(part)], [])
    plain = made.judged(COURSE[:4], (4 * DAY,))
    for name in found.peaks:
        assert off(found.peaks[name], plain.peaks[name]) < 1e-6, name
    assert np.abs(found.gone[SPOT.organism].chance - plain.gone[SPOT.organism].chance).max() < 1e-9


def test_fish_that_leave_are_counted():
    """With all of them moved the ammonia stops: half an hour later it can only fall."""
    gone = ((at(0, 1), Move(stock="nursery-guppy", to="elsewhere")),)
    assert ready("readings").judged(gone, ENDS).peaks["ammonia_n"].mean() < (
        ready("readings").judged((), ENDS).peaks["ammonia_n"].mean()
    )


def test_what_lies_outside_is_refused():
    made = ready("nothing")
    with pytest.raises(BadInput, match="lies outside of the 8 days"):
        made.judged((), (9 * DAY,))
    with pytest.raises(BadInput, match="before now"):
        made.judged(((at(-1), Change(share=0.5)),), ENDS)
    with pytest.raises(BadInput, match="draws"):
        made.first(256)
    room = room_of_text(TANK)
    with pytest.raises(BadInput, match="days"):
        prospect(room, "nursery", NOW, FACTS, days=90)
    with pytest.raises(BadInput, match="stock"):
        tub_prospect(room, "nursery", NOW, FACTS, volume_l=Estimate.exact(20), stock_ids=["tetra"], days=8)


def tub(changes, temp_c=26.0, **more):
    room = room_of_text(TANK + READ + LOOK)
    made = tub_prospect(
        room, "nursery", NOW, FACTS, volume_l=Estimate(20, 19, 21), stock_ids=["nursery-guppy"],
        temp_c=temp_c, days=8, suspects=(SPOT,), **more,
    )  # fmt: skip
    return made, made.judged([(at(day), Change(share=0.5)) for day in changes], ENDS)


def test_in_a_bare_tub_ammonia_climbs_until_it_is_changed():
    made, still = tub(())
    _, changed = tub((1, 2, 3, 4, 5, 6))
    tank = ready("readings")
    assert made.mean(still.lowest["ammonia_n"]) == 0.0  # clean water at the beginning
    assert made.mean(still.peaks["ammonia_n"]) > 4.0 * tank.mean(tank.judged((), ENDS).peaks["ammonia_n"])
    assert made.mean(changed.peaks["ammonia_n"]) < 0.5 * made.mean(still.peaks["ammonia_n"])


def test_only_what_sits_on_the_fish_comes_along_and_what_is_in_the_cup():
    made, _ = tub(())
    one = made.suspected[SPOT.organism]
    tank = prospect(
        room_of_text(TANK + READ + LOOK), "nursery", NOW, FACTS, days=8, suspects=(SPOT,)
    ).suspected[SPOT.organism]
    carried = FACTS.conversion["transfer_carried"].high
    for r, row in enumerate(one.life.gathered.rows):
        if row.place == "water":
            assert one.rows[r] == pytest.approx(tank.rows[r] * carried)
        elif row.place in ("surface", "corpse"):
            assert not one.rows[r].any()
    each, before = (s.rows[s.life.table.hosted].sum(axis=0) / s.rows[s.life.table.fish] for s in (one, tank))
    assert each == pytest.approx(before)


def test_a_tub_may_be_made_of_a_tank_that_is_ready_and_be_filled_later():
    """The past is run once; until they go in, what sits on them lives on in the tank."""
    room = room_of_text(TANK + READ + LOOK)
    tank = prospect(room, "nursery", NOW, FACTS, days=8, suspects=(SPOT,))
    told = {"volume_l": Estimate.exact(20), "stock_ids": ["nursery-guppy"], "days": 4, "tank": tank}
    alone = tub_prospect(room, "nursery", NOW, FACTS, **{**told, "tank": None, "days": 8}, suspects=(SPOT,))
    now, later = (
        tub_prospect(room, "nursery", NOW, FACTS, at=NOW + timedelta(days=d), **told) for d in (0, 3)
    )
    rows = [made.suspected[SPOT.organism].rows for made in (alone, now, later)]
    assert (rows[0] == rows[1]).all()
    hosted = now.suspected[SPOT.organism].life.table.hosted
    assert (rows[2][hosted].sum(axis=0) != rows[1][hosted].sum(axis=0)).all()
    assert later.now == NOW + timedelta(days=3)
    assert later.suspected[SPOT.organism].infected_d == now.suspected[SPOT.organism].infected_d + 3.0
