"""How long a keeper waits for a plan: to the first sound course, and until ten are refined."""

from planned import ASKED, asked
from run import within

from tankward.model.run import warm
from tankward.treat.planner.plan import make_plan

SPOT = ASKED["white spot"]


class Enough(Exception):
    """What was waited for is there."""


def _until(waited_for):
    """Something to time: a plan up to then."""
    warm(wait=True)
    told = asked(SPOT)

    def plan():
        try:
            waited_for(told)
        except Enough:
            return

    return plan


@within(seconds=1.0)
def bench_first_sound_course_of_a_plan():
    def stop(_):
        raise Enough

    return _until(lambda told: make_plan(*told, first=stop))


@within(seconds=5.0)
def bench_5000_drafts_screened_200_simulated_10_refined():
    def stop(stage, done, of):
        if stage == "refined" and done == of:
            raise Enough

    return _until(lambda told: make_plan(*told, told=stop))
