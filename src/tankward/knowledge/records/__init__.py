"""Typed records of the facts, by subject."""
