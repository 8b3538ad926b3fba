"""Too much in the water, in words: who goes out, the changes one by one, what is still fine."""

from __future__ import annotations

from tankward.judge.thinning import Series
from tankward.judge.urgent import UrgentStep
from tankward.quantities.digits import shown
from tankward.room.time import add_hours
from tankward.treat.mend.over import AndSoOn, MoveOut, Nobody, StillFine, Thinning

from .acts import ended, listed, upper
from .lowering import lowering_says, share_words
from .measured import level_shown
from .mend_parts import Here, Said, change_head, level_of, lines, litres_of, long_said, sentences

SAME = 0.01  # shares closer than that are the same on a bucket
LIMITED = {
    "old": "No more at once: the tank may be old and acid, and a big change would make its ammonia poisonous",
    "salt": "No more in a day: salt comes down slowly",
    "ph": "No more at once: the new water's pH is another",
    "ammonia": "No more at once: the new water's pH would make the ammonia poisonous",
    "kh": "No more at once: the new water's hardness is another",
    "gh": "No more at once: the new water's hardness is another",
    "conductivity": "No more at once: the new water holds more salts, or fewer",
}
MATCH = "Water matched to the tank (rain, reverse osmosis, another tap) could go in half at a time"
NO_CARBON = "Carbon is no promise: no rate is published"
MOVES = {
    "class-lethal": "{name} kills them",
    "class-avoid": "They must be kept from {name}",
    "harms-young": "This much {name} harms fry",
    "quarter-of-lc50": "This much {name} comes too near to what kills them",
}


def thinning_said(step: UrgentStep, t: Thinning, here: Here) -> Said:
    """One change of the series: litres, what it brings, what goes into the new water, why no more."""
    litres, part = litres_of(step), share_words(t.change.share)
    before, after = (level_of(x, t.series.unit) for x in (t.change.before, t.change.after))
    first = t.number == 1
    brings = f"Brings {here.name(t.series.substance)} from {before} to {after}"
    soft = [f"{upper(part)} of the water" if litres else "", brings, _target(t) if first else ""]
    more = [_new_water(t), _limited(t), lowering_says(t.change.share) if first else ""]
    head = ended(change_head(step, t.change.share))
    return Said(head=head, soft=sentences(soft), more=lines(more), amount=litres or part)


def _target(t: Thinning) -> str:
    """To where, whose level that is, of whom nobody knows it."""
    whose = f"what {listed(t.safe_who)} bear" if t.safe_who else "the most that is published"
    unknown = f"Nobody has measured it on {listed(t.unknown)}" if t.unknown else ""
    many = len(t.series.changes)
    changes = "One change is enough" if many == 1 else f"It takes {many} changes"
    return sentences([f"{changes} to get under {_under(t.series)}, {whose}", unknown])


def _under(series: Series) -> str:
    return level_shown(series.target, series.unit)


def _new_water(t: Thinning) -> str:
    """Warm, dechlorinated before it goes in."""
    within = f"within {t.series.bound.temp_c:g} °C"
    warm = f"New water at {shown(t.temp_c, 'C')}, {within}" if t.temp_c is not None else f"New water {within}"
    grams = f"{t.thiosulfate.shown} of thiosulfate into it first" if t.thiosulfate else ""
    return sentences([warm, grams])


def _limited(t: Thinning) -> str:
    by = t.change.by
    match = MATCH if by in ("kh", "gh", "conductivity", "ph") and t.number == 1 else ""
    return sentences([LIMITED.get(by, ""), match])


def and_so_on_said(step: UrgentStep, a: AndSoOn, here: Here) -> Said:
    """The rest of a long series."""
    left = len(a.series.changes) - a.told
    changes = a.series.changes[a.told - 1 :]
    same = all(abs(c.share - changes[0].share) < SAME for c in changes)
    way = "the same way" if same else "each as large as the water lets it be"
    head = f"Then {left if left > 1 else 'one'} more, {way}."
    last = f"The last {here.when(add_hours(here.now, a.series.hours))}"
    leaves = f"That leaves {level_of(a.series.changes[-1].after, a.series.unit)}"
    end = "Even that does not bring it down: ask a veterinarian who treats fish"
    return Said(head=head, soft=sentences([last, leaves if a.series.reached else end]))


def move_said(step: UrgentStep, m: MoveOut, here: Here) -> Said:
    """Who, why, where to."""
    why = MOVES.get(m.why, "This much {name} is more than they bear").format(name=here.name(m.substance))
    slow = m.slow_h is not None and m.slow_h > m.within_h
    changes = f"Changes alone would take {long_said(m.slow_h)}" if slow and m.slow_h is not None else ""
    level = f"about {level_shown(m.level.value, m.unit)} now"
    return Said(
        head=f"Move out: {listed(m.who)}.",
        soft=sentences([f"{upper(why)}: {level}", changes]),
        more=lines([_refuge(m)]),
        amount=listed(m.who),
    )


def _refuge(m: MoveOut) -> str:
    r = m.refuge
    warm = f" at {shown(r.temp_c, 'C')}" if r.temp_c is not None else ""
    if r.tank:
        return f"Into {r.name}: nobody lives there, its water was read today and is as warm"
    size = f"a tub of {shown(r.litres, 'L')} or more" if r.litres else "a tub"
    grams = "" if r.litres else "No more than half a gram of fish in a litre"
    into = f"Into {size}, food-grade: new, dechlorinated water{warm}, air, a cover"
    return sentences([into, grams, "Not this tank's water, not another tank's"])


def still_fine_said(step: UrgentStep, s: StillFine, here: Here) -> Said:
    """Too much, and yet within what everybody bears."""
    told = [
        f"{upper(here.name(x.substance))}: {level_of(x.level, x.unit)}; "
        f"{_bear(x.safe.who)} {level_shown(x.safe.level or 0.0, x.unit)}"
        for x in s.inside
    ]
    unknown = sorted({w for x in s.inside for w in x.safe.unknown})
    more = f"Nobody has measured it on {listed(unknown)}: look at them first" if unknown else ""
    ill = "If they gasp, dart or lie down, change half at once"
    return Said(head="Watch them for an hour.", soft=sentences([*told, more, ill]))


def _bear(who: tuple[str, ...]) -> str:
    return f"{listed(who)} bear" if who else "published up to"


def nobody_said(step: UrgentStep, n: Nobody, here: Here) -> Said:
    """A change, without a level to come to."""
    share = step.share or 0.5
    stays = f"Nobody knows how much {here.name(n.substance)} may stay in"
    soft = sentences([f"{stays}: about {level_of(n.level, n.unit)} now"])
    more = lines([step.caution, lowering_says(step.share)])
    return Said(head=ended(change_head(step, share)), soft=soft, more=more, amount=litres_of(step))
