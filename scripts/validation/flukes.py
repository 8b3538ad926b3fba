"""Flukes on single guppies: counts over days, and what the life tables say."""

from __future__ import annotations

import numpy as np
from scipy.stats import beta

from tankward.model.aged import aged
from tankward.model.lives.kills import reaches
from tankward.model.lives.numbers import Numbers, breeding
from tankward.model.whole import Animals, follow
from tankward.quantities.parse import Estimate
from tankward.room.weight import one_g

from .settings import DAY, DRAWS, Model, band, course, even, herd, holds, shown, water
from .verdict import Counts, Finding, Picture, Told, experiments

TAIL = 1.2  # length over standard length of a guppy
LITRES = 1.0  # of water for one fish
MOST = 2000  # worms on one fish that are still followed; none was counted with more than 954
SEED = 20260301
NEEDED = 0.8  # share of the counts that the band has to hold
REPEATED = 7  # day of one group whose counts repeat those of another day
EARLY = 2  # third count, on day 5: before any fish resists
FLUKE = "gyrodactylus"


def fish_of(model: Model, id_: str) -> Animals:
    """Single fish of one experiment: each starts with the count of one of its fish."""
    told = experiments()[id_]
    counts, lengths = np.array(told["counts"]), np.array(told["standard_length_mm"])
    turn = np.arange(DRAWS) % len(counts)
    curve = [one_g("guppy", Estimate.exact(TAIL * mm / 10.0), model.facts) for mm in lengths]
    low, high = (np.array([getattr(g, end) for g in curve])[turn] for end in ("low", "high"))
    grams = low * (high / low) ** even(0.05, 0.95, turn=5)
    life = model.life(FLUKE, herd(fish=1, gram=grams, litres=LITRES))
    days = [day - 1 for day in told["t"]]
    around = water(model, days=days[-1], temp_c=told["setup"]["temp_c"])
    made = aged(life, around.around(0, after=True))
    start = np.zeros((made.life.table.rows, DRAWS))
    start[0] = start[life.table.fish] = 1.0
    chance = np.random.default_rng(SEED)
    for draw in range(DRAWS):  # worms of any age were put on
        start[list(made.rows), draw] = chance.multinomial(counts[turn[draw], 0], made.stable[:, draw])
    minutes = tuple(day * DAY for day in days)
    told_all = course(made.life, around, start, days=days[-1])
    return follow(told_all, minutes, seed=SEED, counted=True, most=MOST, mothers=made.mothers)


def counts(model: Model, id_: str) -> Told:
    """Counts of the living, fish that are rid of them, fish that died."""
    told = experiments()[id_]
    seen, found = np.array(told["counts"]), fish_of(model, id_)
    bands, points, inside, half, far = [], [], [], [], []
    for n, day in enumerate(told["t"]):
        living, counted = found.burden[n][found.alive[n]], seen[seen[:, n] >= 0, n]
        low, middle, high = band(living)
        bands.append((day, low, middle, high))
        points += [(day, int(c)) for c in counted]
        if n == 0 or ("trap" in told and day == REPEATED):
            continue
        inside += list((counted >= low) & (counted <= high))
        quarter, three = np.quantile(living, (0.25, 0.75))
        half += list((counted >= quarter) & (counted <= three))
        far += [_far(np.log1p(living), np.log1p(c)) for c in counted]
    last, living = seen[:, -1], found.alive[-1]
    rid = (found.burden[-1] == 0) & living
    return Told(
        id=id_,
        setting=(
            f"{DRAWS} single fish of the lengths given ({TAIL:g} times the standard length, by the "
            "curve of the "
            f"guppy), each with numbers of its own and worms that bear at an age, in {LITRES:g} L "
            "without a filter; "
            "starting counts as published."
        ),
        findings=(
            Finding(
                what="counts of the living in the band of single fish, 80 % of them or more",
                published=f"{len(inside)} counts",
                model=f"{sum(inside)} inside ({np.mean(inside):.1%})",
                inside=float(np.mean(inside)) >= NEEDED,
                why=_why_counts(seen, bands, told),
            ),
            _share(
                "living fish rid of them on the last day",
                int((last == 0).sum()),
                int((last >= 0).sum()),
                rid.sum() / max(living.sum(), 1),
                "",
            ),
            _share(
                "dead by the last day", int((last < 0).sum()), len(last), 1.0 - living.mean(), "consistency"
            ),
        ),
        picture=Picture(x="day", y="worms on a fish", band=tuple(bands), points=tuple(points), log=True),
        counts=Counts(
            of=len(inside),
            inside=int(sum(inside)),
            inner=float(np.mean(half)),
            far=float(np.mean(far)),
            early_seen=int((seen[:, EARLY] == 0).sum()),
            early_of=int((seen[:, EARLY] >= 0).sum()),
            early=float((found.burden[EARLY][found.alive[EARLY]] == 0).mean()),
        ),
    )


def _far(living: np.ndarray, counted: float) -> float:
    """Continuous ranked probability score of one count. [ln]"""
    order, n = np.sort(living), living.size
    spread = float((2 * np.arange(1, n + 1) - n - 1) @ order) / n**2
    return float(np.abs(order - counted).mean()) - spread


