"""How long a keeper waits for a plan: to the first sound course, and to the whole of it."""

from planned import ASKED, asked
from run import within

from tankward.treat.planner.plan import make_plan


class Enough(Exception):
    """The first sound course is there."""


def _stop(_):
    raise Enough


@within(seconds=1.0)
def bench_first_sound_course_of_a_plan():
    told = asked(ASKED["white spot"])

    def until_first():
        try:
            make_plan(*told, first=_stop)
        except Enough:
            return

    return until_first


@within(seconds=5.0)
def bench_whole_plan_of_5000_200_and_10():
    told = asked(ASKED["white spot"])
    return lambda: make_plan(*told)
