"""The course sheet as the browser gets it."""

import pytest

from tests.show.pdf_pages import pages

COURSE = {"substance": "praziquantel", "route": "water_long", "cause": "skin_flukes"}


def sheet(keeper, **query):
    return keeper.client.get("/tanks/T7/sheet.pdf", params=query)


@pytest.mark.parametrize(("paper", "width"), [("a4", 210), ("letter", 216)])
def test_a_proposed_course_is_printed_on_either_paper(keeper, paper, width):
    answer = sheet(keeper, **COURSE, paper=paper)
    assert answer.status_code == 200
    assert answer.headers["content-type"] == "application/pdf"
    assert answer.headers["content-disposition"] == 'inline; filename="t7-course.pdf"'
    assert "unsafe-" not in answer.headers["content-security-policy"]
    found = pages(answer.content)
    assert {page.width_mm for page in found} == {width}
    assert "T7: praziquantel in the tank" in found[0].text
    assert "Tue 12 May" in found[0].text


def test_the_course_that_runs_is_printed_without_naming_it(keeper):
    assert sheet(keeper).status_code == 422
    keeper.post("/tanks/T7/course", keeper.get("/tanks/new"), **COURSE)
    found = pages(sheet(keeper).content)
    assert "T7: praziquantel in the tank" in found[0].text


def test_the_page_of_a_course_leads_to_its_sheet(keeper):
    page = keeper.get("/tanks/T7/course", **COURSE)
    (link,) = [url for url in page.links if "sheet.pdf" in url]
    assert keeper.client.get(link).content.startswith(b"%PDF")


def test_what_is_refused_is_not_printed(keeper):
    answer = sheet(keeper, substance="copper", route="water_long")
    assert answer.status_code == 409
    assert answer.headers["content-type"].startswith("text/html")


def test_a_paper_that_is_none_is_one_sentence(keeper):
    answer = sheet(keeper, **COURSE, paper="a3")
    assert answer.status_code == 422
    assert "a4, letter" in answer.text
