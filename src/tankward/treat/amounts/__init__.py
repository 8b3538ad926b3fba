"""Amounts: how much goes in, what to put back, what a food holds, and what this keeper can measure of it."""
