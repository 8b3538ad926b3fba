"""Rooms for the pages: none, and one with a tank in trouble. All of it invented."""

import pytest

from .visitor import Visitor

# T2 of 45 L, nothing dosed; T7 with thin fish, shrimp and a snail, its water read today.
ROOM = """
1 May 2026 08:00  tank  T2  volume="45 L" temp=28C
1 May 2026 08:01  stock T2  kind=guppy number=22 length=2cm
1 May 2026 08:10  tank  T7  volume="35 L" temp=25C filter=sponge
1 May 2026 08:11  stock T7  kind=neon_rainbow name="dwarf rainbowfish" number=10 length=4cm
1 May 2026 08:12  stock T7  kind=amano_shrimp number=8
1 May 2026 08:13  stock T7  kind=nerite number=4
12 May 2026 20:00  reading T7  ammonia="0 mg/L as N" nitrite="0 mg/L as N" ph=7.4 temp=25C oxygen="7.5 mg/L"
"""


@pytest.fixture
def stranger(tmp_path):
    """Somebody with no room yet."""
    return Visitor(tmp_path / "empty")


@pytest.fixture
def keeper(tmp_path):
    """Somebody with two tanks."""
    return Visitor(tmp_path / "room", ROOM)
