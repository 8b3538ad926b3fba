"""`tankward options`: what is open, what is ruled out, and where each number comes from."""

import pytest

from .asking import ask, ask_room, digest, fill
from .json_numbers import bare_numbers
from .walk import NOW, WRITES

WHITE_SPOT = (
    "options", "--cause", "white_spot", "--volume", "58 L",
    "--animals", "8 kuhli_loach 8cm; 12 harlequin_rasbora 3.5cm; 30 cherry_shrimp; moss",
    "--water", "ammonia 0 mg/L as N, nitrite 0 mg/L as N, pH 7.0, 24C, KH 4 dKH",
)  # fmt: skip
COMMON = {"says", "how", "assumes", "cautions", "sources", "now", "refused"}
OPEN = {"substance", "route", "regimen", "level", "use", "reaches", "not_reached", "cautions", "evidence"}
CLOSED = {"substance", "route", "because", "who", "would_change"}


@pytest.fixture(scope="module")
def white_spot():
    said = ask(*WHITE_SPOT, "--now", NOW, "--json")
    assert said.code == 0, said.err
    return said.json


@pytest.fixture(scope="module")
def room(tmp_path_factory):
    folder = tmp_path_factory.mktemp("options") / "room"
    fill(folder, WRITES)
    return folder


def test_the_keys_are_those_of_the_contract(white_spot):
    assert set(white_spot) >= COMMON | {"open", "ruled_out"}
    assert all(set(row) >= OPEN for row in white_spot["open"])
    assert all(set(row) >= CLOSED for row in white_spot["ruled_out"])


def test_every_number_stands_beside_its_source_or_status(white_spot, room):
    assert bare_numbers(white_spot) == []
    assert bare_numbers(ask_room(room, "options", "T1", "--cause", "hexamita").json) == []


def test_a_planted_bare_number_is_found(white_spot):
    row = {**white_spot["open"][0], "minutes_more": 3.0, "source": "", "status": ""}
    assert bare_numbers({**white_spot, "open": [row]})


def test_case_2_fish_out_is_first_and_copper_is_closed_for_the_shrimp(white_spot):
    """Expert case 2: fish out, shrimp and moss stay; no copper, no salt in the tank, no 30 degrees."""
    assert white_spot["open"][0]["id"] == "fish_out"
    closed = {row["id"]: row for row in white_spot["ruled_out"]}
    copper = [row for name, row in closed.items() if name.startswith("copper/")]
    assert copper and all("cherry shrimp" in row["who"] for row in copper)
    # No fish there bears it either: nobody is told to move them all, and never to give less.
    assert all("another remedy" in row["would_change"] for row in copper)
    assert not any(word in row["would_change"] for row in copper for word in ("half", "move the", "less"))
    assert "sodium_chloride/ich" in closed
    assert "heat/ich30" in closed


def test_a_recalled_limit_never_bears_it(white_spot):
    bears = [b for row in white_spot["open"] for b in row["bears"]]
    assert bears
    assert not [b for b in bears if b["status"] == "memory" and "bears" in (b["says"], b["words"].split()[0])]


def test_nobody_told_is_never_taken_for_safe():
    said = ask("options", "--cause", "white_spot")
    assert said.code == 0
    assert "Say who lives there first." in said.out
    assert "nothing here was judged against them" in said.out


def test_what_a_veterinarian_must_order_is_not_put_first_as_if_a_keeper_could(room):
    said = ask_room(room, "options", "T1", "--cause", "hexamita").json
    vets = [row for row in said["open"] if row["use"] == "vet" and row["substance"]]
    assert vets and {row["may"] for row in vets} == {"vet"}
    assert "a veterinarian has to order" in said["says"]


def test_a_tank_brings_its_water_its_region_and_who_lives_there(room):
    said = ask_room(room, "options", "T1", "--cause", "white_spot").json
    assert said["region"] == "UK"
    who = {b["who"] for row in (*said["open"], *said["ruled_out"]) for b in row["bears"]}
    assert {"cherry shrimp", "nerite snails"} & who
    assert said["causes"] == ["white_spot"]


def test_the_likely_causes_that_stay_untouched_are_named(room):
    said = ask_room(room, "options", "T1", "--cause", "skin_flukes").json
    left = {one["cause"] for row in said["open"] for one in row["leaves"]}
    assert "skin_flukes" not in left
    assert all(one["value"] > 0.05 for row in said["open"] for one in row["leaves"])


def test_fry_can_be_said_not_to_be_there():
    animals = "25 guppy female 3cm; 15 guppy male 2.2cm"
    asked = ("options", "--cause", "camallanus", "--animals", animals, "--volume", "63 L", "--json")
    taken = [b for row in ask(*asked).json["open"] for b in row["bears"] if b["taken"] == "fry"]
    assert taken
    denied = ask(*asked, "--not-there", "fry").json
    assert not [
        b for row in (*denied["open"], *denied["ruled_out"]) for b in row["bears"] if b["taken"] == "fry"
    ]


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("--cause", "the evil eye"), "cause"),
        (("--cause", ""), "cause"),
        (("--cause", "white_spot", "--region", "Mars"), "region"),
        (("--cause", "white_spot", "--animals", "3 unicorns"), "animals"),
        (("--cause", "white_spot", "--volume", "0 L"), "volume"),
        (("--cause", "white_spot", "--volume", "58"), "volume"),
        (("--cause", "white_spot", "--water", "pH 15"), "15"),
        (("--cause", "white_spot", "--not-there", "whales"), "not-there:"),
        (("--cause", "white_spot", "--seen", "purple ears"), "seen:"),
    ],
)
def test_bad_input_is_one_sentence_and_exit_2(words, says):
    said = ask("options", *words)
    assert (said.code, said.out) == (2, "")
    assert said.err.count("\n") == 1
    assert says in said.err


def test_a_tank_is_not_told_twice_and_nothing_is_written(room):
    assert ask("tank", "list", "--room", str(room)).code == 0  # the day's copy is made
    before = digest(room)
    said = ask("options", "T1", "--cause", "white_spot", "--volume", "30 L", "--room", str(room))
    assert said.code == 2
    assert said.err.startswith("volume:")
    assert ask("options", "T9", "--cause", "white_spot", "--room", str(room)).code == 2
    assert digest(room) == before


def test_in_words_it_says_what_is_open_what_is_closed_and_why():
    said = ask(*WHITE_SPOT)
    at = [
        said.out.find(w)
        for w in ("What can be done:", "Fish out", "Ruled out here:", "Copper", "Would change")
    ]
    assert -1 not in at and at == sorted(at)
