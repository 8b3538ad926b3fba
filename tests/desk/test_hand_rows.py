"""A shape as rows: what was not touched stays as exact as it was, what was typed is read or named."""

from datetime import UTC, datetime, timedelta

import pytest

from tankward.desk.hand_rows import Row, read_dose, read_rows, rows_of, said_at, said_dose, shape_with
from tankward.quantities.faults import BadInput, BadInputs
from tankward.treat.amounts.measure import Measured
from tankward.treat.course.records import DosePlan
from tankward.treat.course.shape import shape_of

START = datetime(2026, 5, 12, 21, 30, tzinfo=UTC)
SHAPE = shape_of("dose 0h 1, 72h 0.9512; change 0h 50%, 72h 33.3333%; siphon 0h; feed 50%; end 144h")


def whole(amount: float, unit: str, units: float | None = None) -> DosePlan:
    measured = Measured(wanted=amount, amount=amount, unit=unit, tool="scale", low=amount, high=amount)
    return DosePlan(at=START, number=1, kind="full", actives=(), units=units, measured=measured)


SALT, SACHET = whole(43_400.0, "mg"), whole(1.5, "sachet", units=1.5)


def test_at_one_instant_it_is_siphoned_then_changed_then_dosed():
    assert [r.kind for r in rows_of(SHAPE, START)] == ["siphon", "change", "dose", "change", "dose"]


def test_rows_make_the_same_shape_again():
    ends = START + timedelta(hours=144)
    assert shape_with(rows_of(SHAPE, START), START, ends, SHAPE) == (SHAPE, START)


def test_what_stands_in_the_fields_changes_nothing():
    typed = {}
    for n, row in enumerate(rows_of(SHAPE, START)):
        typed[f"at-{n}"] = said_at(row.at, "UTC")
        typed[f"much-{n}"] = said_dose(row.share, SALT, "g") if row.kind == "dose" else ""
    assert read_rows(typed, SHAPE, START, SALT, "g", START, "UTC") == rows_of(SHAPE, START)


@pytest.mark.parametrize(
    ("text", "full", "share"),
    [
        ("21.7 g", SALT, 0.5),
        ("21700 mg", SALT, 0.5),
        ("50 %", SALT, 0.5),
        ("0.75 sachets", SACHET, 0.5),
        ("3", SACHET, 2.0),
        ("50%", None, 0.5),
    ],
)
def test_an_amount_is_a_share_of_a_whole_dose(text, full, share):
    assert read_dose(text, full, "sachet", "much-0") == pytest.approx(share)


@pytest.mark.parametrize(
    ("text", "full"), [("3 tablets", SACHET), ("5 mL", SALT), ("21 g", None), ("lots", SALT)]
)
def test_what_is_no_amount_is_named(text, full):
    with pytest.raises(BadInput, match="much-0"):
        read_dose(text, full, "sachet", "much-0")


def test_every_field_that_cannot_be_read_has_its_own_sentence():
    with pytest.raises(BadInputs) as found:
        read_rows({"much-1": "lots", "much-2": "more"}, SHAPE, START, SALT, "g", START, "UTC")
    assert {f.field for f in found.value.faults} == {"much-1", "much-2"}


def test_a_row_is_added_a_day_after_the_last_and_left_out():
    rows = read_rows({"add": "change"}, SHAPE, START, SALT, "g", START, "UTC")
    assert rows[-1] == Row(
        kind="change", at=START + timedelta(hours=96), share=pytest.approx(1 / 3, abs=1e-4)
    )
    assert len(read_rows({"remove": "0"}, SHAPE, START, SALT, "g", START, "UTC")) == 4


def test_where_something_is_dosed_the_first_row_begins_it():
    later = [Row(kind="dose", at=START + timedelta(hours=24), share=1.0)]
    shape, begins = shape_with(later, START, START + timedelta(hours=72), SHAPE)
    assert begins == START + timedelta(hours=24)
    assert shape.doses[0].at_h == 0.0 and shape.end_h == 48.0


def test_care_beside_a_food_does_not_move_its_beginning():
    care = shape_of("change 24h 25%; end 120h")
    early = [Row(kind="change", at=START - timedelta(hours=1), share=0.25)]
    with pytest.raises(BadInput, match="before the course begins"):
        shape_with(early, START, START + timedelta(hours=120), care)
