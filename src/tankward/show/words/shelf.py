"""A packet in words: what one holds, what its rule makes, how much is left, until when, at what cost."""

from __future__ import annotations

from datetime import date

import msgspec

from tankward.knowledge.known import Facts
from tankward.quantities.digits import plain_number, shown
from tankward.quantities.parse import Estimate
from tankward.room.best_before import last_good
from tankward.room.things import Active, LabelRule, Supply
from tankward.treat.label import judge_label
from tankward.treat.label_parts import dosed_unit

from .acts import ended, listed, lowered, part_words, upper
from .days import day_written
from .label import label_rows
from .remedies import substance_name

SOON_D = 60  # a date so near is said to come soon [our own choice, no source]
MEASURES = ("mL", "g")
OWN_RULE = "It can follow its own rule only."
NOT_KNOWABLE = (
    ("How strong", "how strong it makes your water, so no other amount can be worked out"),
    ("Who bears it", "which of your animals would be harmed: try it in a jar first"),
    ("What it reaches", "which germ or parasite it would reach"),
    ("What it must not meet", "which other remedy must not be in the water with it"),
    ("After a change", "how much to put back when water was changed"),
)


class Row(msgspec.Struct, frozen=True, kw_only=True):
    """One row of a packet: the margin, what it says, the line under it."""

    margin: str
    head: str
    soft: str = ""
    mark: str = ""  # a mark's kind where something is amiss


def unit_words(count: float, unit: str) -> str:
    """One sachet, 1 mL, 2 sachets."""
    if unit in MEASURES:
        return f"{plain_number(count)} {unit}"
    return f"{'one' if count == 1 else plain_number(count)} {unit}{'' if count == 1 else 's'}"


def _amount(active: Active, facts: Facts) -> str:
    if dosed_unit(active.substance, facts) == "uL/L":
        # Its own name counts the solution, not what is in it.
        return f"{shown(active.mg, 'mg')} of formaldehyde"
    return f"{shown(active.mg, 'mg')} of {substance_name(active.substance, facts)}"


def holds(supply: Supply, facts: Facts) -> str:
    """What one of it holds."""
    one = upper(unit_words(1, supply.unit))
    told = listed(
        [_amount(a, facts) + (f" ({a.told} on the label)" if a.told else "") for a in supply.actives]
    )
    if not supply.actives and not supply.unknown:
        return "The label names no active: nobody can say what is in it."
    if supply.unknown:
        strange = listed(list(supply.unknown))
        known = f"{one} holds {told}. " if told else ""
        return f"{known}The label also names {strange}: not in our facts." if told else (
            f"The label names {strange}: not in our facts."
        )  # fmt: skip
    return f"{one} holds {told}."


def rule_makes(supply: Supply, facts: Facts) -> str:
    """What following the label's own rule makes in the water."""
    rule = supply.rule
    if rule is None or not rule.per_volume_l:
        return "No rule of the label is written down."
    asks = f"The label's rule, {rule_words(rule, supply.unit)},"
    if not supply.actives:
        return f"{asks} is all that can be followed."
    found = judge_label(supply, Estimate.exact(rule.per_volume_l), facts)
    levels = [shown(p.per_dose.value, p.unit) for p in found.parts]
    return f"{asks} makes {listed(levels)}."


def rule_words(rule: LabelRule, unit: str) -> str:
    """One sachet for 40 L."""
    asks = unit_words(rule.units, unit)
    return f"{asks} for {shown(rule.per_volume_l, 'L')}" if rule.per_volume_l else asks


def then_words(rule: LabelRule) -> str:
    """Again after 48 h, half the water changed before, at most 3 times."""
    told = [
        f"again after {shown(rule.repeat_after_h, 'h')}" if rule.repeat_after_h else "",
        f"{part_words(rule.change_before)} of the water changed before" if rule.change_before else "",
        f"at most {rule.most_doses} {'time' if rule.most_doses == 1 else 'times'}" if rule.most_doses else "",
    ]
    return upper(", ".join(t for t in told if t))


def read_back(supply: Supply, facts: Facts) -> str:
    """A label as it was understood."""
    told = f"{holds(supply, facts)} {rule_makes(supply, facts)}"
    return f"{told} {OWN_RULE}" if supply.unknown else told


def level_rows(supply: Supply, facts: Facts) -> list[Row]:
    """Where the rule's levels lie against what is published, and what repeats come to."""
    rule = supply.rule
    if rule is None or not rule.per_volume_l or not supply.actives:
        return []
    found = judge_label(supply, Estimate.exact(rule.per_volume_l), facts)
    return [Row(margin=name, head=lies, soft=climbs) for name, lies, climbs in label_rows(found, facts)]


def left_words(supply: Supply) -> str:
    """How much is left."""
    if supply.gone:
        return {"used_up": "used up", "thrown_away": "thrown away"}[supply.gone]
    if supply.left is None:
        return "not counted"
    return "none left" if supply.left == 0 else f"{unit_words(supply.left, supply.unit)} left"


def left_margin(supply: Supply) -> tuple[str, str]:
    """How much is left, for a margin: the count, and of what."""
    if supply.gone or supply.left is None:
        return ("0", "used up") if supply.gone == "used_up" else ("–", "not counted")
    unit = supply.unit if supply.unit in MEASURES or supply.left == 1 else f"{supply.unit}s"
    return plain_number(supply.left), unit


def lasts_words(supply: Supply) -> str:
    """For how much water what is left is enough."""
    rule = supply.rule
    if rule is None or not rule.per_volume_l or not supply.left:
        return ""
    doses = supply.left / rule.units
    if doses < 1:
        return f"less than one dose of the label for {shown(rule.per_volume_l, 'L')}"
    return f"by the label enough for {shown(doses * rule.per_volume_l, 'L')}, once"


