"""`tankward options`: what can be done about a cause, with or without a room."""

from __future__ import annotations

from cyclopts import App
from msgspec.structs import replace

from tankward.desk.find import find_tank
from tankward.desk.remedy import (
    Remedies,
    causes_named,
    counted_said,
    region_named,
    remedies_said,
    remedies_tank,
    young_named,
)
from tankward.desk.sources import titles
from tankward.desk.walk import Walk, examine_walk, read, signs
from tankward.knowledge.known import Facts
from tankward.knowledge.loader import load
from tankward.quantities.faults import BadInput
from tankward.show.answers_remedies import closed_row, open_row, turn_rows
from tankward.show.results import Source
from tankward.show.results_remedies import OptionsResult
from tankward.show.words import remedy_care as care
from tankward.show.words.cases import here_lines
from tankward.show.words.judge import water_line
from tankward.show.words.people import sore_lines
from tankward.show.words.remedies import not_judged, options_heading

from ..common import Common, opened


def options(
    tank: str = "",
    *,
    cause: str,
    seen: str = "",
    animals: str = "",
    volume: str = "",
    water: str = "",
    region: str = "",
    not_there: str = "",
    per_field: float | None = None,
    thin: str = "",
    common: Common = Common(),
) -> OptionsResult:
    """What can be done and what is ruled out: options T7 --cause hexamita, or options --cause white_spot.

    Parameters
    ----------
    tank
        A tank of the room; else what is said here.
    cause
        Against what; several parted by commas.
    seen
        Signs seen: what else is likely then stands with each remedy.
    animals
        Who lives there: "18 cherry_barb 3.5cm; 30 cherry_shrimp".
    volume
        How much water.
    water
        Readings: "ammonia 0.5 mg/L as N, pH 7.8, 26C".
    region
        Whose law holds: US, UK, EU, DE, other; nothing is the strictest.
    not_there
        "fry", "eggs": said not to be there.
    per_field
        Gut flagellates counted in one field of a low-power lens.
    thin
        Whether those fish are thin: yes, no; nothing is as the signs say.
    """
    facts = load()
    counted = counted_said("" if per_field is None else f"{per_field:g}", thin)
    causes, gone = causes_named([cause], facts), young_named([not_there], "not-there")
    home = ""
    if tank:
        said = {"animals": animals, "volume": volume, "water": water, "seen": seen, "region": region}
        for field, text in said.items():
            if text.strip():
                raise BadInput(field, text, "is known of a tank of the room: leave it out, or the tank.")
        with opened(common) as desk:
            room = desk.room()
            home = find_tank(room, tank).id
            found = remedies_tank(room, home, causes, common.moment, facts, gone=gone, **counted)
    else:
        walk = Walk(seen=signs([seen], facts), animals=animals, volume=volume, water=water)
        told = read(walk, facts)
        found = remedies_said(
            causes,
            told,
            facts,
            region=region_named(region),
            gone=gone,
            examined=examine_walk(walk, told, facts) if walk.seen else None,
            **counted,
        )
    return options_result(found, facts, common, tank, home)


def options_result(
    found: Remedies, facts: Facts, common: Common, tank: str = "", home: str = ""
) -> OptionsResult:
    """What can be done, as the command answers it; `home`: the id of the tank that was named."""
    now, zone, causes = common.moment, common.zone, found.options.causes
    rows = [
        replace(open_row(o, facts), here=here_lines(o, causes, found.past, home, now, zone))
        for o in found.options.open
    ]
    heading = options_heading(found.options, facts, lives=bool(found.stock), water=found.gate.opens)
    keys = [k for row in rows for k in row.source.split()]
    return OptionsResult(
        says=f"{water_line(found.findings, found.gate)}\n{heading}",
        causes=list(found.options.causes),
        region=found.region,
        not_there=list(found.gone),
        open=rows,
        ruled_out=[closed_row(r, facts, found.homes.get(r.id, "")) for r in found.options.ruled_out],
        turns=turn_rows(found.options, facts),
        carried=care.carries_words(found.options, facts),
        sorted_by=care.SORTED,
        report=care.report_words(tank),
        people=sore_lines(found.options.causes, facts),
        counted=care.germs_words(found.germs, found.options.causes, facts),
        cautions=not_judged(
            animals=bool(found.stock), volume=found.volume_l is not None, region=bool(found.region)
        ),
        sources=[Source(key=key, title=title, where=where) for key, title, where in titles(keys) if title],
        now=common.told,
    )


def add_to(app: App) -> None:
    """Add the command."""
    app.command(options)
