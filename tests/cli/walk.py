"""One keeper's evening at the command line, in an empty folder: the words of each command, in order."""

NOW = "2026-05-14T18:00"
TANK = (
    "tank", "add", "name=T1", "size=60 x 30 x 36 cm", "glass=6mm", "fill=31cm", "substrate=4cm",
    "grain=1-2mm", "solids=2L", "filter=sponge", "temp=25C",
)  # fmt: skip
STOCK = (
    ("stock", "add", "T1", "kind=18 cherry barbs", "length=3.5cm"),
    ("stock", "add", "T1", "kind=30 cherry shrimp"),
    ("stock", "add", "T1", "kind=2 nerite snails"),
    ("stock", "add", "T1", "kind=moss"),
)
SACHET = (
    "shelf", "add", "name=invented sachet", "unit=sachet", "metronidazole=200mg", "praziquantel=90mg",
    "rule=1 sachet per 40 L", "repeat-after=48h", "change-before=30%", "most-doses=3",
)  # fmt: skip
POWDER = ("shelf", "add", "name=invented powder", "unit=g", "praziquantel=100 mg")
KIT = ("kit", "set", "scale=0.01g", "syringes=1mL,5mL,20mL", "region=UK")
READING = ("log", "reading", "T1", "ammonia=0.25 mg/L as N", "nitrite=0 mg/L as N", "ph=7.6", "temp=25C")
LOOK = ("log", "look", "T1", "seen=flashing, skinny back", "not-seen=white spots")
COURSE = (
    "--substance", "praziquantel", "--route", "water_long", "--supply", "invented powder",
    "--cause", "skin_flukes",
)  # fmt: skip
WRITES = (TANK, *STOCK, SACHET, POWDER, KIT, READING, LOOK)
ASKS = {
    "tanks": ("tank", "list"),
    "tank": ("tank", "show", "T1"),
    "stock": ("stock", "list", "T1"),
    "shelf": ("shelf", "list"),
    "packet": ("shelf", "show", "invented sachet"),
    "kit": ("kit",),
    "find": ("find", "ammonia"),
    "now": ("now", "T1"),
    "round": ("round",),
    "causes": ("causes", "T1"),
    "what-now": ("what-now", "T1"),
    "options": ("options", "T1", "--cause", "skin_flukes"),
    "course": ("course", "T1", *COURSE),
    "forecast": ("forecast", "T1", "--days", "3"),
    "print": ("print", "course", "T1", *COURSE, "--out", "{folder}/proposed.pdf"),
    "begin": ("course", "T1", *COURSE, "--begin"),
    "progress": ("progress", "T1"),
    "forecast of the course": ("forecast", "T1", "--days", "3"),
    "print what runs": ("print", "course", "T1", "--paper", "letter", "--out", "{folder}/runs.pdf"),
    "stop": ("course-stop", "T1", "--why", "invented"),
    "close": ("course-close", "T1", "outcome=no change", "note=invented"),
    "cases": ("cases", "T1"),
    "contact": ("contact", "T1"),
    "wind-down": ("wind-down", "T1", "strength=5%"),
    "quarantine": ("quarantine", "auction=8 platies 2.5cm", "food=3 %"),
}
NO_ROOM = {
    "options said": (
        "options", "--cause", "white_spot", "--animals", "18 cherry_barb 3.5cm; 30 cherry_shrimp",
        "--volume", "46L", "--region", "UK",
    ),
    "facts": ("facts", "praziquantel"),
    "fact names": ("facts",),
    "calculations": ("calc",),
    "redose": ("calc", "redose", "level=2mg/L", "now=0.9mg/L", "volume=54L", "change=30%"),
    "causes said": (
        "causes", "--seen", "gasping at the surface, flashing", "--not-seen", "white spots",
        "--water", "ammonia 0.5 mg/L as N, pH 7.8, 26C",
        "--animals", "18 cherry_barb 3.5cm; 30 cherry_shrimp",
        "--history", "new fish 10 days ago; filter cleaned",
    ),
    "what-now said": ("what-now", "--seen", "gasping at the surface", "--did", "dosed twice; carbon left in"),
}  # fmt: skip