def _why_counts(seen: np.ndarray, bands: list[tuple[float, float, float, float]], told: dict) -> str:  # type: ignore[type-arg]
    above = below = 0
    for n, (_, low, _, high) in enumerate(bands[1:], 1):
        counted = seen[seen[:, n] >= 0, n]
        above, below = above + int((counted > high).sum()), below + int((counted < low).sum())
    return (
        f"{above} lie above the band, {below} below; published growth to day 9 is "
        f"{told['growth_rate_day1_to_9']} a day"
    )


def _share(what: str, seen: int, of: int, model: float, role: str) -> Finding:
    low, high = binomial(seen, of)
    side = "more" if model > high else "fewer" if model < low else ""
    return Finding(
        what=what,
        published=f"{seen} of {of} (95 %: {low:.2f} to {high:.2f})",
        model=f"{model:.2f} of the fish",
        inside=low <= model <= high,
        role=role,
        why=f"the model has {side} of them" if side else "",
    )


def binomial(seen: int, of: int) -> tuple[float, float]:
    """95 % range of a share that was seen so many times."""
    low = 0.0 if seen == 0 else float(beta.ppf(0.025, seen, of - seen + 1))
    high = 1.0 if seen == of else float(beta.ppf(0.975, seen + 1, of - seen))
    return low, high


def by_temperature(model: Model) -> Told:
    """Growth and death over temperature."""
    told, n = experiments()["gyro_r_by_temperature"], Numbers(model.organism(FLUKE), DRAWS)
    at = told["setup"]["temp_c"]
    r = {t: _growth(n, t) for t in at}
    life = {t: 1.0 / n.of("natural", "worm", t) for t in at}
    top = max(at, key=lambda t: float(np.median(r[t])))
    longest = max(at, key=lambda t: float(np.median(life[t])))
    dies = n.of("growth", "worm", 30.0) * breeding(n, 30.0) - n.of("hot_kill") * 1.0
    return Told(
        id="gyro_r_by_temperature",
        setting="Growth and death of the facts at the temperatures given.",
        findings=(
            Finding(
                what="growth at 27.5 °C, 1/d",
                published="0.23",
                model=shown(r[27.5]),
                inside=holds(r[27.5], told["r_max_per_d"]),
            ),
            Finding(
                what="warmth of the fastest growth, °C",
                published="27.5",
                model=f"{top:g}",
                inside=top == told["r_max_at_c"],
            ),
            Finding(
                what="warmth of the longest life, °C",
                published="21",
                model=f"{longest:g}",
                inside=longest == told["lifespan_max_at_c"],
                why="" if longest == 21 else "below 21 °C the row of 21 °C holds, so 17 °C is no shorter",
            ),
            Finding(
                what="growth less the death by heat at 30 °C, 1/d",
                published="none live",
                model=shown(dies),
                inside=band(dies)[1] < 0,
            ),
        ),
        picture=Picture(
            x="°C",
            y="growth, 1/d",
            band=tuple((t, *band(r[t])) for t in at),
            points=((27.5, told["r_max_per_d"]),),
        ),
    )


def _growth(n: Numbers, temp_c: float) -> np.ndarray:
    return n.of("growth", "worm", temp_c) * breeding(n, temp_c)


def demography(model: Model) -> Told:
    """The life table: 0.19 a day."""
    n = Numbers(model.organism(FLUKE), DRAWS)
    r, death = n.of("growth", "worm", 25.0), n.of("natural", "worm", 25.0)
    told = experiments()["gyro_demography"]
    published = told["birth_rate_per_d"] - told["death_rate_per_d"]
    return Told(
        id="gyro_demography",
        setting="25 °C is assumed, as in the facts.",
        findings=(
            Finding(
                what="growth, 1/d", published=f"{published:.2f}", model=shown(r), inside=holds(r, published)
            ),
            Finding(
                what="births, 1/d",
                published="0.43",
                model=shown(r + death),
                inside=holds(r + death, told["birth_rate_per_d"]),
            ),
        ),
    )


def salt(model: Model) -> Told:
    """A short bath in strong salt."""
    life = model.life(FLUKE, herd(fish=1, gram=0.12, litres=1.0))
    found, _ = reaches(
        life.organism, life.gathered, "bath", {"sodium_chloride": 25.0}, {"sodium_chloride": "g/L"}, DRAWS
    )
    worm = next(r for r in found if r.stage == "worm")
    share = 1.0 - np.exp(-worm.rate(25.0) * 0.25 / 24.0)
    told = experiments()["gyro_salt"]["bath_25_g_l_15min_removed"]
    return Told(
        id="gyro_salt",
        setting="The bath alone: how well worms settle or grow in weaker salt is no number of the facts.",
        findings=tuple(
            Finding(
                what=f"share of {species} removed by 25 g/L in 15 min",
                published=f"{seen:.2f}",
                model=shown(share),
                inside=band(share)[0] - 0.15 <= seen <= band(share)[2] + 0.15,
            )
            for species, seen in told.items()
        ),
    )
