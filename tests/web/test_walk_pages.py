"""The walk up to the options: look, the next ten minutes, what it may be, what can be done."""

import re

import pytest

from tankward.knowledge.loader import load
from tankward.room.acts import Air, Change
from tankward.room.entries.acts import Done
from tankward.room.entries.looks import Look
from tankward.show.words.looking import ASKED_APART
from tests.helpers.rooms import entries_from

SPOTS = {
    "cause": "white_spot", "seen": "white_spots", "volume": "58 L",
    "animals": "8 kuhli_loach 8cm; 12 harlequin_rasbora 3.5cm; 30 cherry_shrimp; moss",
    "water": "ammonia 0 mg/L as N, nitrite 0 mg/L as N, pH 7.0, 24C, KH 4 dKH, oxygen 7.5 mg/L",
}  # fmt: skip


def order(page, *words) -> list[int]:
    """Where some words stand on a page, each after the one before."""
    at = [page.words.find(w) for w in words]
    assert -1 not in at, [w for w, n in zip(words, at, strict=True) if n < 0]
    return at


# Look


def test_nothing_is_chosen_before_the_keeper_chooses(stranger):
    page = stranger.get("/look", zone="all")
    assert page.heading() == "Where is it? Touch the fish."
    assert not [f for f in page.fields if f.get("type") == "radio" and "checked" in f]


def test_every_sign_can_be_answered_once_and_three_ways(stranger):
    page = stranger.get("/look", zone="all")
    for sign in set(load().signs) - set(ASKED_APART):
        assert [f["value"] for f in page.radios(f"sign-{sign}")] == ["seen", "absent", "unsure"], sign


def test_a_touched_place_shows_its_signs_and_keeps_what_was_answered_elsewhere(stranger):
    page = stranger.get("/look", **{"zone": "vent", "sign-belly_sunken": "seen", "sign-pinecone": "absent"})
    assert page.radios("sign-worms_at_vent")
    assert not page.radios("sign-belly_sunken")
    assert page.hidden("seen") == ["belly_sunken"]
    assert page.hidden("not-seen") == ["pinecone"]
    back = stranger.get("/look", zone="belly", seen="belly_sunken", **{"not-seen": "pinecone"})
    chosen = [f["value"] for f in back.radios("sign-belly_sunken") if "checked" in f]
    assert chosen == ["seen"]
    assert not back.hidden("seen")
    assert "1 seen, 1 not there" in back.words


def test_every_place_of_the_fish_is_a_button_and_a_list_entry(stranger):
    page = stranger.get("/look")
    for zone in ("mouth", "eye", "head", "gills", "back", "body", "belly", "vent", "fins"):
        buttons = [f for f in page.fields if f.get("name") == "zone" and f.get("value") == zone]
        assert len(buttons) >= 2, zone


def test_the_outline_is_that_of_the_tanks_own_fish_not_of_its_shrimp(keeper):
    page = keeper.get("/tanks/T7/look")
    assert [f for f in page.fields if f.get("class") == "plate-word" and f.get("value") == "vent"]


def test_a_tank_of_shrimp_alone_begins_with_what_is_asked_of_shrimp(keeper):
    keeper.desk.append(*entries_from("3 May 2026 08:00 tank T10 volume=14L\n"
                                     "3 May 2026 08:01 stock T10 kind=cherry_shrimp number=70"))  # fmt: skip
    page = keeper.get("/tanks/T10/look")
    assert page.radios("sign-shrimp_snails_ill")


def test_a_sign_is_found_by_a_keepers_word_and_an_unknown_word_says_so(stranger):
    found = stranger.get("/look", zone="find", find="pine cone")
    assert found.radios("sign-pinecone")
    nothing = stranger.get("/look", zone="find", find="zzqx")
    assert "No sign is called so here" in nothing.words


def test_the_enter_key_in_the_search_searches(stranger):
    page = stranger.get("/look", zone="enter", here="belly", find="pine cone", found="")
    assert page.radios("sign-pinecone")
    still = stranger.get("/look", zone="enter", here="vent", find="")
    assert still.radios("sign-worms_at_vent")


