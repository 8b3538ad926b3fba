"""The functions that bodies of processes may call: no branch on a state, one meaning for one draw and for
all.
"""

from __future__ import annotations

from numpy import exp, expm1, log10, maximum, minimum, power, sqrt, where

__all__ = ["exp", "expm1", "log10", "maximum", "minimum", "power", "sqrt", "where"]
