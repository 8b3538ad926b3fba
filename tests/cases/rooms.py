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
