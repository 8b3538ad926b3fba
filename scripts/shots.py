"""Pictures of the demo's pages in both sizes and both colours, into .shots/, to be looked at by a person.

`python scripts/shots.py [WORD …]` takes only the pages whose name has one of the words; `sheets` prints
the demo room's sheets as PDF on both papers, which comes last where no word is given.
"""

import os
import select
import subprocess
import sys
import tempfile
import time
from contextlib import contextmanager
from pathlib import Path

from playwright.sync_api import sync_playwright

ROOT = Path(__file__).parents[1]
sys.path.insert(0, str(ROOT))

from tests.browser.windows import DESKTOP, PHONE, QUIET, chromium  # noqa: E402

SACHET = "substance=metronidazole&route=water_long&cause=hexamita&supply=gut+and+worm+sachet"
PAGES = {  # name of the picture: path
    "today": "/today",
    "today_counted": "/today?tank=T7&n-T7-0=9",
    "room": "/",
    "move_tank": "/tanks/move",
    "move_animals": "/tanks/T7/move",
    "tank": "/tanks/T7",
    "what_if": "/tanks/T2?if=more",
    "look": "/tanks/T7/look?zone=belly",
    "look_gills": "/look?zone=gills&sign-pale_gills=seen&n-pale_gills=3",
    "ask": "/tanks/T7/ask",
    "ask_belly": "/ask?at=belly_sunken&seen=lethargy",
    "ask_gills": "/ask?at=fast_gills&seen=lethargy&beats=34",
    "now": "/tanks/T2/now",
    "causes": "/tanks/T7/causes",
    "case": "/tanks/T7/case",
    "options": "/tanks/T7/options?cause=hexamita",
    "both": "/tanks/T7/options?cause=hexamita,camallanus",
    "spots": "/tanks/T8/options?cause=white_spot",
    "plan_wishes": "/tanks/T8/plan?cause=white_spot",
    "plan_found": "/tanks/T8/plan?cause=white_spot&hours=18:00-22:30&find=yes",
    "by_hand": "/tanks/T8/course/by-hand?substance=sodium_chloride&route=water_long&cause=white_spot",
    "course": "/tanks/T8/course?substance=sodium_chloride&route=water_long&cause=white_spot",
    "refused": "/tanks/T7/course?substance=copper&route=water_long&cause=white_spot",
    "fish_out": "/tanks/T8/course?remedy=fish_out&cause=white_spot",
    "siphon": "/tanks/T8/course?remedy=daily_siphon&cause=white_spot",
    "sachet": f"/tanks/T7/course?{SACHET}",
    "treated": "/tanks/T2",
    "progress": "/tanks/T2/progress",
    "five_minutes": "/five-minutes",
    "log": "/tanks/T7/log/reading",
    "shelf": "/shelf",
    "label": "/shelf/new",
    "know": "/know",
    "known": "/know/substance-copper",
    "settings": "/settings",
    "work_it_out": "/work-it-out",
    "worked": "/work-it-out/redose?level=2+mg/L&now=0.9+mg/L&volume=54+L&change=30%25",
    "more": "/more",
    "print": "/print",
    "tub": "/tanks/T7/tub?fish=4+g&volume=10+L&medicine=praziquantel&level=2+mg%2FL",
    "recipe": "/tanks/T7/recipe?substance=metronidazole&held=yes&strength=200+mg+per+sachet&food=gel",
    "recipe_asked": "/recipe",
    "tub_asked": "/tanks/T7/tub",
    "hygiene": "/tanks/T7/hygiene?strength=5%25&volume=5+L",
    "contact": "/tanks/T8/contact",
    "quarantine": "/quarantine?animals-0=8+platies+2.5+cm&source-0=auction&animals-1=6+neon+rainbow+4+cm"
    "&source-1=exchange&food=3+%25",
    "quarantine_asked": "/quarantine",
    "wind_down": "/tanks/T7/wind-down",
    "cards": "/cards",
    "kit": "/kit",
    "hours": "/kit/hours?hours=Mon-Fri+18:00-22:30%3B+Sat,+Sun+8:00-23:00%3B+away+Thu-Sat",
    "calendar": "/tanks/T2/calendar",
    "calendar_proposed": "/tanks/T8/calendar?substance=sodium_chloride&route=water_long&cause=white_spot",
    "guides": "/guide",
    "how_faeces": "/guide/faeces",
    "how_scrape": "/guide/scrape",
    "how_dead": "/guide/post-mortem",
    "how_sample": "/guide/sample",
    "how_cold": "/guide/cold",
    "how_gills": "/guide/gill-clip",
    "germs": "/guide/microscope",
    "germ_costia": "/guide/microscope/costia",
    "germ_spot": "/guide/microscope/white_spot",
    "guide_spoon": "/kit/spoon",
    "guide_mass": "/kit/spoon?spoon=teaspoon&powder=salt&spoons=10&unknown=mass",
    "guide_found": "/kit/spoon?spoon=teaspoon&powder=salt&spoons=10&mass=58&step=0.1",
    "guide_tests": "/kit/tests",
    "guide_salt": "/tanks/T7/measure/salt",
    "guide_which": "/measure/jar",
    "log_kinds": "/tanks/T7/log",
    "dose": "/tanks/T7/log/dose",
    "stock": "/tanks/T7/stock",
    "new_tank": "/tanks/new",
    "alike": "/tanks/alike?like=T12",
    "list_of_tanks": "/tanks/list",
    "several": "/several",
    "several_form": "/several/change",
    "find": "/find",
    "find_found": "/find?words=worm",
    "find_nothing": "/find?words=zzz",
    "data": "/data",
    "fault_report": "/data/fault-report",
    "which_look": "/look",
    "which_now": "/now",
    "which_causes": "/causes",
    "which_options": "/options",
    "which_move": "/move",
    "packet": "/shelf/fluke powder",
    "packet_label": "/shelf/fluke powder/label",
    "mistake": "/mistake",
    "mistake_tank": "/tanks/T2/mistake",
    "mistake_told": "/tanks/T2/mistake/too-much",
    "mistake_after": "/tanks/T2/mistake/too-much/after",
    "mistake_else": "/tanks/T2/mistake/something-else",
    "mistake_forgot": "/tanks/T2/mistake/forgot-one",
    "mistake_wrong": "/tanks/T2/mistake/wrong-tank",
    "mistake_carbon": "/tanks/T9/mistake/carbon-in/after",
    "known_animal": "/know/animal-cherry_shrimp",
    "known_illness": "/know/cause-white_spot",
    "not_there": "/tanks/T99",
    "unknown_fact": "/know/substance-nothing",
    "not_understood": "/work-it-out/redose?level=2&now=0.9+mg/L&volume=54+L&change=30%25",
}
LINKED = {  # name of the picture: the page that leads there, and how its link begins
    "entry": ("/tanks/T7", "/entries/"),
}
EMPTY = {  # name of the picture: path, in a room that nobody has entered anything into
    "first_room": "/",
    "first_tank": "/tanks/new",
    "first_today": "/today",
    "first_look": "/look",
    "first_print": "/print",
    "first_shelf": "/shelf",
    "first_more": "/more",
}
SHEETS = {  # name of the file: arguments of `tankward print`
    "course": ["course", "T2"],
    "sitter": ["sitter", "T2"],
    "tub": ["tub", "T7", "fish=4g", "volume=10L", "medicine=praziquantel", "level=2 mg/L"],
    "recipe": ["recipe", "T7", "substance=metronidazole", "held=yes", "food=flakes"],
    "hygiene": ["hygiene", "strength=5%", "volume=5L"],
    "cards": ["tanks"],
    "case": ["case", "T7"],
}
PAPERS = ("a4", "letter")
SIZES = {"390": PHONE, "1280": DESKTOP}
COLOURS = {"day": "light", "night": "dark"}
SHOTS = ROOT / ".shots"
TANKWARD = Path(sys.executable).with_name("tankward")


