"""What can be done: remedies, amounts and the dated steps of a course."""
