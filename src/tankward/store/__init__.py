"""Keeps entries and attachments: append, read all, back up. Knows nothing that is made of them."""
