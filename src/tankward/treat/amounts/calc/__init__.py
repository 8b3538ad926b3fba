"""What a keeper may ask about amounts: each function is a command, a form and an answer with its working."""
