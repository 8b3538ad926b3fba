"""What can be done, as a page: two causes, a count under the lens, a tank that could take them, the shelf."""

import pytest

from .demo_room import DemoVisitor


@pytest.fixture
def demo(tmp_path):
    return DemoVisitor(tmp_path / "room")


def order(text, *words):
    at = [text.index(w) for w in words]
    return at == sorted(at)


def test_the_rule_of_the_order_stands_on_the_page(demo):
    page = demo.get("/tanks/T7/options?cause=hexamita")
    assert "In this order: what clears it before what eases it" in page.words


def test_two_causes_are_met_one_after_the_other(demo):
    page = demo.get("/tanks/T7/options?cause=hexamita,white_spot")
    assert order(
        page.words, "One after the other", "for white spot", "for gut flagellates", "What can be done"
    )
    assert "not for gut flagellates" in page.words


def test_another_likely_cause_can_be_asked_about_as_well(demo):
    page = demo.get("/tanks/T7/options?cause=hexamita")
    both = [link for link in page.links if "cause=hexamita,m" in link]
    assert both
    assert demo.get(both[0]).code == 200


def test_rule_35_a_count_changes_the_heading_and_back(demo):
    few = demo.get("/tanks/T7/options?cause=hexamita&per_field=3&thin=no")
    assert "Nothing goes into the water yet. Count again in a week." in few.words
    many = demo.get("/tanks/T7/options?cause=hexamita&per_field=20&thin=yes")
    assert "First: metronidazole in the food" in many.words
    assert "That is treated" in many.words
    assert "Not watched" not in few.words


def test_a_count_that_is_none_is_said_where_it_was_typed(demo):
    page = demo.get("/tanks/T7/options?cause=hexamita&per_field=lots")
    assert page.code == 422
    assert "is no number" in page.words


def test_who_must_not_meet_it_is_told_a_tank_that_stands_without_fish(demo):
    page = demo.get("/tanks/T7/options?cause=white_spot")
    assert "into T11, where no fish lives" in page.words


def test_the_shelf_the_time_and_the_drain_are_told(demo):
    page = demo.get("/tanks/T7/options?cause=hexamita")
    for words in ("your shelf", "Your time in all:", "The rest:", "For you:", "Away from children"):
        assert words in page.words


def test_rule_26_when_it_is_over_stands_on_the_page(demo):
    assert "When it is over" in demo.get("/tanks/T7/options?cause=hexamita").words


def test_rule_31_a_sore_goes_to_a_doctor(demo):
    page = demo.get("/tanks/T7/options?cause=mycobacteriosis")
    assert "see a doctor and tell them that you keep fish" in page.words
    assert "see a doctor" not in demo.get("/tanks/T7/options?cause=hexamita").words


def test_what_was_not_read_is_named_whole(demo):
    page = demo.get("/options?cause=white_spot&animals=6+guppy+3+cm&volume=54+L")
    assert "nitriteot" not in page.words
    assert "nitrite" in page.words
