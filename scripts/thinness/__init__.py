"""How far each judged number moves what the forecast says."""
