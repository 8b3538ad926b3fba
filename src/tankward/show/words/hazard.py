"""Hazards to people in plain words. A safety sheet's codes are read out as what they stand for.

Source: the hazard statements of the UN's globally harmonised system (GHS), shortened; recalled, not read.
"""

from __future__ import annotations

import re

GHS = {
    "H225": "catches fire easily", "H271": "feeds fire", "H272": "feeds fire",
    "H301": "toxic if swallowed", "H302": "harmful if swallowed", "H311": "toxic on the skin",
    "H312": "harmful on the skin", "H314": "burns skin and eyes", "H315": "irritates the skin",
    "H317": "may cause a skin allergy", "H318": "damages the eyes", "H319": "irritates the eyes",
    "H331": "toxic if breathed", "H334": "may cause asthma", "H335": "irritates the airways",
    "H341": "suspected of changing genes", "H350": "may cause cancer", "H351": "suspected of causing cancer",
    "H360": "may harm an unborn child", "H361": "may harm an unborn child",
    "H361d": "may harm an unborn child",
    "H373": "harms organs when met again and again", "H400": "kills life in water",
    "H410": "kills life in water for long", "H412": "harms life in water for long",
    "EUH031": "gives off a toxic gas with acid",
}  # fmt: skip
CODE = re.compile(r"\b(?:EU)?H\d{3}[a-z]?\b")


def plain_hazard(text: str) -> str:
    """The hazard without codes: "H301 H351" is "toxic if swallowed; suspected of causing cancer"."""
    parted = re.sub(rf"({CODE.pattern})\s+(?={CODE.pattern})", r"\1; ", text)
    told = CODE.sub(lambda m: GHS.get(m[0], m[0]), parted)
    return "; ".join(dict.fromkeys(part.strip() for part in told.split(";") if part.strip()))
