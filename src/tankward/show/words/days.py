"""Days and hours as people say them, on the keeper's own clock."""

from __future__ import annotations

from datetime import date, datetime

from tankward.quantities.digits import plain_number
from tankward.room.time import day_of, local

FORTNIGHT = 14  # further away a day is told with its month
EVENING = 17  # from this hour on today is "tonight" [our own choice]


def clock(at: datetime, zone: str) -> str:
    """18:30."""
    return f"{local(at, zone):%H:%M}"


def day_margin(at: datetime, now: datetime, zone: str) -> str:
    """Today, Thu 14, or 2 Jun: short enough for a margin."""
    if day_of(at, zone) == day_of(now, zone):
        return "Today"
    there = local(at, zone)
    far = abs((day_of(at, zone) - day_of(now, zone)).days) > FORTNIGHT
    return f"{there.day} {there:%b}" if far else f"{there:%a} {there.day}"


def day_month(at: datetime, now: datetime, zone: str) -> str:
    """Today, or 14 May, or 14 Dec 25: for a margin that may reach far back."""
    there = local(at, zone)
    if there.date() == day_of(now, zone):
        return "Today"
    year = "" if there.year == local(now, zone).year else f" {there:%y}"
    return f"{there.day} {there:%b}{year}"


def day_said(at: datetime, now: datetime, zone: str) -> str:
    """Tonight, today, tomorrow, yesterday, or Thu 14 May."""
    there = local(at, zone)
    days = (day_of(at, zone) - day_of(now, zone)).days
    if days == 0:
        return "tonight" if there.hour >= EVENING and at >= now else "today"
    return {1: "tomorrow", -1: "yesterday"}.get(days, f"{there:%a} {there.day} {there:%b}")


def moment_line(now: datetime, zone: str) -> str:
    """Tue 12 May, 18:10."""
    there = local(now, zone)
    return f"{there:%a} {there.day} {there:%b}, {there:%H:%M}"


def day_written(iso: str) -> str:
    """A day that was kept as 2026-05-14: 14 May 2026."""
    there = date.fromisoformat(iso)
    return f"{there.day} {there:%b %Y}"


def days_said(hours: float) -> str:
    """How far apart: 12 hours, 4 days."""
    return f"{plain_number(hours / 24.0)} days" if hours > 24.5 else f"{hours:.0f} hours"


def since(hours: float) -> str:
    """How long ago: 40 minutes, 5 hours, 2 days."""
    if hours < 1.5:
        return f"{max(round(hours * 60), 1)} minutes" if hours * 60 >= 1.5 else "a minute"
    return f"{hours:.0f} hours" if hours < 36 else f"{hours / 24:.0f} days"
