"""The rooms of the cases, as their keepers would type them. All invented."""

CASE_1 = (
    ("tank", "add", "name=T1", "size=75.5 x 30 x 35 cm", "fill=31cm", "substrate=4cm", "grain=1-2mm",
     "solids=2L", "filter=sponge", "temp=25C"),
    ("stock", "add", "T1", "kind=25 platies", "sex=female", "length=3.0cm"),
    ("stock", "add", "T1", "kind=15 platies", "name=platy males", "sex=male", "length=2.2cm"),
    ("stock", "add", "T1", "kind=20 cherry shrimp"),
    ("stock", "add", "T1", "kind=6 ramshorn snails"),
    ("stock", "add", "T1", "kind=4 pygmy cory"),
    ("stock", "add", "T1", "kind=moss"),
    ("shelf", "add", "name=sachet", "unit=sachet", "metronidazole=240mg", "praziquantel=80mg",
     "rule=1 sachet per 10 US gal", "repeat-after=48h", "change-before=50%", "held-lawfully=yes"),
    ("kit", "set", "scale=0.1g", "syringes=1mL,5mL,20mL", "region=UK"),
    ("log", "reading", "T1", "ammonia=0 mg/L as N", "nitrite=0 mg/L as N", "ph=7.6", "temp=25C"),
    ("log", "look", "T1", "seen=sunken belly, white stringy droppings", "onset=weeks", "share=some"),
)  # fmt: skip

CASE_2 = (
    ("tank", "add", "name=W", "volume=58L", "temp=24C", "filter=sponge"),
    ("stock", "add", "W", "kind=8 kuhli loaches", "length=8cm"),
    ("stock", "add", "W", "kind=12 harlequins", "length=3.5cm"),
    ("stock", "add", "W", "kind=30 cherry shrimp"),
    ("stock", "add", "W", "kind=moss"),
    ("log", "reading", "W", "ammonia=0 mg/L as N", "nitrite=0 mg/L as N", "ph=7.0", "temp=24C", "kh=4 dKH"),
    ("log", "look", "W", "seen=white spots", "onset=days", "share=some"),
)

CASE_4 = (
    ("tank", "add", "name=A", "volume=28L", "temp=25C", "filter=sponge", "filter-age=2d"),
    ("tank", "add", "name=B", "volume=11L", "temp=25C", "filter=sponge"),
    ("stock", "add", "A", "kind=8 platies", "length=2.5cm"),
    ("stock", "add", "B", "kind=30 guppies", "stage=fry", "length=0.8cm"),
    ("log", "reading", "A", "ammonia=0 mg/L as N", "nitrite=0 mg/L as N", "ph=8.0", "temp=25C"),
)  # fmt: skip

# The same before they came: A stands ready and empty, B is full of fry.
CASE_4_READY = tuple(line for line in CASE_4 if line[:3] != ("stock", "add", "A"))

CASE_5 = (
    ("tank", "add", "name=T1", "volume=63L", "temp=25C", "filter=sponge"),
    ("stock", "add", "T1", "kind=dont-know", "name=the timid two", "number=2"),
    ("stock", "add", "T1", "kind=4 pygmy cory"),
    ("stock", "add", "T1", "kind=20 cherry shrimp"),
    ("stock", "add", "T1", "kind=moss"),
)  # fmt: skip

# Its leftovers three weeks after the last thin fish: three courses were given, the cause was never known.
CASE_5_LEFT = (
    ("tank", "add", "name=T1", "volume=63L", "temp=25C", "filter=sponge", "tap=chloramine"),
    ("tank", "add", "name=T2", "volume=40L", "temp=25C", "filter=sponge"),
    ("tank", "add", "name=T3", "volume=20L", "temp=25C", "filter=sponge"),
    ("stock", "add", "T1", "kind=dont-know", "name=the timid two", "number=2"),
    ("stock", "add", "T1", "kind=4 pygmy cory"),
    ("stock", "add", "T1", "kind=1 bristlenose", "length=9cm"),
    ("stock", "add", "T1", "kind=20 cherry shrimp"),
    ("stock", "add", "T1", "kind=moss"),
    ("stock", "add", "T2", "kind=6 cherry barb"),
    ("log", "look", "T1", "seen=sunken belly, white stringy droppings", "when=2026-04-23T18:00"),
    ("log", "dose", "T1", "metronidazole=240mg", "when=2026-04-24T18:00"),
    ("log", "dose", "T1", "metronidazole=240mg", "when=2026-04-30T18:00"),
    ("log", "dose", "T1", "metronidazole=240mg", "when=2026-05-06T18:00"),
)
