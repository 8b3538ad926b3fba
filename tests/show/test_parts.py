"""The parts of a page: landmarks, labels, states for eyes and ears, nothing that the policy refuses."""

import re
from html.parser import HTMLParser
from pathlib import Path
from types import SimpleNamespace

import pytest

from tankward.show.charts import bedside_views, chart_table, legend
from tankward.web.frame import environment
from tests.show.pictures import TANKS, chart

WEB = Path(__file__).parents[2] / "src/tankward/web"
VOID = {"input", "br", "meta", "link", "img", "hr"}
IMPORT = '{% import "parts/_macros.html" as m %}'


class Elements(HTMLParser):
    """All elements of a piece of HTML, and a fault where a tag is not closed."""

    def __init__(self, text):
        super().__init__()
        self.found, self.open = [], []
        self.feed(text)
        assert self.open == []

    def handle_starttag(self, tag, attrs):
        self.found.append((tag, {k: v or "" for k, v in attrs}))
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag, attrs):
        self.found.append((tag, {k: v or "" for k, v in attrs}))

    def handle_endtag(self, tag):
        assert self.open.pop() == tag

    def all(self, tag, **wanted):
        return [a for t, a in self.found if t == tag and all(a.get(k) == v for k, v in wanted.items())]


def part(source, **values):
    return Elements(environment().from_string(IMPORT + source).render(**values))


def whole_page(body="<h1>Well</h1>", **values):
    source = f'{{% extends "base.html" %}}{IMPORT}{{% block main %}}{body}{{% endblock %}}'
    page = SimpleNamespace(title="T7", place_line="T7, Tuesday")
    fields = {"page": page, "place": "Room", "demo": False, "token": "t", **values}
    return environment().from_string(source).render(**fields)


def test_a_page_has_its_landmarks_and_says_where_one_is():
    page = Elements(whole_page())
    assert page.all("html", lang="en")
    assert page.all("a", href="#main")
    assert len(page.all("main", id="main")) == len(page.all("h1")) == len(page.all("header")) == 1
    assert [a["href"] for a in page.all("a") if a.get("aria-current") == "page"] == ["/"]


def test_what_was_invented_says_so():
    assert "Invented room" in whole_page(demo=True)
    assert "Invented" not in whole_page()


def test_the_way_to_a_mistake_is_drawn_only_when_there_is_one():
    assert "mistake" not in whole_page()
    assert Elements(whole_page(mistake_url="/mistake?tank=T7")).all("a", href="/mistake?tank=T7")


def test_the_ten_minutes_hide_the_bar_and_all_other_ways():
    page = Elements(whole_page(whole=True, mistake_url="/mistake"))
    assert page.all("nav") == []
    assert page.all("a", href="/mistake") == []


@pytest.mark.parametrize("theme", ["day", "night"])
def test_the_keeper_may_fix_the_colours(theme):
    assert Elements(whole_page(theme=theme)).all("html", **{"data-theme": theme})


def test_nothing_in_templates_that_the_policy_refuses():
    for path in (WEB / "templates").rglob("*.html"):
        text = path.read_text(encoding="utf-8")
        assert not re.search(r"\sstyle=|<style|\son\w+=|javascript:", text), path.name
        assert not re.search(r"<script(?![^>]*\ssrc=)", text), path.name


def test_what_is_typed_is_shown_as_typed():
    page = part('{{ m.row("<b>", text="<script>", soft="&") }}')
    assert page.all("script") == page.all("b") == []


def test_no_answer_is_chosen_before_the_keeper_chooses():
    group = part('{{ m.radio_answers("thin", "Sunken belly", "behind the head") }}')
    answers = group.all("input", type="radio", name="thin")
    assert [a["value"] for a in answers] == ["seen", "absent", "unsure"]
    assert not any("checked" in a for a in answers)
    assert len(group.all("fieldset")) == len(group.all("legend")) == 1


def test_don_t_know_is_an_answer():
    group = part('{{ m.radio_answers("thin", "Sunken belly", "", "unsure") }}')
    assert [a["value"] for a in group.all("input") if "checked" in a] == ["unsure"]


