"""Floor 6: today's jobs over all tanks, and how each tank stands."""
