"""What keeps other sites and other machines out, tried from outside."""

import pytest

from tankward.web.guard import BODY_LIMIT, HOSTS, token_for
from tests.cli.asking import digest

from .visitor import ORIGIN

WRITE = "/tanks/T7/log/note"
PAGES = (
    "/",
    "/rooms",
    "/tanks/T7",
    "/tanks/T7/log",
    "/shelf",
    "/more",
    "/work-it-out",
    "/look",
    "/nothing-here",
)


def send(keeper, *, token="", text="planted", **headers):
    """A form as anybody could send it."""
    data = {"text": text} | ({"form-token": token} if token else {})
    return keeper.client.post(WRITE, data=data, headers=headers)


@pytest.fixture
def token(keeper):
    """The token of a page that the keeper has open."""
    return keeper.token(keeper.get(WRITE))


@pytest.mark.parametrize(
    "headers",
    [
        {"origin": "http://other.example"},
        {"origin": "http://127.0.0.1:9999"},
        {"origin": "https://127.0.0.1.other.example"},
        {"origin": "null", "sec-fetch-site": "cross-site"},
        {"sec-fetch-site": "cross-site"},
        {"sec-fetch-site": "same-site"},
    ],
)
def test_a_write_from_another_site_is_refused_even_with_the_token(keeper, token, headers):
    before = digest(keeper.desk.folder)
    answer = send(keeper, token=token, **headers)
    assert answer.status_code == 403
    assert "another site" in answer.text
    assert digest(keeper.desk.folder) == before


@pytest.mark.parametrize("foreign", ["", "0" * 64, "not a token", token_for(b"another room", "somebody")])
def test_a_form_without_this_visitors_token_is_refused(keeper, foreign):
    keeper.get(WRITE)
    before = digest(keeper.desk.folder)
    answer = send(keeper, token=foreign, origin=ORIGIN)
    assert answer.status_code == 403
    assert "out of date, so nothing was written" in answer.text
    assert digest(keeper.desk.folder) == before


def test_a_token_of_another_visitor_is_refused(keeper, token):
    keeper.client.cookies.clear()
    keeper.get(WRITE)
    before = digest(keeper.desk.folder)
    assert send(keeper, token=token, origin=ORIGIN).status_code == 403
    assert digest(keeper.desk.folder) == before


@pytest.mark.parametrize("headers", [{"origin": ORIGIN}, {"sec-fetch-site": "same-origin"}, {}])
def test_the_keepers_own_form_is_written(keeper, token, headers):
    before = len(keeper.entries)
    assert send(keeper, token=token, **headers).status_code == 303
    assert len(keeper.entries) == before + 1


@pytest.mark.parametrize(
    "url", ["/tanks/new", "/shelf/new", WRITE, "/tanks/T7/course", "/tanks/T7/undo", "/entries/undo"]
)
def test_every_write_asks_for_the_token(keeper, url):
    before = digest(keeper.desk.folder)
    assert keeper.client.post(url, data={"name": "planted"}, headers={"origin": ORIGIN}).status_code == 403
    assert digest(keeper.desk.folder) == before


@pytest.mark.parametrize("host", ["other.example", "192.0.2.1", "127.0.0.1.other.example", "tankward.local"])
def test_another_host_name_is_not_answered(keeper, host):
    answer = keeper.client.get("/", headers={"host": host})
    assert answer.status_code == 400
    assert "T7" not in answer.text


@pytest.mark.parametrize("host", [*HOSTS, "127.0.0.1:8765", "localhost:8765"])
def test_loopback_is(keeper, host):
    assert keeper.client.get("/", headers={"host": host}).status_code == 200


@pytest.mark.parametrize("url", [*PAGES, "/static/tankward.css"])
def test_every_answer_has_a_strict_policy(keeper, url):
    headers = keeper.client.get(url).headers
    policy = headers["content-security-policy"]
    assert "unsafe-" not in policy and "*" not in policy
    parts = dict(p.strip().split(" ", 1) for p in policy.split(";"))
    assert parts["default-src"] == "'self'"
    assert parts["object-src"] == parts["base-uri"] == parts["frame-ancestors"] == "'none'"
    assert parts["form-action"] == "'self'"
    assert headers["x-content-type-options"] == "nosniff"
    assert headers["referrer-policy"] == "same-origin"
    assert "access-control-allow-origin" not in headers


@pytest.mark.parametrize("url", PAGES)
def test_no_page_needs_what_the_policy_forbids(keeper, url):
    page = keeper.client.get(url).text
    assert " style=" not in page and "<style" not in page
    assert "<script>" not in page and "javascript:" not in page and " onclick=" not in page
    assert "http://" not in page.replace("http://www.w3.org/", "") and "https://" not in page


def test_cookies_are_for_this_site_alone_and_no_script_reads_them(keeper):
    told = keeper.client.get("/").headers["set-cookie"].lower()
    assert "httponly" in told and "samesite=strict" in told
    assert "domain=" not in told


def test_a_body_that_is_too_long_is_refused(keeper, token):
    before = digest(keeper.desk.folder)
    answer = send(keeper, token=token, text="a" * (BODY_LIMIT + 1), origin=ORIGIN)
    assert answer.status_code == 413
    assert "Nothing was written" in answer.text
    assert digest(keeper.desk.folder) == before


def test_a_body_that_does_not_say_how_long_it_is_is_counted(keeper, token):
    def endless():
        yield f"form-token={token}&text=".encode()
        for _ in range(BODY_LIMIT // 1000 + 1):
            yield b"a" * 1000

    before = digest(keeper.desk.folder)
    kind = {"origin": ORIGIN, "content-type": "application/x-www-form-urlencoded"}
    answer = keeper.client.post(WRITE, content=endless(), headers=kind)
    assert answer.status_code == 413
    assert digest(keeper.desk.folder) == before


@pytest.mark.parametrize("length", ["-1", "many", "1e9"])
def test_a_length_that_is_none_is_no_fault_of_ours(keeper, token, length):
    answer = send(keeper, token=token, origin=ORIGIN, **{"content-length": length})
    assert answer.status_code == 400


def test_an_unknown_page_says_so(keeper):
    page = keeper.get("/nothing-here")
    assert page.code == 404
    assert page.heading() == "Nothing here"
    assert "no such page in this room" in page.words
    assert "/" in page.links


@pytest.mark.parametrize("url", ["/tanks/T99", "/tanks/T99/log", "/entries/nothing", "/static/nothing.css"])
def test_what_is_not_there_is_worded_and_no_fault(keeper, url):
    page = keeper.get(url)
    assert page.code in (404, 422)
    assert "Traceback" not in page.html and len(page.words) > 20


@pytest.mark.parametrize("url", ["/static/../guard.py", "/static/%2e%2e/guard.py", "/static/..%2fguard.py"])
def test_static_files_are_only_those(keeper, url):
    answer = keeper.client.get(url)
    assert answer.status_code == 404
    assert "BODY_LIMIT" not in answer.text


def test_reading_a_page_writes_nothing(keeper):
    before = digest(keeper.desk.folder)
    for url in PAGES:
        keeper.get(url)
    assert digest(keeper.desk.folder) == before
