"""Which packets in which tanks: of the demo, the stories, an expert's case and the ten invented labels."""

from datetime import timedelta

from tankward.desk.demo.generate import demo_logbook
from tankward.knowledge.known import Facts
from tankward.room.replay import Room, replay

from .packets import Case
from .problems import Problem
from .rooms import CASE_1, HARD_WATER, NOW, T7, T8, with_packet

SACHET = "two-part sachet"
# As the labels of tests/data/labels.toml are typed in: by the id there.
LABELS = {
    "blend_a": (
        '"Blend A sachet" unit=sachet metronidazole="200 mg" acriflavine="60 mg" per=37.854L '
        'repeat-after="48 h" change-before=50% held-lawfully=yes',
        T8, ("white_spot", "velvet", "fungus"),
    ),
    "blend_b": (
        '"Blend B drops" unit=drop malachite_green="0.025 mg" formalin="1.85 mg" per=1L repeat-after="48 h" '
        "most-doses=5 held-lawfully=yes",
        T8, ("white_spot",),
    ),
    "blend_c": (
        '"Blend C liquid" unit=mL praziquantel="20 mg" dose=5 per=40L repeat-after="48 h" change-before=0% '
        "most-doses=3 held-lawfully=yes",
        T8, ("gill_flukes",),
    ),
    "blend_d": (
        '"Blend D tablets" unit=tablet levamisole="40 mg" per=20L repeat-after="14 days" change-before=50% '
        "held-lawfully=yes",
        T8, ("camallanus",),
    ),
    "blend_f": ('"Blend F liquid" unit=mL copper="16 mg" dose=5 per=113.56L', HARD_WATER, ("velvet",)),
}  # fmt: skip
NOT_COMPARED = {
    "blend_e": "a bath of 60 mg/L in a tub of its own, not for the tank",
    "blend_g": "salt against stress: no cause that anything could be compared for",
    "blend_h": "a conditioner for new water",
    "blend_i": "names no active ingredient: neither its level nor whom it harms can be worked out",
    "blend_j": "a bath of an hour, not for the tank",
}
NAMES = {key: words.split('"')[1] for key, (words, *_) in LABELS.items()}


def cases(facts: Facts) -> list[tuple[Case, Room | None]]:
    """Every case, and its room where that is no text."""
    room = replay(demo_logbook(NOW + timedelta(minutes=0), facts))
    found: list[tuple[Case, Room | None]] = [
        (Case(f"demo, {tank}", Problem(name, "", (name,), tank=tank), "gut and worm sachet"), room)
        for tank, name in (("T7", "hexamita"), ("T2", "gill_flukes"), ("T9", "gill_flukes"))
    ]
    for name in ("hexamita", "gill_flukes", "tapeworms"):
        found.append((Case("story, T7", Problem(name, T7, (name,)), SACHET), None))
    story_t8 = with_packet(T8, f'"{SACHET}" unit=sachet metronidazole="200 mg" praziquantel="90 mg" per=40L '
                           'repeat-after="48 h" change-before=50% held-lawfully=yes')  # fmt: skip
    found.append((Case("story, T8", Problem("gill_flukes", story_t8, ("gill_flukes",)), SACHET), None))
    found.append((Case("expert, 1", Problem("hexamita", CASE_1, ("hexamita",)), "sachet of case 1"), None))
    for key, (words, log, causes) in LABELS.items():
        for cause in causes:
            told = with_packet(log, words)
            found.append(
                (Case(f"label, {key[-1].upper()}", Problem(cause, told, (cause,)), NAMES[key]), None)
            )
    return found
