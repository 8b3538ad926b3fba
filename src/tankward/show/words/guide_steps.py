"""What each guide says, step by step: short enough for wet hands."""

from __future__ import annotations

from collections.abc import Mapping

import msgspec


class Do(msgspec.Struct, frozen=True, kw_only=True):
    """One step. `fact`: table and id of the facts of keeping on which it rests; "" is usual practice."""

    head: str
    how: str = ""
    fact: str = ""


class Guide(msgspec.Struct, frozen=True, kw_only=True):
    """One guide. `hazards` stand before the first step."""

    word: str
    title: str
    row: str  # its line in a list
    why: str
    minutes: int
    steps: tuple[Do, ...]
    hazards: tuple[str, ...] = ()
    means: tuple[str, ...] = ()  # what the finding comes to, and what it does not


GLOVES = "Gloves. No cut in the water. Never start a siphon with the mouth."
NOT_PROVED = (
    "A germ found is not a cause proved: half of healthy angelfish carry flagellates. Count before you treat."
)
WHITE_STRINGS = "White stringy droppings mean an empty, slimy gut, whatever the cause. They name none."
COUNT = "Count in three fields at 100 times, take the middle one, and write it down with the look."

GUIDES: Mapping[str, Guide] = {
    g.word: g
    for g in (
        Guide(
            word="faeces",
            title="A fresh dropping, pressed flat, looked at within 15 minutes",
            row="Droppings under the microscope",
            why="It costs the fish nothing.",
            minutes=30,
            hazards=(GLOVES,),
            steps=(
                Do(
                    head="Take one that has just fallen.",
                    how="With a dropper, from a live fish. An old one shows only water life.",
                ),
                Do(
                    head="One drop of tank water on the slide.",
                    how="Tap water bursts what you look for.",
                    fact="microscopy skin",
                ),
                Do(
                    head="Press the cover glass until it is thin.",
                    how="You can read print through it.",
                    fact="microscopy faeces",
                ),
                Do(
                    head="First 100 times, all over.",
                    how="Eggs with two plugs, worms, larvae.",
                    fact="microscopy faeces",
                ),
                Do(
                    head="Then 400 times.", how="Tiny drops that dart: flagellates.", fact="microscopy faeces"
                ),
                Do(head="Within 15 minutes.", how="They round up and die.", fact="microscopy fresh"),
            ),
            means=(
                NOT_PROVED,
                WHITE_STRINGS,
                "Worms lay on some days and not on others: nothing in one dropping rules out none.",
            ),
        ),
        Guide(
            word="scrape",
            title="Slime from the skin: one stroke from head to tail, looked at at once",
            row="A skin scrape",
            why="It hurts a little. Three places tell more than one: they sit in patches.",
            minutes=30,
            hazards=(GLOVES, "A gasping fish is not lifted out. Air first."),
            steps=(
                Do(
                    head="All ready before the fish is lifted.",
                    how="Slide with a drop of its own tank water, cover glass, wet hands, wet cloth.",
                    fact="microscopy skin",
                ),
                Do(
                    head="Fish in the wet hand, half a minute at most.",
                    how="Its eye covered. Back into the water if it fights.",
                    fact="microscopy anaesth",
                ),
                Do(
                    head="One light stroke, head to tail, beside a fin.",
                    how="Blunt edge of a cover glass. Never against the scales.",
                    fact="microscopy skin",
                ),
                Do(
                    head="Onto the drop, cover on, look.",
                    how="40 times first, then 100, then 400.",
                    fact="microscopy skin_mag",
                ),
                Do(
                    head="Other places: behind the gill, at the tail.",
                    how="A patch missed is a parasite missed.",
                ),
                Do(
                    head="Under 3 cm: slime only.",
                    how="No clip of a live small fish.",
                    fact="microscopy small_fish",
                ),
            ),
            means=(NOT_PROVED,),
        ),
        Guide(
            word="gill-clip",
            title="Gills: only of a fresh dead fish. A live one is for a veterinarian",
            row="A gill clip",
            why="Cut on a live fish it bleeds. Dead for over an hour it shows little.",
            minutes=30,
            hazards=("Do not cut a live fish.", GLOVES),
            steps=(
                Do(
                    head="Dead for minutes, not hours.",
                    how="Kept cool in a bag until then. What sits on gills leaves or dies first.",
                    fact="lab_sample dead6h",
                ),
                Do(
                    head="Look before you cut.",
                    how="Healthy is brick red, thin, even. Brown, pale, swollen, slimy or ragged is not.",
                ),
                Do(head="Lift the gill cover, or cut it off.", fact="microscopy gill"),
                Do(
                    head="Snip a few tips with fine scissors.",
                    how="The red tips, not the white arch.",
                    fact="microscopy gill",
                ),
                Do(
                    head="In a drop of tank water, cover on, look at once.",
                    how="40 times for flukes, 100 and 400 for the rest.",
                    fact="microscopy gill",
                ),
            ),
            means=(NOT_PROVED,),
        ),
        Guide(
            word="post-mortem",
            title="Opening a small fish: from the outside in, the gut last",
            row="Opening a dead fish",
            why="Gills and skin decay first, so they come first. Over six hours dead, it shows little.",
            minutes=60,
            hazards=(
                GLOVES,
                "Fish tuberculosis enters by cuts. A board and blade that are used for nothing else.",
            ),
            steps=(
                Do(head="Test the water first.", fact="necropsy 2"),
                Do(head="Weigh, measure, a photo of both sides.", fact="necropsy 3"),
                Do(
                    head="Skin scrape, fin, gills: at once.",
                    how="What is on them is gone within the hour.",
                    fact="necropsy 4",
                ),
                Do(
                    head="Cut 1: from the vent to the throat, along the belly.",
                    how="Small scissors, points up, so that nothing behind is cut.",
                    fact="necropsy 6",
                ),
                Do(head="Cut 2: up over the side. Lift the wall away.", fact="necropsy 6"),
                Do(
                    head="Look before you touch. Photo.",
                    how="Fluid, blood, worms, lumps, a pale or spotted liver, a swollen kidney, the "
                    "swim bladder, eggs.",
                    fact="necropsy 7",
                ),
                Do(
                    head="A grain of spleen, kidney, liver, pressed on a slide.",
                    how="Round walled bodies: granulomas.",
                    fact="necropsy 8",
                ),
                Do(
                    head="The gut last: its content on a slide.", how="Worms, flagellates.", fact="necropsy 9"
                ),
                Do(
                    head="White flecks in the muscle?",
                    how="A grain pressed flat, 400 times.",
                    fact="necropsy 10",
                ),
                Do(
                    head="Bag the rest, wash, alcohol on what is dry.",
                    how="No flame. Household waste, never the toilet, never other fish.",
                    fact="necropsy 11",
                ),
            ),
            means=(
                NOT_PROVED,
                "White grains in several organs: a laboratory tells tuberculosis from the rest. Until "
                "then nothing leaves the room.",
            ),
        ),
        Guide(
            word="sample",
            title="Ring the laboratory first. Then live fish, water apart, and the log",
            row="Sending a sample",
            why="A live sick fish tells most, a frozen one least.",
            minutes=30,
            hazards=(GLOVES,),
            steps=(
                Do(
                    head="Ring before you send.",
                    how="What do they take, on which day, how?",
                    fact="lab_sample call",
                ),
                Do(
                    head="Best: several live sick fish.",
                    how="In a bag, a third water, the rest air. No food the day before, unless they "
                    "are thin.",
                    fact="lab_sample fish_best",
                ),
                Do(
                    head="Next best: just dead, kept cold, there within 24 hours.",
                    how="Over six hours warm it is of little use.",
                    fact="lab_sample iced",
                ),
                Do(
                    head="1 L of tank water, before any change, and tap water.",
                    how="Clean bottles, full to the brim, apart from the fish.",
                    fact="lab_sample water",
                ),
                Do(
                    head="Never frozen.",
                    how="Parasites and tissue are lost. Bacteria and viruses may still be found.",
                    fact="lab_sample frozen",
                ),
                Do(
                    head="A label on each.",
                    how="Tank, day, hour, which fish, your number. With it the log: readings, what "
                    "went in, who died when.",
                ),
            ),
        ),
        Guide(
            word="cold",
            title="Into the fridge within minutes. Not the freezer",
            row="Keeping it cold",
            why="Cold keeps what there is to see for hours, not for days.",
            minutes=5,
            hazards=("Not beside food: a closed box, marked.",),
            steps=(
                Do(head="Out of the tank at once.", how="With this tank's own net."),
                Do(head="Into a bag, no water, air pressed out.", how="Tank, day and hour written on it."),
                Do(
                    head="Fridge, in a closed box.",
                    how="About 4 °C. Freezing bursts every cell.",
                    fact="lab_sample frozen",
                ),
                Do(
                    head="On the way: cold packs below, paper between.",
                    how="The fish never touches the ice.",
                    fact="lab_sample iced",
                ),
                Do(
                    head="Opened or there within hours.",
                    how="After six hours what sits on it is gone.",
                    fact="lab_sample dead6h",
                ),
            ),
        ),
    )
}
