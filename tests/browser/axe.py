"""The rules of axe-core on the page that is open."""

from pathlib import Path

SOURCE = (Path(__file__).parents[1] / "vendor" / "axe" / "axe.min.js").read_text(encoding="utf-8")
RUN = """async () => (await axe.run(document, { resultTypes: ['violations'] })).violations.flatMap(
    rule => rule.nodes.map(node => rule.id + ': ' + node.html.slice(0, 160)))"""


def broken(page) -> list[str]:
    """Every rule that the page breaks, with the place."""
    page.evaluate(SOURCE)  # as an evaluation: the pages forbid scripts that are not their own
    return page.evaluate(RUN)
