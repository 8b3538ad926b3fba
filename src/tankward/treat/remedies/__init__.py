"""What can be done about a cause: substances by route, and what needs no medicine."""
