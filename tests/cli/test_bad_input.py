"""What bad input gets: one sentence naming field, value and what is accepted, and a room left as it was."""

import pytest

from tests.cli import walk
from tests.cli.asking import ask, ask_room, digest, fill

LONG = "a" * 30_000
MARKUP = 'T2 {{ 7*7 }} & #strong[x] $a$ "q" *b*'

FAULTS = {  # name: (words, field, value as it was typed, what is accepted)
    "a 0 L tank": (("tank", "add", "name=T2", "volume=0 L"), "volume", "0 L", "more than 0 L"),
    "no water": (
        ("tank", "add", "name=T2", "size=60x30x36cm", "fill=0cm"), "fill", "0cm", "more than 0 cm",
    ),
    "less than no water": (("tank", "add", "name=T2", "volume=-5 L"), "volume", "-5 L", "more than 0 L"),
    "more stone than tank": (
        ("tank", "add", "name=T2", "size=60x30x36cm", "fill=31cm", "solids=500L"),
        "solids", "500 L", "the tank holds 55.8 L",  # 60 x 30 x 31 cm, by hand
    ),
    "a negative dose": (
        ("log", "dose", "T1", "praziquantel=-108mg"), "praziquantel", "-108mg", "more than nothing",
    ),
    "packets owed": (
        ("log", "dose", "T1", "supply=invented sachet", "units=-1"), "units", "-1", "more than 0",
    ),
    "pH 15": (("log", "reading", "T1", "ph=15"), "ph", "15", "between 0 and 14"),
    "300 C": (("log", "reading", "T1", "temp=300C"), "temp", "300C", "between 0 and 45"),
    "a heater at 300 C": (("log", "heat", "T1", "temp=300C"), "temp", "300C", "between 0 and 45"),
    "a sachet with no strength": (
        ("shelf", "add", "name=odd", "unit=sachet", "praziquantel=", "rule=1 sachet per 40 L"),
        "actives", "praziquantel", "actives=dont-know",
    ),
    "a sachet with a bare number": (
        ("shelf", "add", "name=odd", "unit=sachet", "praziquantel=90", "rule=1 sachet per 40 L"),
        "actives", "praziquantel 90", "praziquantel 90 mg",
    ),
    "an entry in the future": (
        ("log", "note", "T1", "text=later", "when=2026-05-20 10:00"),
        "when", "2026-05-20 10:00", "has happened",
    ),
    "tomorrow": (("log", "note", "T1", "text=later", "when=tomorrow"), "when", "tomorrow", "has happened"),
    "a page in a name": (("tank", "add", "name=<b>T2</b>", "volume=54L"), "name", "<b>T2</b>", "< or >"),
    "an unknown unit": (("tank", "add", "name=T2", "volume=54 parsecs"), "volume", "54 parsecs", "54 L"),
    "no unit": (("tank", "add", "name=T2", "volume=54"), "volume", "54", "54 L"),
    "which gallon": (("tank", "add", "name=T2", "volume=10 gal"), "volume", "10 gal", "US gal or imp gal"),
    "a comma in thousands": (
        ("log", "reading", "T1", "nitrate=1,500 mg/L"), "nitrate", "1,500 mg/L", "without the comma",
    ),
    "a 30,000-character note": (("log", "note", "T1", f"text={LONG}"), "text", "aaa", "at most 4,000"),
    "a 30,000-character remark": (
        ("log", "reading", "T1", "ph=7.6", f"note={LONG}"), "note", "aaa", "at most 4,000",
    ),
    "two tanks of one name": (("tank", "add", "name=T1", "volume=54L"), "name", "T1", "Write another"),
    "and in small letters": (("tank", "add", "name=t1", "volume=54L"), "name", "t1", "Write another"),
    "a species not known": (
        ("stock", "add", "T1", "kind=3 dragons"), "kind", "dragons", "kind=unknown",
    ),
    "a sign not known": (("log", "look", "T1", "seen=glowing"), "seen", "glowing", "did you mean"),
    "a substance not known": (
        ("log", "dose", "T1", "phlogiston=5mg"), "phlogiston", "phlogiston", "tankward facts",
    ),
    "a kind of entry not known": (("log", "dance", "T1", "steps=2"), "kind", "dance", "reading"),
    "a tank not known": (("now", "T9"), "tank", "T9", "T1"),
    "an entry not known": (("undo", "nothing-such"), "entry", "nothing-such", "its id"),
    "a word without a key": (("log", "reading", "T1", "7.6"), "input", "7.6", "key=value"),
    "a key twice": (("log", "reading", "T1", "ph=7.6", "ph=7.7"), "ph", "7.7", "given twice"),
    "more water than there is": (
        ("log", "change", "T1", "share=130%"), "share", "130%", "between 0 and 100 %",
    ),
    "no number at all": (("log", "reading", "T1", "ph=nan"), "ph", "nan", "7.4"),
    "days that are none": (("forecast", "T1", "--days", "abc"), "days", "abc", "not a number"),
    "days gone by": (("forecast", "T1", "--days", "-3"), "days", "-3", "up to 28"),
}  # fmt: skip

