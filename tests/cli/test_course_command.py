"""`tankward course`: amounts worked by hand, both ends of what to put back, refusals, begun and stopped."""

import pytest

from tankward.desk.desk import Desk

from .asking import ask, ask_room, digest, fill
from .json_numbers import bare_numbers

# Invented: 63 L with grown fish of one sex, shrimp, and a sachet of 240 + 80 mg, one per 10 US gal.
LINES = (
    ("tank", "add", "name=Thin", "volume=63 L", "temp=25C", "filter=sponge", "tap=chlorine"),
    ("stock", "add", "Thin", "kind=platy", "name=platies", "number=15", "length=3cm", "sex=male"),
    ("stock", "add", "Thin", "kind=cherry_shrimp", "name=shrimp", "number=20"),
    ("kit", "set", "scale=0.1g", "syringes=1mL,5mL,20mL", "buckets=10L", "region=other"),
    (
        "shelf", "add", "name=two in one", "unit=sachet", "metronidazole=240mg", "praziquantel=80mg",
        "dose=1", "per=10 US gal", "repeat-after=48h", "change-before=50%", "held-lawfully=yes",
    ),
    ("log", "reading", "Thin", "ammonia=0 mg/L as N", "nitrite=0 mg/L as N", "ph=7.6", "temp=25C"),
)  # fmt: skip
BOTH = ("--substance", "metronidazole_praziquantel", "--route", "water_long", "--supply", "two in one")


@pytest.fixture(scope="module")
def room(tmp_path_factory):
    folder = tmp_path_factory.mktemp("thin")
    fill(folder, LINES)
    return folder


@pytest.fixture(scope="module")
def answer(room):
    said = ask_room(room, "course", "Thin", *BOTH, "--units", "1.5")
    assert said.code == 0, said.err
    return said.json


def step(answer, kind):
    return [s for s in answer["steps"] if s["kind"] == kind]


def test_the_levels_are_those_of_the_label_in_this_water(answer):
    """1.5 sachets in 63 L: 1.5 × 240 / 63 = 5.7 and 1.5 × 80 / 63 = 1.9 mg/L."""
    (dose,) = step(answer, "dose")
    assert dose["act"] == "Give one and a half sachets."
    assert "5.7 mg/L of metronidazole and 1.9 mg/L of praziquantel in your 63 L" in dose["how_to"]


def test_put_back_after_half_is_told_at_both_ends(answer):
    """Half changed: half of the dose where it lasted, the whole where it has gone; likely lies between."""
    first = {r["substance"]: r for r in answer["put_back"] if r["at"] == answer["put_back"][0]["at"]}
    for row in first.values():
        assert row["units_lasting"] == pytest.approx(0.75)
        assert row["units_gone"] == pytest.approx(1.5)
        assert row["units_lasting"] <= row["units_likely"] <= row["units_gone"]
    assert "would do if all of the" in step(answer, "put-back")[0]["why"]


def test_the_label_repeated_climbs_as_worked_by_hand(answer):
    """One per 37.85 L is 1.664 in 63 L: 6.34 mg/L; halved and repeated 4 times: x (1 + 1/2 + 1/4 + 1/8)."""
    part = next(p for p in answer["judged"]["parts"] if p["substance"] == "metronidazole")
    first = 240 / 37.85411784
    assert part["value"] == pytest.approx(first)
    assert part["peak_lasting"] == pytest.approx(first * 1.875)
    assert part["tends_lasting"] == pytest.approx(first * 2)


def test_every_step_says_when_what_and_why_and_the_hazard_stands_once(answer):
    for s in answer["steps"]:
        assert s["id"] and s["at"] and s["act"].endswith((".", "?"))
    assert [s["kind"] for s in answer["steps"][:1]] == ["read-water"]
    assert sum(bool(s["hazard"]) for s in answer["steps"]) == 1
    assert all(s["why"] for s in answer["steps"] if s["kind"] in ("dose", "put-back", "change"))
    assert len({s["id"] for s in answer["steps"]}) == len(answer["steps"])


def test_no_number_is_bare_and_the_chance_to_clear_is_said(answer):
    assert bare_numbers(answer) == []
    clear = [row for row in answer["chances"] if row["what"] == "clear"]
    assert clear
    assert all("all gone in" in row["says"] for row in clear)
    assert answer["statement"][0].startswith("Two in one: held lawfully")


def test_the_reaches_stand_before_the_amounts(answer):
    assert any(line.startswith("Reaches") for line in answer["reaches"])


@pytest.mark.parametrize(
    ("wanted", "kind"),
    [
        (("--substance", "copper", "--route", "water"), "class-lethal"),
        (("--substance", "nitrofurazone", "--route", "water"), "use-vet"),
        (("--substance", "formalin", "--route", "bath"), "people-unknown-goggles"),
    ],
)
def test_a_refusal_exits_3_with_reasons_and_writes_nothing(room, wanted, kind):
    before = digest(room)
    said = ask_room(room, "course", "Thin", *wanted, "--begin")
    told = said.json
    assert said.code == 3
    assert told["refused"] is True
    assert kind in {r["kind"] for r in told["reasons"]}
    assert all(r["would_change"] for r in told["reasons"])
    assert digest(room) == before


def test_a_vet_substance_is_refused_until_the_shelf_says_that_it_is_held(tmp_path):
    fill(tmp_path, [line if line[0] != "shelf" else line[:-1] for line in LINES])
    assert ask_room(tmp_path, "course", "Thin", *BOTH).code == 3


@pytest.mark.parametrize(
    ("more", "field"),
    [
        (("--start", "2026-05-01 10:00"), "start"),
        (("--start", "soonish"), "start"),
        (("--supply", "another"), "supply"),
        (("--label", "maybe"), "label"),
    ],
)
def test_bad_input_is_one_sentence(room, more, field):
    said = ask_room(room, "course", "Thin", *BOTH[:4], *more)
    assert said.code == 2
    assert said.out == ""
    assert said.err.startswith(f"{field}: ") and said.err.count("\n") == 1


def test_a_course_is_begun_with_its_steps_once_and_stopped(tmp_path):
    fill(tmp_path, LINES)
    begun = ask_room(tmp_path, "course", "Thin", *BOTH, "--units", "1.5", "--begin").json
    with Desk.open(tmp_path) as desk:
        course = desk.room().courses["thin"]
    assert course.id == begun["begun"]
    assert [s.id for s in course.steps] == [s["id"] for s in begun["steps"]]
    assert [s.says for s in course.steps] == [s["act"] for s in begun["steps"]]
    assert course.statement.startswith("Two in one: held lawfully")

    again = ask_room(tmp_path, "course", "Thin", *BOTH, "--units", "1.5", "--begin")
    assert again.code == 3
    assert again.json["reasons"][-1]["kind"] in ("course-runs", "third-course")

    assert ask_room(tmp_path, "course-stop", "Thin", "--why", "moved").code == 0
    with Desk.open(tmp_path) as desk:
        assert "thin" not in desk.room().courses
    assert ask_room(tmp_path, "course-stop", "Thin").code == 2


def test_the_terminal_tells_the_amount_first(room):
    said = ask("course", "Thin", *BOTH, "--units", "1.5", "--room", str(room), "--now", "2026-05-14T18:00")
    assert said.code == 0
    assert "change half, then give one and a half sachets" in said.out.splitlines()[0]
