"""One question after the other, counts and gill beats on the fish, and what does not go together."""

from urllib.parse import parse_qs, urlsplit

import pytest

from tankward.room.entries.looks import Look


def pressed(page, name, value):
    """The address to which a button of the question leads, as a browser would make it."""
    hidden = {f["name"]: f["value"] for f in page.fields if f.get("type") == "hidden"}
    return {**hidden, **({name: value} if name else {})}


def question(page):
    """The name that the buttons of the question carry."""
    names = [f["name"] for f in page.fields if f["tag"] == "button" and f.get("value") == "unsure"]
    return names[0] if names else ""


def test_a_dozen_questions_at_most_and_then_the_end_is_said(stranger):
    page, count = stranger.get("/ask", seen="lethargy"), 0
    while name := question(page):
        count += 1
        assert f"Question {count} of at most 12." in page.words
        page = stranger.get("/ask", **pressed(page, name, "unsure"))
        assert count <= 12
    assert count >= 6
    assert page.heading() == "That is all that is asked."
    assert "Enough. What may it be?" in page.words


def test_skipping_answers_nothing_and_another_question_comes(stranger):
    first = stranger.get("/ask", seen="white_spots")
    kept = pressed(first, "", "")
    second = stranger.get("/ask", **kept)
    assert question(second) != question(first)
    assert kept["asks"] == question(first).removeprefix("sign-")
    assert second.hidden("asked") == [kept["asks"]]
    assert second.hidden("not-seen") == []
    assert second.hidden("seen") == ["white_spots"]


def test_the_way_back_asks_the_same_again_with_its_answer_and_keeps_the_later_ones(stranger):
    walk = {
        "seen": "white_spots",
        "not-seen": "flashing",
        "onset": "days",
        "asked": "onset,flashing,lethargy",
    }
    here = stranger.get("/ask", **walk, at="flashing")
    assert here.heading() == "Rubbing on things?"
    on = [f["value"] for f in here.fields if f.get("aria-pressed") == "true"]
    assert on == ["absent"]
    assert "Question 2 of at most 12." in here.words
    back = next(url for url in here.links if "at=onset" in url)
    told = parse_qs(urlsplit(back).query)
    assert told["asked"] == ["onset,flashing,lethargy"]
    assert told["not-seen"] == ["flashing"]
    changed = stranger.get("/ask", **pressed(here, "sign-flashing", "seen"))
    assert changed.hidden("seen") == ["white_spots,flashing"]
    assert changed.hidden("not-seen") == []
    assert changed.hidden("onset") == ["days"]


def test_something_not_on_this_list_stands_with_what_it_may_be_so_far(stranger):
    page = stranger.get("/ask", seen="white_spots")
    assert page.words.index("So far") < page.words.index("White spot")
    assert page.words.index("White spot") < page.words.index("Something not on this list")


def test_without_a_sign_no_cause_is_named_while_asking(stranger):
    assert "So far" not in stranger.get("/ask").words


def test_what_is_urgent_stands_before_the_question(stranger):
    page = stranger.get("/ask", seen="gasping_surface")
    assert page.words.index("short of air") < page.words.index("Question 1")


def test_in_a_tank_nothing_is_written_until_the_end_and_then_one_look(keeper):
    before = keeper.entries
    page = keeper.get("/tanks/T7/ask", seen="white_stringy_faeces", at="flashing")
    page = keeper.get("/tanks/T7/ask", **pressed(page, "sign-flashing", "absent"))
    assert keeper.entries == before
    sent = keeper.post("/tanks/T7/look", page, **pressed(page, "", ""))
    assert sent.to.startswith("/tanks/t7/causes")
    look = keeper.entries[-1]
    assert isinstance(look, Look)
    assert look.seen == ("white_stringy_faeces",)
    assert look.absent == ("flashing",)


def test_what_the_logbook_says_is_not_asked_again(keeper):
    page = keeper.get("/tanks/T7/look")
    keeper.post("/tanks/T7/look", page, sign__white_stringy_faeces="seen", onset="weeks", share="some")
    asked, page = [], keeper.get("/tanks/T7/ask")
    while name := question(page):
        asked.append(name.removeprefix("sign-"))
        page = keeper.get("/tanks/T7/ask", **pressed(page, name, "unsure"))
    assert asked
    assert not {"onset", "share", "white_stringy_faeces"} & set(asked)


@pytest.mark.parametrize("query", [{"at": "purple_ears"}, {"asked": "purple_ears"}])
def test_what_is_not_asked_here_is_said(stranger, query):
    page = stranger.get("/ask", **query)
    assert page.code == 422
    assert "is nothing that is asked here." in page.words


# Counts and gill beats


def test_a_look_keeps_how_many_were_seen_how_many_show_it_appetite_and_gill_beats(keeper):
    form = keeper.get("/tanks/T7/look", zone="gills")
    keeper.post(
        "/tanks/T7/look", form, **{"looked-at": "18", "n-gill_flare": "4", "beats-well": "24"},
        sign__gill_flare="seen", sign__cough="absent", beats="35", eating="less", belly="2",
    )  # fmt: skip
    look = keeper.entries[-1]
    assert (look.looked_at, look.counts, look.eating) == (18.0, {"gill_flare": 4.0}, "less")
    assert (look.gill_beats_per_min, look.gill_beats_well_per_min) == (140.0, 96.0)
    page = keeper.get("/tanks/T7/causes")
    assert "140 gill beats a minute, 96 in one that looks well. That is fast." in page.words
    assert "breathing fast, or one gill shut" in page.words.lower()
    log = keeper.get("/tanks/T7/log")
    assert log.code == 200


