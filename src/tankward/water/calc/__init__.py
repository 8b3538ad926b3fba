"""What a keeper may ask of the chemistry; each function is a command, a form and an answer."""
