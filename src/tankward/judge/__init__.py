"""What it means: limits, urgent, findings with water first, causes, refusals. Knows no remedy."""