def test_the_next_count_stands_beside_the_one_before(keeper):
    form = keeper.get("/tanks/T7/look", zone="gills")
    keeper.post("/tanks/T7/look", form, sign__lethargy="seen", beats="35")
    keeper.post("/tanks/T7/look", form, sign__lethargy="seen", beats="28")
    words = keeper.get("/tanks/T7/causes").words
    assert (
        "112 gill beats a minute, usual is 60 to 120 in a small fish at rest (usual practice), 140 " in words
    )
    assert "Count one that looks well too: fish differ." in words


@pytest.mark.parametrize(
    ("name", "text", "says"),
    [("beats", "many", "is not a number"), ("beats", "0", "can't be counted"),
     ("looked-at", "900", "can't be counted"), ("n-lethargy", "-2", "can't be counted")],
)  # fmt: skip
def test_a_count_that_cannot_be_is_asked_back_and_nothing_is_lost(keeper, name, text, says):
    before = keeper.entries
    form = keeper.get("/tanks/T7/look", zone="gills")
    sent = keeper.post("/tanks/T7/look", form, sign__lethargy="seen", belly="2", **{name: text})
    assert sent.code == 422
    assert says in sent.words
    assert keeper.entries == before
    assert "lethargy" in sent.html


def test_not_knowing_a_count_is_an_answer(keeper):
    form = keeper.get("/tanks/T7/look", zone="gills")
    keeper.post("/tanks/T7/look", form, sign__lethargy="seen", beats="dont-know", eating="unsure")
    assert keeper.entries[-1].gill_beats_per_min is None
    assert keeper.entries[-1].eating == ""


def test_beats_that_cannot_be_are_asked_back_where_they_are_asked(stranger):
    page = stranger.get("/ask", seen="lethargy", beats="many", at="fast_gills")
    assert page.code == 422
    assert "is not a number" in page.words
    assert [f["value"] for f in page.fields if f.get("name") == "beats"] == ["many"]


def test_a_slow_count_asks_whether_fifteen_seconds_were_meant(stranger):
    page = stranger.get("/causes", seen="lethargy", beats="8")
    assert "32 gill beats a minute" in page.words
    assert "If it was counted over 15 seconds, it is four times as many." in page.words


# Signs in plain words, and what they come to


@pytest.mark.parametrize(
    ("typed", "sign"),
    [("clamped", "clamped_fins"), ("flashing", "flashing"), ("pine cone", "pinecone"), ("pine", "pinecone"),
     ("skinny", "belly_sunken"), ("panting", "fast_gills"), ("emaciation", "belly_sunken")],
)  # fmt: skip
def test_a_keepers_word_or_its_beginning_or_the_vets_finds_the_sign(stranger, typed, sign):
    assert stranger.get("/look", zone="find", find=typed).radios(f"sign-{sign}")


def test_plain_words_come_first_and_the_clinical_term_behind(stranger):
    words = stranger.get("/look", zone="belly").words
    assert words.index("Sunken belly") < words.index("Vets call it emaciation, cachexia")


def test_no_sign_is_named_by_what_it_may_be(stranger):
    assert "suspected" not in stranger.get("/look", zone="all").words


def test_the_belly_is_drawn_for_males_and_for_females_with_young(keeper):
    words = keeper.get("/tanks/T7/look").words
    assert "A female with young or eggs" in words
    assert "Hollow, he looks hunched" in words


# What is typed on a bad evening


def test_signs_that_contradict_are_named_and_taken_as_not_known(stranger):
    page = stranger.get("/causes", **{"seen": "white_spots,lethargy", "not-seen": "white_spots"})
    assert (
        "Told as seen and as not there, so taken as not known: white spots like salt. Look again."
        in page.words
    )
    both = stranger.get("/causes", seen="belly_sunken,belly_swollen")
    assert "Sunken belly and swollen belly: hardly in one fish." in both.words


def test_every_sign_at_once_still_gets_an_answer_and_is_asked_to_choose(stranger):
    page = stranger.get("/look", zone="all")
    signs = [f["name"].removeprefix("sign-") for f in page.fields if f.get("value") == "seen"]
    told = stranger.get("/causes", seen=",".join(signs), after="now")
    assert told.code == 200
    assert "signs at once tell little" in told.words
    assert "Something not on this list" in told.words


def test_a_sex_that_is_not_known_is_missing_where_the_belly_is_round(stranger):
    page = stranger.get("/causes", seen="belly_swollen", animals="6 guppies")
    assert "whether they are males or females" in page.words
    told = stranger.get("/causes", seen="belly_swollen", animals="6 male guppies")
    assert "whether they are males or females" not in told.words


def test_an_unknown_animal_says_how_to_go_on(stranger):
    refused = stranger.get("/causes", seen="white_spots", animals="3 unicorns")
    assert "animals=unknown" in refused.words
    page = stranger.get("/causes", seen="white_spots", animals="3 unknown")
    assert page.code == 200