def first_line(server, wait_s=60.0):
    """The address, which the server prints before anything else."""
    until = time.monotonic() + wait_s
    while time.monotonic() < until and server.poll() is None:
        if select.select([server.stdout], [], [], 0.2)[0]:
            return server.stdout.readline().strip()
    raise SystemExit("Tankward did not start; try `tankward start --demo --port 0`.")


@contextmanager
def served(*words):
    """A room on a free port, in a folder that goes away again: the demo where `words` say so."""
    with tempfile.TemporaryDirectory(prefix="tankward-shots-") as folder:
        room = os.environ | {"TANKWARD_ROOM": folder}
        command = [TANKWARD, "start", *words, "--port", "0", "--room", folder]
        server = subprocess.Popen(command, env=room, stdout=subprocess.PIPE, text=True)
        try:
            line = first_line(server)
            yield line[line.index("http") :].split()[0].rstrip("/"), room
        finally:
            server.terminate()
            server.wait(timeout=10)


def linked(browser, address, page_path, begins):
    """The path of the first link of a page that begins so."""
    page = browser.new_page()
    page.goto(address + page_path)
    path = page.locator(f'main a[href^="{begins}"]').first.get_attribute("href")
    page.close()
    return path


def shoot(browser, address, name, path):
    for width, size in SIZES.items():
        for colour, scheme in COLOURS.items():
            context = browser.new_context(viewport=size, color_scheme=scheme, device_scale_factor=2)
            page = context.new_page()
            page.goto(address + path, wait_until="networkidle")
            page.screenshot(path=SHOTS / f"{name}_{width}_{colour}.png", full_page=True)
            context.close()


def sheets(room):
    """Every sheet on both papers. One that is refused tells, and the others are printed."""
    refused = []
    for name, arguments in SHEETS.items():
        for paper in PAPERS:
            out = SHOTS / f"{name}_{paper}.pdf"
            command = [TANKWARD, "print", *arguments, "--paper", paper, "--out", str(out)]
            if subprocess.run(command, env=room, check=False).returncode:
                refused.append(out.name)
    if refused:
        raise SystemExit(f"Not printed: {', '.join(refused)}.")


def main(words):
    def chosen(names):
        return [name for name in names if not words or any(word in name for word in words)]

    SHOTS.mkdir(exist_ok=True)
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=chromium(), args=QUIET)
        if names := chosen(EMPTY):
            with served() as (address, _):
                for name in names:
                    shoot(browser, address, name, EMPTY[name])
        with served("--demo") as (address, room):
            for name in chosen(PAGES):
                shoot(browser, address, name, PAGES[name])
            for name in chosen(LINKED):
                shoot(browser, address, name, linked(browser, address, *LINKED[name]))
            browser.close()
            if not words or "sheets" in words:
                sheets(room)
    print(*sorted(str(path.relative_to(ROOT)) for path in SHOTS.iterdir()), sep="\n")


if __name__ == "__main__":
    main(sys.argv[1:])
