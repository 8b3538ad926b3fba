"""A plan in words: what each course is best at, what it gives up for that, and why there is none."""

from __future__ import annotations

from collections.abc import Sequence

from tankward.knowledge.known import Facts
from tankward.quantities.digits import shown
from tankward.quantities.faults import Reason
from tankward.treat.planner.records import Best, Line, Loss, Packet, Plan, Planned, Score

from .acts import ended, listed, upper
from .causes import short_name
from .chance import chance_words, of_ten
from .course import course_name
from .days import day_month
from .measured import level_shown
from .outlook import percent

BEST: dict[Best, str] = {
    "surest": "the surest",
    "gentlest": "the gentlest",
    "soonest": "over soonest",
    "least-work": "the least work",
    "cheapest": "the cheapest",
    "no-medicine": "the surest without medicine",
}
LOSSES = {
    "fewer-doses": "One dose fewer",
    "no-siphon": "Without the extra siphoning",
    "fewer-changes": "Without the changes between",
    "usual-food": "With the usual food",
    "no-warmth": "Without the warmer water",
    "no-night": "Without the dose at night",
    "fewer-days": "A day fewer",
    "fewer-moves": "Fewer moves",
}
ABOUT = {"nh3_n": "the poisonous part of ammonia", "nitrite_n": "nitrite", "oxygen": "oxygen", "ph": "pH"}
HOUR_MIN = 60
SEEN_PART = 0.005  # a change of chance that is worth saying


def best_words(best: Sequence[Best]) -> str:
    """What a course is best at: "the surest and the least work"."""
    return listed([BEST[b] for b in best], "and")


def planned_name(planned: Planned, facts: Facts) -> str:
    """The remedy and its days: "Salt in the tank, 14 days"."""
    course = planned.course
    days = max(1, round((course.ends - course.start).total_seconds() / 86400))
    name = course_name(course, facts) if course.substance else planned.option.id.replace("_", " ")
    return f"{upper(name)}, {days} {'day' if days == 1 else 'days'}"


def clear_words(score: Score, plan: Plan, facts: Facts, zone: str) -> str:
    """The chance of its goal by the plan's day."""
    if score.clear is None:
        return "How likely it clears it nobody can say: what it does to the germ was never measured."
    c = score.clear
    names = listed([short_name(cause, facts) for cause in plan.causes], "and")
    day = day_month(plan.by, plan.now, zone)
    if score.goal == "brought-low":
        less = percent(c.low, c.high)
        told = f"Until {day} {less} less of it sits on the fish than if left alone."
        return f"{upper(names)} is never quite gone. {told}"
    return f"{upper(names)} all gone by {day}: {chance_words(c.low, c.high, c.value)}, {of_ten(c.value)}."


def harm_words(score: Score) -> str:
    """The chance that something goes too far: "harm: 1 of 100 such tanks"."""
    alone = f" ({round(100 * score.harm_alone)} with nothing done)" if score.harm_alone >= SEEN_RISK else ""
    return f"{upper(of_100(score.harm))} go past a safe limit{alone}."


SEEN_RISK = 0.005  # of the tank itself, from which it is told


def of_100(chance: float) -> str:
    """A small chance as so many of a hundred such tanks."""
    number = round(100 * chance)
    if number == 0:
        return "fewer than 1 of 100 such tanks" if chance > 0 else "none of the tanks tried"
    return f"{number} of 100 such tanks"


def work_words(score: Score) -> str:
    """Minutes or hours of work in all."""
    return f"about {span_words(score)} of work in all"


def span_words(score: Score) -> str:
    """From least to most; once where both are said alike."""
    low, high = (time_words(minutes) for minutes in score.minutes)
    return low if low == high else f"{low} to {high}"


def time_words(minutes: float) -> str:
    """Minutes as they are said."""
    if minutes < HOUR_MIN * 1.5:
        return f"{max(5, 5 * round(minutes / 5)):.0f} minutes"
    hours = round(2 * minutes / HOUR_MIN) / 2
    return f"{hours:g} hours"


def cost_words(score: Score) -> str:
    """What the packets cost; nothing where it is not known."""
    return "" if score.cost is None else f"packets for {shown(score.cost, '')}".strip()


def gives_up(planned: Planned, plan: Plan, facts: Facts) -> list[str]:
    """What it is worse in than another of the plan, by how much, and than which."""
    found = []
    others = [p for p in plan.courses if p is not planned]
    mine = planned.score
    for other in others:
        told = _worse(mine, other.score)
        if told:
            found.append(f"{upper(listed(told, 'and'))} than {letter(other, plan)}.")
    return found


def letter(planned: Planned, plan: Plan) -> str:
    """A, B, C as they stand."""
    return "ABCDEFG"[plan.courses.index(planned)]


def _worse(mine: Score, other: Score) -> list[str]:
    told = []
    if mine.clear is not None and other.clear is not None:
        less = other.clear.value - mine.clear.value
        told += [_less(mine, less)] if less >= 0.01 else []
    more = mine.harm - other.harm
    told += [f"{100 * more:.0f} of 100 tanks more at risk"] if more >= 0.01 else []
    longer = mine.days - other.days
    told += [f"{longer:.0f} {'day' if round(longer) == 1 else 'days'} longer"] if longer >= 0.5 else []
    work = (sum(mine.minutes) - sum(other.minutes)) / 2
    told += [f"{time_words(work)} more work"] if work >= 10 else []
    if mine.cost is not None and other.cost is not None and mine.cost - other.cost >= 0.01:
        told.append(f"{shown(mine.cost - other.cost, '')} dearer".strip())
    return told


