"""Published case reports held against what the examination says and what the options offer."""
