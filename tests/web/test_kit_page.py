"""Kit and measuring step by step: one question at a time, the answer, and what it is used for."""

import re

import pytest

from tankward.show.words.measuring import GUIDES

OWN = [g.word for g in GUIDES.values() if not g.of_tank]
OF_TANK = [g.word for g in GUIDES.values() if g.of_tank]
ANSWERS = {
    "spoon": {"spoon": "teaspoon", "powder": "salt", "spoons": "10", "mass": "58", "step": "0.1"},
    "hose": {"volume": "10", "time": "75"},
    "scale": {"scale": "0.1"},
    "syringes": {"syringes": "1, 5, 20"},
    "buckets": {"buckets": "10, 5"},
    "tests": {"tests": "strips"},
    "netful": {"stock": "t7-dwarf-rainbowfish", "number": "10", "mass": "9,4", "step": "0.1"},
    "count": {"buckets": "3", "bucket": "10", "rest": "4"},
    "salt": {
        "salt": "2", "before": "400", "after": "510", "jar-salt": "0.1", "jar-volume": "1",
        "jar-before": "400", "jar-after": "590",
    },
    "jar": {
        "substance": "praziquantel", "level": "2", "hours": "24", "went": "amano shrimp 3; nerite 1",
        "died": "0", "ill": "no",
    },
}  # fmt: skip


def address(word):
    return f"/kit/{word}" if word in OWN else f"/tanks/t7/measure/{word}"


def kept(keeper, word, **other):
    """Answer everything and write it down."""
    asked = ANSWERS[word] | other
    page = keeper.get(address(word), **asked)
    assert "Write it down" in page.words, page.words
    return page, keeper.post(address(word), page, **asked)


def test_the_kit_is_linked_and_lists_one_row_a_thing(keeper):
    assert "/kit" in keeper.get("/more").links
    page = keeper.get("/kit")
    assert page.heading() == "What I measure with"
    assert {f"/kit/{w}" for w in OWN} | {f"/measure/{w}" for w in OF_TANK} <= set(page.links)
    assert "not told yet" in page.words


@pytest.mark.parametrize("word", [*OWN, *OF_TANK])
def test_a_guide_asks_one_question_at_a_time(keeper, word):
    typed, seen = {}, []
    for _ in ANSWERS[word]:
        page = keeper.get(address(word), **typed)
        fields = {
            f["name"] for f in page.fields if f.get("name") in ANSWERS[word] and f.get("type") != "hidden"
        }
        (name,) = fields
        assert "Don't know" in page.words
        seen.append(name)
        typed[name] = ANSWERS[word][name]
    assert seen == list(ANSWERS[word])
    assert "Write it down" in keeper.get(address(word), **typed).words


@pytest.mark.parametrize("word", [*OWN, *OF_TANK])
def test_what_was_measured_is_kept_and_can_be_taken_back(keeper, word):
    before = len(keeper.desk.entries())
    _, sent = kept(keeper, word)
    assert sent.code == 303
    assert len(keeper.desk.entries()) == before + 1
    assert "Undo" in keeper.get(sent.to.partition("#")[0]).words


def test_the_answer_has_its_working(keeper):
    page, _ = kept(keeper, "spoon")
    assert page.heading() == "One level teaspoon holds 5.8 g of sodium chloride (5.5 to 6.1 g)."
    assert "together ÷ spoons" in page.words
    assert "5.8 g of sodium chloride" in keeper.get("/kit").words


def test_dont_know_says_what_to_do_where_it_has_to_be_known(keeper):
    typed = {k: ANSWERS["count"][k] for k in ("buckets",)}
    page = keeper.get(address("count"), **typed, bucket="", unknown="bucket")
    assert "a kilogram is a litre" in page.words
    assert "rest" not in {f.get("name") for f in page.fields}


def test_dont_know_is_an_answer_where_it_may_be(keeper):
    page = keeper.get(address("count"), buckets="3", bucket="10", rest="", unknown="rest")
    assert page.heading() == "T7 holds 30 L of water (28 to 32 L)."


def test_a_fault_goes_back_to_its_question(keeper):
    page = keeper.get(address("spoon"), **ANSWERS["spoon"] | {"powder": "moondust"})
    assert page.code == 422
    assert [f["name"] for f in page.fields if f.get("aria-invalid")] == ["powder"]
    page = keeper.get(address("netful"), **ANSWERS["netful"] | {"number": "40"})
    assert [f["name"] for f in page.fields if f.get("aria-invalid")] == ["number"]
    page = keeper.get(address("jar"), **ANSWERS["jar"] | {"died": "amano shrimp 9"})
    assert [f["name"] for f in page.fields if f.get("aria-invalid")] == ["died"]


