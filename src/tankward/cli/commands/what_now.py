"""what-now: the next ten minutes, and what mends a slip."""

from __future__ import annotations

from typing import Annotated

from cyclopts import App

from tankward.desk.border import Border
from tankward.desk.examine import examine_tank, told_of
from tankward.desk.find import find_tank
from tankward.desk.slip_said import slips_told
from tankward.desk.what_now import AsIf, Now, as_if, what_now_in
from tankward.judge.slips import what_now as slip_steps
from tankward.judge.urgent import Told, Urgent
from tankward.judge.waterstate import water_state
from tankward.knowledge.find import find_sign
from tankward.knowledge.loader import load
from tankward.quantities.faults import BadInput
from tankward.quantities.parse import quantity
from tankward.show.answers_judge import act_rows, first_row, in_water_row
from tankward.show.results_judge import WhatNowResult
from tankward.show.words.judge import urgent_heading
from tankward.show.words.log import entry_words
from tankward.show.words.mend_parts import Here
from tankward.show.words.mistake import after_heading, faults_said, kept_line, told_entries
from tankward.treat.mend.power import Lasts, is_off, which_first

from ..common import FLAG, Common, opened
from .examine import named, sources_of


def what_now(
    tank: str = "",
    *,
    seen: str = "",
    did: str = "",
    volume: str = "",
    keep: Annotated[bool, FLAG] = False,
    common: Common = Common(),
) -> WhatNowResult:
    """The next ten minutes: what-now --seen "gasping at the surface" --did "dosed twice" --volume 45L.

    Parameters
    ----------
    tank
        A tank of the room: its logbook is known, and what was done is taken as it happened.
    seen
        Signs seen now, in plain words.
    did
        What was done: "dosed twice; carbon left in; power cut 6 h; heater stuck 31C".
    volume
        How much water, if no tank is named.
    keep
        Write down what was done as well; undo takes it back.
    """
    signs = [find_sign(load(), s, "seen") for s in named(seen)]
    if tank:
        return there(tank, signs, did, keep, common)
    if keep:
        raise BadInput("keep", "yes", "needs a tank: what was done is written down for one.")
    told = Told(volume_l=quantity(volume, "volume", "volume").estimate if volume else None)
    return answered(slip_steps(signs, did, told, load()), common)


def answered(now: Urgent, common: Common) -> WhatNowResult:
    """For any water."""
    rows = act_rows(now)
    return WhatNowResult(
        says=urgent_heading(now), steps=rows, ask=[a.says for a in now.ask], never=list(now.never),
        sources=sources_of([k.source for s in rows for k in s.how]), now=common.told,
    )  # fmt: skip


def there(word: str, signs: list[str], did: str, keep: bool, common: Common) -> WhatNowResult:
    """For a tank of the room: what was said has happened; with `keep` it is written down."""
    facts, moment, zone = load(), common.moment, common.zone
    with opened(common) as desk:
        border = Border.of(desk, facts, moment, zone)
        tank = find_tank(border.room, word).id
        said = slips_told(did, border.room, tank, moment, zone, facts)
        made = as_if(border, tank, said)
        if keep and made.entries:
            desk.append(*made.entries)
        if not said:
            told = told_of(border.room, tank, water_state(border.room, tank, moment, facts), moment)
            acute = examine_tank(border.room, tank, moment, facts).urgent if not signs else None
            signs = signs or [s for s in (acute.because if acute else ()) if s in facts.signs]
            now = slip_steps(signs, "", told, facts)
            return urgent_there(now, made, common)
        entries = (*border.entries, *made.entries)
        found = what_now_in(
            made.room, made.tank, made.slips, moment, zone, facts, seen=signs, entries=entries
        )
    return told_there(found, made, signs, keep, common)


def urgent_there(now: Urgent, made: AsIf, common: Common) -> WhatNowResult:
    """What is urgent in a tank of the room, with minutes of the keeper's hose."""
    rows = act_rows(now, made.room.kit)
    return WhatNowResult(
        says=urgent_heading(now, made.room.tanks[made.tank].name),
        steps=rows, ask=[a.says for a in now.ask], never=list(now.never), tank=made.tank,
        sources=sources_of([k.source for s in rows for k in s.how]), now=common.told,
    )  # fmt: skip


def told_there(found: Now, made: AsIf, signs: list[str], keep: bool, common: Common) -> WhatNowResult:
    """What mends the slips, the danger first."""
    facts, here = load(), Here(facts=load(), now=common.moment, zone=common.zone)
    rows = act_rows(found.urgent, made.room.kit, here)
    first = after_heading(made.slips[0].slip, found.urgent.steps, found.calm, here)
    name = made.room.tanks[made.tank].name
    heading = urgent_heading(found.urgent, name) if signs else f"{name}: {first}"
    return WhatNowResult(
        says="\n".join(
            [heading, *kept_line(made.entries, made.room, facts, keep), *faults_said(made.faults)]
        ),
        steps=rows,
        ask=[a.says for a in found.urgent.ask],
        never=list(found.urgent.never),
        sources=sources_of([k.source for s in rows for k in s.how]),
        now=common.told,
        tank=made.tank,
        in_water=[in_water_row(x, facts) for x in found.inside],
        first=[first_row(x, made.room) for x in tanks_first(made, common)],
        written=[e.id for e in made.entries] if keep else [],
        would_write=[entry_words(e, made.room, facts) for e in told_entries(made.entries)],
    )


def tanks_first(made: AsIf, common: Common) -> tuple[Lasts, ...]:
    """Without power in the whole room: every tank, the first to be short of oxygen at the head."""
    cut = any(s.slip == "no-flow" for s in made.slips)
    if not cut or is_off(made.room, made.tank, common.moment) != "all" or len(made.room.tanks) < 2:
        return ()
    return which_first(made.room, common.moment, load())


def add_to(app: App) -> None:
    """Add the command."""
    app.command(what_now)
