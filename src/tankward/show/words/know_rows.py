"""One row of the facts as a page shows it: the figure, what it is of, how sure it is, from where."""

from __future__ import annotations

import msgspec

from tankward.knowledge.known import Facts
from tankward.knowledge.tell import Told

from .acts import upper
from .remedies import ROUTES, substance_name
from .status import status_words

# What a table's row is of, by its fields in order; its other fields stand in the line below.
HEADS: dict[str, tuple[str, ...]] = {
    "regimen": ("target", "route"),
    "tolerance": ("taxon", "life_stage", "endpoint", "exposure"),
    "potency": ("organism", "stage", "endpoint"),
    "effect": ("on", "level"),
    "stability": ("process",),
    "solubility": ("conditions", "text"),
    "kinetics": ("parameter", "species", "route"),
    "law": ("region",),
    "interaction": ("with",),
    "must not meet": ("a", "b"),
    "form": ("name",),
    "human": ("hazard",),
    "disposal": ("text",),
    "ceiling": ("route",),
    "sensitivity": ("group", "cls"),
    "test": ("name",),
    "published": ("what",),
    "fact": ("quantity", "topic", "subject", "measure", "sex", "stage"),
    "reproduction": ("quantity", "statement"),
    "growth": ("model", "sex"),
    "metabolic_rate": ("level",),
    "metabolic_point": ("level", "temp_c"),
    "growth_point": ("regime",),
    "word": ("plain",),
    "parameter": ("name", "stage", "temp_c"),
    "kill": ("substance", "route", "stage", "level", "unit"),
    "life": ("place",),
    "duration": ("stage", "temp_c"),
    "fecundity": ("what",),
    "survival": ("stage",),
    "infection": ("what",),
    "host_effect": ("what",),
    "limits": ("what",),
    "spread": ("route",),
    "susceptibility": ("remedy", "stage"),
    "prevalence": ("what",),
    "risk": ("factor",),
    "zoonosis": ("hazard",),
    "advice": ("traps",),
    "equation": ("quantity",),
    "constant": ("name",),
    "trap": ("what",),
    "disinfection": ("with", "item", "target"),
    "human_safety": ("with",),
    "powder": ("name",),
    "magnification": ("total",),
    "view": ("name",),
    "look_alike": ("name",),
    "field_grade": ("id",),
    "procedure": ("statement",),
    "necropsy": ("statement",),
    "leaching": ("drug", "coat"),
    "worked_example": ("inputs",),
    "recipe": ("how",),
    "scale": ("what",),
    "unit": ("name",),
}
ANY_HEAD = ("statement", "what", "name", "who", "quantity", "text", "hazard")
# Numbers for the model that a field beside them says in words, and marks of the file itself.
SILENT = frozenset({
    "use", "same_as", "recommended", "left_in", "temp_assumed", "applies_to", "exposure_h", "treats",
    "relieves",
    "duration_h_low", "duration_h_high", "repeats_low", "repeats_high", "interval_d_low", "interval_d_high",
    "half_life_h_low", "half_life_h_high", "gone_after_h_low", "gone_after_h_high", "rate_mg_l_h_low",
    "rate_mg_l_h_high", "kind", "symbol", "shape", "fit", "only_groups", "not_groups",
    "share_of_tank", "values",
})  # fmt: skip
LABELS = {
    "temp_c": "at",
    "temp_to_c": "up to",
    "temp_min_c": "from °C",
    "temp_max_c": "up to °C",
    "n": "counted",
    "why": "",
    "order": "",
    "text": "",
    "conditions": "",
    "duration": "",
    "statement": "",
    "protect": "",
    "means": "",
    "result": "",
    "effect": "",
    "exposure": "",
    "wait_h": "wait",
    "cas": "CAS",
    "say": "also said",
    "not": "not to be taken for",
    "ask": "ask",
    "active_fraction": "share of it",
    "molar_mass_g_mol": "g/mol",
    "sensitivity": "finds it in",
    "specificity": "rightly finds none in",
    "cost": "",
    "use": "in use",
    "ml": "mL",
    "least_g": "least, g",
    "rule": "",
    "working": "",
    "strength": "strength",
    "minutes": "minutes",
    "purpose": "",
    "neutralise": "then",
}
CLASS_WORDS = {
    "lethal": "kills them",
    "avoid": "not with them",
    "caution": "with care",
    "ok": "no harm at usual levels",
    "unknown": "not known",
}
CONDITION = "condition:"  # what is no substance of its own
SHARES = ("sensitivity", "specificity", "p_background")
UNITS = {"1": "", "C": "°C", "1/d": "a day", "uL/L": "uL/L"}
NOT_MEASURED = "no harm reported, not measured"