def test_a_look_at_a_tank_is_written_down_and_leads_on(keeper):
    form = keeper.get("/tanks/T7/look")
    sent = keeper.post(
        "/tanks/T7/look", form, sign__belly_sunken="seen", sign__worms_at_vent="absent",
        sign__lethargy="unsure", belly="1", onset="weeks", share="some", history="new fish 10 days ago",
    )  # fmt: skip
    assert sent.code == 303
    assert sent.to.startswith("/tanks/t7/causes")
    look = keeper.entries[-1]
    assert isinstance(look, Look)
    assert (look.seen, look.absent, look.unsure) == (("belly_sunken",), ("worms_at_vent",), ("lethargy",))
    assert (look.belly, look.onset, look.share) == (1, "weeks", "some")
    assert list(look.history) == ["arrival"]


def test_not_knowing_how_fast_is_an_answer_and_tells_nothing(keeper):
    form = keeper.get("/tanks/T7/look")
    keeper.post("/tanks/T7/look", form, sign__belly_sunken="seen", onset="unsure", share="unsure")
    assert (keeper.entries[-1].onset, keeper.entries[-1].share) == ("", "")


def test_a_sign_of_the_next_ten_minutes_leads_there_first(keeper):
    form = keeper.get("/tanks/T2/look")
    sent = keeper.post("/tanks/T2/look", form, sign__gasping_surface="seen")
    assert sent.to.startswith("/tanks/t2/now")


def test_an_empty_look_writes_nothing_and_says_what_to_do(keeper):
    before = keeper.entries
    sent = keeper.post("/tanks/T7/look", keeper.get("/tanks/T7/look"))
    assert sent.code == 422
    assert "Touch the fish" in sent.words
    assert keeper.entries == before


def test_a_past_that_is_not_known_keeps_what_was_answered(keeper):
    before = keeper.entries
    sent = keeper.post(
        "/tanks/T7/look", keeper.get("/tanks/T7/look"), sign__belly_sunken="seen", history="moon in the east"
    )
    assert sent.code == 422
    assert "moon in the east" in sent.html
    assert [f["value"] for f in sent.radios("sign-belly_sunken") if "checked" in f] == ["seen"]
    assert keeper.entries == before


def test_a_look_without_the_forms_token_writes_nothing(keeper):
    before = keeper.entries
    assert keeper.post("/tanks/T7/look", sign__belly_sunken="seen").code == 403
    assert keeper.entries == before


# What it may be


def test_the_water_stands_before_any_cause(keeper):
    form = keeper.get("/tanks/T7/look")
    keeper.post("/tanks/T7/look", form, sign__belly_sunken="seen", sign__white_stringy_faeces="seen")
    page = keeper.get("/tanks/T7/causes")
    at = order(
        page, "The water was read", "For it:", "Something not on this list", "The look that tells most"
    )  # fmt: skip
    assert at == sorted(at)


def test_water_that_was_not_read_is_said_before_any_cause(stranger):
    page = stranger.get("/causes", seen="white_spots")
    at = order(page, "The water is not known: read ammonia, nitrite, pH", "White spot", "For it:")
    assert at[0] < at[2]


def test_bad_water_is_a_finding_above_the_causes(stranger):
    page = stranger.get("/causes", seen="lethargy", water="ammonia 3 mg/L as N, pH 8.2, 26C", after="now")
    at = order(page, "The water first", "The poisonous part of ammonia:", "Something not on this list")
    assert at == sorted(at)


def test_no_cause_is_told_as_certain_and_each_leads_to_what_can_be_done(stranger):
    page = stranger.get("/causes", seen="white_spots,clamped_fins", animals="8 kuhli_loach")
    assert "certain" in page.heading()
    assert not re.search(r"\bis certain\b", page.heading().replace("Neither is certain", ""))
    assert any(
        link.startswith("/options?") and "cause=white_spot" in link and "seen=white_spots" in link
        for link in page.links
    )


