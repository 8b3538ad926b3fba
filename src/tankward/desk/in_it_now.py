"""What is in the water now, as the faces ask for it."""

from __future__ import annotations

from tankward.treat.mend.inside import InIt
from tankward.treat.mend.inside import in_it as in_it_now

__all__ = ["InIt", "in_it_now"]
