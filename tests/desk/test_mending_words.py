"""The words after a slip: each act says something, half a change says rule 21, nobody is scolded."""

import re

import pytest

from tankward.judge.lowering import lowers
from tankward.show.words.judge import step_head, step_soft
from tankward.show.words.mend_parts import Here
from tankward.show.words.mending import mend_said
from tankward.show.words.mistake import ASKED, SLIPS, SO, after_heading

from .slipped import DOSED, FACTS, NOW, Slipped, ago, ahead, change_step, course, dose_step
from .test_slips_said import WORDS

HERE = Here(facts=FACTS, now=NOW, zone="UTC")
SCOLDS = re.compile(
    r"should have|careless|you must|wrongly|start over|your fault|blame|never do that", re.IGNORECASE
)
RUNS = (change_step("x", ago(3)), dose_step("d", ago(3)), dose_step("e", ahead(70)))
CASES = [(words, DOSED) for words, _ in WORDS] + [
    ("forgot a dose", ""),
    ("dosed ten times", DOSED.replace("metronidazole", "praziquantel")),
    ("dosed the wrong tank", "12 May 2026 20:40 dose T7 copper=20mg"),
    ("dosed ten times", "12 May 2026 20:40 dose T7 sodium_chloride=350g"),
    ("carbon left in", "10 May 2026 20:00 dose T7 metronidazole=175mg"),
]


def said_of(words: str, lines: str) -> list[tuple]:
    room = Slipped(lines, course(*RUNS))
    steps = room.now_after(words).urgent.steps
    return [(s, mend_said(s, HERE)) for s in steps]


@pytest.mark.parametrize(("words", "lines"), CASES)
def test_every_act_has_a_head_that_ends_and_a_reason(words, lines):
    for step, said in said_of(words, lines):
        head, why = (said.head, said.why) if said else (step_head(step), step_soft(step))
        assert head, step
        assert head[0].isupper() or head[0].isdigit(), head
        assert why or step.act == "next-dose", step
        assert "None" not in head + why
        assert "_" not in head + why, head + why  # no ids
        assert "  " not in head + why
        assert ".." not in head + why


@pytest.mark.parametrize(("words", "lines"), CASES)
def test_rule_21_stands_with_the_first_half_change(words, lines):
    halves = [(s, said) for s, said in said_of(words, lines) if s.act in ("change", "do-late") and half(s)]
    if halves:
        step, said = halves[0]
        assert "Heater's plug out" in (said.why if said else step_soft(step))


def half(step) -> bool:
    planned = getattr(getattr(step.of, "step", None), "act", None)
    return lowers(step.share if step.share is not None else getattr(planned, "share", None))


@pytest.mark.parametrize(("words", "lines"), CASES)
def test_nobody_is_scolded_and_no_course_starts_over_by_reflex(words, lines):
    for step, said in said_of(words, lines):
        told = f"{said.head} {said.why}" if said else f"{step_head(step)} {step_soft(step)}"
        assert not SCOLDS.search(told), told


def test_every_slip_has_its_words():
    assert set(SLIPS) == set(ASKED) == set(SO)


def test_the_heading_says_what_is_so_then_the_act_that_counts_most():
    found = Slipped(DOSED).now_after("dosed ten times")
    assert (
        after_heading("too-much", found.urgent.steps, found.calm, HERE)
        == "Too much went in. 18 L out, 18 L in."
    )
    calm = Slipped(DOSED.replace("175mg", "80mg")).now_after("dosed twice")
    told = after_heading("too-much", calm.urgent.steps, calm.calm, HERE)
    assert told == "It is still within what is published. Give nothing more today, and watch them."


def test_a_series_is_told_with_range_target_and_new_water():
    found = Slipped(DOSED).now_after("dosed ten times")
    told = mend_said(next(s for s in found.urgent.steps if s.act == "change"), HERE).why
    assert re.search(r"Brings metronidazole from \d+ mg/L( \(\d+ to \d+\))? to \d+ mg/L", told)
    assert "It takes 3 changes to get under 6.6 mg/L, the most that is published." in told
    assert "New water at 25.0 °C, within 2 °C." in told
    assert "0.6 g of thiosulfate into it first." in told


def test_what_is_put_back_shows_both_ends():
    lines = "10 May 2026 20:00 change T7 share=20%\n12 May 2026 09:00 dose T7 metronidazole=175mg"
    step = Slipped(f"{lines}\n12 May 2026 12:00 change T7 share=20%").acts("carbon left in")["put-back"]
    told = mend_said(step, HERE)
    assert re.search(r"mg would do if all had lasted, 175 mg if it were gone; \d+ mg is likely", told.why)
    assert "it works from 5 mg/L" in told.why
    assert "That makes 5" in told.why


def test_what_nobody_could_measure_is_next_to_nothing():
    step = Slipped("10 May 2026 20:00 dose T7 metronidazole=175mg").acts("carbon left in")["put-back"]
    told = mend_said(step, HERE)
    assert told.why.startswith("Next to nothing of metronidazole is left")
    assert "0.00" not in told.why


def test_a_late_dose_names_the_next_and_how_far_they_stand_apart():
    room = Slipped("", course(dose_step("b", ago(36)), dose_step("c", ahead(12))))
    step = room.acts("forgot a dose")["give-late"]
    told = mend_said(step, HERE)
    assert "The next one not before" in told.head
    assert "36 hours late" in told.why or "2 days late" in told.why
    assert "apart at least" in told.why


def test_amounts_for_a_program_stand_alone():
    """`steps: [{act, amount, why}]`: the amount without its sentence."""
    found = Slipped(DOSED).now_after("dosed ten times")
    change = next(s for s in found.urgent.steps if s.act == "change")
    assert mend_said(change, HERE).amount == "18 L"
