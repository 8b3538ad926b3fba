"""A slip told to the end: entries of what really happened, acts first, what is in the water, the plan.

T7 holds 35 L: 175 mg make 5 mg/L, by hand.
"""

from urllib.parse import urlsplit

import pytest

from tankward.room.acts import Change, Dose, Heat, Lost, Media, PowerCut
from tankward.room.entries.notes import Note

from .visitor import Seen, Visitor

DOSE = "019e1d00-0000-7000-8000-000000000001"
SACHET = f"12 May 2026 18:30 dose T7 metronidazole=175mg id={DOSE}"
SHELF = "1 May 2026 08:20 supply sachet unit=sachet metronidazole=175mg left=9"
BY_SACHET = f"12 May 2026 18:30 dose T7 supply=sachet units=1 metronidazole=175mg id={DOSE}"


@pytest.fixture
def dosed(tmp_path):
    from .conftest import ROOM

    return Visitor(tmp_path / "room", f"{ROOM}\n{SACHET}")


@pytest.fixture
def with_shelf(tmp_path):
    from .conftest import ROOM

    return Visitor(tmp_path / "room", f"{ROOM}\n{SHELF}\n{BY_SACHET}")


def told(keeper: Visitor, slip: str, tank: str = "t7", **typed: str) -> Seen:
    """Tell a slip; the page that follows."""
    form = keeper.get(f"/tanks/{tank}/mistake/{slip}")
    assert form.code == 200, form.words
    answer = keeper.post(f"/tanks/{tank}/mistake/{slip}", form, **typed)
    if answer.code != 303:
        return answer
    assert urlsplit(answer.to).path.endswith(f"/mistake/{slip}/after")
    return keeper.get(answer.to)


def doses(keeper: Visitor, tank: str = "t7") -> list[dict]:
    return [a.actives for _, a in keeper.desk.room().acts(tank) if isinstance(a, Dose)]


def test_one_touch_from_every_page_with_its_tank(dosed: Visitor) -> None:
    for url, mistake in (("/", "/mistake"), ("/more", "/mistake"), ("/tanks/t7/log", "/tanks/t7/mistake")):
        assert mistake in dosed.get(url).links


def test_the_slips_of_a_tank_stand_under_the_danger(dosed: Visitor) -> None:
    page = dosed.get("/tanks/t7/mistake")
    assert page.heading() == "What happened in T7?"
    order = [page.words.index(w) for w in ("They gasp", "Gave too much", "Carbon was in", "Something else")]
    assert order == sorted(order)
    assert "/tanks/t7/now" in page.links
    assert "/mistake" in page.links
    assert "/tanks/t2/mistake" in dosed.get("/mistake").links


def test_given_twice_is_a_second_dose_and_the_acts_come_first(dosed: Visitor) -> None:
    page = told(dosed, "too-much", dose=DOSE, how="twice", when="2026-05-12 21:00")
    assert doses(dosed) == [{"metronidazole": 175}, {"metronidazole": 175}]
    acts = page.words.index("Nothing more goes in.")
    assert acts < page.words.index("In the water now") < page.words.index("How it goes from here")
    assert "of the water" in page.words or " out, " in page.words
    assert "Metronidazole: about 9.9 mg/L" in page.words  # 350 mg in 35 L, less what two hours took
    assert "only 15 to 20 %, and again every 2 to 3 hours" in page.words
    assert "start over" not in page.words.lower()


def test_what_stays_within_the_published_is_only_watched(keeper: Visitor) -> None:
    """70 mg in 35 L is 2 mg/L; 5 to 6.6 is published."""
    page = told(keeper, "too-much", dose="new", substance="metronidazole", mass="70 mg")
    assert page.heading().startswith("It is still within what is published.")
    assert " out, " not in page.words
    assert "Nothing more goes in." in page.words


def test_more_than_it_says_is_a_correction(dosed: Visitor) -> None:
    told(dosed, "too-much", dose=DOSE, how="more", amount="3 times")
    assert doses(dosed) == [{"metronidazole": 525}]
    assert len([e for e in dosed.entries if e.id == DOSE]) == 1  # the first version is still there


@pytest.mark.parametrize(("amount", "mg"), [("2", 350), ("2 sachets", 350), ("2x", 350), ("400 mg", 400)])
def test_more_of_a_packet(with_shelf: Visitor, amount: str, mg: float) -> None:
    told(with_shelf, "too-much", dose=DOSE, how="more", amount=amount)
    assert doses(with_shelf) == [{"metronidazole": mg}]