HANDLED = (
    "--sensitised", "no", "--pregnant-or-children", "no", "--window", "yes", "--goggles", "yes",
    "--expert", "yes",
)  # fmt: skip
REFUSED = {  # name: (words, what the reason says, what would make it safe)
    "10 times the published dose": (
        ("calc", "dose", "level=100mg/L", "volume=46L", "substance=praziquantel"),
        "10 times the highest published dose", "A dose within",
    ),
    "100 times the published dose": (
        ("calc", "dose", "level=1g/L", "volume=46L", "substance=praziquantel"),
        "100 times the highest published dose", "A dose within",
    ),
    "a course at 10 times the published dose": (
        ("course", "T1", *walk.COURSE, "--level", "100"),
        "10 times the highest published dose", "A dose within",
    ),
    "a course at 100 times the published dose": (
        ("course", "T1", *walk.COURSE, "--level", "1000"),
        "100 times the highest published dose", "A dose within",
    ),
    "copper with shrimp": (
        ("calc", "copper", "alkalinity=100 mg/L as CaCO3", "volume=46L", "animals=30 cherry_shrimp"),
        "shrimp", "",
    ),
    "a course of copper with shrimp": (
        ("course", "T1", "--substance", "copper", "--route", "water_long"),
        "copper kills cherry shrimp", "another remedy",  # the barbs do not bear it either
    ),
    "formalin at low oxygen": (
        ("course", "T1", "--substance", "formalin", "--route", "water_bath", *HANDLED),
        "formalin takes oxygen", "aerate and read again",
    ),
    "a veterinarian's medicine": (
        (
            "course", "T1", "--substance", "metronidazole_praziquantel", "--route", "water_long",
            "--supply", "invented sachet",
        ),
        "for a veterinarian to order", "held-lawfully=yes",
    ),
}  # fmt: skip


@pytest.fixture(scope="module")
def room(tmp_path_factory):
    folder = tmp_path_factory.mktemp("keeper")
    fill(folder, walk.WRITES)
    return folder


@pytest.fixture(scope="module")
def short_of_air(tmp_path_factory):
    folder = tmp_path_factory.mktemp("short-of-air")
    fill(folder, [*walk.WRITES, ("log", "reading", "T1", "oxygen=4 mg/L")])
    return folder


def in_room(room, words):
    """Calculations know no room; the rest is told where it is."""
    return ask(*words, "--json") if words[0] == "calc" else ask_room(room, *words)


@pytest.mark.parametrize("name", FAULTS)
def test_a_fault_is_one_sentence_and_nothing_is_written(room, name):
    words, field, value, accepted = FAULTS[name]
    before = digest(room)
    said = in_room(room, words)
    assert (said.code, said.out) == (2, "")
    assert said.err.startswith(f'{field}: "{value}'), said.err
    assert accepted in said.err
    assert said.err.count("\n") == 1 and said.err.rstrip().endswith((".", "?"))
    assert "Traceback" not in said.err
    assert digest(room) == before


