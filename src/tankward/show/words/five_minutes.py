"""The demo in a few steps: what to open, and one sentence on what is seen there."""

from __future__ import annotations

import msgspec

SACHET = "supply=gut+and+worm+sachet"


class Step(msgspec.Struct, frozen=True, kw_only=True):
    """One step; `id` is kept in the visitor's cookie once it was opened."""

    id: str
    says: str
    sees: str
    url: str


STEPS = (
    Step(
        id="look",
        says="T7 has thin fish: look at one, sign by sign",
        sees="What is not there counts as much as what is, and you may say that you don't know.",
        url="/tanks/T7/look?zone=belly",
    ),
    Step(
        id="causes",
        says="Read what it may be",
        sees="The water comes first, then causes as ranges, then the one look that tells most.",
        url="/tanks/T7/causes",
    ),
    Step(
        id="options",
        says="See what can be done, and who can't bear it",
        sees="Each remedy stands against every fish, shrimp and snail in T7; what was ruled out says why.",
        url="/tanks/T7/options?cause=hexamita",
    ),
    Step(
        id="sachet",
        says="The sachet is for 40 litres, T7 holds about 35",
        sees="Millilitres of one stirred sachet, day by day to the decision, with a sheet to print.",
        url=f"/tanks/T7/course?cause=hexamita&substance=metronidazole&route=water_long&{SACHET}",
    ),
    Step(
        id="net",
        says="Friday's net was in T6, T8 and T10",
        sees="Now T8 shows white grains: see how a net is cleaned before it goes on.",
        url="/tanks/T8/hygiene",
    ),
    Step(
        id="mistake",
        says="Carbon was left in T9's filter while T9 was dosed",
        sees="Say since when, and read what to do now; nobody scolds.",
        url="/tanks/T9/mistake/carbon-in",
    ),
    Step(
        id="number",
        says="Work out one number of your own",
        sees="Litres of a tank, a dose, a bath: each with how we got it.",
        url="/work-it-out/volume",
    ),
)
OWN = (
    "Ctrl-C in the window where the demo was started ends it.",
    'Then "tankward start" opens a room of your own, empty; nothing of the demo comes along.',
    "Whatever you write down here is gone when the demo is opened again.",
)


def five_heading(opened: int) -> str:
    """The heading, by how many were opened."""
    if opened == 0:
        return "Five minutes with a room that is not real."
    left = len(STEPS) - opened
    return f"{left} more to see." if left else "Seen. Now a room of your own."
