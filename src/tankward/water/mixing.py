"""Two waters made into one."""

from __future__ import annotations

from tankward.quantities.faults import BadInput

from .arrays import Array


def mixture(have: Array, add: Array, share: Array) -> Array:
    """A quantity that mixes straight (warmth, hardness, salt, a level), never pH.

    Parameters
    ----------
    have, add : number or array
        In the old and in the new water, one unit.
    share : number or array
        Of new water in the whole, 0 to 1. [-]

    Returns
    -------
    number or array
        In the same unit.
    """
    return have * (1 - share) + add * share


def share_for(want: float, one: float, other: float) -> float:
    """Share of `one` in a mixture with `other` that comes to `want`. [-]

    Raises
    ------
    BadInput
        If what is wanted does not lie between the two.
    """
    if one == other or not min(one, other) <= want <= max(one, other):
        raise BadInput(
            "want",
            f"{want:g}",
            f"can't be mixed: it lies not between {min(one, other):g} and {max(one, other):g}.",
        )
    return (want - other) / (one - other)
