"""Print, hospital tub, hygiene, tank cards: as a browser gets them."""

from tests.helpers.rooms import entries_from
from tests.show.pdf_pages import pages


def test_print_lists_every_sheet_and_keeps_the_paper(keeper):
    page = keeper.get("/print")
    for words in ("A course", "Hospital tub", "Hygiene", "Tank cards"):
        assert words in page.words
    assert {p.width_mm for p in pages(keeper.client.get("/print/hygiene.pdf").content)} == {210}
    keeper.post("/print", page, paper="letter")
    assert {p.width_mm for p in pages(keeper.client.get("/print/hygiene.pdf").content)} == {216}


def test_more_leads_to_print(keeper):
    assert "/print" in keeper.get("/more").links


def test_a_tub_in_an_empty_room(stranger):
    asked = stranger.get("/tub")
    assert "Who goes in?" in asked.words
    page = stranger.get("/tub", fish="4 g", volume="10 L", food="1 %", protein="45 %", ph="7.8", temp="25 C")
    assert page.heading() == "In 10 L change half, 5 L, every day."
    assert "0.011 mg/L" in page.words
    (pdf,) = [url for url in page.links if url.startswith("/print/tub.pdf")]
    assert "In 10 L change half, 5 L, every day." in pages(stranger.client.get(pdf).content)[0].text


def test_a_tub_for_some_of_a_tank(keeper):
    asked = keeper.get("/tanks/T7/tub")
    fish = next(f["name"] for f in asked.fields if (f.get("name") or "").startswith("n-"))
    page = keeper.get("/tanks/T7/tub", **{fish: "3", "volume": "10 L"})
    assert "3 neon rainbow 4 cm" in page.words
    assert "pH 7.4" in page.words and "as last read in the tank" in page.words


def test_nobody_named_is_asked_for_and_what_was_typed_stays(keeper):
    answer = keeper.client.get("/tanks/T7/tub", params={"volume": "12 L"})
    assert answer.status_code == 422
    assert "who goes into the tub" in answer.text and 'value="12 L"' in answer.text


def test_a_tub_that_would_kill_is_refused(keeper):
    query = {"animals": "3 cherry shrimp 2 cm", "volume": "10 L", "medicine": "copper", "level": "0.2 mg/L"}
    answer = keeper.client.get("/tub", params=query)
    assert answer.status_code == 409
    assert "Copper kills cherry shrimp" in answer.text
    assert keeper.client.get("/print/tub.pdf", params=query).status_code == 409


def test_hygiene_works_out_the_keepers_own_bleach(keeper):
    page = keeper.get("/hygiene", against="wasting", strength="4 %", volume="5 L")
    assert "375 mL" in page.words and "MARTINS17" in page.words
    (pdf,) = [url for url in page.links if url.startswith("/print/hygiene.pdf")]
    assert "375 mL" in pages(keeper.client.get(pdf).content)[0].text


def test_the_page_of_cards_says_what_the_squares_open(keeper):
    assert "on this computer alone" in keeper.get("/cards", address="http://127.0.0.1:8765").words
    page = keeper.get("/cards", address="http://192.168.1.20:8765")
    assert "on this computer alone" not in page.words
    (every,) = [url for url in page.links if url.startswith("/print/tank.pdf?address")]
    assert keeper.client.get(every).content.startswith(b"%PDF")


def test_where_an_animal_can_not_bear_it_a_tub_is_offered(keeper):
    page = keeper.get("/tanks/T7/options", cause="white_spot")
    assert "/tanks/t7/tub" in page.links
    held = '1 May 2026 09:00  supply  name="worm paste" unit=g fenbendazole=100mg held-lawfully=yes'
    keeper.desk.append(*entries_from(held))
    snails = {"substance": "fenbendazole", "route": "feed", "cause": "camallanus"}
    assert "/tanks/t7/tub" in keeper.client.get("/tanks/T7/course", params=snails).text
    # No fish there bears copper: a tub would leave nobody to treat.
    copper = {"substance": "copper", "route": "water_long"}
    assert "/tanks/t7/tub" not in keeper.client.get("/tanks/T7/course", params=copper).text


def test_an_unknown_sheet_is_one_sentence(keeper):
    answer = keeper.client.get("/print/nothing.pdf")
    assert answer.status_code == 422
    for sheet in ("course", "sitter", "recipe", "tub", "case", "hygiene", "tank"):
        assert sheet in answer.text
