"""What is known: facts with source and status, read from TOML into records, and the beliefs made of them."""
