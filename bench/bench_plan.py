"""How long a keeper waits for a plan: to the first sound course, and until ten are refined."""

import time
from contextlib import suppress
from typing import NamedTuple

from planned import ASKED, asked
from run import within

from tankward.model.run import warm
from tankward.treat.planner.plan import make_plan

SPOT = ASKED["white spot"]


class Took(NamedTuple):
    """How long it took until what is waited for was there."""

    took_s: float


class Enough(Exception):
    """What was waited for is there."""


def _until(waited_for):
    """Something to time: a plan up to then. What is simulated just then is still brought to its end."""
    warm(wait=True)
    told = asked(SPOT)

    def plan():
        there, began = [], time.perf_counter()

        def stop():
            there.append(time.perf_counter() - began)
            raise Enough

        with suppress(Enough):
            waited_for(told, stop)
        return Took(there[0])

    return plan


@within(seconds=1.0)
def bench_first_sound_course_of_a_plan():
    return _until(lambda told, stop: make_plan(*told, first=lambda _: stop()))


@within(seconds=5.0)
def bench_5000_drafts_screened_200_simulated_10_refined():
    def waited_for(told, stop):
        make_plan(*told, told=lambda stage, done, of: stop() if (stage, done) == ("refined", of) else None)

    return _until(waited_for)
