"""A course set by hand is judged before it is begun; one as published becomes rows and back."""

from datetime import UTC, datetime

import pytest
from msgspec.structs import replace

from tankward.desk.by_hand import dangers_of, full_dose, proposed, refuse_unsaid, unsaid, with_score
from tankward.desk.courses import Wanted, propose
from tankward.knowledge.loader import load
from tankward.model.run import warm
from tankward.quantities.faults import Refused
from tankward.room.acts import Change, Dose
from tankward.room.replay import replay
from tankward.show.words.by_hand import held_lines
from tankward.treat.course.shape_from import shape_from
from tankward.treat.planner.checked import DANGER
from tankward.treat.planner.records import MOST, OWN_MOST, Wishes
from tankward.treat.planner.score import NO_WORSE
from tests.helpers.rooms import entries_from
from tests.web.planned_room import ROOM

NOW = datetime(2026, 5, 12, 21, 2, tzinfo=UTC)
SALT = Wanted(substance="sodium_chloride", route="water_long", cause="white_spot")


@pytest.fixture(scope="module", autouse=True)
def compiled():
    warm(wait=True)


@pytest.fixture(scope="module")
def room():
    return replay(entries_from(ROOM))


@pytest.fixture(scope="module")
def crowded():
    return replay(entries_from(ROOM.replace("number=18 length=2.2cm", "number=90 length=2.6cm")))


def acts(course, kind):
    return [(s.at, s.act) for s in course.steps if isinstance(s.act, kind)]


def test_as_published_and_as_its_shape_the_tank_meets_the_same(room):
    facts = load()
    course = propose(room, "t8", SALT, NOW, "UTC", facts)
    shape = shape_from(course, full_dose(room, "t8", SALT, NOW, "UTC", facts))
    wanted = replace(SALT, shape=shape.text, start=course.start.isoformat())
    again = propose(room, "t8", wanted, NOW, "UTC", facts)
    assert [(at, a.share) for at, a in acts(again, Change)] == [
        (at, a.share) for at, a in acts(course, Change)
    ]
    salt = [[(at, a.actives[SALT.substance]) for at, a in acts(c, Dose) if SALT.substance in a.actives]
            for c in (course, again)]  # fmt: skip
    assert [at for at, _ in salt[0]] == [at for at, _ in salt[1]]
    assert [mg for _, mg in salt[1]] == pytest.approx([mg for _, mg in salt[0]], rel=0.01)


def test_as_published_nothing_is_asked(room):
    course, score = with_score(room, "t8", SALT, NOW, "UTC", load())
    assert score is None and not [r for r in course.cautions if r.kind == DANGER]


def test_what_the_tank_risks_by_itself_is_let_pass_by_hand_as_in_a_plan(crowded):
    """One rule: `Wishes.most_of`, by the chance with nothing done."""
    wanted = replace(SALT, shape="dose 0h 0.5; end 336h", start="2026-05-12T21:30:00+00:00")
    course, score = with_score(crowded, "t8", wanted, NOW, "UTC", load())
    line = next(x for x in score.lines if x.what == "nitrite")
    assert MOST < line.chance <= line.most == Wishes().most_of("nitrite", line.alone + NO_WORSE) < OWN_MOST
    assert not dangers_of(score) and not [r for r in course.cautions if r.kind == DANGER]
    (said,) = [w for w in held_lines(score, load()) if w.startswith("Nitrite")]
    assert f"With nothing done {round(100 * line.alone)} of 100 would" in said
    fed = replace(wanted, shape="dose 0h 0.5; feed 120%; end 336h")
    course, score = with_score(crowded, "t8", fed, NOW, "UTC", load())
    worse = next(x for x in score.lines if x.what == "nitrite")
    assert worse.alone == line.alone and "nitrite-nitrite_n" in dangers_of(score)
    assert f"in {round(100 * line.alone)} with nothing done" in course.cautions[0].because


def test_what_it_lets_happen_is_its_first_caution_and_asks_to_be_taken(crowded):
    wanted = replace(SALT, shape="dose 0h 0.5; feed 200%; end 336h", start="2026-05-12T21:30:00+00:00")
    course, score = with_score(crowded, "t8", wanted, NOW, "UTC", load())
    keys = dangers_of(score)
    assert "nitrite-nitrite_n" in keys and course.cautions[0].kind == DANGER
    assert [r.kind for r in course.cautions].count(DANGER) == len(keys)
    with pytest.raises(Refused, match="nitrite"):
        refuse_unsaid(score, ())
    refuse_unsaid(score, keys)
    assert unsaid(score, keys[:1]) == keys[1:]
    assert proposed(crowded, "t8", wanted, NOW, "UTC", load()).cautions == course.cautions
