"""A course: dated steps from the water first to the last look, with amounts in the keeper's own measure."""
