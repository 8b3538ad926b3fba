"""How a medicated food is made, step by step: ground, thinned, stirred in, poured, cut, frozen."""

from __future__ import annotations

import msgspec

from tankward.knowledge.records.keeping import PeopleRow
from tankward.quantities.digits import plain_number
from tankward.treat.amounts.kitchen import SHEET_MM, Kitchen

from .acts import ended, upper
from .hazard import plain_hazard
from .measured import SMALL
from .recipe_drug import grams, is_stock, millilitres, taken_words
from .step_parts import Context

MIXING = (
    "Gloves. No dust: damp the powder, don't blow. Not for anyone pregnant. Away from the kitchen's food."
)


class Said(msgspec.Struct, frozen=True, kw_only=True):
    """One step: what, how, and what it may do to people."""

    head: str
    how: str = ""
    hazard: str = ""


def mixing_hazard(rows: tuple[PeopleRow, ...]) -> str:
    """What protects who mixes it, then from what: gloves are said once."""
    told = [r for r in rows if r.hazard not in ("", "none")]
    more = [ended(r.protect) for r in told if not r.protect.lower().startswith("gloves")]
    return " ".join(dict.fromkeys((MIXING, *more, *(ended(upper(plain_hazard(r.hazard))) for r in told))))


def making(c: Context, rows: tuple[PeopleRow, ...]) -> tuple[Said, ...]:
    """All steps in their order."""
    plan = c.course.recipe.kitchen if c.course.recipe else None
    if plan is None:
        return ()
    drug = _drug(plan, c)
    warned = [msgspec.structs.replace(drug[0], hazard=mixing_hazard(rows)), *drug[1:]]
    return (*warned, *(_coated(plan, c) if plan.kind.way == "coat" else _gelled(plan, c)), *_parted(plan, c))


def _drug(plan: Kitchen, c: Context) -> list[Said]:
    """The medicine made ready to go in."""
    if plan.packets is not None:
        return [Said(head=f"Open {taken_words(c)} into a cup.", how="All of it: a part can't be weighed.")]
    if is_stock(plan) and plan.measured is not None and plan.measured.batch is not None:
        b = plan.measured.batch
        found = [
            Said(
                head=f"Bottle: {grams(b.take / 1000.0, c)} of {c.of} into {millilitres(b.into_ml)} of water.",
                how="Shaken until it is clear; used at once.",
            )
        ]
        if b.steps:
            times = "once" if b.steps == 1 else f"{SMALL[b.steps]} times over"
            found.append(
                Said(
                    head=f"Thin it: {b.step_take_ml:g} mL filled up to {b.step_into_ml:g} mL with water.",
                    how=f"{upper(times)}, a clean bottle each time.",
                )
            )
        return found
    if plan.measured is not None:
        return [Said(head=f"Measure {taken_words(c)}.", how=f"With the {plan.measured.tool_name}.")]
    found = []
    for n, mix in enumerate(plan.mixes, 1):
        part = f"{grams(mix.take_g, c)} of {c.of if n == 1 else f'mix {n - 1}'}"
        found.append(
            Said(
                head=f"Mix {n}: {part} with {grams(mix.with_g, c)} of ground dry food.",
                how="In a mortar, a little food at a time, five minutes. "
                "A trace of food colour shows when it is even.",
            )
        )
    return found


def _into(plan: Kitchen, c: Context) -> str:
    """What is stirred in."""
    if plan.packets is not None:
        return f"all of the {'packet' if plan.packets == 1 else 'packets'}"
    if is_stock(plan) and plan.measured is not None and plan.measured.batch is not None:
        return f"{millilitres(plan.measured.batch.portion_ml)} out of the bottle"
    if plan.measured is not None:
        return taken_words(c)
    return f"{grams(plan.mix_g or 0.0, c)} of mix {len(plan.mixes)}"


def _amount(plan: Kitchen, what: str, less: float = 0.0) -> float:
    return max(next((i.amount for i in plan.ingredients if i.what == what), 0.0) - less, 0.0)


def _gelled(plan: Kitchen, c: Context) -> list[Said]:
    batch = plan.measured.batch if plan.measured else None
    water = _amount(plan, "water", batch.portion_ml if batch else 0.0)
    food = "frozen-food" if plan.kind.way == "bound" else "dry-food"
    amount = _amount(plan, food, (plan.mix_g or 0.0) if food == "dry-food" else 0.0)
    named = "thawed, drained frozen food" if food == "frozen-food" else "ground dry food"
    side, gelatine = plan.portions.sheet_cm or 0.0, grams(_amount(plan, "gelatine"), c)
    return [
        Said(
            head=f"Melt {gelatine} of gelatine in {millilitres(water)} of hot water.",
            how="Let it cool until it is only hand-warm: heat can spoil the medicine.",
        ),
        Said(head=f"Stir in {_into(plan, c)}, then {grams(amount, c)} of {named}.", how="Until it is even."),
        Said(
            head=f"Pour it into a square of {side:.0f} by {side:.0f} cm, {SHEET_MM:g} mm thick.",
            how="Two hours in the cold.",
        ),
    ]


def _coated(plan: Kitchen, c: Context) -> list[Said]:
    food = _amount(plan, "dry-food", plan.mix_g or 0.0)
    return [
        Said(
            head=f"Rub {_into(plan, c)} into {millilitres(_amount(plan, 'oil'))} of kitchen oil.",
            how="In a bowl, to an even paste.",
        ),
        Said(
            head=f"Toss {grams(food, c)} of {plan.kind.id} in it until every one shines.",
            how="Half an hour to rest.",
        ),
    ]


def _parted(plan: Kitchen, c: Context) -> list[Said]:
    p = plan.portions
    bag = Said(
        head="Freeze it in bags, one for each day, labelled.",
        how=f"{p.meals_day * p.pieces_each} {'heaps' if p.edge_mm is None else 'squares'} in each.",
    )
    if p.edge_mm is None:
        whole = grams(p.halved_g or 0.0, c)
        times = SMALL[p.halvings] if p.halvings < len(SMALL) else plain_number(p.halvings)
        halved = f"halve it {times} times by eye: {2**p.halvings} heaps" if p.halvings else "that is one heap"
        return [
            Said(head=f"Weigh {whole} of it and {halved}.", how=f"One heap is one meal; {p.count} are used."),
            bag,
        ]
    pieces = p.count * p.pieces_each
    meal = "one square is one meal" if p.pieces_each == 1 else f"{p.pieces_each} squares are one meal"
    return [
        Said(
            head=f"Cut squares of {p.edge_mm:.0f} mm: {pieces} are used, {meal}.",
            how="Crumbed when it is fed, as small as they can swallow. The rest is thrown away.",
        ),
        bag,
    ]
