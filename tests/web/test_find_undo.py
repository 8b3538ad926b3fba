"""Whatever was entered can be taken back, put right, put back and found again; without scripts."""

import re
from urllib.parse import parse_qs, urlsplit

import pytest

from tankward.room.acts import Change, Dose, Media

from .visitor import Seen, Visitor


def follow(keeper: Visitor, answer: Seen) -> Seen:
    """The page that a write leads to."""
    assert answer.code == 303, answer.words
    return keeper.get(answer.to.partition("#")[0])


def write(keeper: Visitor, kind: str, tank: str = "t7", **typed: str) -> Seen:
    form = keeper.get(f"/tanks/{tank}/log/{kind}")
    return follow(keeper, keeper.post(f"/tanks/{tank}/log/{kind}", form, **typed))


def undo_button(page: Seen) -> str:
    """The entries that the line of what was kept takes back."""
    assert 'class="kept"' in page.html
    return next(f["value"] for f in page.fields if f.get("name") == "entries")


def press_undo(keeper: Visitor, page: Seen, back: str) -> Seen:
    return follow(keeper, keeper.post("/entries/undo", page, entries=undo_button(page), back=back))


def acts(keeper: Visitor, tank: str = "t7") -> list:
    return [act for _, act in keeper.desk.room().acts(tank)]


def test_every_save_is_said_back_with_its_undo(keeper: Visitor) -> None:
    page = write(keeper, "change", share="50%", temp="25C")
    assert "Written down in T7: Half of the water changed" in page.words
    assert acts(keeper) == [Change(share=0.5, temp_c=25)]
    back = press_undo(keeper, page, "/tanks/t7")
    assert "Taken back in T7: Half of the water changed" in back.words
    assert acts(keeper) == []
    again = press_undo(keeper, back, "/tanks/t7")
    assert "Put back in T7" in again.words
    assert acts(keeper) == [Change(share=0.5, temp_c=25)]


def test_a_reload_after_an_undo_offers_nothing_twice(keeper: Visitor) -> None:
    page = write(keeper, "note", text="first look")
    kept = undo_button(page)
    press_undo(keeper, page, "/tanks/t7")
    assert 'class="kept"' not in keeper.get(f"/tanks/t7?kept={kept}").html


def test_an_address_with_a_strange_id_tells_nothing(keeper: Visitor) -> None:
    assert 'class="kept"' not in keeper.get("/tanks/t7?kept=nobody,%3Cscript%3E").html


@pytest.mark.parametrize("back", ["https://example.org/", "//example.org", "/\\example.org", ""])
def test_an_undo_never_leads_away_from_here(keeper: Visitor, back: str) -> None:
    page = write(keeper, "note", text="x")
    answer = keeper.post("/entries/undo", page, entries=undo_button(page), back=back)
    assert urlsplit(answer.to)._replace(query="").geturl() == "/"


def test_an_undo_without_the_token_writes_nothing(keeper: Visitor) -> None:
    page = write(keeper, "note", text="x")
    before = len(keeper.entries)
    assert keeper.post("/entries/undo", None, entries=undo_button(page)).code == 403
    assert len(keeper.entries) == before


def test_a_tank_taken_back_leads_to_the_room(keeper: Visitor) -> None:
    tank = next(e for e in keeper.entries if e.tank == "t2" and e.__struct_config__.tag == "tank")
    page = keeper.get(f"/entries/{tank.id}")
    answer = keeper.post("/entries/undo", page, entries=tank.id, back="/tanks/t2#log")
    assert urlsplit(answer.to).path == "/"
    assert "t2" not in keeper.desk.room().tanks


def entry_page(keeper: Visitor, page: Seen) -> tuple[str, Seen]:
    url = next(link for link in page.links if link.startswith("/entries/"))
    return url, keeper.get(url)


def test_an_entry_shows_its_form_filled(keeper: Visitor) -> None:
    _, entry = entry_page(keeper, write(keeper, "change", share="50%", when="yesterday 20:00"))
    assert entry.heading() == "Half of the water changed"
    assert [f["value"] for f in entry.fields if f.get("name") == "share"] == ["50 %"]
    assert "Mon 11 May, 20:00" in entry.words
    assert "Written down" in entry.words


def test_put_right_and_as_it_was_before(keeper: Visitor) -> None:
    url, entry = entry_page(keeper, write(keeper, "change", share="50%"))
    right = follow(keeper, keeper.post(url, entry, share="25 %"))
    assert "Put right in T7" in right.words
    assert acts(keeper) == [Change(share=0.25)]
    old = keeper.get(url)
    assert "Put right since" in old.words
    assert "See what it says now" in old.words
    before = press_undo(keeper, right, url)
    assert "As it was before" in before.words
    assert acts(keeper) == [Change(share=0.5)]


def test_a_form_that_says_the_same_writes_nothing(keeper: Visitor) -> None:
    url, entry = entry_page(keeper, write(keeper, "change", share="50%"))
    count = len(keeper.entries)
    same = keeper.post(url, entry, share="50 %", note="", temp="", dechlorinated="")
    assert (same.code, len(keeper.entries)) == (422, count)
    assert "says what the entry says already" in same.words


