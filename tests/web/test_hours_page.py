"""The keeper's hours: what may be written, what was understood, kept only after it was shown."""

import pytest

TEXT = "Mon-Fri 18:00-22:00; Sat, Sun 8:00-22:00; away Thu-Sat; quiet 21:30-7:00"


def test_the_kit_leads_to_the_hours_and_they_tell_what_may_be_written(keeper):
    assert "/kit/hours" in keeper.get("/kit").links
    page = keeper.get("/kit/hours")
    assert page.heading() == "When can you be at the tanks?"
    for words in ("odd weeks", "week A", "away 12-14 May", "quiet 22:00-7:00"):
        assert words in page.words
    assert "Keep these hours" not in page.words


def test_what_was_understood_is_shown_before_it_is_kept(keeper):
    """Tuesday 12 May 2026: the coming Thursday to Saturday are 14 to 16 May."""
    before = len(keeper.entries)
    page = keeper.get("/kit/hours", hours=TEXT)
    assert page.words.count("18:00 to 21:30") == 8  # ten working days, two of them away
    assert page.words.count("8:00 to 21:30") == 3 + 8  # and within "18:00 to 21:30"
    assert "Away Thu 14 to Sat 16 May." in page.words
    assert "Mon 11" in page.words and "Sun 24" in page.words
    assert len(keeper.entries) == before
    kept = keeper.post("/kit/hours", page, hours=TEXT)
    assert kept.code == 303
    assert keeper.desk.room().kit.hours.endswith("away 2026-05-14 to 2026-05-16; quiet 21:30-7:00")
    again = keeper.get("/kit/hours")
    assert "These are written down." in again.words
    assert "Keep these hours" not in again.words
    assert "2026-05-14" in keeper.get("/kit").words


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("evenings", "says no hour and no day"),
        ("18:00-22:30; away 12/5", "could mean two days"),
        ("18:00-22:30; quiet 17:00-23:00", "leaves no hour of any week"),
    ],
)
def test_what_can_not_be_read_stays_in_the_field_with_one_sentence(keeper, text, told):
    shown = keeper.get("/kit/hours", hours=text)
    sent = keeper.post("/kit/hours", keeper.get("/kit/hours", hours="18:00-19:00"), hours=text)
    for page in (shown, sent):
        assert page.code == 422
        assert told in page.words
        assert "Write it like Mon-Fri 18:00-22:00" in page.words
        assert text in page.html.replace("&#39;", "'")
    assert keeper.desk.room().kit.hours == ""


def test_lines_are_clauses_and_two_weeks_in_turn_are_told(keeper):
    page = keeper.get(
        "/kit/hours", hours="odd weeks Mon-Fri 6:00-14:00\r\neven weeks Mon-Fri 14:00-22:00\r\n"
    )
    assert page.words.count("14:00 to 22:00") == 5 and page.words.count("6:00 to 14:00") == 5
    assert page.words.count("not at home") == 4
    assert "this is week 20, even" in page.words


def test_hours_can_be_forgotten(keeper):
    page = keeper.get("/kit/hours", hours="18:00-22:00")
    keeper.post("/kit/hours", page, hours="18:00-22:00")
    assert keeper.desk.room().kit.hours == "18:00-22:00"
    keeper.post("/kit/hours", keeper.get("/kit/hours"), hours="")
    assert keeper.desk.room().kit.hours == ""
