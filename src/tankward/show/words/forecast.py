"""Sentences about a forecast."""

from __future__ import annotations

from tankward.knowledge.known import Facts
from tankward.model.cautions import Caution

SERIES = {
    "nh3_n": "the poisonous part of ammonia",
    "ammonia_n": "total ammonia",
    "nitrite_n": "nitrite",
    "nitrate_n": "nitrate",
    "oxygen": "oxygen",
    "temp_c": "the warmth",
    "ph": "pH",
    "alkalinity": "alkalinity (KH)",
    "fish_lost": "fish that die of it",
}
CAUTIONS = {
    "readings-do-not-fit": "what you entered does not fit together: read the water again",
    "reading-unexplained": "{about} as you read it is explained by nothing here: "
    "read it again with a fresh kit",
    "earlier-readings": "what you read during earlier courses counts too: of this tank's filter, its "
    "exchange of gas and how fast a medicine goes here",
    "loss-generic": "nobody has measured how fast {about} goes: a wide range was taken",
    "usual-level-unknown": "no usual level of {about} is known, so its harm to filter and plants is a guess",
    "volume-unknown": "how much water there is isn't known: the levels are wide",
    "temp-unknown": "the warmth isn't known: 22 to 27 °C was taken",
    "ph-unknown": "pH isn't known, so the poisonous part of ammonia is wide",
    "ph-kept": "pH is taken to stay as it was read: with KH read too it can be followed",
    "ph-rests": "pH rests where it was read and moves with what changes: "
    "the carbon dioxide behind it is worked out, not measured",
    "tap-alkalinity-unknown": "the KH of the tap isn't known: that of the tank was taken",
    "water-line-kept": "no topping up was entered: the water line is taken as kept. "
    "After a week without it levels are up to {high:.0f} % higher in an open tank",
    "little-water": "down to {low:.0f} % of the water: a filter, heater or air stone that hangs dry "
    "isn't followed. Fill up first, then read again",
    "filter-age-unknown": "how long the filter has run isn't known",
    "stock-unknown": "some animals aren't known: what they breathe and give off is a guess",
    "mass-unknown": "how heavy the fish are isn't known",
    "combination-as-one": "{about} is followed as one substance, not part by part",
    "not-a-solute": "{about} does not dissolve, so no level is forecast",
    "in-fish-unknown": "how much {about} the food leaves in the fish: no figure was found",
    "in-fish-by-bath": "how much {about} gets from the water into the fish: no figure was found",
    "nitrate-unknown": "nitrate was not read: a usual range was taken",
    "filter-unknown": "which filter runs isn't known, so air and water movement are a wide guess",
    "life-beyond": "how fast {about} lives was read at {span}: "
    "outside of that the nearest figure was taken, with a wider range",
    "kill-beyond": "what {about} does to {on} was read at {span}: "
    "outside of that the nearest figure was taken, with a wider range",
    "filter-beyond": "how fast a filter works was fitted at {span}: "
    "outside of that the nearest speed was taken, with a wider range",
    "breath-beyond": "how much fish breathe was fitted at {span}: outside of that it is a wider guess",
    "lamp-not-followed": "what a UV lamp in the filter kills isn't followed, as nobody knows its dose: "
    "fewer may swim than is told, and none is promised gone by it",
    "new-water-unknown": "what the tap water holds isn't known: a usual range was taken",
}


MIND = ("readings-do-not-fit", "reading-unexplained")  # to act on; every other caution is something not known


def series_name(name: str, facts: Facts) -> str:
    """What a line is called."""
    if name in facts.organisms:
        return facts.organisms[name].common[0]
    return facts.substances[name].names[0] if name in facts.substances else SERIES.get(name, name)


def caution_says(caution: Caution, facts: Facts) -> str:
    """One caution of the model."""
    about, on = (series_name(name, facts) if name else "" for name in (caution.about, caution.on))
    low, high = caution.low or 0.0, caution.high or 0.0
    span = f"{low:g} °C" if low == high else f"{low:g} to {high:g} °C"
    return CAUTIONS.get(caution.kind, caution.kind.replace("-", " ")).format(
        about=about, on=on, low=low, high=high, span=span
    )


def extreme_says(name: str, kind: str, facts: Facts) -> str:
    """The head of an extreme: "the poisonous part of ammonia, highest"."""
    return f"{series_name(name, facts)}, {'highest' if kind == 'peak' else 'lowest'}"