@pytest.mark.parametrize("amount", ["", "a lot", "0 times", "2 spoons"])
def test_an_amount_that_is_none_stays_on_the_form(with_shelf: Visitor, amount: str) -> None:
    page = told(with_shelf, "too-much", dose=DOSE, how="more", amount=amount)
    assert page.code == 422
    assert doses(with_shelf) == [{"metronidazole": 175}]


def test_a_dose_that_nobody_wrote_down(dosed: Visitor) -> None:
    told(dosed, "too-much", dose="new", substance="salt", mass="35 g", when="2 hours ago")
    assert {"sodium_chloride": 35_000} in doses(dosed)


def test_carbon_is_not_offered_against_salt(keeper: Visitor) -> None:
    page = told(keeper, "too-much", dose="new", substance="salt", mass="700 g")
    assert {"sodium_chloride": 700_000} in doses(keeper)
    assert "carbon" not in page.words.lower().partition("in the water now")[0]


def test_which_dose_is_asked_before_anything_is_written(dosed: Visitor) -> None:
    page = told(dosed, "too-much", how="twice")
    # One dose alone is chosen already; sent without it, it is asked for.
    assert page.code == 422
    assert "Which one was it?" in page.words


def test_carbon_was_in_is_an_entry_at_that_time(dosed: Visitor) -> None:
    page = told(dosed, "carbon-in", medium="activated_carbon", since="2026-05-12 18:00", out="yes")
    media = [(at, a) for at, a in dosed.desk.room().acts("t7") if isinstance(a, Media)]
    assert [(at.hour, a.into) for at, a in media] == [(18, True), (21, False)]
    assert "Take the carbon out" not in page.words
    # 175 mg in 35 L make 5 mg/L; what carbon took of it in two hours nobody knows: both ends are told.
    assert "if all had lasted" in page.words
    assert "if it were gone" in page.words or "Nothing to put back now." in page.words


def test_carbon_that_is_still_in_comes_out_first(dosed: Visitor) -> None:
    page = told(dosed, "carbon-in", since="2026-05-12 18:00", out="no")
    assert "Take the carbon out" in page.heading()


def test_the_wrong_tank_moves_the_dose_and_shows_that_tank(dosed: Visitor) -> None:
    form = dosed.get("/tanks/t7/mistake/wrong-tank")
    answer = dosed.post("/tanks/t7/mistake/wrong-tank", form, dose=DOSE, into="t2")
    assert urlsplit(answer.to).path == "/tanks/t2/mistake/wrong-tank/after"
    assert (doses(dosed), doses(dosed, "t2")) == ([], [{"metronidazole": 175}])
    page = dosed.get(answer.to)
    undo = next(f["value"] for f in page.fields if f.get("name") == "entries")
    dosed.post("/entries/undo", page, entries=undo, back="/")
    assert (doses(dosed), doses(dosed, "t2")) == ([{"metronidazole": 175}], [])


def test_untreated_tap_water(keeper: Visitor) -> None:
    page = told(keeper, "untreated-tap", share="30 %", when="1 hour ago")
    assert [a for _, a in keeper.desk.room().acts("t7")] == [Change(share=0.3, dechlorinated=False)]
    assert "Dechlorinator: 1.1 g of thiosulfate for the whole tank." in page.heading()


@pytest.mark.parametrize(("slip", "typed"), [("no-flow", {}), ("something-else", {"text": "sang to them"})])
def test_a_note_for_the_rest(keeper: Visitor, slip: str, typed: dict) -> None:
    assert told(keeper, slip, **typed).code == 200
    assert len([e for e in keeper.entries if isinstance(e, Note)]) == 1


def test_a_forgotten_dose_of_no_course_writes_nothing(keeper: Visitor) -> None:
    before = len(keeper.entries)
    page = told(keeper, "forgot-one")
    assert "never two at once" in page.words
    assert len(keeper.entries) == before


def test_not_knowing_leads_to_the_acts_as_well(keeper: Visitor) -> None:
    form = keeper.get("/tanks/t7/mistake/too-much")
    assert "/tanks/t7/mistake/too-much/after" in form.links
    assert "Nothing more goes in." in keeper.get("/tanks/t7/mistake/too-much/after").words


def test_no_slip_scolds(keeper: Visitor) -> None:
    from tankward.show.words.mistake import SLIPS

    for slip in SLIPS:
        words = (
            keeper.get(f"/tanks/t7/mistake/{slip}").words
            + keeper.get(f"/tanks/t7/mistake/{slip}/after").words
        ).lower()
        for scolding in ("should have", "careless", "you must", "wrongly", "start over", "your fault"):
            assert scolding not in words


def test_a_strange_slip_is_one_sentence(keeper: Visitor) -> None:
    assert keeper.get("/tanks/t7/mistake/blame").code == 422
    assert keeper.get("/tanks/t7/mistake/blame/after").code == 422


