"""Cited chemistry and volumes, on numbers and arrays. Knows no tanks."""
