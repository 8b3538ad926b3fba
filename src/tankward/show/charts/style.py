"""The print style of a chart that stands alone: black on white, a face that is shipped."""

from __future__ import annotations

PRINT = {
    "paper": "#FFFFFF",
    "ink": "#000000",
    "soft": "#222222",
    "line": "#555555",
    "hair": "#999999",
    "band50": "#BBBBBB",
    "band90": "#DDDDDD",
    "stone50": "#CCCCCC",
    "stone90": "#E6E6E6",
}
_RULES = """
text{font-family:'DejaVu Sans',sans-serif;font-size:15px;fill:{ink}}
.soft{fill:{soft}}
.halo{stroke:{paper};stroke-width:5px;stroke-linejoin:round;paint-order:stroke}
.name{font-size:16px;font-weight:700}
.value{font-size:20px;font-weight:700}
.strong,.limit-words,.today,.count{font-weight:700}
.fan90{fill:{stone90};stroke:{line};stroke-width:.5}
.fan50{fill:{stone50}}
.lead .fan90{fill:{band90};stroke:{line};stroke-width:.5}
.lead .fan50{fill:{band50}}
.mid{fill:none;stroke:{ink};stroke-width:2;stroke-linejoin:round}
.lead .mid{stroke-width:3}
.ahead{stroke-dasharray:7 5}
.old{stroke-dasharray:1 5}
.error{fill:none;stroke:{ink};stroke-width:1.75}
.dot{fill:{ink}}
.base{fill:none;stroke:{line};stroke-width:1.5}
.field{fill:none;stroke:{line};stroke-width:.6}
.edge{fill:none;stroke:{line};stroke-width:1.2;stroke-dasharray:1.5 4}
.limit{fill:none;stroke:{ink};stroke-width:1.5}
.break{fill:none;stroke:{ink};stroke-width:1.5}
.day{fill:none;stroke:{hair};stroke-width:1}
.hair{fill:none;stroke:{hair};stroke-width:1}
.now{fill:none;stroke:{ink};stroke-width:1.5}
.wedge{fill:{ink}}
.act{fill:none;stroke:{ink};stroke-width:4}
.planned{stroke-dasharray:4 3}
.dead-box{fill:{ink}}
.dead{fill:{paper}}
.m-danger{fill:{ink}}
.m-caution{fill:{paper};stroke:{ink};stroke-width:1.8}
.m-half{fill:{ink}}
.m-unknown{fill:none;stroke:{ink};stroke-width:1.9;stroke-linecap:round;stroke-dasharray:0 3.83}
.m-done{fill:none;stroke:{ink};stroke-width:2.4}
.m-out{fill:none;stroke:{ink};stroke-width:2.6}
.o{fill:none;stroke:{ink};stroke-width:2;stroke-linejoin:round}
.i{fill:none;stroke:{ink};stroke-width:1.25}
.eye{fill:{paper}}
.pupil{fill:{ink}}
.wall{fill:none;stroke:{ink};stroke-width:1.6}
.sick{stroke-width:3.2}
.shelf{fill:none;stroke:{ink};stroke-width:2.5}
.water{fill:none;stroke:{ink};stroke-width:2}
.none{stroke:{line};stroke-dasharray:2 5}
.dash{fill:none;stroke:{line};stroke-width:1.6;stroke-dasharray:6 5}
.sand{fill:none;stroke:{line};stroke-width:1.4;stroke-dasharray:1.4 3.6}
.touch{fill:none}
.ears{opacity:0}
.number{font-size:18px;font-weight:700}
.who{font-size:16px;font-weight:700}
"""


def _filled(rules: str) -> str:
    for role, colour in PRINT.items():
        rules = rules.replace("{" + role + "}", colour)
    return rules.replace("\n", "")


STANDALONE = _filled(_RULES)
