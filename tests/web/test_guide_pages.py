"""The guides and the germs: found from where a keeper looks, short, and honest about what a find says."""

import pytest

from tankward.knowledge.loader import load
from tankward.show.words.guides import GUIDES

VIEWS = [v.id for v in load().hygiene.view]
WITH_A_SAMPLE = ("faeces", "scrape", "gill-clip", "post-mortem")


def test_the_guides_are_linked_from_more(keeper):
    assert "/guide" in keeper.get("/more").links
    page = keeper.get("/guide")
    assert {"/guide/microscope", *(f"/guide/{g}" for g in GUIDES)} <= set(page.links)


@pytest.mark.parametrize("word", GUIDES)
def test_a_guide_has_a_drawing_hazards_and_few_steps(keeper, word):
    page = keeper.get(f"/guide/{word}")
    guide = GUIDES[word]
    assert page.code == 200
    assert page.heading() == guide.title
    assert 'role="img"' in page.html
    assert all(line in page.words for line in guide.hazards)
    assert len(guide.steps) <= 10


@pytest.mark.parametrize("word", WITH_A_SAMPLE)
def test_rule_35_stands_where_a_germ_may_be_found(keeper, word):
    words = keeper.get(f"/guide/{word}").words
    assert "A germ found is not a cause proved" in words
    assert "1 to 5 slight, 5 to 15 moderate, 15 to 30 marked, 30 to 100 extreme" in words


def test_rule_34_stands_with_the_droppings(keeper):
    assert "whatever the cause" in keeper.get("/guide/faeces").words


def test_rules_29_and_31_gloves_and_no_mouth(keeper):
    for word in WITH_A_SAMPLE:
        words = keeper.get(f"/guide/{word}").words
        assert "Gloves." in words
        assert "Never start a siphon with the mouth" in words


def test_a_gill_is_cut_of_no_live_fish(keeper):
    page = keeper.get("/guide/gill-clip")
    assert "only of a fresh dead fish" in page.heading()
    assert "for a veterinarian" in page.heading()
    assert "Do not cut a live fish." in page.words


def test_rule_25_the_dead_go_into_the_fridge_not_the_freezer(keeper):
    assert keeper.get("/guide/cold").heading() == "Into the fridge within minutes. Not the freezer"


@pytest.mark.parametrize("view", VIEWS)
def test_each_germ_at_three_magnifications(keeper, view):
    page = keeper.get(f"/guide/microscope/{view}")
    assert page.code == 200
    assert all(f"{times} times" in page.words for times in (40, 100, 400))
    assert "A germ found is not a cause proved" in page.words


def test_how_sure_a_size_is_stands_with_it(keeper):
    assert "recalled, not read" in keeper.get("/guide/microscope/costia").words
    assert "published" in keeper.get("/guide/microscope/capillaria_egg").words


@pytest.mark.parametrize("thing", ["cause-costia_trichodina", "organism-ichthyobodo"])
def test_what_we_know_leads_to_the_drawing(keeper, thing):
    assert "/guide/microscope/costia" in keeper.get(f"/know/{thing}").links


@pytest.mark.parametrize("path", ["/guide/nothing", "/guide/microscope/nothing"])
def test_what_is_not_there_is_named(keeper, path):
    page = keeper.get(path)
    assert page.code in (404, 422)
    assert "nothing" in page.words


def test_the_page_of_causes_leads_to_the_guides(keeper):
    page = keeper.get("/causes", **{"sign-flashing": "seen", "sign-excess_slime": "seen"})
    assert "With a microscope" in page.words
    assert "/guide/scrape" in page.links
    assert "What only others can tell" in page.words
    assert "Ring first." in page.words


def test_a_count_is_written_down_and_told_with_its_grade(keeper):
    page = keeper.get("/tanks/t7/log/look")
    assert "in-field" in {f.get("name") for f in page.fields}
    keeper.post(
        "/tanks/t7/log/look",
        page,
        **{"in-field": "spironucleus 40", "sample": "faeces", "seen": "belly_sunken"},
    )
    assert "In one field of the microscope: 40 spironucleus, hexamita." in keeper.get("/tanks/t7").words
    told = keeper.get("/tanks/t7/causes")
    assert "/tanks/t7/log/look#f-in-field" in told.links
    assert "40 in a field, extreme" in told.words
    assert "A germ found is not a cause proved" in told.words
    assert "Marked, and the fish are thin: treat." in told.words


def test_a_day_s_count_says_what_each_answer_would_do(keeper):
    water = "ammonia 0 mg/L as N, nitrite 0 mg/L as N, pH 7.4, 25C"
    asked = {"sign-belly_sunken": "seen", "sign-white_stringy_faeces": "seen"}
    page = keeper.get("/causes", **asked, water=water)
    assert "Wait a day, and count again" in page.words
    assert all(head in page.words for head in ("More ill", "The same", "Fewer"))
    assert "Wait a day, and count again" not in keeper.get("/causes", **asked).words
