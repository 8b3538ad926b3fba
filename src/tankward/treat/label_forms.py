"""A salt, a hydrate or the substance itself: what a label weighs, in the form in which it is dosed here."""

from __future__ import annotations

from collections.abc import Mapping

import msgspec

from tankward.knowledge.known import Facts
from tankward.knowledge.plain import plain
from tankward.quantities.faults import BadInput

ITSELF = ""  # the substance that the forms are counted as: copper, the base, the water-free salt
UNSAID = "not said"


class Weighed(msgspec.Struct, frozen=True, kw_only=True):
    """What the labels of a substance may weigh. Forms are names of its `form` rows in the facts."""

    dosed: str  # the form in which its levels are given here
    forms: Mapping[str, str]  # word of the form -> its row, ITSELF for what the rows are counted as
    words: Mapping[str, str]  # word of the form -> as it is said


# Only where taking the one for the other is out by over a tenth, and labels are found in both.
WEIGHED: dict[str, Weighed] = {
    "copper": Weighed(
        dosed="pentahydrate, as copper",
        forms={
            "copper": ITSELF,
            "pentahydrate": "pentahydrate, as copper",
            "anhydrous": "anhydrous, as copper",
        },
        words={
            "copper": "copper (Cu)",
            "pentahydrate": "copper sulfate pentahydrate",
            "anhydrous": "copper sulfate without water",
        },
    ),
    "magnesium_sulfate": Weighed(
        dosed="heptahydrate, as anhydrous",
        forms={"heptahydrate": "heptahydrate, as anhydrous", "anhydrous": ITSELF},
        words={
            "heptahydrate": "magnesium sulfate heptahydrate (Epsom salt)",
            "anhydrous": "magnesium sulfate without water",
        },
    ),
    "sodium_thiosulfate": Weighed(
        dosed="pentahydrate, as anhydrous",
        forms={"pentahydrate": "pentahydrate, as anhydrous", "anhydrous": ITSELF},
        words={
            "pentahydrate": "sodium thiosulfate pentahydrate (crystals)",
            "anhydrous": "sodium thiosulfate without water",
        },
    ),
    "chloramine_t": Weighed(
        dosed="trihydrate, as anhydrous",
        forms={"trihydrate": "trihydrate, as anhydrous", "anhydrous": ITSELF},
        words={"trihydrate": "chloramine-T trihydrate", "anhydrous": "chloramine-T without water"},
    ),
    "chloroquine": Weighed(
        dosed="chloroquine diphosphate",
        forms={"phosphate": "chloroquine diphosphate", "base": ITSELF},
        words={"phosphate": "chloroquine phosphate", "base": "chloroquine base"},
    ),
    "levamisole": Weighed(
        dosed="levamisole hydrochloride",
        forms={"hydrochloride": "levamisole hydrochloride", "base": ITSELF},
        words={"hydrochloride": "levamisole hydrochloride", "base": "levamisole base"},
    ),
}
# Other words on labels: of a form, and of one substance alone.
SAID_AS = {"cu": "copper", "diphosphate": "phosphate", "hcl": "hydrochloride", "water free": "anhydrous"}
SAID_OF = {"magnesium_sulfate": {"epsom": "heptahydrate"}, "copper": {"as cu": "copper"}}


class Counted(msgspec.Struct, frozen=True):
    """So much of a substance in the form in which it is dosed. `form` is that form's word, "" = itself."""

    mg: float
    form: str
    sure: bool = True  # false: the label does not say, and the strongest reading was taken


def choices(substance: str, name: str = "") -> dict[str, str]:
    """The forms to choose from, as they are said; none where the name on the label says it already."""
    weighed = WEIGHED.get(substance)
    return {} if weighed is None or named(substance, name) else dict(weighed.words)


def named(substance: str, name: str) -> str:
    """The form that the name on the label says: "copper sulfate pentahydrate"."""
    weighed, words = WEIGHED[substance], f" {plain(name)} "
    for said, form in SAID_OF.get(substance, {}).items():
        if f" {said} " in words:
            return form
    # The word "copper" alone is the name, not yet the form.
    own = set(plain(substance).split())
    return next((f for f in weighed.forms if f not in own and f" {f} " in words), "")


def counted(substance: str, mg: float, name: str, form: str, facts: Facts, given: str) -> Counted:
    """An amount on a label in the form in which the substance is dosed.

    Parameters
    ----------
    substance : str
        Id of a substance.
    mg : float
        As the label has it. [mg]
    name : str
        What the label calls it.
    form : str
        Of what it is the weight, in words; "" where only the name tells, UNSAID where nobody can.
    facts : Facts
        Shares of the forms.
    given : str
        What was typed, for the fault.

    Returns
    -------
    Counted
        mg of the form in which it is dosed. [mg]

    Raises
    ------
    BadInput
        If the name leaves it open, or the form is none of it.

    Notes
    -----
    mg × share of the label's form ÷ share of the dosed form, each counted as the same core.
    """
    weighed = WEIGHED.get(substance)
    if weighed is None:
        return Counted(mg, form)
    shares = {row.name: row.active_fraction for row in facts.substances[substance].form}
    dosed = shares[weighed.dosed]
    word = next(w for w, row in weighed.forms.items() if row == weighed.dosed)
    if form == UNSAID:
        strongest = max(shares.get(row, 1.0) for row in weighed.forms.values())
        return Counted(mg * strongest / dosed, word, sure=False)
    told = _form(weighed, form) if form else named(substance, name)
    if not told:
        raise BadInput(name, given, _open(weighed, form))
    return Counted(mg * shares.get(weighed.forms[told], 1.0) / dosed, word)


def _form(weighed: Weighed, words: str) -> str:
    said = plain(words.removeprefix("as "))
    said = SAID_AS.get(said, said)
    exact = [w for w in weighed.forms if w == said or plain(weighed.words[w]) == said]
    held = [w for w in weighed.forms if f" {w} " in f" {said} "]
    # "copper sulfate pentahydrate" holds the word copper too; the last one says what was weighed.
    return (exact or held[-1:] or [""])[0]


def _open(weighed: Weighed, form: str) -> str:
    ways = ", ".join(f"as {w}" for w in weighed.forms)
    begins = "is weighed as none of" if form else "leaves open what is weighed. Add one of"
    return f"{begins}: {ways}. If the label does not say: as {UNSAID}."
