"""The form of a label: what was typed as the border reads it, and an entry's label as it would be typed."""

from __future__ import annotations

from collections.abc import Mapping

import msgspec

from tankward.knowledge.find import index_of
from tankward.knowledge.known import Facts
from tankward.quantities.faults import BadInput, BadInputs
from tankward.quantities.units import EXAMPLES
from tankward.room.numerals import plain
from tankward.room.things import Active, Supply
from tankward.treat.label_forms import UNSAID, choices

from .fields import Shown

MOST_ACTIVES = 6
SPARE = 2  # rows that stand open at first
UNITS = (
    ("sachet", "Sachets"), ("tablet", "Tablets"), ("mL", "mL, a liquid"), ("g", "g, a powder"),
    ("drop", "Drops"),
)  # fmt: skip
YES = "yes"
TOLD = ("left", "price", "opened", "expiry", "dose", "per", "repeat-after", "change-before", "most-doses")


class ActiveRow(msgspec.Struct, frozen=True, kw_only=True):
    """One active of the form. `forms` is empty where nothing has to be asked."""

    n: int
    name: str
    amount: str
    form: str
    forms: tuple[tuple[str, str], ...]
    name_error: str = ""
    amount_error: str = ""
    form_error: str = ""
    strange: bool = False  # not in the facts: may be kept as it is
    kept_strange: bool = False


def texts_of(typed: Mapping[str, str], old: Supply | None = None) -> dict[str, str]:
    """The form as key=value, as the border reads it.

    Raises
    ------
    BadInput
        If an active is named twice.
    """
    texts = {k: typed.get(k, "").strip() for k in ("name", "unit", "held-lawfully", "note", *TOLD)}
    unknown = []
    for n in _numbers(typed):
        name, amount = typed.get(f"active-{n}", "").strip(), typed.get(f"amount-{n}", "").strip()
        if not name:
            continue
        if typed.get(f"strange-{n}") == YES:
            unknown.append(f"{name} {amount}".strip())
            continue
        if name in texts:
            raise BadInput(name, amount, "is named twice. Write the sum of it once.")
        form = typed.get(f"form-{n}", "").strip()
        texts[name] = f"{amount} as {form}" if form and amount else amount
    texts["unknown"] = "; ".join(unknown)
    if typed.get("unnamed") == YES:
        texts["actives"] = "dont-know"
    if old is None:
        return {k: v for k, v in texts.items() if v or k not in (*TOLD, "note", "unknown", "held-lawfully")}
    # Of a label put right, what was emptied is not known any more.
    return {k: v or ("dont-know" if k in TOLD else v) for k, v in texts.items()}


def _numbers(typed: Mapping[str, str]) -> list[int]:
    return [n for n in range(1, MOST_ACTIVES + 1) if f"active-{n}" in typed]


def rows_of(typed: Mapping[str, str], fault: BadInput | None, facts: Facts) -> list[ActiveRow]:
    """The rows of actives: those that are filled, two at least, and one more where more are wanted."""
    filled = [n for n in _numbers(typed) if typed.get(f"active-{n}", "").strip()]
    more = 1 if typed.get("do") == "more" else 0
    count = min(max(len(filled) + more, SPARE), MOST_ACTIVES)
    order = [*filled, *(n for n in range(1, MOST_ACTIVES + 1) if n not in filled)][:count]
    faults = fault.faults if isinstance(fault, BadInputs) else (fault,) if fault else ()
    return [_row(place, n, typed, faults, facts) for place, n in enumerate(order, 1)]


def _row(
    place: int, n: int, typed: Mapping[str, str], faults: tuple[BadInput, ...], facts: Facts
) -> ActiveRow:
    name = typed.get(f"active-{n}", "").strip()
    ids = index_of(facts, "substance").ids(name) if name else ()
    forms = choices(ids[0], name) if len(ids) == 1 else {}
    own = next((f for f in faults if name and f.field == name), None)
    bare = next((f for f in faults if name and f.field == "actives" and f.given.startswith(name)), None)
    told = own.accepted if own else ""
    told = told[:1].upper() + told[1:]
    form = typed.get(f"form-{n}", "")
    asked = bool(own and forms and not form)
    return ActiveRow(
        n=place, name=name, amount=typed.get(f"amount-{n}", ""), form=form,
        forms=(*forms.items(), (UNSAID, "the label does not say")) if forms else (),
        name_error="Not in our facts. Look at its spelling, or keep it as it is." if own and not ids else "",
        amount_error="How much of it is in one?" if bare else told if own and ids and not asked else "",
        form_error="Of what is that the weight?" if asked else "",
        strange=bool(name) and not ids, kept_strange=typed.get(f"strange-{n}") == YES,
    )  # fmt: skip


def typed_of(supply: Supply) -> dict[str, str]:
    """A packet's label as it would be typed."""
    rule = supply.rule
    typed = {
        "name": supply.name, "unit": supply.unit, "left": _number(supply.left),
        "price": _number(supply.price),
        "opened": supply.opened, "expiry": supply.expiry,
        "held-lawfully": YES if supply.held_lawfully else "",
        "unnamed": YES if not supply.actives and not supply.unknown else "",
    }  # fmt: skip
    if rule is not None:
        typed |= {
            "dose": plain(rule.units),
            "per": f"{plain(rule.per_volume_l)} L" if rule.per_volume_l else "",
            "repeat-after": f"{plain(rule.repeat_after_h)} h" if rule.repeat_after_h else "",
            "change-before": f"{plain(100 * rule.change_before)} %" if rule.change_before else "",
            "most-doses": str(rule.most_doses or ""),
        }
    for n, active in enumerate(supply.actives, 1):
        typed |= _typed_active(n, active, supply.unit)
    said = [u for u in supply.unknown if ": of what" not in u]
    for n, text in enumerate(said, len(supply.actives) + 1):
        name, _, amount = text.partition(" ")
        typed |= {f"active-{n}": name, f"amount-{n}": amount, f"strange-{n}": YES}
    return typed


def _typed_active(n: int, active: Active, unit: str) -> dict[str, str]:
    told, _, form = active.told.partition(" as ")
    amount = told or f"{plain(active.mg)} mg" + (f"/{unit}" if unit in ("mL", "g") else "")
    kept = form or (active.form if not active.told else "")
    return {f"active-{n}": active.substance, f"amount-{n}": amount, f"form-{n}": kept}


def _number(value: float | None) -> str:
    return "" if value is None else plain(value)


RULE = (
    ("dose", "How many at a time?", "like 1"),
    ("per", "For how much water?", f"like {EXAMPLES['volume']}"),
    ("repeat-after", "Again after how long?", "like 48 h; nothing if only once"),
    ("change-before", "How much water to change before?", "like 50 %; nothing if none"),
    ("most-doses", "How many doses at most?", "like 3"),
)
KEPT = (
    ("left", "How many are left?", "like 9; then doses are counted down"),
    ("price", "What did it cost?", "like 9.50 for 10"),
    ("expiry", "Until when is it good?", "like 2027-03, or March 2027"),
    ("opened", "When was it opened?", "like today, 2 weeks ago; nothing if it is closed"),
)


def fields(
    rows: tuple[tuple[str, str, str], ...], typed: Mapping[str, str], faults: Mapping[str, str]
) -> list[Shown]:
    """Plain fields of the form."""
    return [
        Shown(name=k, label=label, hint=hint, value=typed.get(k, ""), error=faults.get(k, ""))
        for k, label, hint in rows
    ]
