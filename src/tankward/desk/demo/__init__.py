"""The demo room: everything in it is invented."""
