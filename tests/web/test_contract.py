"""Each page is a record, and its template uses exactly the fields of that record."""

from collections.abc import Iterator

import pytest
from jinja2 import nodes
from jinja2.meta import find_referenced_templates

import tankward.web.app  # noqa: F401  every page is a record once the app is there
from tankward.web.frame import Page, environment

# The frame itself uses these: the browser's title, the line above, "I made a mistake", whether it waits.
OF_THE_FRAME = {"title", "place_line", "tank", "pending"}


def kinds(base: type[Page] = Page) -> Iterator[type[Page]]:
    """Every page there is, with a template."""
    for kind in base.__subclasses__():
        if kind.template:
            yield kind
        yield from kinds(kind)


def used(template: str) -> set[str]:
    """Fields of `page` that a template asks for, with those of its parents and parts."""
    env = environment()
    source, _, _ = env.loader.get_source(env, template)
    tree = env.parse(source)
    found = {
        node.attr
        for node in tree.find_all(nodes.Getattr)
        if isinstance(node.node, nodes.Name) and node.node.name == "page"
    }
    for other in find_referenced_templates(tree):
        assert other, f"{template} takes in a template whose name is not written out"
        found |= used(other)
    return found


PAGES = sorted(set(kinds()), key=lambda kind: kind.template)


def test_every_template_belongs_to_one_record() -> None:
    parents = {"base.html"}
    whole = {name for name in environment().list_templates() if "/" not in name} - parents
    assert [kind.template for kind in PAGES] == sorted(whole)


@pytest.mark.parametrize("kind", PAGES, ids=lambda kind: kind.template)
def test_a_template_uses_only_what_its_record_has(kind: type[Page]) -> None:
    assert used(kind.template) - set(kind.__struct_fields__) == set()


@pytest.mark.parametrize("kind", PAGES, ids=lambda kind: kind.template)
def test_a_record_has_only_what_its_template_uses(kind: type[Page]) -> None:
    assert set(kind.__struct_fields__) - used(kind.template) - OF_THE_FRAME == set()


def test_a_field_that_is_planted_is_seen() -> None:
    class Planted(Page, frozen=True, kw_only=True):
        template = "more.html"
        nobody_asks_for_me: str = ""

    assert "nobody_asks_for_me" in set(Planted.__struct_fields__) - used("more.html")
    assert "folder" in used("more.html")
