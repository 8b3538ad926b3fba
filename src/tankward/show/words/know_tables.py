"""How the tables of the facts are called on a page, in which order, and what a page should hold."""

from __future__ import annotations

from tankward.knowledge.looked_up import Where

TITLES = {
    "regimen": "How it is given",
    "tolerance": "Measured in animals",
    "potency": "What kills the germ",
    "sensitivity": "Who bears it, group by group",
    "effect": "What else it does",
    "loss": "How long it lasts in a tank",
    "stability": "What becomes of it",
    "solubility": "How much dissolves",
    "kinetics": "In the fish",
    "interaction": "What it does with others",
    "must not meet": "What must not meet",
    "form": "Salts and hydrates",
    "law": "What the law says, in general",
    "human": "People",
    "disposal": "Getting rid of it",
    "ceiling": "Where amounts are refused",
    "itself": "In short",
    "fact": "Figures",
    "reproduction": "Young",
    "growth": "Growth",
    "growth_point": "Growth, measured",
    "metabolic_rate": "Oxygen it uses",
    "metabolic_point": "Oxygen it uses, measured",
    "test": "Looks and tests",
    "published": "Measured",
    "basis": "Where the chances come from",
    "word": "What keepers call it",
    "zoonosis": "People",
    "advice": "What misleads",
    "parameter": "Figures that the forecast draws",
    "kill": "What reaches it",
    "life": "Where it lives",
    "duration": "How long each stage takes",
    "fecundity": "How many it makes",
    "survival": "How long it lasts",
    "infection": "How it takes hold",
    "host_effect": "What it does to fish",
    "limits": "Where it can live",
    "spread": "How it is carried",
    "susceptibility": "What it does not survive",
    "prevalence": "How often it was found",
    "risk": "What raises the risk",
    "notifiable": "Must it be reported?",
    "usual": "Usual course",
}
FIRST = ("itself", "regimen", "fact", "human", "must not meet", "effect", "tolerance")
LAST = ("parameter", "law", "form")
OPEN = ("must not meet", "ceiling", "human")  # never behind a touch
FOLDED = 8  # more rows than these open at a touch
KINDS: dict[Where, str] = {
    "substance": "Substances",
    "organism": "Organisms",
    "cause": "Causes",
    "sign": "Signs",
    "animal": "Animals",
    "plant": "Plants",
    "feed": "Foods",
    "food": "Feeding",
    "hygiene": "Hygiene",
    "kit": "Kits and tools",
    "water": "Water",
    "group": "Groups of animals",
    "context": "What happened before",
}
ONE_OF = {
    "substance": "substance",
    "organism": "germ",
    "cause": "cause",
    "sign": "sign",
    "animal": "animal",
    "plant": "plant",
    "feed": "food",
    "food": "feeding",
    "hygiene": "hygiene",
    "kit": "kit",
    "water": "water",
    "group": "group",
    "context": "what happened",
}
USES = {
    "keeper": "a keeper may use it",
    "vet": "for a veterinarian to order",
    "hazard": "not for a fish room",
    "historic": "only explained here",
}
GROUPS = {
    "signs": "What is seen",
    "against": "What speaks against it",
    "causes": "What it may be",
    "organisms": "Organisms",
    "remedies": "What is given against it",
    "reached": "What reaches it",
    "not-with": "Not together with",
    "parts": "What is in it",
    "animals": "Who belongs to it",
    "groups": "Its group",
}
OF_KIND = {
    ("causes", "substance"): "What it is given against",
    ("organisms", "substance"): "Which organisms it reaches",
    ("not-with", "sign"): "What it speaks against",
    ("causes", "organism"): "The illness it makes",
    ("organisms", "cause"): "What makes it",
}
MARK = {"lethal": "danger", "avoid": "danger", "caution": "caution", "ok": "done", "unknown": "unknown"}
# What a page of that kind should hold; what it does not is said.
EXPECTED: dict[str, tuple[tuple[str, str], ...]] = {
    "substance": (
        ("regimen", "how it is given"),
        ("tolerance", "a measured level that animals bear"),
        ("loss", "how long it lasts in a tank"),
        ("solubility", "how much dissolves"),
        ("potency", "what level kills a germ"),
        ("law", "what the law says of it"),
        ("human", "what it does to people"),
    ),
    "organism": (
        ("duration", "how long each stage takes"),
        ("survival", "how long it lasts without a fish"),
        ("kill", "what reaches it"),
        ("limits", "at which warmth it can live"),
        ("prevalence", "how often it is found"),
    ),
    "cause": (("test", "a test of how good is known"), ("published", "a measured figure")),
    "animal": (("growth", "how fast it grows"), ("reproduction", "how many young it has")),
}
QUANTITIES = {
    "temperature": "which warmth it needs",
    "pH": "which pH it bears",
    "hardness": "which hardness it bears",
    "oxygen_keep_above": "how much oxygen it needs",
    "length_weight": "how heavy it is for its length",
    "tolerance": "any substance measured in its own kind",
}
# What a thing is, field by field: label of each field of its record.
FIELDS: dict[str, tuple[tuple[str, str], ...]] = {
    "substance": (
        ("targets", "Against"),
        ("not_for", "Not for"),
        ("kind", "What it is"),
        ("dose_as", "Counted as"),
        ("use_note", "Who may use it"),
        ("care", "How much care"),
    ),
    "cause": (
        ("urgency", "How urgent"),
        ("onset", "Comes on within"),
        ("share_words", "Whom it takes"),
        ("human_hazard", "People"),
        ("notifiable", "To be reported"),
        ("note", ""),
    ),
    "sign": (("plain", "What is seen"), ("look", "How to look"), ("normal", "What is normal"), ("note", "")),
    "organism": (("kind", "What it is"), ("cycle", "How it lives"), ("host_range", "Whom it takes")),
    "animal": (
        ("scientific", "Latin"),
        ("names", "Also called"),
        ("diet", "Eats"),
        ("stages", "Stages"),
        ("sexing", "Male and female"),
        ("notes", ""),
    ),
    "plant": (("scientific", "Latin"), ("names", "Also called"), ("notes", "")),
    "feed": (
        ("moisture_low", "Water in it, from %"),
        ("moisture_high", "Water in it, up to %"),
        ("protein_low", "Protein, from %"),
        ("protein_high", "Protein, up to %"),
    ),
    "kit": (("reads", "Reads"), ("unit", "In"), ("step_words", "Steps")),
}