def test_the_forecast_starts_from_what_really_happened(dosed: Visitor) -> None:
    import time

    answer = told(dosed, "too-much", dose=DOSE, how="twice")
    assert "Working out how the water will go" in answer.words or "<svg" in answer.html
    until = time.monotonic() + 120
    while "Working out" in answer.words and time.monotonic() < until:
        time.sleep(0.5)
        answer = dosed.get("/tanks/t7/mistake/too-much/after")
    assert "Metronidazole" in answer.html.partition("<figure")[2]


def test_water_that_ran_out_is_written_down_and_filled_up_in_portions(dosed: Visitor) -> None:
    """T7 holds 35 L: of 80 % lost 7 L are left, and half new at once is 7 L; pH is not known, so less."""
    page = told(dosed, "little-water", share="80 %", when="")
    assert [a.share for _, a in dosed.desk.room().acts("t7") if isinstance(a, Lost)] == [0.8]
    order = [page.words.index(w) for w in ("Heater and filter off", "Air, full on", "in, slowly", "on again")]
    assert order == sorted(order)
    tank = dosed.get("/tanks/t7")
    assert tank.heading() == "T7 needs you now. Do these in this order."
    assert "7 L are in it now" in tank.words


def test_how_much_ran_out_is_asked_back(dosed: Visitor) -> None:
    page = told(dosed, "little-water", share="", when="")
    assert page.code == 422
    assert "How much of the water went?" in page.words


@pytest.mark.parametrize(
    ("hours", "cut"),
    [("6 h", PowerCut(hours=6.0, off="filter")), ("still off", PowerCut(off="filter")), ("", None)],
)
def test_a_power_cut_is_written_with_its_hours(dosed: Visitor, hours: str, cut: PowerCut | None) -> None:
    """Of unknown length it is a note: nothing can be reckoned from it."""
    told(dosed, "no-flow", off="filter", hours=hours, when="12 May 15:00")
    found = [a for _, a in dosed.desk.room().acts("t7") if isinstance(a, PowerCut)]
    assert found == ([cut] if cut else [])
    assert any(isinstance(e, Note) for e in dosed.desk.room().log) is (cut is None)


# What is told by one touch


def touched(keeper: Visitor, page_of: str, words: str, group: str = "") -> Seen:
    """Send the button of those words; the page that follows."""
    import re

    page = keeper.get(f"/tanks/t7/mistake/{page_of}")
    part = page.html.partition(f'aria-label="{group}"')[2] if group else page.html
    found = re.search(rf'name="touch" value="([^"]+)"><span>{re.escape(words)}', part)
    assert found, page.words
    import html

    answer = keeper.post(f"/tanks/t7/mistake/{page_of}", page, touch=html.unescape(found[1]))
    assert answer.code == 303, answer.words
    return keeper.get(answer.to)


def test_five_plain_slips_and_the_rest_behind_the_last(dosed: Visitor) -> None:
    page = dosed.get("/tanks/t7/mistake")
    rows = [link for link in page.links if "/mistake/" in link]
    assert [r.rpartition("/")[2] for r in rows] == [
        "too-much", "forgot-one", "carbon-in", "wrong-tank", "something-else",
    ]  # fmt: skip


def test_behind_something_else_what_harms_soonest_comes_first(dosed: Visitor) -> None:
    words = dosed.get("/tanks/t7/mistake/something-else").words
    order = ("Tap water without", "Power cut", "The filter stood still", "Water ran out", "The heater stuck",
             "Water change too large", "Water change forgotten", "A new animal", "They spat out")  # fmt: skip
    at = [words.index(w) for w in order]
    assert at == sorted(at)


def test_the_amount_that_a_touch_stands_for_is_on_its_button(dosed: Visitor) -> None:
    words = dosed.get("/tanks/t7/mistake/too-much").words
    assert "It went in twice 350 mg metronidazole in all" in words
    assert "Ten times as much 1.8 g metronidazole" in words
    assert "About half of it went in 88 mg metronidazole" in words


def test_what_was_right_but_too_much_for_this_tank_writes_nothing(dosed: Visitor) -> None:
    before = len(dosed.entries)
    page = touched(dosed, "too-much", "As it is written down")
    assert len(dosed.entries) == before
    assert "In the water now" in page.words


