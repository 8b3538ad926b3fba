"""How the logbook's table came to be, step by step."""
