"""Judged numbers of the tank, of effect words, of losses and of kits, and how far each moves the water."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import UTC, datetime, timedelta

import msgspec
import numpy as np

from tankward.knowledge.known import Facts
from tankward.knowledge.losing import loss_rates
from tankward.knowledge.records.base import Drawn
from tankward.knowledge.records.organism import Kit
from tankward.knowledge.records.substance import Effect, Loss
from tankward.model.draws import COUNTS, sweeping
from tankward.model.kits import half_width
from tankward.model.known import row, substance_rows
from tankward.model.living import REFERENCE_G, Living
from tankward.model.setup import Setup
from tankward.model.simulate import simulate
from tankward.model.tank import PROCESSES
from tankward.quantities.parse import Estimate
from tankward.room.acts import AnyAct, Clean, Dose, Feed, PowerCut
from tankward.water.animals import MASS_EXPONENT

from .lanes import HIGH, LOW, MIDDLE, Lanes, judged, middle
from .organisms import FISH, GRAM, LITRES

START = datetime(2026, 3, 1, 8, tzinfo=UTC)
HOURS, FIRST = 96, 24  # watched from the second day on: the beginning is the same for all
OXYGEN, NH3 = 0.02, 0.0002  # mg/L; what moves less is not told
MOST_TANKS = 3
BY_AMOUNT = ("formalin",)  # takes oxygen by what is poured, whatever its word
PARTS = ("dark", "light", "filter_naive", "filter_used", "carbon", "theta")
LIT, WARM_C = 9.0 / 24.0, 25.0


def tanks() -> dict[str, Setup]:
    """The tank of the facts' own trial, and others in which other numbers count."""
    breath = FISH * (GRAM / REFERENCE_G) ** MASS_EXPONENT
    living = Living(mass_g=Estimate.exact(FISH * GRAM), breath_50g=Estimate.exact(breath), planted=True)
    known = Setup(
        volume_l=Estimate.exact(LITRES),
        temp_c=Estimate.exact(25.0),
        ph=Estimate.exact(7.6),
        filter="sponge",
        filter_age_d=100.0,
        light_h=9.0,
        living=living,
    )
    change = msgspec.structs.replace
    chalk = Estimate.exact(80.0)
    return {
        "sponge": known,
        "no filter, air stone, heater": change(
            known, filter="none", air=True, heater=True, depth_cm=20.0, alkalinity=chalk, glass_cm2=8000.0,
            surface_cm2=2000.0, evaporates_l_d=Estimate.exact(0.5),
        ),
        "no filter": change(known, filter="none", depth_cm=20.0),
        "new filter with ripples": change(known, filter="canister", filter_age_d=5.0, alkalinity=chalk),
        "seeded filter": change(known, filter_age_d=1.0, filter_seeded=True),
        "young filter, substances": change(
            known,
            filter_age_d=30.0,
            levels={"formalin": Estimate.exact(25.0), "quinine": Estimate.exact(5.0)},
        ),
        "nothing known": Setup(volume_l=Estimate.exact(LITRES)),
    }  # fmt: skip


Acts = tuple[tuple[datetime, AnyAct], ...]


def done() -> dict[str, tuple[Setup, Acts]]:
    """Tanks in which something is done, for the numbers that count only then."""
    at, known = START + timedelta(hours=FIRST), tanks()["sponge"]
    crowd = msgspec.structs.replace(known, filter="canister")
    return {
        "sponge, formalin": (known, ((at, Dose(actives={"formalin": 25.0 * LITRES})),)),
        "canister, twelve hours without power": (crowd, ((at, PowerCut(hours=12.0)),)),
        "canister cleaned": (crowd, ((at, Clean()),)),
        "sponge, fed five times as much": (known, ((at, Feed(usual=5.0)),)),
    }


def water(facts: Facts, setup: Setup, acts: Acts = ()) -> tuple[float, float]:
    """Least oxygen and highest NH3, everything drawn in its middle. [mg/L, mg/L as N]"""
    with sweeping(middle):
        record = simulate(setup, acts, facts, start=START, hours=HOURS, draws=COUNTS[0])
    late = np.array(record.times_h) >= FIRST
    return float(record.levels("oxygen")[late, 0].min()), float(record.levels("nh3_n")[late, 0].max())


