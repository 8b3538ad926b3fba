"""Measuring step by step: what is asked, one question at a time, and how it is done."""

from __future__ import annotations

import msgspec


class Asked(msgspec.Struct, frozen=True, kw_only=True):
    """One question. `unit` stands beside the field; `unknown` is what to do where nobody knows."""

    key: str
    says: str
    hint: str = ""
    unit: str = ""
    unknown: str = ""  # "" = it may be left unknown
    choices: tuple[tuple[str, str], ...] = ()
    several: bool = False
    value: str = ""  # stands in the field already


class Guide(msgspec.Struct, frozen=True, kw_only=True):
    """One thing to measure."""

    word: str
    title: str
    why: str = ""
    steps: tuple[str, ...] = ()
    asked: tuple[Asked, ...] = ()
    row: str = ""  # its line in a list
    of_tank: bool = False


POWDER = Asked(
    key="powder", says="Which powder?", hint="like salt, praziquantel",
    unknown="A spoon of one powder weighs otherwise than a spoon of the next. Read the name on the packet.",
)  # fmt: skip
SCALE_STEP = Asked(
    key="step", says="What is the step of your scale?", hint="the last digit it can show, like 0.1", unit="g"
)
GUIDES: dict[str, Guide] = {
    g.word: g
    for g in (
        Guide(
            word="spoon", title="Weigh a spoon", row="Weigh a spoon, once for each powder",
            why="Then amounts can be told in your own spoons.",
            steps=(
                "A dry cup on the scale, set to zero.",
                "Ten spoons of the powder into the cup, each struck level with a knife.",
                "Read the scale. Ten together are three times as sure as one.",
            ),
            asked=(
                Asked(key="spoon", says="Which spoon?", hint="like teaspoon, blue scoop",
                      unknown="Give it a name that you will know it by: teaspoon, blue scoop."),
                POWDER,
                Asked(key="spoons", says="How many level spoons went into the cup?", value="10",
                      unknown="Empty the cup and count again: ten is a good number."),
                Asked(key="mass", says="What do they weigh together?", unit="g",
                      unknown="No scale at hand? Then leave it: amounts go by how dense the powder lies."),
                SCALE_STEP,
            ),
        ),
        Guide(
            word="hose", title="Time the hose", row="Time the hose into a bucket",
            why="Then a change can be told in minutes of your hose.",
            steps=(
                "Open the tap as far as you do for a change.",
                "The hose into an empty bucket: start the clock.",
                "Stop it when the water reaches the mark.",
            ),
            asked=(
                Asked(key="volume", says="How much does the bucket hold, to that mark?", unit="L",
                      unknown="Weigh it: full less empty, a kilogram is a litre."),
                Asked(key="time", says="How long until it was full?", unit="s", hint="or like 2 minutes",
                      unknown="Time it again: the clock of the phone will do."),
            ),
        ),
        Guide(
            word="scale", title="Your scale", row="Your scale",
            why="Nobody is asked to weigh less than ten of its steps.",
            asked=(msgspec.structs.replace(SCALE_STEP, key="scale"),),
        ),
        Guide(
            word="syringes", title="Your syringes", row="Your syringes",
            asked=(Asked(key="syringes", says="Which syringes?", hint="all, like 1, 5, 20", unit="mL"),),
        ),
        Guide(
            word="buckets", title="Your buckets", row="Your buckets",
            why="To the mark you fill them to. Changes are then told in buckets.",
            asked=(Asked(key="buckets", says="Which buckets?", hint="all of them, like 10, 5", unit="L"),),
        ),
        Guide(
            word="tests", title="Which test kits are yours?", row="Your test kits",
            why="A reading is then taken with the error of that kit.",
            asked=(Asked(key="tests", says="Tick what you have", several=True),),
        ),
        Guide(
            word="netful", title="Weigh a netful", row="Weigh a netful", of_tank=True,
            why="Food and medicine go by weight, and length alone can be out by half.",
            steps=(
                "A jar of their own water on the scale, set to zero.",
                "Ten of them into the jar, the net drained first: no drips.",
                "Read the scale, then tip them back. A minute in all.",
            ),
            asked=(
                Asked(key="stock", says="Which animals?", unknown="Choose the group that was weighed."),
                Asked(key="number", says="How many went into the jar?", value="10",
                      unknown="Count them as they go back."),
                Asked(key="mass", says="What did the scale show?", unit="g",
                      unknown="Weigh again: they need not be the same ten."),
                SCALE_STEP,
            ),
        ),
        Guide(
            word="count", title="Count buckets", row="Count buckets", of_tank=True,
            why="The surest way to know how much water is in it.",
            steps=(
                "On a day when most of the water goes out: fish in a tub with an air stone.",
                "Each bucket to the same mark, out or in. Count them, halves too.",
                "What is left for the last one: measured with a jug.",
            ),
            asked=(
                Asked(key="buckets", says="How many buckets?", hint="halves too, like 3.5",
                      unknown="Then it was not counted. Salt and a pen tell it without emptying."),
                Asked(key="bucket", says="How much does one hold, to its mark?", unit="L",
                      unknown="Weigh it: full less empty, a kilogram is a litre."),
                Asked(key="rest", says="How much was left for the last?", hint="nothing: 0", unit="L"),
            ),
        ),
        Guide(
            word="salt", title="Salt and a pen", row="Salt and a conductivity pen", of_tank=True,
            why="How much the water holds, without emptying it.",
            steps=(
                "Read the pen in the tank. The same pen for everything.",
                "A jar of the tank's own water: read it, stir in a pinch of weighed salt, read it again.",
                "Dissolve the weighed salt in a cup of tank water, pour it where the water moves.",
                "After half an hour, when the pen stands still, read the tank again.",
            ),
            asked=(
                Asked(key="salt", says="How much salt went into the tank?", unit="g",
                      unknown="Without its weight nothing can be told. Change water as usual."),
                Asked(key="before", says="The pen in the tank, before?", unit="uS/cm",
                      unknown="It has to be read before the salt. Count buckets instead."),
                Asked(key="after", says="The pen in the tank, after?", unit="uS/cm",
                      unknown="Read it when it stands still."),
                Asked(key="jar-salt", says="How much salt went into the jar?", unit="g",
                      hint="without a jar it is three times less sure"),
                Asked(key="jar-volume", says="How much water was in the jar?", unit="L"),
                Asked(key="jar-before", says="The pen in the jar, before?", unit="uS/cm"),
                Asked(key="jar-after", says="The pen in the jar, after?", unit="uS/cm"),
            ),
        ),
        Guide(
            word="jar", title="Jar trial", row="Jar trial, before the tank is dosed", of_tank=True,
            why="Where nobody has measured what they bear, a jar tells it in a day.",
            steps=(
                "Dose a full bucket of tank water as strong as the tank will be; take 2 L of it.",
                "Into it: three shrimp, one snail, one young fish. Air, the same warmth, a lid.",
                "Look after 1, 4 and 12 hours. One on its side: out at once, into clean tank water.",
                "After 24 hours count who is well.",
            ),
            asked=(
                Asked(key="substance", says="What was in the water?", hint="like praziquantel",
                      unknown="Read it off the packet: without its name no limit can be narrowed."),
                Asked(key="level", says="How strong was it?", unit="mg/L",
                      unknown="Work it out first: mg that went in, by the litres it went into."),
                Asked(key="hours", says="For how many hours?", unit="h", value="24",
                      unknown="Under a day only harm counts, not its absence. Write about how long."),
                Asked(key="went", says="Who went in?", hint="like cherry shrimp 3; nerite snail 1",
                      unknown="Write the kinds and how many: only these very animals are judged by it."),
                Asked(key="died", says="Who died?", hint="nobody: 0. Else like cherry shrimp 1",
                      unknown="Look again: one that lies still and pale is dead."),
                Asked(key="ill", says="Did any look ill?", choices=(("yes", "Yes"), ("no", "No"))),
            ),
        ),
    )
}  # fmt: skip