def expiry_row(supply: Supply, today: date) -> Row | None:
    """The date on the packet, and what it means."""
    if not supply.expiry:
        return None
    last = last_good(supply.expiry)
    if last is None:
        return Row(margin="Good until", head=supply.expiry)
    said = month_words(last) if len(supply.expiry) == len("2027-03") else day_words(last)
    if last < today:
        weaker = "It may be weaker than its label says, and nobody can say by how much."
        return Row(margin="Out of date", head=f"Out of date since {said}", soft=weaker, mark="caution")
    if (last - today).days <= SOON_D:
        days = (last - today).days
        left = "today is the last day" if days == 0 else f"{days} {'day' if days == 1 else 'days'} left"
        return Row(margin="Good until", head=f"{upper(said)}: soon", soft=upper(left) + ".", mark="caution")
    return Row(margin="Good until", head=upper(said))


def month_words(day: date) -> str:
    """March 2027."""
    return f"{day:%B} {day.year}"


def day_words(day: date) -> str:
    """31 March 2027."""
    return f"{day.day} {day:%B} {day.year}"


def opened_row(supply: Supply, today: date) -> Row | None:
    """How long ago it was opened."""
    if not supply.opened:
        return None
    try:
        days = (today - date.fromisoformat(supply.opened)).days
    except ValueError:
        return Row(margin="Opened", head=supply.opened)
    ago = "today" if days <= 0 else "yesterday" if days == 1 else f"{days} days ago" if days < 60 else (
        f"{days / 30.4:.0f} months ago"
    )  # fmt: skip
    return Row(margin="Opened", head=upper(ago), soft=day_words(date.fromisoformat(supply.opened)))


def cost_row(supply: Supply) -> Row | None:
    """What a dose by the label costs, and all of its doses."""
    if supply.price is None:
        return None
    rule = supply.rule
    one = f"{money(supply.price)} for {unit_words(1, supply.unit)}"
    if rule is None or not rule.per_volume_l:
        return Row(margin="Cost", head=upper(one))
    dose = rule.units * supply.price
    head = f"{money(dose)} for a dose by the label, {shown(rule.per_volume_l, 'L')}"
    more = rule.most_doses or 1
    return Row(
        margin="Cost", head=head, soft=f"{money(dose * more)} for its {more} doses" if more > 1 else ""
    )


def money(amount: float) -> str:
    """In the keeper's own money: 0.95, or 0.004 where one costs next to nothing."""
    return f"{amount:.2f}" if amount >= 0.1 else plain_number(amount)


def lawful_row(supply: Supply) -> Row | None:
    """The statement of lawful possession."""
    if not supply.held_lawfully:
        return None
    since = f", stated on {day_written(supply.held_since)}" if supply.held_since else ""
    return Row(
        margin="Law", head="You hold it lawfully", soft=f"As you stated{since}.".replace("stated,", "")
    )


def packet_heading(supply: Supply, today: date) -> str:
    """The finding of a packet's page: out of date, used up, how many are left."""
    last = last_good(supply.expiry) if supply.expiry else None
    left = left_words(supply)
    if supply.gone:
        return f"{supply.name}: {left}"
    if last is not None and last < today:
        return f"{supply.name} is out of date"
    return f"{supply.name}: {left}" if supply.left is not None else f"{supply.name}, as its label says"


def shelf_heading(supplies: list[Supply], today: date) -> str:
    """The finding of the shelf."""
    here = [s for s in supplies if not s.gone]
    late = [s for s in here if s.expiry and (d := last_good(s.expiry)) is not None and d < today]
    if not supplies:
        return "Nothing on the shelf yet"
    if late:
        names = listed([s.name for s in late])
        return f"{names} {'is' if len(late) == 1 else 'are'} out of date"
    empty = [s for s in supplies if s.gone == "used_up" or (not s.gone and s.left == 0)]
    if empty:
        return f"{listed([s.name for s in empty])}: none left"
    return "One packet on the shelf" if len(here) == 1 else f"{len(here)} packets on the shelf"


def shelf_line(supply: Supply, today: date, facts: Facts) -> str:
    """A packet in one line."""
    dated = expiry_row(supply, today)
    amiss = f", {lowered(dated.head)}" if dated and dated.mark and not supply.gone else ""
    return f"{supply.name}: {left_words(supply)}{amiss}. {holds(supply, facts)}"


def packet_lines(supply: Supply, today: date, facts: Facts) -> list[str]:
    """A packet's page in lines."""
    lines = [read_back(supply, facts), ended(then_words(supply.rule)) if supply.rule else ""]
    lines += [_line(f"{r.margin}: {r.head}", r.soft) for r in state_rows(supply, today)]
    lines += [_line(f"{r.margin} {r.head}", r.soft) for r in level_rows(supply, facts)]
    if supply.own_rule_only:
        lines += [f"Not known: {what}." for _, what in NOT_KNOWABLE]
    return [line for line in lines if line]


def _line(head: str, soft: str) -> str:
    return " ".join(ended(w) for w in (head, upper(soft)) if w)


def state_rows(supply: Supply, today: date) -> list[Row]:
    """What is left, its date, when it was opened, its cost, by which law it is held."""
    left = Row(margin="Left", head=upper(left_words(supply).removesuffix(" left")), soft=lasts_words(supply))
    rows = [left, expiry_row(supply, today), opened_row(supply, today), cost_row(supply), lawful_row(supply)]
    return [row for row in rows if row is not None]