def test_a_correction_that_cannot_be_keeps_what_was_typed(keeper: Visitor) -> None:
    url, entry = entry_page(keeper, write(keeper, "change", share="50%"))
    wrong = keeper.post(url, entry, share="500 %")
    assert wrong.code == 422
    assert [f["value"] for f in wrong.fields if f.get("name") == "share"] == ["500 %"]
    assert acts(keeper) == [Change(share=0.5)]


def test_an_emptied_field_is_not_known_any_more(keeper: Visitor) -> None:
    url, entry = entry_page(keeper, write(keeper, "change", share="50%", temp="25C", note="rough"))
    keeper.post(url, entry, share="50 %", temp="", note="")
    (change,) = acts(keeper)
    assert change.temp_c is None
    assert [e.note for e in keeper.desk.room().log if e.note] == []


def test_a_dose_by_hand_and_its_correction(keeper: Visitor) -> None:
    page = write(keeper, "dose", by__hand="praziquantel", by__hand__amount="108 mg")
    assert acts(keeper) == [Dose(actives={"praziquantel": 108})]
    url, entry = entry_page(keeper, page)
    assert [f["value"] for f in entry.fields if f.get("name") == "praziquantel"] == ["108 mg"]
    keeper.post(url, entry, praziquantel="54 mg")
    assert acts(keeper) == [Dose(actives={"praziquantel": 54})]


def test_a_substance_nobody_knows_is_said_beside_its_field(keeper: Visitor) -> None:
    form = keeper.get("/tanks/t7/log/dose")
    wrong = keeper.post("/tanks/t7/log/dose", form, by__hand="moonshine", by__hand__amount="3 g")
    assert wrong.code == 422
    assert "moonshine" in wrong.words
    assert acts(keeper) == []


def test_what_was_written_for_the_wrong_tank_moves(keeper: Visitor) -> None:
    url, entry = entry_page(keeper, write(keeper, "media", medium="carbon", **{"in": "yes"}))
    moved = keeper.post(url, entry, of="t2")
    assert moved.code == 303
    assert (acts(keeper), acts(keeper, "t2")) == ([], [Media(medium="activated_carbon", into=True)])


def test_every_kind_of_the_log_has_a_form_and_an_entry_page(keeper: Visitor) -> None:
    kinds = keeper.get("/tanks/t7/log")
    forms = {link for link in kinds.links if link.startswith("/tanks/t7/log/")}
    assert len(forms) >= 15
    assert {keeper.get(link).code for link in forms} == {200}
    for entry in keeper.entries:
        assert keeper.get(f"/entries/{entry.id}").code == 200


def test_find_by_days_and_words(keeper: Visitor) -> None:
    write(keeper, "note", text="new sponge", when="6 May 2026 09:00")
    write(keeper, "change", share="50%", when="yesterday 20:00")
    last_week = keeper.get("/find", words="last week")
    assert "4 May 2026 to 10 May 2026" in last_week.words
    assert "new sponge" in last_week.words
    assert "Half of the water" not in last_week.words
    assert "T7: Half of the water changed" in keeper.get("/find", words="yesterday").words
    assert (
        keeper.get("/find", words="sponge since 7 May").heading()
        == "Nothing is called “sponge since 7 May” here."
    )


def test_find_names_things_too(keeper: Visitor) -> None:
    found = keeper.get("/find", words="amano")
    assert "8 Amano shrimp" in found.words or "8 amano shrimp" in found.words
    assert "/tanks/t7#lives" in found.links


def test_a_hit_leads_to_its_entry(keeper: Visitor) -> None:
    page = write(keeper, "note", text="new sponge")
    entry = undo_button(page)
    assert f"/entries/{entry}" in keeper.get("/find", words="sponge").links
    press_undo(keeper, page, "/")
    found = keeper.get("/find", words="sponge")
    assert "taken back or put right since" in found.words


def test_a_search_that_is_none_is_one_sentence(keeper: Visitor) -> None:
    assert keeper.get("/find").heading() == "What are you looking for?"
    odd = keeper.get("/find", words="3/4/2026")
    assert odd.code == 422
    assert "two days" in odd.words
    assert keeper.get("/find", words="<b>x</b>").html.count("<b>x</b>") == 0


def test_the_tanks_log_offers_undo(keeper: Visitor) -> None:
    write(keeper, "change", share="50%")
    page = keeper.get("/tanks/t7")
    entry = next(f["value"] for f in page.fields if f.get("name") == "entry")
    assert f"/entries/{entry}" in page.links
    answer = keeper.post("/tanks/t7/undo", page, entry=entry)
    assert re.fullmatch(r"/tanks/t7\?kept=[\w-]+#log", answer.to)
    assert parse_qs(urlsplit(answer.to).query)["kept"][0] in {e.id for e in keeper.entries}
    assert acts(keeper) == []


def test_a_round_done_in_one_touch_can_be_taken_back(keeper: Visitor) -> None:
    page = keeper.get("/today")
    told = follow(keeper, keeper.post("/tanks/t7/round", page, do="well"))
    assert "Written down in T7: All well." in told.words
    press_undo(keeper, told, "/today")
    assert keeper.desk.room().looks("t7") == []
