"""At one instant: out, media, change, top-up, settings, substances in, readings. The list of
model/events.py.
"""

from itertools import permutations

import pytest

from tankward.model import events
from tankward.model.events import Died, Read, Timed, in_order
from tankward.model.levels import levels
from tankward.room.acts import Change, Clean, Dose, Feed, Heat, Media, Remove, Siphon, TopUp
from tests.model.tanks import FACTS, START, after, exact, run_of, tank

IN_ORDER = (
    Remove(stock="x"),
    Siphon(),
    Clean(),
    Media(),
    Change(share=0.5),
    TopUp(volume_l=1.0),
    Heat(temp_c=26.0),
    Feed(usual=0.5),
    Dose(actives={"praziquantel": 50.0}),
    Read(quantity="ammonia_n", values=0.5),
)


def places(sequence):
    return [type(t.what).__name__ for t in in_order(sequence)]


def test_the_list_at_the_head_of_the_file_is_followed():
    told = [Timed(0, what) for what in IN_ORDER]
    assert places(reversed(told)) == [
        type(what).__name__ for what in (*IN_ORDER[:1], *IN_ORDER[2:0:-1], *IN_ORDER[3:])
    ]
    numbered = [
        line for line in (events.__doc__ or "").splitlines() if line[:2] in {f"{n}." for n in range(1, 8)}
    ]
    assert [line.split(":")[0].split(". ")[1].split()[0] for line in numbered] == [
        "taken",
        "filter",
        "water",
        "water",
        "heater,",
        "substances",
        "a",
    ]


def test_the_dead_come_before_the_change():
    assert places([Timed(0, Change(share=0.1)), Timed(0, Died(grams=1.0))]) == ["Died", "Change"]


def test_what_lies_outside_the_span_is_left_out():
    told = [(after(hours=-1), Dose(actives={"praziquantel": 50.0})), (after(hours=9), Change(share=0.5))]
    run = run_of(tank(), told, hours=4)
    assert not run.table.before
    assert run.table.edges[-1] == 240


def test_steps_are_shorter_for_a_while_once_a_substance_takes_oxygen():
    def longest(actives, begin, end):
        steps = run_of(tank(), [(after(hours=2), Dose(actives=actives))], hours=8).table.steps
        return max(s.hours * 60 for s in steps if begin <= s.minute < end)

    mild, takes = {"praziquantel": 50.0}, {"formalin": 46.0 * 60.0}
    assert longest(mild, 0, 480) == pytest.approx(30)
    assert longest(takes, 0, 120) == pytest.approx(30)
    assert longest(takes, 120, 140) <= 1.0
    assert longest(takes, 300, 480) > 15


def test_another_minute_is_another_instant():
    assert places([Timed(1, Change(share=0.1)), Timed(0, Dose(actives={}))]) == ["Dose", "Change"]


@pytest.mark.parametrize("told", list(permutations(range(3))))
def test_who_changes_and_doses_at_once_doses_the_new_water(told):
    """50 % changed and 100 mg put into 50 L of 2 mg/L: 1 + 2 = 3 mg/L, in whatever order it was written."""
    acts = [
        (after(hours=1), Dose(actives={"praziquantel": 100.0})),
        (after(hours=1), Change(share=0.5)),
        (after(hours=1), Media(into=False)),
    ]
    found = levels(
        "praziquantel",
        [(START, Dose(actives={"praziquantel": 100.0})), *(acts[n] for n in told)],
        facts=FACTS,
        volume_l=exact(50.0),
        half_life_h=(1e12, 1e12),
    )
    assert found.end.value == pytest.approx(3.0)
