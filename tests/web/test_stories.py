"""Evenings in the demo room, from the sign to the sheet: what is seen, and what must never be said."""

import re
import shutil

import pytest

from tankward.room.acts import Dose, Media
from tankward.room.entries.acts import CourseBegun, Done, StepSkipped
from tests.show.pdf_pages import pages

from .demo_room import DemoVisitor
from .test_course_page import settled

SACHET = {
    "substance": "metronidazole", "route": "water_long", "cause": "hexamita", "supply": "gut and worm sachet",
}  # fmt: skip
DRUGS = re.compile(r"metronidazole|praziquantel|methylene|formalin|copper|levamisole", re.IGNORECASE)


@pytest.fixture
def demo(tmp_path):
    return DemoVisitor(tmp_path / "room")


def below(page) -> str:
    """The page's own words, without the frame."""
    return re.sub(r"<[^>]+>", " ", page.html.split("<main")[1].split("</main>")[0])


@pytest.fixture(scope="module")
def evening(tmp_path_factory):
    """The folder after the first evening of the sachet's course in T7, every step ticked; when that was."""
    demo = DemoVisitor(tmp_path_factory.mktemp("evening") / "room")
    page = demo.get("/tanks/T7/course", **SACHET)
    assert demo.post("/tanks/T7/course", page, **SACHET).to == "/tanks/T7#planned"
    demo.later(minutes=40)
    page = demo.get("/tanks/T7")
    for step in [f["value"] for f in page.fields if f.get("name") == "done"]:
        demo.post("/tanks/T7/steps", page, done=step)
    demo.desk.close()
    return demo.desk.folder, demo.now


@pytest.fixture
def treated(evening, tmp_path):
    """Somebody who opens the room after that evening."""
    folder, now = evening
    shutil.copytree(folder, tmp_path / "treated")
    return DemoVisitor(tmp_path / "treated", now)


# 1. The round


def test_1_the_healthy_come_first_t7_last_and_a_well_tank_is_one_touch(demo):
    page = demo.get("/today")
    assert page.heading() == "Eleven tanks to look at. T1 first, T7 last."
    order = re.findall(r'action="/tanks/(T\d+)/round"', page.html)
    assert (order[0], order[-1], len(order)) == ("T1", "T7", 11)
    before = len(demo.entries)
    assert demo.post("/tanks/T1/round", page, do="well").code == 303
    assert demo.entries[before:]
    assert 'action="/tanks/T1/round"' not in demo.get("/today").html


def test_1_heads_are_counted_against_yesterday_and_one_missing_is_asked_for(demo):
    page = demo.get("/today")
    assert "10 yesterday. Now?" in page.words
    demo.post("/tanks/T7/round", page, do="odd", n__T7__0="9")
    asked = demo.get("/today")
    assert re.search(r"missing in T7[^.]*: 9, not 10\.", asked.words)
    assert {"dead", "not-found"} <= {f.get("value") for f in asked.fields}


# 2. Thin ones in T7


def look(demo):
    page = demo.get("/tanks/T7/look", zone="belly")
    return demo.post(
        "/tanks/T7/look", page, sign__belly_sunken="seen", sign__white_stringy_faeces="seen",
        sign__gold_dust="absent", sign__worms_at_vent="absent", onset="weeks", share="some",
    )  # fmt: skip


def test_2_the_water_is_asked_first_then_causes_as_ranges_and_none_is_certain(demo):
    demo.later(days=3)  # the readings are too old to say anything
    assert look(demo).to.startswith("/tanks/T7/causes")
    page = demo.get("/tanks/T7/causes")
    words = page.words
    first = words.index("The water is not known: read ammonia, nitrite, pH and the temperature")
    assert first < words.index("For it:")
    for cause in ("Gut flagellates", "Fish tuberculosis", "Bullying", "Hair worms", "Red gut worms"):
        assert cause in words
    assert "certain" not in words.replace("Neither is certain", "")
    assert "Under the lens, for gut flagellates: fresh droppings" in words
    assert "Red threads at the vent, gold dust" in words.split("Looked for and not there.")[1]


def test_2_no_drug_is_put_first_before_the_water_is_known(demo):
    demo.later(days=3)
    look(demo)
    page = demo.get("/tanks/T7/options", cause="hexamita")
    assert page.heading().startswith("Read the water first.")
    assert not DRUGS.search(page.heading())
    assert "/tanks/T7/log/reading" in page.links
    for who in ("dwarf rainbowfish", "Amano shrimp", "nerite snails"):
        assert who in page.words
    course = demo.get("/tanks/T7/course", **SACHET).words
    assert course.index("Read ammonia, nitrite, pH and the temperature.") < course.index("Give 354 mL.")


