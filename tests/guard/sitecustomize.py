"""Loaded by every Python that a test starts: the guard holds there too."""

import loopback_only

loopback_only.start()