def test_the_heading_names_at_most_two(stranger):
    page = stranger.get("/causes", seen="lethargy")
    left, named = page.heading().lower(), 0
    for name in sorted(
        {c.name.split(" (")[0].lower() for c in load().causes.values()}, key=len, reverse=True
    ):
        named += left.count(name)
        left = left.replace(name, "")
    assert named == 2


def test_the_belly_score_is_a_sign(stranger):
    page = stranger.get("/causes", seen="white_stringy_faeces", belly="1")
    assert "sunken belly" in page.words.lower()
    fat = stranger.get("/causes", seen="white_stringy_faeces", belly="4")
    assert "Looked for and not there. Sunken belly" in fat.words


def test_what_is_urgent_comes_first_once(stranger):
    first = stranger.get("/causes", seen="gasping_surface", volume="45 L")
    assert first.code == 303
    assert first.to.startswith("/now?")
    assert "volume=45" in first.to
    assert stranger.get("/causes", seen="gasping_surface", after="now").code == 200


def test_without_a_sign_the_page_asks_for_one_and_frightens_with_no_name(stranger):
    page = stranger.get("/causes")
    assert page.heading() == "Nothing was seen, so no cause is named."
    assert "Worth a look" in page.words
    assert "comes first" not in page.words
    assert any(link.startswith("/look") for link in page.links)
    assert "Something not on this list" not in page.words


def test_the_vet_row_says_what_to_bring_and_what_to_do_until_then(stranger):
    page = stranger.get("/causes", seen="white_spots")
    at = order(page, "See a veterinarian", "Bring", "One sick fish alive", "Until then", "Air, calm")
    assert at == sorted(at)


@pytest.mark.parametrize(
    ("query", "says"),
    [
        ({"seen": "purple ears"}, "is no sign"),
        ({"seen": "white_spots", "animals": "3 unicorns"}, "is not known here"),
        ({"seen": "white_spots", "volume": "35"}, "35"),
        ({"seen": "white_spots", "water": "pH 15"}, "15"),
        ({"seen": "white_spots", "onset": "soon"}, "is not one of hours"),
        ({"sign-white_spots": "maybe"}, "is not one of seen"),
        ({"seen": "white_spots", "history": "x" * 2001}, "too long"),
    ],
)
def test_bad_input_gets_one_sentence(stranger, query, says):
    page = stranger.get("/causes", **query)
    assert page.code == 422
    assert says in page.words


def test_markup_in_what_was_typed_stays_text(stranger):
    page = stranger.get("/look", animals="<img src=x onerror=alert(1)>")
    assert "<img src=x" not in page.html


# The next ten minutes


def test_the_order_of_rule_17_holds(stranger):
    page = stranger.get("/now", untreated_tap="unsure", old_tank="unsure", volume="45 L")
    assert page.heading() == "Air now. Nothing more goes in."
    at = order(
        page, "Air, full on.", "No medicine, no food, no salt.", "Dechlorinator:", "Fresh tap water today",
        "15 to 20 %", "Last big change over two months ago?", "Fresh carbon", "Lights down.",
    )  # fmt: skip
    assert at == sorted(at)


def test_nobody_has_to_answer_before_acting(stranger):
    """Story 10, in a bare log: dechlorinator for the whole tank and the small change stand there at once."""
    page = stranger.get("/now", volume="45 L")
    at = order(page, "1.4 g of thiosulfate for the whole tank", "Fresh tap water today", "15 to 20 %")
    assert at == sorted(at)
    ticks = [f["value"] for f in page.fields if f.get("name") == "tick"]
    assert ticks == ["air", "stop", "dechlorinate", "change", "carbon", "dim"]


def test_an_answer_takes_its_act_away_and_the_question_stays(stranger):
    page = stranger.get("/now", volume="45 L", untreated_tap="no")
    assert "Dechlorinator:" not in page.words
    assert "Fresh tap water today" in page.words
    assert "dechlorinate" not in [f["value"] for f in page.fields if f.get("name") == "tick"]


