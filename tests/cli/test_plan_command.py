"""`tankward plan`: the courses, what each gives up, and the line that begins one of them."""

from functools import partial

import pytest

from tankward.cli.commands import plan as command
from tankward.desk.plans import plan_for
from tankward.model import run
from tankward.treat.planner.search import Budget
from tests.cli.asking import ask_room, fill

ROOM = [
    (
        "tank",
        "add",
        "name=T8",
        "size=40 x 25 x 26 cm",
        "fill=22cm",
        "filter=sponge",
        "filter-age=300 days",
        "temp=24C",
    ),
    ("stock", "add", "T8", "kind=18 pearl_danio_celestial", "length=2cm"),
    (
        "kit",
        "set",
        "scale=0.1g",
        "syringes=1mL,5mL,20mL",
        "region=UK",
        "hours=Mon-Fri 18:00-22:00; Sat, Sun 8:00-22:00",
    ),
    ("log", "reading", "T8", "ammonia=0 mg/L as N", "nitrite=0 mg/L as N", "ph=7.2", "temp=24C"),
    ("log", "look", "T8", "seen=white spots"),
]
ASKED = ("plan", "T8", "--cause", "white_spot")

pytestmark = pytest.mark.slow


@pytest.fixture(scope="module")
def room(tmp_path_factory):
    folder = tmp_path_factory.mktemp("plan") / "room"
    fill(folder, ROOM)
    run.warm(wait=True)
    return folder


@pytest.fixture(scope="module")
def found(room):
    """A smaller search than the command's own: the same courses are shown in the same way."""
    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(command, "plan_for", partial(plan_for, budget=Budget(300, 12, 3)))
        return ask_room(room, *ASKED).json


def test_each_course_says_what_it_is_best_at_and_what_it_gives_up(found):
    assert found["courses"]
    assert [c["letter"] for c in found["courses"]] == list("ABCDE"[: len(found["courses"])])
    for course in found["courses"]:
        assert course["best"]
        assert course["steps"]
        assert {"over-limit", "nh3", "nitrite", "oxygen"} & {row["what"] for row in course["chances"]}


def test_the_line_under_a_course_makes_that_course(room, found):
    for course in found["courses"]:
        names = {"gone": "not-there"}
        line = [
            part
            for k, v in course["course"].items()
            for part in (f"--{names.get(k, k).replace('_', '-')}", v)
        ]
        again = ask_room(room, "course", "T8", *line).json
        assert [(s["at"], s["act"]) for s in again["steps"]] == [(s["at"], s["act"]) for s in course["steps"]]


@pytest.mark.parametrize(
    ("more", "told", "code"),
    [
        (("--nh3", "20%"), "more than a plan may risk", 3),
        (("--place", "cellar"), "place", 2),
        (("--on-shelf", "perhaps"), "on-shelf", 2),
        (("--over-by", "1 May"), "over-by", 2),
        (("--hours", "blue"), "hours", 2),
        (("--spare", "unicorn"), "is nobody in T8. There: ", 2),
    ],
)
def test_what_can_not_be_is_answered_in_one_sentence(room, more, told, code):
    said = ask_room(room, *ASKED, *more)
    assert said.code == code
    assert told in said.err or told in str(said.json)
