"""Salts, hydrates and esters of the facts: how much of one another comes to."""

from __future__ import annotations

from typing import NamedTuple

from tankward.knowledge.find import find_substance
from tankward.knowledge.known import Facts
from tankward.knowledge.plain import plain
from tankward.knowledge.records.substance import Form, Substance
from tankward.quantities.faults import BadInput

ALIAS = {"cu": "copper", "cl": "chloride", "hcl": "hydrochloride"}
SALTS = {
    "sulfate",
    "sulphate",
    "chloride",
    "nitrate",
    "acetate",
}  # say a salt without saying which form of it
WHOLE = ("active", "base", "itself")


class Way(NamedTuple):
    """One mg of `form` holds `share` mg counted as `core`."""

    form: str
    core: str
    share: float
    source: str


def ways_of(substance: Substance) -> list[Way]:
    """The forms of a substance with what they are counted as."""
    return [_way(row, substance) for row in substance.form if row.active_fraction is not None]


def _way(row: Form, substance: Substance) -> Way:
    form, _, core = row.name.partition(", as ")
    if row.name.startswith("as "):
        form, core = substance.id, row.name[3:]
    return Way(plain(form), plain(core) or plain(substance.id), row.active_fraction or 0.0, row.source)


def form_factor(substance: str, basis: str, to: str, facts: Facts) -> tuple[str, float, str]:
    """What one mg of a form comes to under another name: (name, factor, source).

    Raises
    ------
    BadInput
        If the substance has no such form, or the words leave it open which one is meant.
    """
    one = facts.substances[_substance(substance, facts)]
    ways = ways_of(one)
    if not ways:
        raise BadInput("substance", substance, "has no salts or hydrates here to turn into each other.")
    have, want = _words(f"{substance} {basis}"), _words(to)
    made = [w for w in ways if _speaks_of(w.form, want)]
    if made and have & SALTS - _words(one.id) and not any(_speaks_of(w.form, have) for w in ways):
        forms = " or ".join(dict.fromkeys(w.form for w in ways))
        raise BadInput("substance", substance, f"leaves it open. Say {made[0].core}, or which of: {forms}.")
    if made:
        return to, 1 / made[0].share, made[0].source
    counted = [w for w in ways if _counts_as(w, want, one)]
    named = [w for w in counted if _speaks_of(w.form, have)] or counted
    if len(named) == 1:
        return to, named[0].share, named[0].source
    forms = " or ".join(w.form for w in named or ways)
    raise BadInput("substance", substance, f"leaves it open. Say which: {forms}.")


def _substance(words: str, facts: Facts) -> str:
    """The substance, with the words of its forms left out one after the other."""
    parts = words.split()
    for n in range(len(parts), 0, -1):
        try:
            return find_substance(facts, " ".join(parts[:n]))
        except BadInput:
            continue
    return find_substance(facts, words)


def _words(text: str) -> set[str]:
    return {ALIAS.get(w, w) for w in plain(text).replace(",", " ").split()}


def _speaks_of(form: str, words: set[str]) -> bool:
    """Whether the words hold what sets the form apart (its last word: hydrochloride, pentahydrate)."""
    return form.split("(")[0].split()[-1] in words or form in " ".join(sorted(words))


def _counts_as(way: Way, words: set[str], substance: Substance) -> bool:
    own = {*WHOLE, *plain(substance.id).split()}
    return bool(words & set(way.core.split())) or bool(
        words & own and way.core in {plain(substance.id), "base"}
    )