# 3. The sachet is for 40 litres


def test_3_the_sachet_is_cut_to_the_water_that_is_there(demo):
    tank = demo.get("/tanks/T7").words
    assert "The water is 35 L (33 to 37 L)." in tank
    page = demo.get("/tanks/T7/course", **SACHET)
    words = page.words
    assert "354 mL of the 400 mL with one sachet stirred in" in words
    assert "syringe" in words
    assert "Why 354 mL" in words
    assert not re.search(r"\b3[3-7]\.\d{2}", tank + words)  # 34.83 is no number for a bucket
    bears = words.split("Who bears it")[1].split("Take care")[0]
    assert "nerite snails need care" in bears
    assert "Amano shrimp metronidazole: no harm reported, not measured" in bears


def test_3_the_label_is_judged_and_a_gallon_is_asked_for(demo):
    words = demo.get("/tanks/T7/course", **SACHET).words
    told = words.split("What its label would do here")[1]
    assert "The label asks for 0.89 sachets here" in told
    assert "up to 9.4 mg/L if nothing fades" in told  # how high whole doses climb
    assert "That is over what is usual." in told
    page = demo.get("/tanks/T7/log/volume")
    asked = demo.post("/tanks/T7/log/volume", page, volume="9 gallons", how="buckets")
    assert asked.code == 422
    assert "write US gal or imp gal" in asked.words


def test_3_every_page_of_the_sheet_is_marked_as_invented(demo):
    told = pages(demo.client.get("/tanks/T7/sheet.pdf", params=SACHET).content)
    assert told and all("nvented" in one.text for one in told)
    assert any("354 mL" in one.text for one in told)


# 4. Food, a tenth of a gram


def test_4_food_is_made_in_a_batch_that_can_be_weighed(demo):
    page = demo.get("/tanks/T7/course", substance="metronidazole", route="feed", cause="hexamita")
    words = page.words
    assert "Fish weighed 12 g" in words
    assert re.search(r"Active a day dose × fish 0\.\d+ mg", words)  # of drug, for all of them
    assert "Food a day fish × eaten × weight as this food 0." in words  # of food
    assert re.search(r"mix 1, 1 part of metronidazole in 10 of ground food", words)  # diluted in a step
    assert re.search(r"Scale and syringe alone may put the medicine out by \d+%", words)
    weighed = [float(g) for g in re.findall(r"(\d+(?:\.\d+)?) g (?:of|and)", words.split("Why 1 g")[0])]
    assert min(g for g in weighed if g != 0.12) >= 1.0  # 0.12 g is fed by appetite, and says so
    assert "by appetite, not weighed" in words


# 5. After the water change


def test_5_two_numbers_stand_side_by_side_and_no_whole_dose_is_put_back(treated):
    treated.later(days=2)
    page = treated.get("/tanks/T7")
    assert "then put back 230 mL" in page.heading()
    assert "177 mL would do if all of the metronidazole lasted" in page.words
    assert "354 mL would be needed if it were all gone" in page.words
    assert "Done so far: 9" in page.words


# 6. I made a mistake


def test_6_carbon_in_t9_is_told_in_one_form_and_what_is_left_is_said(demo):
    tank = demo.get("/tanks/T9")
    assert "/tanks/T9/mistake" in tank.links
    assert "/tanks/T9/mistake/carbon-in" in demo.get("/tanks/T9/mistake").links
    page = demo.get("/tanks/T9/mistake/carbon-in")
    sent = demo.post(
        "/tanks/T9/mistake/carbon-in", page, out="no", medium="activated_carbon", since="13 days ago"
    )
    after = demo.get(sent.to)
    assert after.heading() == "Carbon was in with the medicine. Take the carbon out."
    assert re.search(r"Praziquantel: about 0\.\d+ mg/L", after.words)
    assert "How it goes from here from what really happened" in after.words
    assert "not known" not in after.words.split("In the water now")[0]
    assert not re.search(r"should have|careless|start over|must not have|wrong of you", after.words)
    told = [e.act for e in demo.entries if isinstance(e, Done) and e.tank == "T9"]
    assert told.count(Media(into=True)) == 1  # the log has it already: it is not written again


