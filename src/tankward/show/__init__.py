"""Floor 7: words, charts and sheets made of results. Knows nothing of storage or pages."""
