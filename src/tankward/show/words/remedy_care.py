"""What a remedy asks beside the animals: filter and plants, your time, the shelf, you, the drain."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from tankward.judge.germs import Germs
from tankward.knowledge.known import Facts
from tankward.quantities.digits import plain_number, shown_range
from tankward.treat.remedies.both import aimed
from tankward.treat.remedies.records import Option, Options

from .acts import ended, listed, upper
from .causes import short_name
from .hazard import plain_hazard
from .remedies import figure_words, remedy_name
from .status import status_words

LEVELS = {"moderate": "may suffer", "high": "suffers", "severe": "may be lost", "unknown": "not known"}
ON = {"filter": "filter", "plants": "plants", "oxygen": "oxygen"}
AWAY = "Away from children, and never in the freezer's or kitchen's own food."
SORTED = (
    "In this order: what clears it before what eases it; of several causes, what is for more of them; what "
    "you may use yourself; the least harm to those who live here; published before usual practice and "
    "recalled; fewest exposed; shortest."
)
WAITS = {
    "": "",
    "course-over": "Not before the course of the first is over: one medicine at a time.",
    "changed-out": "Before it two half changes and a day of fresh carbon: one medicine at a time.",
}
NOBODY = "Nothing that is open here clears it: see a veterinarian, or what eases it."
THIN_WORDS = {
    True: "They are thin.",
    False: "They are not thin.",
    None: "Whether they are thin is not said.",
}
THEN_WORDS = {
    "count-again": "Count again in a week before anything is given.",
    "treat": "That is treated.",
    "look-further": "Look further before anything is given: score backs, and what else makes them thin.",
}
PROVES_NOTHING = "Finding them proves nothing: half of healthy angelfish carry flagellates."
COUNT_ASKED = "Counted under the lens: how many in one field at low power?"
FOR_LIFE = "those that lived through it may carry it for life: never sold, given or mixed."
NEWCOMERS = (
    "Those that lived through it may bear it without a sign; newcomers do not. "
    "Nobody can say of them that they are free of disease."
)


def effect_words(option: Option) -> str:
    """What it does to filter, plants and oxygen; "" where no harm is written."""
    told = [
        f"{ON[e.on]}: {LEVELS[e.level]} ({e.text.rstrip('.')}; {status_words(e.status)})"
        for e in option.effects
    ]
    return ended(upper("; ".join(told)))


def work_words(option: Option) -> str:
    """Minutes of the keeper's time in all, in hours where they are many."""
    work = option.work
    return f"Your time in all: {figure_words(work)} ({status_words(work.status)})." if work else ""


def shelf_words(option: Option) -> str:
    """The packet on the shelf, how much of it one dose takes and what that costs; unknown is said."""
    held = option.shelf
    if held is None:
        return (
            ""
            if option.kind != "substance" or option.substance == "heat"
            else "Not on your shelf; its cost is not known."
        )
    told = [f"On your shelf: {held.name}"]
    if held.units is not None:
        told.append(f"one dose takes {_span(held.units)} {held.unit}")
    if held.enough is False and held.left is not None:
        told.append(f"only {plain_number(held.left)} {held.unit} left")
    told.append(
        "its cost is not known" if held.cost is None else f"that costs about {_span(held.cost)}, as you paid"
    )
    return f"{'; '.join(told)}."


def _span(ends: tuple[float, float]) -> str:
    """Two ends as a keeper counts: one number where they print alike."""
    return shown_range(_round(ends[0]), _round(ends[1]))


def _round(value: float) -> float:
    return round(value, 1) if value < 10 else float(round(value))


def care_lines(option: Option) -> list[str]:
    """Filter and plants in a line; shelf and time in another."""
    both = " ".join(t for t in (shelf_words(option), work_words(option)) if t)
    return [line for line in (effect_words(option), both) if line]


def you_words(option: Option) -> list[str]:
    """What it may do to whoever handles it, where it is kept and where the rest goes (rule 29)."""
    if option.kind != "substance" or option.substance == "heat":
        return []
    told = [f"{plain_hazard(row.hazard)}: {row.protect}" for row in option.people if row.hazard != "none"]
    told = told[:1] or ([] if option.people else [option.hazard])
    lines = [f"For you: {line}" for line in told if line]
    kept = (
        [f"Keep it: {AWAY}"]
        if told and (option.use != "keeper" or option.people or option.route == "feed")
        else []
    )
    drain = [f"The rest: {option.disposal}"] if option.disposal else []
    return [ended(line) for line in (*lines, *kept, *drain)]


def for_words(option: Option, causes: Sequence[str], facts: Facts) -> str:
    """Which of several causes it is for and which it leaves; "" for a single one."""
    if len(causes) < 2 or option.kind == "vet":
        return ""
    mine = [short_name(c, facts) for c in causes if c in aimed(option)]
    other = [short_name(c, facts) for c in causes if c not in aimed(option)]
    if not other:
        return f"For {listed(mine)}, both." if len(mine) == 2 else f"For all of them: {listed(mine)}."
    return f"For {listed(mine)}, not for {listed(other, 'or')}."


def turn_rows(found: Options, letters: Mapping[str, str], facts: Facts) -> list[tuple[str, str, str]]:
    """Margin, head and soft line of each turn."""
    ways = {o.id: o for o in found.open}
    rows = []
    for n, turn in enumerate(found.turns, 1):
        for_what = listed([short_name(c, facts) for c in turn.causes])
        way = ways.get(turn.option)
        if way is None:
            rows.append((str(n), upper(for_what), NOBODY))
            continue
        letter = f"{letters[way.id]}: " if way.id in letters else ""
        rows.append((str(n), f"{letter}{remedy_name(way, facts)}, for {for_what}", WAITS[turn.wait]))
    return rows


def turns_heading(found: Options) -> str:
    """One remedy for all, or one after another."""
    return "One for all of them" if len(found.turns) == 1 and found.turns[0].option else "One after the other"


def germs_words(germs: Mapping[str, Germs], causes: Sequence[str], facts: Facts) -> str:
    """What counts under the lens ask for (rule 35); "" where none of what is asked about was counted."""
    told = [f"{upper(short_name(c, facts))}: {_counted(germs[c])}" for c in causes if c in germs]
    return " ".join([*told, PROVES_NOTHING] if told else [])


def _counted(germs: Germs) -> str:
    number = plain_number(germs.per_field)
    head = "none in a field." if germs.grade == "none" else f"{number} in one field, {germs.grade}."
    return f"{head} {THIN_WORDS[germs.thin]} {THEN_WORDS[germs.then]}"


def report_words(tank: str) -> str:
    """Where the report for a veterinarian is made; "" for no tank of a room."""
    return f"The report for a veterinarian, filled from the log: tankward print case {tank}." if tank else ""


def carries_words(found: Options, facts: Facts) -> list[str]:
    """Survivors carry: said before they are mixed or sold (rule 26)."""
    told = []
    for row in found.carried:
        name = upper(short_name(row.cause, facts))
        if row.days is None:
            told.append(f"{name}: {FOR_LIFE}")
        else:
            told.append(f"{name}: not sold, given or mixed until {row.days:.0f} days after the last sign.")
    return [*told, NEWCOMERS] if told else []