def test_rule_21_is_said_where_half_goes(keeper):
    """Lowering the water by half: heater, inlet, mark, ammonia, hands."""
    words = keeper.get("/tanks/T2/now", untreated_tap="no", old_tank="no").words
    for said in ("Heater's plug out first", "15 minutes", "filter's inlet", "Mark the line", "twice as fast"):
        assert said in words
    assert "Heater's plug out first" not in keeper.get("/tanks/T2/now", old_tank="yes").words


def test_the_amounts_are_those_of_this_tank(keeper):
    """45 L: 3 mg/L chlorine x 7 x 1.5 = 31.5 mg/L of thiosulfate, 1.4 g; half of it is 23 L (22.5)."""
    unsure = keeper.get("/tanks/T2/now", untreated_tap="unsure", old_tank="no")
    assert "1.4 g of thiosulfate for the whole tank" in unsure.words
    assert "23 L out, 23 L in." in unsure.words or "22 L out, 22 L in." in unsure.words
    sure = keeper.get("/tanks/T2/now", untreated_tap="no", old_tank="no")
    assert "Dechlorinator:" not in sure.words


def test_without_a_volume_the_amount_is_for_ten_litres_and_says_so(stranger):
    page = stranger.get("/now", untreated_tap="yes", old_tank="no")
    assert "for every 10 L" in page.words
    assert "of every 10 L" in page.words


def test_the_time_to_look_again_stays_while_answers_are_given(stranger):
    assert "Look again at 21:12." in stranger.get("/now").words
    later = stranger.get("/now", since="2026-05-12T20:55:00+00:00", untreated_tap="no")
    assert "Look again at 21:05." in later.words
    assert later.hidden("since") == ["2026-05-12T20:55:00+00:00"]


def test_a_tick_can_be_taken_back(stranger):
    done = stranger.get("/now", tick="air")
    pressed = [f for f in done.fields if f.get("name") == "tick" and f.get("aria-pressed") == "true"]
    assert [f["value"] for f in pressed] == ["air"]
    undone = stranger.get("/now", done="air", tick="air")
    assert not [f for f in undone.fields if f.get("aria-pressed") == "true"]


def test_there_is_nothing_else_on_that_page(stranger):
    page = stranger.get("/now")
    assert "I made a mistake" not in page.words
    assert 'class="places"' not in page.html
    assert not [f for f in page.fields if f.get("type") in ("text", "radio") or f["tag"] == "textarea"]
    assert [link for link in page.links if not link.startswith("#")] == ["/look"]


def test_what_was_ticked_is_written_down_together(keeper):
    page = keeper.get("/tanks/T2/now", done="air,change", untreated_tap="no", old_tank="no")
    kept = {f["name"]: f["value"] for f in page.fields if f.get("type") == "hidden"}
    kept.pop("form-token")
    sent = keeper.post("/tanks/T2/now", page, **kept)
    assert sent.code == 303
    acts = [e.act for e in keeper.entries[-2:] if isinstance(e, Done)]
    assert acts == [Air(more=True), Change(share=0.5, dechlorinated=True)]


@pytest.mark.parametrize("query", [{"untreated_tap": "perhaps"}, {"since": "yesterday"}, {"volume": "0 L"}])
def test_what_is_not_an_answer_is_said(stranger, query):
    assert stranger.get("/now", **query).code == 422


# What can be done


def test_what_kills_the_shrimp_is_ruled_out_and_stays_visible(stranger):
    page = stranger.get("/options", **SPOTS)
    opened, _, closed = page.words.partition("Ruled out here")
    assert page.heading().startswith("First: fish out, the tank without fish.")
    assert "Copper sulfate" in closed
    assert "Copper sulfate" not in opened
    assert re.search(r"dies cherry shrimp", closed)
    assert "Would change: move the 8 kuhli loach" in closed


