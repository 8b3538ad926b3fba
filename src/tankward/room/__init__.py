"""Floor 2: what there is and what happened; replay makes a Room of a logbook."""
