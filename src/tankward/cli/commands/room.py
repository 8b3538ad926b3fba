"""What there is and what happened: tank, stock, log, correct, undo, find."""

from __future__ import annotations

from collections.abc import Callable
from typing import Annotated

import msgspec
from cyclopts import App, Parameter

from tankward.desk.border import Border
from tankward.desk.border import Written as Read
from tankward.desk.desk import Desk
from tankward.desk.find import find_tank
from tankward.desk.lives import lives_here
from tankward.desk.overdose import overdoses
from tankward.desk.photos import photo_entries, read_files
from tankward.desk.search import search
from tankward.desk.several import log_in_all, tanks_meant
from tankward.knowledge.loader import load
from tankward.room.acts import Dose, Move, Remove
from tankward.room.entries.acts import Done
from tankward.room.entries.base import Entry, tag
from tankward.room.holds import litres_now, there_now, water_of
from tankward.room.text import write_line
from tankward.rounds.hold import hold_of
from tankward.show.results import NumberResult, number_result
from tankward.show.results_room import FoundLines, Lines, TankList, TankRow, TankShown, Written
from tankward.show.words.after import NOT_GONE, hold_says
from tankward.show.words.find import entries_found, understood
from tankward.show.words.kept import kept_says
from tankward.show.words.overdose import overdose_says
from tankward.show.words.photos import with_photos_says
from tankward.show.words.room import tank_heading, there_words, who_lives
from tankward.show.words.written import written_says

from ..common import Common, cited, opened, pairs

Words = Annotated[str, Parameter(allow_leading_hyphen=True)]


def write_kept(common: Common, read: Callable[[Border], Read]) -> Written:
    """Read what was typed, keep it, tell what was kept."""
    with opened(common) as desk:
        written = read(Border.of(desk, load(), common.moment, common.zone))
        desk.append(*written.entries)
        return _written(desk, written.entry, [written.entry], written.says, common)


def _write_all(common: Common, read: Callable[[Border], Read], photo: str, shows: str) -> Written:
    """The same for one entry in each of several tanks, each with the photos."""
    pictures = read_files(photo)
    with opened(common) as desk:
        written = read(Border.of(desk, load(), common.moment, common.zone))
        every = list(written.entries)
        added = [p for e in every for p in photo_entries(e, pictures, shows, common.moment, common.zone)]
        desk.append(*every, *added, pictures=pictures)
        says = tuple(s for s in (*written.says, with_photos_says(len(pictures))) if s)
        told = _written(desk, written.entry, every, says, common)
    return msgspec.structs.replace(told, photos=[p.id for p in added])


def _written(desk: Desk, entry: Entry, every: list[Entry], taken: tuple[str, ...], common: Common) -> Written:
    facts, room = load(), desk.room()
    says = (
        written_says(entry, room, taken, facts)
        if len(every) == 1
        else " ".join([kept_says(["written"] * len(every), every, room, facts), *taken])
    )
    return Written(
        says=says, entry=entry.id, kind=tag(type(entry)), line=write_line(entry),
        entries=[e.id for e in every], lines=[write_line(e) for e in every],
        cautions=[line for e in every for line in (*_too_much(desk, e), *_held(desk, e, common.zone))],
        now=common.told,
    )  # fmt: skip


def _too_much(desk: Desk, entry: Entry) -> list[str]:
    """What must be said about a dose that was just written down."""
    if not (isinstance(entry, Done) and isinstance(entry.act, Dose)):
        return []
    facts, room = load(), desk.room()
    return [
        overdose_says(o.substance, o.level, o.published, facts)
        for o in overdoses(room, entry.tank, entry.at, facts)
        if o.at == entry.at
    ]


LEFT = ("sold", "given")


def _held(desk: Desk, entry: Entry, zone: str) -> list[str]:
    """Why those that were just written down as leaving should have stayed (safety rule 26)."""
    act = entry.act if isinstance(entry, Done) else None
    if not (isinstance(act, Move) or (isinstance(act, Remove) and act.why in LEFT)):
        return []
    facts, room = load(), desk.room()
    hold = hold_of(room, entry.tank, entry.at, zone, facts)
    return [f"{hold_says(hold, room, entry.at, zone, facts)} {NOT_GONE}"] if hold else []


def tank_add(*given: Words, common: Common = Common()) -> Written:
    """Add a tank: tank add name=T1 size=60x30x36cm glass=6mm fill=31cm substrate=4cm grain=1-2mm.

    Parameters
    ----------
    given
        What is known of it, as name=value: volume=54L instead of a size; temp, filter, tap, shelf.
    """
    return write_kept(common, lambda border: border.tank(pairs(given)))


def tank_change(tank: str, *given: Words, common: Common = Common()) -> Written:
    """Describe a tank anew in some fields: tank change T1 temp=25C.

    Parameters
    ----------
    tank
        A tank of the room, by its name.
    given
        The fields that change, as name=value.
    """
    return write_kept(common, lambda border: border.tank_changed(tank, pairs(given)))