def test_counted_buckets_stand_in_the_tanks_working(keeper):
    kept(keeper, "count")
    page = keeper.get("/tanks/t7")
    assert "counted buckets, 12 May (3 buckets of 10 L and 4 L)" in page.words


def test_two_measurements_that_disagree_are_told(keeper):
    kept(keeper, "count")
    page, _ = kept(keeper, "salt", salt="3")
    assert "disagree" in page.words
    assert "disagree" in keeper.get("/tanks/t7").words


def test_salt_says_how_much_is_small_enough_and_for_whom_nothing_is(keeper):
    page = keeper.get(address("salt"))
    assert re.search(r"At most [\d.]+ g of salt", page.words)
    form = keeper.get("/tanks/t7/stock")
    assert keeper.post("/tanks/t7/stock", form, kind="otocinclus", number="3").code == 303
    assert "no amount is known to be harmless" in keeper.get(address("salt")).words


def test_a_netful_is_told_with_its_day(keeper):
    kept(keeper, "netful")
    assert "a netful of 10 on 12 May" in keeper.get("/tanks/t7").words


def test_a_jar_trial_narrows_the_limit(keeper):
    def row():
        return keeper.get("/tanks/t7/options", cause="skin_flukes").words

    told = "no harm in your jar for a day: watch them"
    assert told not in row()
    kept(keeper, "jar", level="4")
    assert told in row()
    kept(keeper, "jar", level="2", died="amano shrimp 2")
    assert "harmed in your jar" in row()


def test_the_hose_tells_the_minutes_of_a_change(keeper):
    assert "of your hose" not in keeper.get("/tanks/t7/now", old_tank="no").words
    kept(keeper, "hose")
    words = keeper.get("/tanks/t7/now", old_tank="no").words
    assert "About 2 minutes of your hose" in words


def test_with_one_kit_of_its_own_a_reading_carries_it(keeper):
    kept(keeper, "tests")
    keeper.post("/tanks/t7/log/reading", keeper.get("/tanks/t7/log/reading"), ph="7.0")
    assert keeper.desk.room().readings("t7")[-1].values[0].kit == "strips"
    assert "dip strips" in keeper.get("/tanks/t7").words


def test_no_such_guide(keeper):
    assert keeper.get("/kit/moon").code in (404, 422)
    assert keeper.get("/tanks/t7/measure/spoon").code in (404, 422)


def test_the_hose_tells_the_minutes_of_a_change_in_a_course(keeper):
    kept(keeper, "hose")
    page = keeper.get("/tanks/t7/course", substance="praziquantel", route="water_long", cause="skin_flukes")
    assert "Change half of the water: 18 L. About 2 minutes of your hose." in page.words


def test_a_spoon_weighed_once_is_used_by_an_amount(keeper):
    kept(keeper, "spoon", spoon="blue scoop")
    page = keeper.get("/tanks/t2/course", substance="sodium_chloride", route="water_bath", cause="white_spot")
    assert "level blue scoops" in page.words


def test_a_dose_by_volume_asks_for_its_strength(keeper):
    form = keeper.get("/tanks/t2/log/dose")
    typed = {"by-hand": "formalin", "by-hand-amount": "1 mL"}
    page = keeper.post("/tanks/t2/log/dose", form, **typed)
    assert page.code == 422
    assert "does not say how strong it is" in page.words
    sent = keeper.post("/tanks/t2/log/dose", form, **typed | {"by-hand-amount": "1 mL of 37 %"})
    assert sent.code == 303
    assert "1 mL of 37 %" in keeper.get("/tanks/t2").words


@pytest.mark.parametrize("word", [*OWN, *OF_TANK])
def test_what_was_measured_has_a_page_on_which_it_can_be_put_right(keeper, word):
    kept(keeper, word)
    url = f"/entries/{keeper.desk.entries()[-1].id}"
    page = keeper.get(url)
    assert page.code == 200
    before = len(keeper.desk.entries())
    sent = keeper.post(url, page, note="in daylight")
    assert sent.code == 303, sent.words
    assert len(keeper.desk.entries()) == before + 2
