"""Floor 1: cited chemistry and volume, pure functions of numbers or arrays."""