class Moved(msgspec.Struct, frozen=True, kw_only=True):
    """How far one number moves the water, in the tank in which it moves it most."""

    label: str
    tank: str = ""
    oxygen: tuple[float, float] = (0.0, 0.0)
    nh3: tuple[float, float] = (0.0, 0.0)

    @property
    def far(self) -> float:
        """In units of what is told; under 1 it is not."""
        return max(
            abs(self.oxygen[1] - self.oxygen[0]) / OXYGEN, abs(self.nh3[1] - self.nh3[0]) / NH3
        )  # fmt: skip

    @property
    def line(self) -> str:
        """Its row of the table."""
        o, n = self.oxygen, self.nh3
        return f"| {self.label} | {self.tank} | {o[0]:.1f} to {o[1]:.1f} | {n[0]:.4f} to {n[1]:.4f} |"


def at_ends(row: Drawn) -> tuple[Drawn, Drawn]:
    """The same row, a point at its low and at its high end."""
    change = msgspec.structs.replace
    return change(row, high=row.low), change(row, low=row.high)


def drawn_names() -> dict[str, str]:
    """Numbers of the processes by the fact behind them: one sweep moves them all."""
    return {fact: name for process in PROCESSES for name, fact in process.DRAWN.items()}


def swept(facts: Facts, setups: dict[str, Setup]) -> list[Moved]:
    """Every judged number of the processes, in the tank in which it moves most."""
    names = {fact: name for fact, name in drawn_names().items() if judged(row(facts, fact))}
    lanes, best = Lanes(list(names.values())), {fact: Moved(label=fact) for fact in names}
    told: dict[str, tuple[Setup, Acts]] = {name: (setup, ()) for name, setup in setups.items()}
    for tank, (setup, acts) in (told | done()).items():
        with sweeping(lanes.shares):
            record = simulate(setup, acts, facts, start=START, hours=HOURS, draws=lanes.draws)
        late = np.array(record.times_h) >= FIRST
        oxygen, nh3 = record.levels("oxygen")[late].min(axis=0), record.levels("nh3_n")[late].max(axis=0)
        for fact, name in names.items():
            one = Moved(label=fact, tank=tank, oxygen=lanes.ends(oxygen, name), nh3=lanes.ends(nh3, name))
            best[fact] = max(best[fact], one, key=lambda m: m.far)
    return list(best.values())


class Read(dict[str, Drawn]):
    """Rows of which it is noted which were read."""

    def __init__(self, rows: Mapping[str, Drawn]) -> None:
        super().__init__(rows)
        self.keys_read: set[str] = set()

    def __getitem__(self, key: str) -> Drawn:
        self.keys_read.add(key)
        return super().__getitem__(key)


def read_in(facts: Facts, setup: Setup) -> set[str]:
    """Which numbers of the tank a run asks for."""
    rows = Read(facts.tank)
    with sweeping(middle):
        noted = msgspec.structs.replace(facts, tank=rows)
        simulate(setup, (), noted, start=START, hours=1, draws=COUNTS[0])
    return rows.keys_read


def most(label: str, ends: tuple[Facts, Facts], setups: dict[str, Setup], acts: Acts = ()) -> Moved:
    """In which of these tanks it moves most."""
    found = Moved(label=label)
    for name, setup in setups.items():
        (a, b), (c, d) = (water(facts, setup, acts) for facts in ends)
        one = Moved(label=label, tank=name, oxygen=(a, c), nh3=(b, d))
        found = max(found, one, key=lambda m: m.far)
    return found


def tank_section(facts: Facts) -> Iterator[str]:
    """Numbers of the tank and of effect words."""
    setups = tanks()
    rows, read = swept(facts, setups), {name: read_in(facts, setup) for name, setup in setups.items()}
    for name in [n for n, r in facts.tank.items() if judged(r) and n not in drawn_names()]:
        low, high = (
            msgspec.structs.replace(facts, tank={**facts.tank, name: end})
            for end in at_ends(facts.tank[name])
        )
        here = {tank: setup for tank, setup in setups.items() if name in read[tank]}
        rows.append(most(name, (low, high), dict(list(here.items())[:MOST_TANKS])))
    for table in ("filter_effects", "oxygen_effects"):
        words = getattr(facts, table)
        rows += [_word(facts, table, word, r) for word, r in words.items() if judged(r)]
    yield "## The tank\n"
    yield "In the tank in which it moves most: the next four days, in seven in which nothing is done and in"
    yield "four in which something is: a dose, a power cut, a filter cleaned, much food. Effect words by a"
    yield "dose of a substance that has the word.\n"
    yield "| judged number | tank | least oxygen, mg/L | highest NH3, mg/L as N |\n| --- | --- | --- | --- |"
    yield "\n".join(m.line for m in sorted(rows, key=lambda m: -m.far) if m.far >= 1)
    yield f"\nHardly move it: {', '.join(m.label for m in rows if m.far < 1)}.\n"