class FactRow(msgspec.Struct, frozen=True, kw_only=True):
    """One row: figure, unit, what it is of, the rest, how sure, from where."""

    figure: str
    unit: str
    head: str
    text: str
    sure: str
    sources: tuple[str, ...]
    where: str
    note: str
    used: bool = True


def fact_row(told: Told, facts: Facts) -> FactRow:
    """A row of the facts."""
    heads = [h for h in HEADS.get(told.table, ANY_HEAD) if told.says.get(h)]
    if not heads:
        heads = [h for h in ANY_HEAD if told.says.get(h)][:1]
    head = ", ".join(_value(told, h, facts) for h in heads)
    rest = [_labelled(told, k, facts) for k in told.says if k not in heads and k not in SILENT]
    if told.basis:
        rest.insert(0, told.basis)
    figure = number_words(told.value, told.low, told.high)
    return FactRow(
        figure=figure,
        unit=UNITS.get(told.unit, told.unit) if figure else "",
        head=upper(head) or upper(told.table.partition(", ")[2].replace("_", " ")),
        text="; ".join(r for r in rest if r),
        sure=status_words(told.status or ""),
        sources=tuple(k for k in told.source.split() if k != "none"),
        where=told.where,
        note=told.note,
        used=told.used and told.says.get("use", "yes") != "no",
    )


def number_words(value: float | None, low: float | None, high: float | None) -> str:
    """A figure as it is known: one number, or a range."""
    if low is not None and high is not None:
        return plain(low) if low == high else f"{plain(low)} to {plain(high)}"
    if value is not None:
        return plain(value)
    if low is not None:
        return f"from {plain(low)}"
    return f"up to {plain(high)}" if high is not None else ""


def plain(value: float) -> str:
    """A figure of a source, without exponent: 2368, 0.0002."""
    return f"{value:.6f}".rstrip("0").rstrip(".") if abs(value) < 1000 else f"{value:,.0f}"


def _value(told: Told, field: str, facts: Facts) -> str:
    value = told.says[field]
    if field == "cls":
        measured = told.status in ("published-read", "computed")
        return CLASS_WORDS[value] if value != "ok" or measured else NOT_MEASURED
    if field == "route" and value in ROUTES:
        return ROUTES[value]
    if field in ("temp_c", "temp_to_c"):
        return f"{value} °C"
    if field == "wait_h":
        return f"{value} h"
    if value.startswith(CONDITION):
        return value.removeprefix(CONDITION)
    if field in SHARES:
        low, _, high = value.partition(", ")
        return f"{100 * float(low):.0f} to {100 * float(high):.0f} of 100"
    if field == "group" and value in facts.groups:
        return facts.groups[value].name
    if field in ("substance", "a", "b") and value in facts.substances:
        return substance_name(value, facts)
    if field == "cause" and value in facts.causes:
        return facts.causes[value].name
    return value.replace("_", " ") if " " not in value else value


def _labelled(told: Told, field: str, facts: Facts) -> str:
    value = _value(told, field, facts)
    label = LABELS.get(field, field.replace("_", " "))
    return f"{label} {value}".strip()
