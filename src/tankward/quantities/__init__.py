"""Floor 0: units, what people write, what can be measured, and the working of a number."""