def _word(facts: Facts, table: str, word: str, said: Drawn) -> Moved:
    on = "filter" if table == "filter_effects" else "oxygen"
    bearing = [x for x in facts.substances.values() if x.loss and not x.parts and _says(x.effect, on) == word]
    usual = {x.id: substance_rows(facts, x.id).usual for x in bearing if x.id not in BY_AMOUNT}
    by, level = next(((name, u) for name, u in usual.items() if u), ("", 0.0))
    label = f"{on} effect: {word}"
    if not by:
        return Moved(label=f"{label} (no substance has it)")
    dose = Dose(actives={by: level * LITRES})
    low, high = (
        msgspec.structs.replace(facts, **{table: {**getattr(facts, table), word: end}})
        for end in at_ends(said)
    )
    setups = {f"sponge, {by}": tanks()["sponge"]}
    return most(label, (low, high), setups, ((START + timedelta(hours=FIRST), dose),))


def _says(effects: Sequence[Effect], on: str) -> str:
    return next((e.level for e in effects if e.on == on), "unknown")


def loss_section(facts: Facts) -> Iterator[str]:
    """Half-lives of substances."""
    yield "## How fast substances go\n"
    yield "Hours until half is left, by the judged number from low to high, all others in the middle: a lit"
    yield f"tank of {WARM_C:g} °C, a run-in filter that never met it. With carbon or a filter that met it"
    yield "where that is the number. Empty: not judged, but read.\n"
    yield f"| substance | {' | '.join(PARTS)} |\n|{' --- |' * (len(PARTS) + 1)}"
    for s in facts.substances.values():
        if s.loss and any(judged(getattr(s.loss, part)) for part in PARTS):
            cells = [half_left(s.loss, part) if judged(getattr(s.loss, part)) else "" for part in PARTS]
            yield f"| {s.id} | {' | '.join(cells)} |"
    yield ""


def half_left(loss: Loss, part: str) -> str:
    """Hours until half is left, with one number at its low and at its high end."""
    lanes = {p: np.array([MIDDLE, MIDDLE]) for p in PARTS} | {part: np.array([LOW, HIGH])}
    rates = loss_rates(loss, lanes, WARM_C)
    taken = rates.filter_used if part == "filter_used" else rates.filter_naive
    all_ = rates.dark + LIT * rates.light + taken + (rates.carbon if part == "carbon" else 0.0)
    low, high = np.log(2) / all_
    return f"{low:.3g} to {high:.3g}"


def kit_section(facts: Facts) -> Iterator[str]:
    """Kits and tools: how far a reading may be off."""
    yield "## Kits\n"
    yield "Nine in ten readings lie within this of the truth, at the low and at the high end of the judged"
    yield "error; all of one bottle are off by the factor of its lot. Levels from a reading on, and so the"
    yield "highest ammonia and nitrite, move by the same share.\n"
    yield "| kit | at a reading of | error, low to high | lot, low to high |\n| --- | --- | --- | --- |"
    for kit in facts.kits.values():
        if judged(kit.error) or judged(kit.lot):
            shown = kit.steps[len(kit.steps) // 2] if kit.steps else 1.0
            low, high = (half_width(_sure(kit, end), shown) for end in (kit.error.low, kit.error.high))
            unit = "" if kit.unit == "1" else f" {kit.unit}"
            yield (
                f"| {kit.id} | {shown:g}{unit} | ± {low:.2g} to ± {high:.2g} | "
                f"{kit.lot.low:g} to {kit.lot.high:g} |"
            )
    yield ""


def _sure(kit: Kit, error: float) -> Kit:
    return msgspec.structs.replace(kit, error=msgspec.structs.replace(kit.error, low=error, high=error))
