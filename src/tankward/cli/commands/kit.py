"""kit: what the keeper measures with; a spoon weighed once, the hose timed."""

from __future__ import annotations

from typing import Annotated

from cyclopts import App, Parameter

from tankward.knowledge.loader import load
from tankward.show.results_kit import KitShown
from tankward.show.results_room import Written
from tankward.show.words.kit import kit_lines, kit_shown

from ..common import Common, opened, pairs
from .room import write_kept

Words = Annotated[str, Parameter(allow_leading_hyphen=True)]


def kit(*, common: Common = Common()) -> KitShown:
    """What you measure with: kit shows it, kit set writes it down."""
    with opened(common) as desk:
        mine = desk.room().kit
    return kit_shown(mine, kit_lines(mine, load()), common.told)


def kit_set(*given: Words, common: Common = Common()) -> Written:
    """What you own, and where: kit set scale=0.1g syringes=1mL,5mL,20mL tests=strips region=UK gallon=imp.

    Parameters
    ----------
    given
        What you have, as name=value; what isn't named stays.
    """
    return write_kept(common, lambda border: border.kit(pairs(given)))


def kit_spoon(*given: Words, common: Common = Common()) -> Written:
    """A spoon weighed once: kit spoon spoon=teaspoon powder=salt spoons=10 mass=58g.

    Parameters
    ----------
    given
        Which spoon, which powder, how many level spoons, what they weigh together.
    """
    return write_kept(common, lambda border: border.spoon(pairs(given)))


def kit_hose(*given: Words, common: Common = Common()) -> Written:
    """The hose timed: kit hose volume=10L time=75s.

    Parameters
    ----------
    given
        How much ran out of it, and how long that took.
    """
    return write_kept(common, lambda border: border.hose(pairs(given)))


def add_to(app: App) -> None:
    """Add the family's commands."""
    family = App(name="kit", help="What you measure with: set, spoon, hose; alone it shows all.")
    family.default(kit)
    family.command(kit_set, name="set")
    family.command(kit_spoon, name="spoon")
    family.command(kit_hose, name="hose")
    app.command(family)
