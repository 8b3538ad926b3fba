"""Tankward: from "something looks off" to the right amounts and dated steps, for small freshwater tanks."""

__version__ = "0.1.0"