def test_five_bellies_with_words():
    group = part('{{ m.belly_score("belly", "How thin?", "", 2) }}')
    assert [a["aria-label"].split(".")[0] for a in group.all("input")] == [
        "1, Hollow", "2, Thin", "3, Right", "4, Full", "5, Swollen",
    ]  # fmt: skip
    assert [a["value"] for a in group.all("input") if "checked" in a] == ["2"]


def test_a_field_that_was_not_understood_keeps_what_was_typed_and_gets_the_focus():
    field = part('{{ m.field("water", "Water in T7", "35", error="A unit is missing") }}')
    (box,) = field.all("input")
    assert box["value"] == "35"
    assert "autofocus" in box
    assert box["aria-invalid"] == "true"
    assert field.all("label")[0]["for"] == box["id"]
    assert field.all("div", id=box["aria-describedby"])


@pytest.mark.parametrize(("done", "pressed"), [("true", "true"), ("false", "false")])
def test_a_tick_says_whether_it_is_ticked(done, pressed):
    (tick,) = part(f'{{{{ m.tick({done}, "17 L out", "step", "3") }}}}').all("button")
    assert (tick["aria-pressed"], tick["aria-label"], tick["name"], tick["value"]) == (
        pressed, "17 L out", "step", "3",
    )  # fmt: skip


def test_the_working_shows_every_step_with_source_and_status():
    steps = [
        {"step": "Level", "value_shown": "5 mg/L", "source": "KEY01", "status_words": "published"},
        {"step": "Mass", "formula": "level × volume", "value_shown": "175 mg"},
    ]
    text = (
        environment().from_string(IMPORT + "{{ m.working(steps, assumes=['it mixes']) }}").render(steps=steps)
    )
    for words in ("Level", "published", "KEY01", "level × volume", "175 mg", "Taken for granted: it mixes."):
        assert words in text
    assert len(Elements(text).all("tr", **{"class": "result"})) == 1


@pytest.mark.parametrize(("kind", "words"), [("refused", "No"), ("unknown", "We don&#39;t know")])
def test_a_state_has_its_mark_and_its_words(kind, words):
    text = environment().from_string(IMPORT + f'{{{{ m.state("{kind}", "Copper") }}}}').render()
    assert f"<span>{words}</span>" in text
    assert 'class="mark"' in text


def test_a_chart_stands_with_its_legend_and_its_table():
    c = chart()
    page = part("{{ m.figure(c, l, t) }}", c=bedside_views(c), l=legend(c), t=chart_table(c))
    assert len(page.all("figcaption")) == len(page.all("table")) == len(page.all("summary")) == 1
    assert len(page.all("tr")) == 1 + len(chart_table(c).rows)


def test_a_room_without_tanks_shows_where_one_will_stand():
    page = part("{{ drawn.rack_views(tanks) }}", tanks=())
    assert len(page.all("svg")) == 1
    assert len(part("{{ drawn.rack_views(tanks) }}", tanks=TANKS).all("svg")) > 1


def test_a_plate_that_submits_has_a_button_for_every_zone():
    page = part('{{ drawn.plate_views("torpedo", submit="zone", chosen=("belly",)) }}')
    buttons = page.all("button", name="zone", type="submit")
    assert {b["value"] for b in buttons if b["aria-pressed"] == "true"} == {"belly"}
    assert {a["data-for"] for a in page.all("path") if "data-for" in a} == {b["id"] for b in buttons}


def test_every_letter_file_of_the_sheet_is_there_with_its_licence():
    sheet = (WEB / "static/colours.css").read_text(encoding="utf-8")
    files = re.findall(r"url\(([^)]+)\)", sheet)
    assert len(files) == 4
    assert all((WEB / "static" / name).is_file() for name in files)
    for folder in (WEB / "static/fonts", WEB.parent / "show/fonts"):
        assert "icense" in "".join(p.read_text(encoding="utf-8") for p in folder.glob("LICENSE*"))
