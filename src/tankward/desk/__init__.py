"""Floor 8: opens a room, replays, caches, appends; holds the list of calculations that both faces share."""
