"""What can be done about a cause here: every remedy, open or ruled out with its reasons."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence

from tankward.judge.causes import Ranking
from tankward.judge.conditions import People
from tankward.judge.finding import Finding
from tankward.judge.germs import Germs
from tankward.judge.trials import Trial
from tankward.judge.waterstate import WaterState
from tankward.knowledge.known import Facts
from tankward.quantities.faults import BadInput
from tankward.quantities.parse import Estimate
from tankward.room.things import Stock, Supply

from .both import turns
from .carry import carried
from .order import key
from .records import Option, Options, RuledOut
from .situation import Situation
from .substances import remedies_of
from .without import without_medicine


def options(
    causes: Sequence[str],
    stock: Sequence[Stock],
    facts: Facts,
    *,
    volume_l: Estimate | None = None,
    water: WaterState | None = None,
    region: str = "",
    shelf: Sequence[Supply] = (),
    still_in: Mapping[str, float] | None = None,
    findings: Sequence[Finding] = (),
    ranking: Ranking | None = None,
    seen: Collection[str] = (),
    trials: Sequence[Trial] = (),
    not_there: Collection[str] = (),
    people: People | None = None,
    given: Mapping[str, int] | None = None,
    seen_cause: bool = False,
    germs: Mapping[str, Germs] | None = None,
) -> Options:
    """All remedies for the causes, those without medicine among them.

    Parameters
    ----------
    causes : sequence of str
        Ids of causes; the first is the one in mind.
    stock : sequence of Stock
        Who lives in the tank, plants too.
    facts : Facts
        The facts.
    volume_l : Estimate, optional
        The water. [L]
    water : WaterState, optional
        Its readings; None is "water unknown", and only what is gentle stays open.
    region : str
        US, UK, EU, DE, other; "" is not known and counts as the strictest.
    shelf : sequence of Supply
        What the keeper has.
    still_in : mapping, optional
        Substance -> what is left of earlier doses, in its own unit.
    findings : sequence of Finding
        What was found in the water; what blocks a medicine blocks it here.
    ranking : Ranking, optional
        What it may be, so that each remedy names the likely causes it leaves untouched.
    seen : collection of str
        Signs that were seen: an antibiotic needs a sore, rot or a culture.
    trials : sequence of Trial
        Jar trials of animals of this tank.
    not_there : collection of str
        "fry", "egg": said not to be there.
    people : People, optional
        What the keeper said of the people in the room.
    given : mapping, optional
        Substance -> courses of it begun here within six months.
    seen_cause : bool
        Whether something was seen that shows the cause itself.
    germs : mapping, optional
        Cause -> its germs counted under the lens.

    Returns
    -------
    Options
        Open ones in the order of `order.py`; the ruled out stay visible.

    Raises
    ------
    BadInput
        For a cause that is not in the facts.
    """
    for cause in causes:
        if cause not in facts.causes:
            raise BadInput("cause", cause, "is no cause that is known here. See tankward facts for the list.")
    situation = Situation(
        causes=tuple(dict.fromkeys(causes)),
        stock=tuple(stock),
        facts=facts,
        volume_l=volume_l,
        water=water,
        region=region,
        shelf=tuple(shelf),
        still_in=dict(still_in or {}),
        findings=tuple(findings),
        ranking=ranking,
        seen=tuple(seen),
        trials=tuple(trials),
        not_there=tuple(not_there),
        people=people,
        given=dict(given or {}),
        seen_cause=seen_cause,
        germs=dict(germs or {}),
    )
    found = [r for one in facts.substances.values() for r in remedies_of(one, situation)]
    found += without_medicine(situation)
    ways = tuple(sorted((r for r in found if isinstance(r, Option)), key=key))
    return Options(
        causes=situation.causes,
        open=ways,
        carried=carried(situation.causes, situation.temp_c, facts),
        turns=turns(situation.causes, ways, facts),
        ruled_out=tuple(r for r in found if isinstance(r, RuledOut)),
    )
