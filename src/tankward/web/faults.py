"""Faults of input beside the fields that they are about."""

from __future__ import annotations

from tankward.quantities.faults import BadInput, BadInputs


def by_field(fault: BadInput) -> dict[str, str]:
    """Each field with its sentence; several faults may come at once."""
    faults = fault.faults if isinstance(fault, BadInputs) else (fault,)
    return {f.field: str(f) for f in faults}
