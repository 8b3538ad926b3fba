"""At the foot of a course's sheet: how long it is looked for, who stays (safety rule 26), what it takes."""

from tankward.desk.courses import Wanted
from tests.show.test_sheets import PRAZIQUANTEL, desk, sheet, text_of  # noqa: F401

GILL = Wanted(substance="praziquantel", route="water_long", cause="gill_flukes")


def test_rule_26_the_sheet_says_who_stays_when_it_is_over(desk):  # noqa: F811
    record = sheet(desk, GILL)
    assert record.over_heading == "When it is over"
    told = " ".join(record.over)
    assert "Look for the same signs until" in told and "one whole cycle" in told
    assert "Gill flukes: not sold, given or mixed until 13 days after the last sign." in told
    assert "disease free" not in told.lower() and "free of disease" not in told.lower()
    text = text_of(record)
    for line in record.over:
        assert line.split(":")[0] in text


def test_rule_26_what_may_be_carried_for_life_is_said_so(desk):  # noqa: F811
    told = " ".join(sheet(desk, PRAZIQUANTEL).over)
    assert "Skin flukes: those that lived through it may carry it for life: never sold" in told


def test_rule_26_without_a_cause_nothing_leaves_the_room(desk):  # noqa: F811
    told = sheet(desk, Wanted(substance="praziquantel", route="water_long")).over
    assert told[0] == "While nobody knows what it is, nothing leaves the room."


def test_what_it_takes_of_the_shelf_stands_with_the_tank(desk):  # noqa: F811
    taken = [p.says for p in sheet(desk).about if p.what == "From the shelf"]
    assert len(taken) == 1
    assert "of invented powder; how many are left was not counted; its price is not known." in taken[0]
