"""The invented room, read from laundry.toml: what stands there, who lives in it, what is on the shelf."""

from __future__ import annotations

import tomllib
from datetime import datetime
from pathlib import Path
from typing import Any

from tankward.quantities.parse import Estimate
from tankward.room.entries.animals import StockAdded
from tankward.room.entries.base import Entry
from tankward.room.entries.shelf import SupplyAdded
from tankward.room.entries.tanks import TankAdded
from tankward.room.things import Active, LabelRule, Stock, Supply, Tank

from .ids import Ids

ROOM: dict[str, Any] = tomllib.loads((Path(__file__).parent / "laundry.toml").read_text(encoding="utf-8"))
ABOUT = 0.15  # either way, of a number that the keeper gives as "about"


def tank_of(row: dict[str, Any], place: int) -> Tank:
    length, width, fill = row["size"]
    return Tank(
        id=row["name"],
        name=row["name"],
        length_cm=length,
        width_cm=width,
        height_cm=row["height"],
        fill_cm=fill,
        substrate_cm=row.get("substrate_cm", 0.0),
        grain=row.get("grain", ""),
        solids_l=row.get("solids_l", 0.0),
        filter=row.get("filter", "sponge"),
        filter_age_d=400.0,
        temp_c=Estimate.exact(row["temp_c"]),
        heater=row.get("heater", True),
        light_h=9.0,
        air=ROOM["air"],
        tap=ROOM["tap"],
        shelf=row["shelf"],
        place=place,
    )


def stock_of(row: dict[str, Any], tank: str, index: int) -> Stock:
    number = float(row["number"])
    spread = ABOUT * number if row.get("about") else 0.0
    length = row.get("length_cm")
    return Stock(
        id=row.get("id", f"{tank}-{index}"),
        tank=tank,
        kind=row["kind"],
        name=row["name"],
        number=Estimate(number, number - spread, number + spread),
        length_cm=None if length is None else Estimate(length, 0.9 * length, 1.1 * length),
        stage=row.get("stage", "adult"),
        sex=row.get("sex", ""),
        source=row.get("source", ""),
    )


def supply_of(row: dict[str, Any]) -> Supply:
    rule = row.get("rule")
    return Supply(
        id=row["name"],
        name=row["name"],
        unit=row["unit"],
        actives=tuple(Active(substance=s, mg=float(mg)) for s, mg in row["actives"].items()),
        rule=LabelRule(**rule) if rule else None,
        left=float(row["left"]),
    )


def set_up(at: datetime, zone: str, ids: Ids) -> list[Entry]:
    """The room as it stood on the first day of the logbook."""
    entries: list[Entry] = [
        SupplyAdded(id=ids.at(at), at=at, zone=zone, thing=supply_of(row)) for row in ROOM["supply"]
    ]
    for place, row in enumerate(ROOM["tank"]):
        tank = tank_of(row, place)
        entries.append(TankAdded(id=ids.at(at), at=at, zone=zone, tank=tank.id, thing=tank))
        for index, group in enumerate(row["stock"]):
            stock = stock_of(group, tank.id, index)
            entries.append(StockAdded(id=ids.at(at), at=at, zone=zone, tank=tank.id, thing=stock))
    return entries