@pytest.mark.parametrize("name", REFUSED)
def test_what_would_harm_is_refused_with_what_would_make_it_safe(request, name):
    words, because, would_change = REFUSED[name]
    room = request.getfixturevalue("short_of_air" if "oxygen" in name else "room")
    before = digest(room)
    said = in_room(room, words)
    assert (said.code, said.err) == (3, "")
    answer = said.json
    assert answer["refused"] is True
    assert any(because in row["because"] for row in answer["reasons"])
    assert all(row["would_change"] for row in answer["reasons"])
    assert any(would_change in row["would_change"] for row in answer["reasons"])
    assert digest(room) == before


def test_several_faults_are_told_at_once(room):
    said = ask_room(room, "log", "reading", "T1", "ph=15", "temp=300C", "ammonia=0.5")
    assert said.code == 2
    assert [line.split(":")[0] for line in said.err.splitlines()] == ["ph", "temp", "ammonia"]


def test_a_name_with_markup_is_shown_as_typed(tmp_path):
    fill(tmp_path, [("tank", "add", f"name={MARKUP}", "volume=54L")])
    assert ask_room(tmp_path, "tank", "list").json["tanks"][0]["name"] == MARKUP
    assert MARKUP in ask_room(tmp_path, "tank", "show", MARKUP).json["says"]


def test_a_comma_for_a_point_is_read_where_it_means_one_thing(tmp_path):
    fill(tmp_path, [walk.TANK, ("log", "reading", "T1", "ph=7,6", "ammonia=0,5 mg/L as N")])
    (line,) = ask_room(tmp_path, "find", "0.5").json["rows"]
    assert "ph=7.6" in line


@pytest.mark.parametrize("times", [10, 100])
def test_an_overdose_that_happened_is_kept_and_not_without_a_word(tmp_path, times):
    """10 mg/L is the highest published of praziquantel: in 46.4 L that is 464 mg."""
    fill(tmp_path, [walk.TANK])
    said = ask_room(tmp_path, "log", "dose", "T1", f"praziquantel={464.3 * times:.0f} mg").json
    assert f"{times} times the highest published" in said["cautions"][0]
    assert said["cautions"] == ask_room(tmp_path, "now", "T1").json["cautions"]


def test_a_dose_as_published_needs_no_caution(tmp_path):
    fill(tmp_path, [walk.TANK])
    assert ask_room(tmp_path, "log", "dose", "T1", "praziquantel=108mg").json["cautions"] == []


def test_what_is_held_lawfully_is_worked_out_and_says_so(tmp_path):
    sachet = ("shelf", "add", "name=held sachet", *walk.SACHET[3:], "held-lawfully=yes")
    fill(tmp_path, [*walk.WRITES, sachet])
    wanted = ("--substance", "metronidazole_praziquantel", "--route", "water_long")
    told = ask_room(tmp_path, "course", "T1", *wanted, "--supply", "held sachet").json
    assert "held lawfully, as you stated on 14 May 2026 (UK)" in told["statement"][0]
    assert len(told["statement"]) > 1  # the region's lines of law


@pytest.mark.parametrize(
    "words",
    [
        ("log", "reading", "T1", "ph=dont-know", "temp=25C"),
        ("shelf", "add", "name=odd", "unit=sachet", "actives=dont-know"),
        ("stock", "add", "T1", "kind=unknown", "number=3", "name=odd fish"),
        ("tank", "add", "name=T3", "volume=dont-know"),
    ],
)
def test_dont_know_is_an_answer(tmp_path, words):
    fill(tmp_path, [walk.TANK, words])


def test_a_moment_that_is_none(room):
    said = ask("now", "T1", "--room", str(room), "--now", "2026-13-01", "--json")
    assert (said.code, said.out) == (2, "")
    assert said.err == 'now: "2026-13-01" is not a moment. Write it like 2026-05-14T18:00.\n'
