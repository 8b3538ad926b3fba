"""Answers that need the chemistry and the facts: a tank, weight and breath of animals, hydrates."""
