"""Bad evenings, invented: what is typed by somebody tired, and what has to come back."""

import pytest

from tankward.knowledge.loader import load
from tests.cli.asking import NOW, ask, digest, fill

TANK = ("tank", "add", "name=T1", "volume=40L", "temp=25C")
READ = ("log", "reading", "T1", "ammonia=0 mg/L as N", "nitrite=0 mg/L as N", "ph=7.0", "temp=25C")


@pytest.fixture
def room(tmp_path):
    fill(tmp_path, [TANK, READ])
    return tmp_path


def printed(room, *words):
    return ask(*words, "--room", str(room), "--now", NOW)


def test_a_sign_with_a_slip_of_the_thumb_is_asked_back():
    said = ask("causes", "--seen", "wite spots", "--now", NOW)
    assert (said.code, said.out) == (2, "")
    assert "did you mean white spot" in said.err


def test_gallons_are_asked_back_and_us_gallons_are_taken(room):
    asked = printed(room, "log", "change", "T1", "share=2.5gal")
    assert "write US gal or imp gal" in asked.err
    taken = printed(room, "log", "change", "T1", "share=2.5 US gal")
    assert "24 % of the water changed" in taken.out  # 9.46 of 40 L


def test_more_than_the_tank_holds_was_not_changed(room):
    before = digest(room)
    said = printed(room, "log", "change", "T1", "share=200L")
    assert said.err.strip() == 'share: "200L" is more than the 40 L that were in it.'
    assert digest(room) == before


def test_dont_know_everywhere_is_an_answer():
    unknown = ("--history", "dont-know", "--animals", "dont-know", "--water", "dont-know")
    said = ask("causes", "--seen", "white spots", *unknown, "--now", NOW)
    assert said.code == 0
    assert said.out.startswith("The water is not known: read ammonia, nitrite, pH and the temperature")
    assert "White spot" in said.out


def test_dont_know_what_was_seen_names_no_cause_and_still_says_air_first():
    assert "Nothing was seen, so no cause is named." in ask("causes", "--seen", "dont-know", "--now", NOW).out
    steps = ask("what-now", "--seen", "dont-know", "--now", NOW).out.splitlines()
    assert steps[1].startswith("  1. Air")


def test_no_tank_of_that_name(room):
    said = printed(room, "now", "T9")
    assert said.err.strip() == 'tank: "T9" is no tank here. There are T1.'


def test_two_hundred_fish_in_twenty_litres(tmp_path):
    fill(tmp_path, [("tank", "add", "name=C", "volume=20L"),
                    ("stock", "add", "C", "kind=200 guppies", "length=3cm")])  # fmt: skip
    said = printed(tmp_path, "now", "C").out
    assert said.startswith("Fish for the water: ")
    assert "Feed less, and find room for some." in said


def test_copper_in_soft_water_is_refused_whatever_is_asked(room):
    fill(room, [("stock", "add", "T1", "kind=10 neon tetras"), ("log", "reading", "T1", "kh=1 dKH")])
    for more in ((), ("--level", "0.02")):
        said = printed(room, "course", "T1", "--substance", "copper", "--route", "tank", *more)
        assert said.code == 3
        assert "copper kills fish" in said.err
    assert printed(room, "calc", "copper", "alkalinity=1 dKH", "volume=40L").code == 3


def test_salt_with_loaches_and_plants_names_the_loaches_first(room):
    fill(room, [("stock", "add", "T1", "kind=5 clown loaches", "length=6cm"),
                ("stock", "add", "T1", "kind=java fern", "number=3")])  # fmt: skip
    said = printed(room, "course", "T1", "--substance", "salt", "--route", "tank", "--cause", "white_spot")
    assert said.code == 3
    assert said.err.startswith("No. This level of sodium chloride is more than clown loaches bear.")


def test_fry_alone_get_no_praziquantel(room):
    fill(room, [("stock", "add", "T1", "kind=40 guppies", "stage=fry", "length=0.7cm")])
    said = printed(room, "course", "T1", "--substance", "praziquantel", "--route", "tank")
    assert said.code == 3
    assert "harms fry" in said.err


def test_a_spoon_says_no_weight_until_it_was_weighed(room):
    before = digest(room)
    said = printed(room, "log", "dose", "T1", "salt=3 tbsp")
    assert "a spoon says no weight until it was weighed with this powder" in said.err
    assert digest(room) == before
    fill(room, [("kit", "spoon", "spoon=tablespoon", "spoons=10", "mass=180g", "powder=salt")])
    assert "54 g" in printed(room, "log", "dose", "T1", "salt=3 tbsp").out  # three of 18 g
    assert printed(room, "log", "dose", "T1", "salt=3 tsp").code == 2  # another spoon


def test_a_tank_of_nobody_gets_a_course_only_with_a_word(room):
    said = printed(
        room, "course", "T1", "--substance", "salt", "--route", "tank", "--cause", "white_spot"
    ).out
    assert "Nobody is written down in this tank: who bears it was not judged at all." in said


def test_a_brackish_snail_is_not_called_safe_in_salt(room):
    fill(room, [("stock", "add", "T1", "kind=3 nerite snails")])
    said = printed(room, "options", "T1", "--cause", "white_spot").out
    line = next(x for x in said.splitlines() if "nerite snails" in x)
    assert "not measured" in line
    assert "bears" not in line


def causes_of(*words):
    return ask("causes", *words, "--now", NOW)


def test_signs_told_both_ways_are_named_and_not_known():
    said = causes_of("--seen", "white spots, lethargy", "--not-seen", "white spots")
    assert said.code == 0
    assert "taken as not known: white spots like salt. Look again." in said.out


def test_all_signs_at_once_are_answered_and_one_fish_is_asked_for():
    everything = ",".join(load().signs)
    said = causes_of("--seen", everything)
    assert said.code == 0
    assert "Take the worst fish, and say only what that one shows." in said.out
    assert "Something not on this list: almost certain. Nearest to it: columnaris." in said.out


def test_an_animal_that_nobody_knows_is_asked_back_with_the_way_on():
    said = causes_of("--seen", "white spots", "--animals", "3 unicorns")
    assert said.code == 2
    assert "animals=unknown" in said.err
    assert causes_of("--seen", "white spots", "--animals", "3 unknown").code == 0


def test_a_round_belly_of_nobody_knows_which_sex_says_that_the_sex_is_missing():
    said = causes_of("--seen", "swollen belly", "--animals", "6 guppies")
    assert "healthy pregnancy mistaken for illness" in said.out
    assert "whether they are males or females" in said.out


def test_gill_beats_alone_are_an_answer_and_a_slow_count_is_doubted():
    fast = causes_of("--gill-beats", "35", "--gill-beats-well", "22")
    assert "140 gill beats a minute, 88 in one that looks well. That is fast." in fast.out
    assert "For it: breathing fast" in fast.out
    slow = causes_of("--seen", "lethargy", "--gill-beats", "8")
    assert "If it was counted over 15 seconds, it is four times as many." in slow.out
    assert causes_of("--seen", "lethargy", "--gill-beats", "many").err.startswith('gill-beats: "many"')
