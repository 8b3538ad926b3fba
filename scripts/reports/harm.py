"""Would an option have harmed? Rules written apart from the code that makes options: from the facts alone.

Each returns words for what it found. None of them asks `treat/` anything; they see what is offered, who lives
in the tank and what the report says of its water.
"""

from collections.abc import Iterator

HARMFUL = ("lethal", "avoid")
SHARE_OF_LC50 = 0.25
CLOSED_USES = ("hazard", "historic")
TAKES_OXYGEN_OR_FILTER = ("formalin", "copper", "potassium_permanganate")
POISONOUS_AMMONIA = 0.1  # mg/L NH3-N: no medicine above it (safety rule 20)


def harms(option, stock, facts, *, region="", nh3_n=None, still_in=()) -> Iterator[str]:
    """What is wrong with an open option.

    Parameters
    ----------
    option : Option
        As it is offered.
    stock : sequence of Stock
        Who lives in the tank.
    facts : Facts
        The facts.
    nh3_n : float, optional
        The poisonous part of ammonia, where the report gives it. [mg/L]
    still_in : sequence of str
        Substances that the report says are in the water.
    """
    if not option.substance:
        return
    one = facts.substances[option.substance]
    parts = [facts.substances[p] for p in one.parts] or [one]
    yield from _whom(option, parts, stock, facts)
    yield from _not_meant(option, parts, stock, facts)
    yield from _law(option, one, parts, region)
    yield from _meets(parts, still_in, facts)
    if option.place == "tank" and nh3_n is not None and nh3_n > POISONOUS_AMMONIA:
        yield from (f"{p.id} while ammonia is at a poisonous level" for p in parts if _burdens(p))


def _burdens(part) -> bool:
    return part.id in TAKES_OXYGEN_OR_FILTER or part.kind in ("antibiotic", "external biocide")


def _whom(option, parts, stock, facts) -> Iterator[str]:
    said_out = {r.would_change for r in option.cautions if r.would_change.startswith("take the ")}
    goes_in = [s for s in stock if s.id not in option.left_out]
    goes_in = [s for s in goes_in if not any(f"take the {s.name} out first" in words for words in said_out)]
    if option.regimen is not None and option.regimen.unit == "mg chloride per mg nitrite":
        return  # some tenths of a gram in a litre
    meets = goes_in if option.place in ("tank", "") else [s for s in goes_in if _is_fish(s, facts)]
    if option.place in ("food", "fish"):
        return
    for who in meets:
        group = _group(who, facts)
        for part in parts:
            worst = [row.cls for row in part.sensitivity if row.group in (group, who.kind)]
            if any(cls in HARMFUL for cls in worst):
                yield f"{part.id} is {worst[0]} for {who.kind}"
            level = _level(option, part)
            for row in part.tolerance:
                own = who.kind in row.applies_to
                lethal = "lc50" in row.endpoint.lower().replace(" ", "") and row.unit == option.regimen.unit
                stays = option.regimen.left_in or (option.regimen.duration_h_high or 0) >= 48
                long = (row.exposure_h or 0) >= 48 and row.low is not None and level is not None
                if own and lethal and stays and long and level > SHARE_OF_LC50 * row.low:
                    yield f"{part.id} at {level:g} {row.unit} is over a quarter of the LC50 of {who.kind}"


def _level(option, part):
    regimen = option.regimen
    return regimen.high if regimen is not None and option.substance == part.id else None


NAMED = {  # words of `not_for` -> whom they mean, by group or kind of animal
    "shrimp": ("shrimp",),
    "crayfish": ("crayfish",),
    "crustacean": ("shrimp", "crayfish"),
    "invertebrate": ("shrimp", "crayfish", "snail"),
    "snail": ("snail",),
    "planted": ("plant",),
    "labyrinth": ("labyrinth",),
    "characin": ("tetra",),
    "loach": ("loach",),
    "catfish": ("corydoras", "loricariid"),
}


def _not_meant(option, parts, stock, facts) -> Iterator[str]:
    here = {g for s in stock if s.id not in option.left_out for g in _kinds(s, facts)}
    for part in parts:
        if part.never_with_animals:
            yield f"{part.id} never goes where animals are"
        for words in part.not_for:
            if words == option.cause.replace("_", " "):
                yield f"{part.id} is not for {words}"
            whom = {k for word, kinds in NAMED.items() if word in words for k in kinds}
            wet = option.place == "tank" and " above " not in words
            if wet and any(g.startswith(k) for g in here for k in whom):
                yield f"{part.id} is not for {words}"


def _kinds(who, facts):
    if who.kind in facts.animals:
        return {facts.animals[who.kind].kind, facts.animals[who.kind].group}
    return {"plant"} if who.kind in facts.plants else set()


def _law(option, one, parts, region) -> Iterator[str]:
    uses = {p.use for p in (one, *parts)}
    closed = uses & set(CLOSED_USES)
    if closed:
        yield f"{one.id} is {' and '.join(sorted(closed))}"
    if "vet" in uses and not (option.permission and option.permission.may in ("vet", "held")):
        yield f"{one.id} belongs to a veterinarian and none is named"


def _meets(parts, still_in, facts) -> Iterator[str]:
    mine = {p.id for p in parts}
    for pair in facts.tables.pair:
        for a, b in ((pair.a, pair.b), (pair.b, pair.a)):
            apart = pair.rule in ("never", "separate") and pair.severity != "helpful"
            if a in mine and b in still_in and apart:
                yield f"{a} with {b}, which is in the water"


def _group(who, facts):
    if who.kind in facts.animals:
        return facts.animals[who.kind].group
    return facts.plants[who.kind].group if who.kind in facts.plants else ""


def _is_fish(who, facts):
    return who.kind in facts.animals and facts.animals[who.kind].kind == "fish"