def test_an_act_that_is_ticked_is_an_entry_and_the_answer_starts_from_it(dosed: Visitor) -> None:
    page = touched(dosed, "too-much", "Ten times as much")
    done = [f["value"] for f in page.fields if f.get("name") == "done"]
    assert "air.1" in done
    url = "/tanks/t7/mistake/too-much/after"
    first = [d for d in done if d.startswith("change")]
    answer = dosed.post(url, page, done=first[0])
    after = dosed.get(answer.to)
    assert [a for _, a in dosed.desk.room().acts("t7") if isinstance(a, Change)][-1].dechlorinated is True
    assert page.words.count(" L out, ") > after.words.count(" L out, ")
    assert dosed.post(url, after, done="change.99").code == 303  # not there any more: nothing is written


def test_putting_back_by_touch_gives_what_was_advised(dosed: Visitor) -> None:
    page = touched(dosed, "too-much", "About half of it went in")
    (back,) = [f["value"] for f in page.fields if (f.get("value") or "").startswith("put-back")]
    dosed.post("/tanks/t7/mistake/too-little/after", page, done=back)
    given = [a["metronidazole"] for a in doses(dosed)]
    assert given[0] == 87.5
    assert 80 <= given[1] <= 100  # half of 175, and what two hours took


def test_dechlorinator_that_went_in_is_not_asked_for_again(dosed: Visitor) -> None:
    page = touched(dosed, "something-else", "Half", "Tap water without dechlorinator")
    (pour,) = [f["value"] for f in page.fields if (f.get("value") or "").startswith("dechlorinate")]
    answer = dosed.post("/tanks/t7/mistake/untreated-tap/after", page, done=pour)
    after = dosed.get(answer.to)
    assert "Dechlorinator:" not in after.words
    assert {"sodium_thiosulfate"} in [set(d) for d in doses(dosed)]


def test_carbon_leaves_no_second_entry_where_the_log_has_it(dosed: Visitor) -> None:
    form = dosed.get("/tanks/t7/log/media")
    dosed.post(
        "/tanks/t7/log/media", form, medium="activated_carbon", **{"in": "yes"}, when="2026-05-12 18:00"
    )
    before = len(dosed.entries)
    page = touched(dosed, "carbon-in", "It is still in")
    assert len(dosed.entries) == before
    assert "Take the carbon out" in page.heading()


def test_a_newcomer_by_touch_and_its_clock(dosed: Visitor) -> None:
    page = touched(dosed, "something-else", "One of the dwarf rainbowfish")
    assert "The clock starts again: until Tue 9 Jun." in page.words  # 28 days after 12 May
    assert "The dose stays as it is." in page.words


def test_one_that_nobody_names_is_asked_for(dosed: Visitor) -> None:
    page = touched(dosed, "something-else", "Another kind")
    assert "we don't know what it bears" in page.words
    assert "/tanks/t7/mistake/newcomer?more=open" in page.links


def test_a_heater_by_touch(dosed: Visitor) -> None:
    page = touched(dosed, "something-else", "31 °C", "The heater stuck")
    assert page.heading() == "It is too warm. Heater's plug out."
    assert "31.0 °C now, 25.0 °C is home: 6 to 12 hours." in page.words


def test_a_touch_that_was_made_up_is_one_sentence(dosed: Visitor) -> None:
    form = dosed.get("/tanks/t7/mistake/too-much")
    answer = dosed.post("/tanks/t7/mistake/too-much", form, touch="slip=too-much&dose=nothing&how=twice")
    assert answer.code == 422
    assert "is no dose that stands in the log" in answer.words
    assert dosed.post("/tanks/t7/mistake/too-much", form, touch="slip=blame").code == 422


@pytest.mark.parametrize("slip", ["too-much", "forgot-one", "carbon-in", "wrong-tank", "something-else"])
def test_without_a_dose_or_a_course_the_form_stands_open(keeper: Visitor, slip: str) -> None:
    page = keeper.get(f"/tanks/t7/mistake/{slip}")
    assert page.code == 200
    assert "What to do now" in page.words


def test_own_words_that_name_a_slip_are_entries_beside_the_note(keeper: Visitor) -> None:
    page = told_to(keeper, "heater stuck 31C")
    assert page.heading() == "It is too warm. Heater's plug out."
    assert [e.text for e in keeper.entries if isinstance(e, Note)] == ["heater stuck 31C"]
    assert [a for _, a in keeper.desk.room().acts("t7")] == [Heat(temp_c=31.0)]


def test_own_words_that_name_none_stay_a_note(keeper: Visitor) -> None:
    told_to(keeper, "sang to them")
    assert [e.text for e in keeper.entries if isinstance(e, Note)] == ["sang to them"]
    assert keeper.desk.room().acts("t7") == []


def told_to(keeper: Visitor, words: str) -> Seen:
    form = keeper.get("/tanks/t7/mistake/something-else")
    answer = keeper.post("/tanks/t7/mistake/something-else", form, text=words)
    assert answer.code == 303
    return keeper.get(answer.to)