def test_a_limit_that_is_only_recalled_never_says_bears_it(keeper):
    page = keeper.get("/tanks/T7/options", cause="hexamita")
    assert "no harm reported, not measured" in page.words
    assert "bears it" not in page.words
    assert "try it in a jar for a day first" in page.words


def test_what_it_reaches_stands_with_each_remedy(keeper):
    page = keeper.get("/tanks/T7/options", cause="hexamita")
    assert order(
        page, "Metronidazole in the food", "Only for fish that eat.", "Reaches the feeding ones in the fish."
    )


def test_nobody_known_to_live_there_is_not_taken_for_safe(stranger):
    page = stranger.get("/options", cause="white_spot")
    assert page.heading() == "Say who lives there first. Nothing here was judged against them."
    assert "Who lives there is not known" in page.words
    assert "Work out" not in page.words


def test_bad_water_comes_before_any_medicine(stranger):
    page = stranger.get("/options", **{**SPOTS, "seen": "", "water": "ammonia 3 mg/L as N, pH 8.2, 26C"})
    assert page.heading() == "The water first. A medicine has to wait until it is mended."


def test_a_vet_substance_gives_no_amount_until_it_is_held_lawfully(keeper):
    page = keeper.get("/tanks/T7/options", cause="hexamita")
    assert "A veterinarian has to order it." in page.words
    assert not [link for link in page.links if "/course?" in link and "metronidazole" in link]
    keeper.desk.append(*_shelf())
    held = keeper.get("/tanks/T7/options", cause="hexamita")
    assert [link for link in held.links if "/course?" in link and "substance=metronidazole" in link]
    assert "You hold it lawfully, as you stated on" in held.words


def _shelf():
    line = '2 May 2026 08:00 supply "invented sachet" unit=sachet metronidazole="200 mg" held-lawfully=yes '
    return entries_from(line + "held-since=2026-05-02")


def test_the_region_is_asked_once_and_kept(keeper):
    page = keeper.get("/tanks/T7/options", cause="hexamita")
    assert "not known, so the strictest" in page.words
    sent = keeper.post("/tanks/T7/options", page, cause="hexamita", region="UK")
    assert sent.code == 303
    assert keeper.desk.room().kit.region == "UK"
    assert "Now: United Kingdom" in keeper.get("/tanks/T7/options", cause="hexamita").words


def test_fry_that_are_only_taken_to_be_there_can_be_denied(stranger):
    asked = {"cause": "camallanus", "animals": "25 guppy female 3cm; 15 guppy male 2.2cm", "volume": "63 L"}
    page = stranger.get("/options", **asked)
    said = [link for link in page.links if "gone=" in link]
    assert said, "livebearers count as fry present until the keeper says otherwise"
    denied = stranger.get(said[0])
    assert "There are no fry" not in denied.words


def test_the_vet_is_there_with_what_to_bring(stranger):
    page = stranger.get("/options", **SPOTS)
    at = order(page, "None of these?", "See a veterinarian", "Bring", "Until then")
    assert at == sorted(at)


@pytest.mark.parametrize(
    ("query", "says"),
    [
        ({"cause": "the evil eye"}, "is no cause"),
        ({"cause": "white_spot", "region": "Mars"}, "is not one of US"),
        ({"cause": "white_spot", "gone": "whales"}, "neither fry nor eggs"),
    ],
)
def test_what_cannot_be_used_is_said_in_one_sentence(stranger, query, says):
    page = stranger.get("/options", **query)
    assert page.code == 422
    assert says in page.words


def test_without_a_cause_the_way_goes_to_one(stranger, keeper):
    assert stranger.get("/options").to.startswith("/look")
    assert keeper.get("/tanks/T7/options").to.endswith("/causes")


def test_a_tank_that_is_not_there_is_said(keeper):
    for page in ("look", "now", "causes", "options?cause=white_spot"):
        assert keeper.get(f"/tanks/T99/{page}").code in (404, 422), page