def test_6_carbon_that_the_log_has_takes_one_touch_and_no_entry(demo):
    page = demo.get("/tanks/T9/mistake/carbon-in")
    assert "as the log has it" in page.words
    before = len(demo.entries)
    (still, out) = [f["value"] for f in page.fields if f.get("name") == "touch"]
    after = demo.get(demo.post("/tanks/T9/mistake/carbon-in", page, touch=still).to)
    assert len(demo.entries) == before
    assert "if it were gone" in after.words  # both ends of what is put back
    demo.post("/tanks/T9/mistake/carbon-in", page, touch=out)
    assert [e.act for e in demo.entries[-1:]] == [Media(into=False)]


def test_6_a_dose_given_twice_starts_the_plan_again_from_what_went_in(treated):
    page = treated.get("/tanks/T7/mistake/too-much")
    dose = next(e for e in reversed(treated.entries) if isinstance(e, Done) and isinstance(e.act, Dose))
    assert dose.id in {f["value"] for f in page.radios("dose")}
    sent = treated.post("/tanks/T7/mistake/too-much", page, dose=dose.id, how="twice")
    after = treated.get(sent.to)
    assert after.heading().startswith("Too much went in.")
    assert "Metronidazole: about" in after.words
    assert "start over" not in after.words.lower()
    doses = [e for e in treated.entries if isinstance(e, Done) and e.tank == "T7" and isinstance(e.act, Dose)]
    given = [e for e in doses if "metronidazole" in e.act.actives]
    assert len(given) == 2
    assert not any(isinstance(e, StepSkipped) for e in treated.entries)  # nothing is left out unasked


# 7. Day five


def test_7_day_five_is_too_early_and_names_the_day_and_the_vet(treated):
    treated.later(days=4)
    form = treated.get("/tanks/T7/log/look")
    sent = treated.post(
        "/tanks/T7/log/look", form, seen="belly_sunken", counts="belly_sunken 2", looked__at="10",
        not__seen="white_stringy_faeces",
    )  # fmt: skip
    assert sent.code == 303
    page = settled(treated, "/tanks/T7")
    told = page.words.split("Is it helping?")[1].split("The water")[0]
    assert "day 5" in told
    assert "Too early to say. Count again Tue 19 May." in told
    assert re.search(
        r"By today 0 to \d of 10 would still show white stringy droppings if it is helping, "
        r"0 to \d if it does too little; none did\.",
        told,
    )
    assert re.search(r"Sunken belly: 3 of 10 \w+ 11 May, 2 of 10 to", told)
    assert "Found dead: 1 in the two weeks before it, none since" in told
    assert "A veterinarian's look at a fresh dead fish would settle" in told
    assert "That it is gut flagellates at all, by what is seen now:" in told
    assert "What would change the plan: more than 7 of 10 with it, a death" in told
    whole = settled(treated, "/tanks/T7/progress")
    assert "Too early to say. Count again Tue 19 May." in whole.heading()
    assert re.search(r"It is gut flagellates, and the course helps", whole.words)
    for words in (told, whole.words):
        assert not re.search(r"\bcured\b|\bhelping:|disease.free", words, re.IGNORECASE)


# 10. All at the surface


def test_10_air_then_half_a_change_and_no_form_before(demo):
    page = demo.get("/tanks/T2/look")
    sent = demo.post("/tanks/T2/look", page, sign__gasping_surface="seen", share="most")
    assert sent.to.startswith("/tanks/T2/now")
    now = demo.get(sent.to)
    assert now.heading() == "Air now. Nothing more goes in."
    words = now.words
    at = [words.index(w) for w in ("Air, full on.", "No medicine, no food, no salt.", "16 L out, 16 L in.")]
    assert at == sorted(at)
    assert "minutes of your hose" in words
    assert "?" not in words.split("Look again at")[0].split("Air now.")[1]  # the log has the answers
    assert not [f for f in now.fields if f.get("type") in ("text", "radio") or f["tag"] == "textarea"]
    assert not DRUGS.search(below(now))
    assert [e for e in demo.entries if isinstance(e, CourseBegun)][-1].tank == "T2"


def test_10_in_a_bare_log_the_change_stands_there_before_any_answer(keeper):
    """T2 with nothing but litres: no question stands between the keeper and the water."""
    now = keeper.get("/tanks/T2/now")
    words = now.words
    grams, litres = "1.4 g of thiosulfate for the whole tank", "7.9 L out, 7.9 L in."
    at = [words.index(w) for w in ("Air, full on.", "No medicine, no food", grams, litres)]
    assert at == sorted(at)
    assert "15 to 20 % of the water" in words
    ticks = [f["value"] for f in now.fields if f.get("name") == "tick"]
    assert ticks[:4] == ["air", "stop", "dechlorinate", "change"]
