"""What holds the planner to its promises: whole enumeration, a general optimiser, the packet's own words."""
