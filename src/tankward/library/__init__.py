"""The face for programs: rooms opened, tanks forecast, numbers as arrays and columns. See docs/library.md."""

from tankward.quantities.faults import BadInput

from .forecasts import TankForecast
from .rooms import OpenRoom, open_room, read_room, warm

__all__ = ["BadInput", "OpenRoom", "TankForecast", "open_room", "read_room", "warm"]