def tank_list(*, common: Common = Common()) -> TankList:
    """The tanks, with their water and who lives there."""
    with opened(common) as desk:
        room = desk.room()
        rows = [
            TankRow(
                id=t.id,
                name=t.name,
                water=_water(common, t.id),
                lives=who_lives(lives_here(room, t.id, load())),
            )
            for t in room.tanks.values()
        ]
        says = f"{len(rows)} tanks." if len(rows) != 1 else "1 tank."
        return TankList(
            says=says
            if rows
            else "No tank yet. tankward tank add name=T1 size=60x30x36cm glass=6mm fill=31cm",
            tanks=rows,
            now=common.told,
        )


def _water(common: Common, tank: str) -> NumberResult | None:
    with opened(common) as desk:
        room = desk.room()
        answer = water_of(room.tanks[tank], room)
    return None if answer.value is None else number_result(answer, cited(answer), common.told)


def tank_show(tank: str, *, common: Common = Common()) -> TankShown:
    """One tank: its water with the working, who lives there, its logbook.

    Parameters
    ----------
    tank
        A tank of the room, by its name.
    """
    with opened(common) as desk:
        room = desk.room()
        found = find_tank(room, tank)
        answer = water_of(found, room)
        full = litres_now(found, room)
        there = there_now(found, room, common.moment)
        missing = there_words(there, there.value / full.value if there and full else 1.0)
        cautions = [c for c in (missing, *answer.cautions) if c]
        lives = who_lives(lives_here(room, found.id, load()))
        log = [write_line(e) for e in room.of_tank(found.id)]
        water = None if answer.value is None else number_result(answer, cited(answer), common.told)
        return TankShown(
            says=tank_heading(found, answer), tank=found.id, water=water, lives=lives, log=log,
            how=list(answer.how), assumes=list(answer.assumes), cautions=cautions,
            sources=cited(answer), now=common.told,
        )  # fmt: skip


def stock_add(tank: str, *given: Words, common: Common = Common()) -> Written:
    """Add animals or plants: stock add T1 kind="18 cherry_barb" length=3.5cm.

    Parameters
    ----------
    tank
        A tank of the room, by its name.
    given
        Who they are, as name=value: kind, number, length, sex, name.
    """
    return write_kept(common, lambda border: border.stock(tank, pairs(given)))


def stock_list(tank: str, *, common: Common = Common()) -> Lines:
    """Who lives in a tank.

    Parameters
    ----------
    tank
        A tank of the room, by its name.
    """
    with opened(common) as desk:
        room = desk.room()
        lives = who_lives(lives_here(room, find_tank(room, tank).id, load()))
        return Lines(says=f"{len(lives)} groups." if lives else "Nobody yet.", rows=lives, now=common.told)


def log(kind: str, tank: str, *given: Words, common: Common = Common()) -> Written:
    """Write down what happened: log reading T1 ammonia="0.25 mg/L as N" ph=7.6 temp=25C.

    Several tanks at once: log change T1,T2,T3 share=50%, or a shelf, or all. With a photo: photo=fin.jpg
    shows="torn fin"; more of them stand parted by ";".

    Parameters
    ----------
    kind
        What happened: reading, look, death, dose, change, feed, note; a wrong word brings the whole list.
    tank
        A tank by its name; several parted by commas; a shelf; or all.
    given
        How much and what, as name=value.
    """
    texts = pairs(given)
    photo = texts.pop("photo", "")
    shows = texts.pop("shows", "") if photo else ""

    def read(border: Border) -> Read:
        tanks = [t.id for t in tanks_meant(border.room, tank)]
        return log_in_all(border, kind, tanks, texts) if len(tanks) > 1 else border.log(kind, tanks[0], texts)

    return _write_all(common, read, photo, shows)


def correct(entry: str, *given: Words, common: Common = Common()) -> Written:
    """Put an entry right; what isn't named stays.

    Parameters
    ----------
    entry
        Its id, as find and tank show print it.
    given
        What is put right, as name=value.
    """
    return write_kept(common, lambda border: border.correct(entry, pairs(given)))


def undo(entry: str, *, common: Common = Common()) -> Written:
    """Take an entry back; nothing is ever removed.

    Parameters
    ----------
    entry
        Its id, as find and tank show print it.
    """
    return write_kept(common, lambda border: border.undo(entry))


def find(*words: str, common: Common = Common()) -> FoundLines:
    """Entries that hold these words, on these days: find copper last week; find T7 since 12 May.

    Parameters
    ----------
    words
        Words of the entry, a tank, and days like: last week, since 12 May.
    """
    with opened(common) as desk:
        found = search(desk.room(), desk.entries(), " ".join(words), common.moment, common.zone, load())
    days = found.span.says if found.span else ""
    return FoundLines(
        says=" ".join(w for w in (entries_found(len(found.standing)), understood(found.words, days)) if w),
        rows=[write_line(e) for e in found.standing],
        words=found.words,
        days=days,
        taken_back=[write_line(e) for e in found.gone],
        now=common.told,
    )


def _family(name: str, help_: str, **commands: Callable[..., object]) -> App:
    app = App(name=name, help=help_)
    for word, function in commands.items():
        app.command(function, name=word)
    return app


def add_to(app: App) -> None:
    """Add the family's commands."""
    app.command(
        _family(
            "tank",
            "Tanks: add, change, list, show.",
            add=tank_add,
            change=tank_change,
            list=tank_list,
            show=tank_show,
        )
    )
    app.command(_family("stock", "Animals and plants: add, list.", add=stock_add, list=stock_list))
    for function in (log, correct, undo, find):
        app.command(function)
