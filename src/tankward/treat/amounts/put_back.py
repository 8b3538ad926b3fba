"""What to put back after a water change, for each substance on its own."""

from __future__ import annotations


def after_change_mg_l(before_mg_l: float, changed: float) -> float:
    """Level after a change with water that holds none of it. [mg/L]"""
    return before_mg_l * (1.0 - changed)


def restoring_mg(level_mg_l: float, before_mg_l: float, volume_l: float, changed: float) -> float:
    """Mass to add after a water change to be back at the level. [mg]

    Parameters
    ----------
    level_mg_l : float
        Level wanted. [mg/L]
    before_mg_l : float
        Level just before the change: `level_mg_l` for a substance that lasts, 0 for one that has gone. [mg/L]
    volume_l : float
        The water. [L]
    changed : float
        Share of the water changed. [-]

    Notes
    -----
    max(0, level − before × (1 − changed)) × volume. For a lasting substance that is the share changed of
    the full dose; for one that has gone, the whole of it.
    """
    return max(level_mg_l - after_change_mg_l(before_mg_l, changed), 0.0) * volume_l
