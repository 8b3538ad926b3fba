"""Story 4, as a browser gets it: food by a tenth of a gram, from grams of fish to a recipe sheet."""

import re

import pytest

from tests.helpers.rooms import entries_from
from tests.show.pdf_pages import pages

POWDER = '1 May 2026 09:00  supply "prescribed powder" unit=g metronidazole="1000 mg" held-lawfully=yes'
FISH = {"substance": "metronidazole", "animals": "10 neon rainbow 4 cm; 8 amano shrimp", "volume": "35 L"}


def grams_on_scale(page) -> list[float]:
    """Everything that the list asks to weigh."""
    return [float(n) for n in re.findall(r"(\d+(?:\.\d+)?) g [^.]*? 0\.1 g scale", page.words)]


def test_story_4_food_a_tenth_of_a_gram(stranger):
    """Ten rainbowfish of 4 cm: a batch that can be weighed, thinned, cut, frozen; the scale's error shown."""
    page = stranger.get("/recipe", **FISH, held="yes", food="gel")
    assert "2.7 mL out of a bottle of 1 g metronidazole powder in 100 mL of water" in page.heading()
    assert "into 20 g of gel food" in page.heading()
    for words in ("25 mg/kg/day", "50 mg/kg/day", "75 mg/kg/day", "if they eat little", "if they eat much"):
        assert words in page.words
    assert "0.38 mg a day for all of them" in page.words  # under a milligram
    assert "Cut squares of 5 mm: 10 are used" in page.words and "Freeze it in bags" in page.words
    assert "alone may put the medicine out by 11" in page.words
    assert "If a whole day's food leaches: 0.011 mg/L" in page.words
    # Must not: weigh less than ten steps of the scale; mix up drug per fish and drug per food.
    weighed = grams_on_scale(page)
    assert len(weighed) >= 3 and min(weighed) >= 1.0
    assert (
        "50 mg a day for each kilogram of fish, and 1.4 mg of metronidazole in each gram of food"
        in page.words
    )
    assert "0.006" not in page.words


def test_the_sheet_says_the_same(stranger):
    page = stranger.get("/recipe", **FISH, held="yes", food="gel")
    (pdf,) = [url for url in page.links if url.startswith("/print/recipe.pdf")]
    text = " ".join(p.text for p in pages(stranger.client.get(pdf).content))
    said = re.sub(r"\s+", " ", text)
    for words in (
        "Weigh and measure",
        "75 mg/kg/day",
        "Freeze it in bags",
        "children's reach",
        "Held lawfully",
    ):
        assert words in said


def test_what_a_veterinarian_orders_has_no_amounts_until_it_is_said_to_be_held(stranger):
    answer = stranger.client.get("/recipe", params=FISH)
    assert answer.status_code == 409
    assert "for a veterinarian to order" in answer.text and "mg/kg/day" not in answer.text.split("<form")[0]


def test_mg_per_kg_must_say_of_what(stranger):
    answer = stranger.client.get("/recipe", params={**FISH, "held": "yes", "dose": "50 mg/kg"})
    assert answer.status_code == 422
    assert "does not say of what" in answer.text and 'value="50 mg/kg"' in answer.text
    of_food = stranger.get("/recipe", **FISH, held="yes", dose="5 mg/g food")
    assert "You said it for the food: that is 50 mg a day for each kilogram of fish" in of_food.words


def test_over_three_times_the_published_dose_is_refused(stranger):
    answer = stranger.client.get("/recipe", params={**FISH, "held": "yes", "dose": "110 mg/kg/day"})
    assert answer.status_code == 409 and "highest published dose" in answer.text


def test_a_whole_sachet_goes_into_the_food_that_makes_it_right(stranger):
    page = stranger.get("/recipe", **FISH, held="yes", strength="200 mg per sachet", food="flakes")
    assert page.heading() == "One sachet into 40 g of flakes."
    assert "whole, never a part" in page.words
    assert "halve it five times by eye: 32 heaps" in page.words


def test_fry_that_are_presumed_are_a_way_out_of_the_refusal(stranger):
    asked = {"substance": "fenbendazole", "animals": "30 guppy 3 cm", "held": "yes", "volume": "60 L"}
    answer = stranger.client.get("/recipe", params=asked)
    assert answer.status_code == 409 and "There are no fry" in answer.text
    page = stranger.get("/recipe", **asked, gone="fry")
    assert "gel food" in page.heading()


def test_a_length_that_nobody_knows_is_that_of_the_kind_and_said(stranger):
    page = stranger.get("/recipe", substance="praziquantel", animals="10 neon rainbow", volume="35 L")
    assert "as long as their kind grows, for no length is known; weigh a netful to know" in page.words


@pytest.mark.parametrize(
    ("key", "value"), [("fish", "0 g"), ("days", "0"), ("moisture", "99 %"), ("food", "cake")]
)
def test_what_cannot_be_is_asked_back(stranger, key, value):
    answer = stranger.client.get("/recipe", params={**FISH, "held": "yes", key: value})
    assert answer.status_code == 422 and "Traceback" not in answer.text


def test_a_tank_knows_its_fish_its_packet_and_leads_to_its_course(keeper):
    keeper.desk.append(*entries_from(POWDER))
    page = keeper.get("/tanks/T7/recipe", substance="metronidazole", supply="prescribed powder")
    assert "10 dwarf rainbowfish" in page.words and "amano" not in page.words.split("For whom")[1][:80]
    (course,) = [url for url in page.links if "/course?" in url]
    begun = keeper.get(course)
    assert "Feed the medicated food, day 1" in begun.words


def test_rule_13_for_gut_flagellates_the_food_stands_first_and_leads_to_its_recipe(keeper):
    keeper.desk.append(*entries_from(POWDER))
    page = keeper.get("/tanks/T7/options", cause="hexamita")
    assert page.heading().startswith("First: metronidazole in the food.")
    assert "Only for fish that eat." in page.words and "Mixed into a food made at home" in page.words
    (way,) = [url for url in page.links if "/recipe?" in url]
    recipe = keeper.get(way)
    assert "10 dwarf rainbowfish" in recipe.words and "gel food" in recipe.heading()


def test_more_leads_to_it(keeper):
    assert "/recipe" in keeper.get("/more").links