def _less(score: Score, less: float) -> str:
    if score.goal == "brought-low":
        return f"brings it down by {100 * less:.0f} % less"
    return f"clears it in {100 * less:.0f} of 100 tanks fewer"


def loss_words(loss: Loss) -> str:
    """What a simplification would lose, and save: "One dose fewer: clears it in 12 of 100 tanks fewer"."""
    told = []
    if loss.clear is not None:
        told.append(
            f"clears it in {100 * loss.clear:.0f} of 100 tanks fewer"
            if loss.clear >= SEEN_PART
            else "clears it as well"
        )
    if loss.harm >= SEEN_PART:
        told.append(f"{100 * loss.harm:.0f} of 100 tanks more at risk")
    if not loss.sound:
        told.append("goes past a safe limit, so no")
    elif loss.minutes >= 5:
        told.append(f"saves {time_words(loss.minutes)}")
    return f"{LOSSES.get(loss.kind, loss.kind)}: {', '.join(told) or 'nothing is lost'}."


def line_words(line: Line, facts: Facts) -> str:
    """A line that must hold: what, how likely it is passed, and how much of that is borne."""
    name = ABOUT.get(line.about) or facts.substances[line.about].names[0]
    side = "under" if line.what in ("oxygen", "ph") else "over"
    level = f"{line.line:g}" if line.unit == "pH" else level_shown(line.line, line.unit)
    who = f" ({line.who})" if line.who else ""
    most = f"at most {100 * line.most:.0f} of 100 is allowed"
    return f"{upper(name)} {side} {level}{who}: {of_100(line.chance)}; {most}."


def plan_heading(plan: Plan, tank: str, facts: Facts) -> str:
    """What was found."""
    names = listed([short_name(cause, facts) for cause in plan.causes], "and")
    if not plan.courses:
        return f"No course against {names} that would hold in {tank} as it stands."
    if len(plan.courses) == 1:
        name = planned_name(plan.courses[0], facts)
        return f"{name}, against {names} in {tank}: the best in everything."
    number = NUMBERS.get(len(plan.courses), str(len(plan.courses)))
    return f"{number} courses against {names} in {tank}, each the best at something."


NUMBERS = {2: "Two", 3: "Three", 4: "Four", 5: "Five"}


def searched_words(plan: Plan) -> str:
    """How far was looked."""
    s = plan.searched
    if not s.screened:
        return "No way of giving what is open here could be laid out, so none was looked at."
    if not s.simulated:
        return (
            f"{s.screened:,} ways of giving what is open here were looked at; none was worth following "
            "through the tank."
        )
    return (
        f"{s.screened:,} ways of giving what is open here were looked at; the best {s.simulated} were "
        f"followed through the tank hour by hour, {s.refined} with all that is not known."
    )


def packet_words(packet: Packet, plan: Plan, facts: Facts) -> str:
    """As the packet says, against the plan's courses."""
    name = upper(packet.supply)
    if packet.planned is None:
        because = ended(packet.refused[0].because) if packet.refused else ""
        return f"{name} as its label says: no. {upper(because)}"
    mine = packet.planned.score
    broken = [line for line in mine.lines if not line.holds]
    if broken:
        return f"{name} as its label says would not hold: {line_words(broken[0], facts)}"
    better = [
        f"{letter(p, plan)} {listed(told, 'and')}" for p in plan.courses if (told := _better(p.score, mine))
    ]
    return (
        f"{name} as its label says holds. Better by: {'; '.join(better)}."
        if better
        else f"{name} as its label says is as good."
    )


def _better(mine: Score, other: Score) -> list[str]:
    told = []
    if mine.clear is not None and other.clear is not None and mine.clear.value - other.clear.value >= 0.01:
        told.append(f"clears it in {100 * (mine.clear.value - other.clear.value):.0f} of 100 tanks more")
    if other.harm - mine.harm >= 0.01:
        told.append(f"{100 * (other.harm - mine.harm):.0f} of 100 tanks fewer at risk")
    if other.days - mine.days >= 0.5:
        told.append(f"{other.days - mine.days:.0f} days shorter")
    work = (sum(other.minutes) - sum(mine.minutes)) / 2
    if work >= 10:
        told.append(f"{time_words(work)} less work")
    return told


def left_alone_words(plan: Plan, facts: Facts) -> str:
    """What becomes of it if nothing is done."""
    alone = plan.left_alone
    if alone is None or alone.clear is None:
        return ""
    if alone.goal == "brought-low":
        return ""
    c = alone.clear
    return f"Left alone it would be gone in {of_ten(c.value)} ({percent(c.low, c.high)})."


def each_once(reasons: Sequence[Reason]) -> list[Reason]:
    """The reasons in their order; one that comes again stands once, with the change that says most."""
    told: dict[str, Reason] = {}
    for reason in reasons:
        before = told.get(reason.because)
        if before is None or len(reason.would_change) > len(before.would_change):
            told[reason.because] = reason
    return list(told.values())
