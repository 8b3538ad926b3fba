"""A medicine that is published for a day is not left in between two rounds, nor kept up by put-backs."""

from datetime import timedelta
from itertools import pairwise

from scripts.planning.problems import Problem, Ready
from scripts.planning.rooms import T7
from tankward.room.acts import Change, Dose
from tankward.treat.planner.search import spread
from tests.model.tanks import FACTS

DAY = timedelta(days=1)


def acts_of_levamisole():
    """By draft: when it is dosed, and what is changed when."""
    ready = Ready(Problem("roundworms", T7, ("camallanus",)), FACTS)
    way = next(w for w in ready.ways if w.option.id == "levamisole/bath")
    found = []
    for point in spread(way, 200):
        if way.screen([point], ready.weights, ready.by)[0] is not None:
            acts = way.acts(point)
            doses = [at for at, act in acts if isinstance(act, Dose)]
            found.append((doses, {at: act.share for at, act in acts if isinstance(act, Change)}))
    return found


def test_a_round_published_for_a_day_is_changed_out_after_it():
    drafts = acts_of_levamisole()
    assert any(len(doses) > 1 for doses, _ in drafts)
    for doses, changes in drafts:
        assert len(doses) <= 3
        for at in doses[:-1]:
            left = 1.0
            for when, share in changes.items():
                left *= 1.0 - share if at < when <= at + 4 * DAY else 1.0
            assert left <= 0.125 + 1e-9, (doses, changes)
        assert all(later - earlier >= 7 * DAY for earlier, later in pairwise(doses))
