"""The planner: from the keeper's wishes to the few courses that are each the best of their kind."""
