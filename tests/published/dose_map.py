"""Which function answers which formula of dose.toml."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

MAP: dict[str, Callable[[Mapping[str, Any]], Any]] = {}
