"""Photos on pages: sent with a form, shown where they belong, removed for good."""

import re

import pytest

from tankward.desk.photos import photos_here
from tankward.room.entries.looks import Look
from tankward.room.entries.photos import PhotoAdded
from tankward.store import picture
from tests.helpers.pictures import PLACE, opened, photo

from .visitor import ORIGIN, Seen

FIN = photo(1700, 900, place=True)
FORM = "/tanks/t7/log/note"


def send(keeper, url, page, files, **typed):
    """A form with files, as a browser sends it."""
    data = {"form-token": keeper.token(page), **{k.replace("__", "-"): v for k, v in typed.items()}}
    return Seen(keeper.client.post(url, data=data, files=files, headers={"origin": ORIGIN}))


def noted(keeper, **typed):
    """A note with a photo; the answer."""
    files = [("photo", ("IMG_1.jpg", FIN, "image/jpeg"))]
    return send(keeper, FORM, keeper.get(FORM), files, text="Torn fin", **typed)


def images(page):
    return re.findall(r'<img src="([^"]+)" alt="([^"]*)"', page.html)


def test_the_form_asks_for_a_photo_by_camera_or_of_those_there_are(keeper):
    page = keeper.get(FORM)
    taken, chosen = [f for f in page.fields if f.get("type") == "file"]
    assert (taken["accept"], taken["capture"]) == ("image/*", "environment")
    assert chosen["accept"] == "image/*"
    assert "capture" not in chosen
    assert 'enctype="multipart/form-data"' in page.html


def test_a_note_with_a_photo_is_shown_in_the_log_and_on_its_page(keeper):
    answer = noted(keeper)
    assert answer.code == 303
    log = keeper.get(answer.to)
    ((src, alt),) = images(log)
    assert alt == "Photo: Torn fin"
    sent = keeper.client.get(src)
    assert sent.headers["content-type"] == "image/jpeg"
    assert sent.headers["cache-control"] == "no-store"
    assert max(opened(sent.content).size) == picture.LONGEST_PX
    assert PLACE.encode() not in sent.content
    (entry,) = photos_here(keeper.desk)
    assert images(keeper.get(f"/entries/{entry}")) == [(src, alt)]


def test_what_the_keeper_wrote_of_it_stands_for_it(keeper):
    noted(keeper, shows="The tail, from the left")
    ((_, alt),) = images(keeper.get("/tanks/t7"))
    assert alt == "Photo: The tail, from the left"


def test_several_at_once_and_none(keeper):
    files = [("photo-chosen", (f"{n}.jpg", photo(colour=(n, 90, 90)), "image/jpeg")) for n in (1, 200)]
    files.append(("photo", ("", b"", "application/octet-stream")))  # as a browser sends an empty field
    assert send(keeper, FORM, keeper.get(FORM), files, text="x").code == 303
    assert len(images(keeper.get("/tanks/t7"))) == 2
    before = len(keeper.entries)
    assert send(keeper, FORM, keeper.get(FORM), files[-1:], text="x").code == 303
    assert len(keeper.entries) == before + 1


def test_a_look_with_a_photo(keeper):
    page = keeper.get("/tanks/t7/look")
    answer = send(keeper, "/tanks/t7/look", page, [("photo", ("a.jpg", FIN, "image/jpeg"))], belly="2")
    assert answer.code == 303
    (look,) = [e for e in keeper.entries if isinstance(e, Look)]
    ((_, alt),) = images(keeper.get(f"/entries/{look.id}"))
    assert alt.startswith("Photo: ")


def test_a_death_with_a_photo(keeper):
    url = "/tanks/t7/log/death"
    assert (
        send(keeper, url, keeper.get(url), [("photo", ("a.jpg", FIN, "image/jpeg"))], number="1").code == 303
    )
    ((_, alt),) = images(keeper.get("/tanks/t7"))
    assert alt == "Photo: 1 found dead"


NO_PHOTO = {
    "words": (b"a letter", "is no whole photo"),
    "half of one": (FIN[:4000], "is no whole photo"),
    "one from elsewhere": (b"\0\0\0\x18ftypheic" + bytes(99), "HEIC"),
}


@pytest.mark.parametrize("what", NO_PHOTO)
def test_what_is_no_photo_writes_nothing_and_keeps_what_was_typed(keeper, what):
    content, says = NO_PHOTO[what]
    before = keeper.entries
    answer = send(
        keeper, FORM, keeper.get(FORM), [("photo", ("a.jpg", content))], text="Torn fin", shows="A tail"
    )
    assert answer.code == 422
    assert says in answer.words
    assert "Torn fin" in answer.html
    assert 'value="A tail"' in answer.html
    assert keeper.entries == before
    assert not list(keeper.desk.folder.rglob("*.jpg"))


def test_one_that_is_too_large(keeper, monkeypatch):
    monkeypatch.setattr(picture, "MOST_SENT", 1000)
    answer = send(keeper, FORM, keeper.get(FORM), [("photo", ("a.jpg", FIN))], text="x")
    assert answer.code == 422
    assert "A photo may have" in answer.words


def test_more_than_a_form_of_photos_holds(keeper):
    headers = {
        "origin": ORIGIN,
        "content-type": "multipart/form-data; boundary=x",
        "content-length": "99000000",
    }
    answer = keeper.client.post(FORM, content=b"x", headers=headers)
    assert answer.status_code == 413
    assert "larger than 60 MB together. Nothing was written." in answer.text


def test_one_added_to_an_entry_that_is_there_and_removed_for_good(keeper):
    keeper.post(FORM, keeper.get(FORM), text="Torn fin")
    entry = keeper.entries[-1].id
    url = f"/entries/{entry}"
    assert send(keeper, f"{url}/photos", keeper.get(url), []).code == 422
    added = send(keeper, f"{url}/photos", keeper.get(url), [("photo", ("a.jpg", FIN))], shows="The tail")
    assert added.code == 303
    page = keeper.get(url)
    ((src, _),) = images(page)
    (own,) = [link for link in page.links if link.startswith("/photos/")]
    page = keeper.get(own)
    assert page.heading() == "The tail"
    assert "Copies and exports that you put elsewhere still hold it" in page.words
    gone = keeper.get(keeper.post(f"{own}/remove", page).to)
    assert "A photo was here. It was removed for good." in gone.words
    assert keeper.client.get(src).status_code == 404
    assert "removed for good" in keeper.get(url).words
    assert images(keeper.get("/tanks/t7")) == []
    assert keeper.post(f"{own}/remove", keeper.get(FORM)).code == 422


def test_removing_needs_the_form_of_this_room(keeper):
    noted(keeper)
    (added,) = [e for e in keeper.entries if isinstance(e, PhotoAdded)]
    assert keeper.post(f"/photos/{added.id}/remove").code == 403
    assert len(list(keeper.desk.folder.rglob("*.jpg"))) == 1


def test_a_note_taken_back_takes_its_photo_along(keeper):
    page = keeper.get(noted(keeper).to)
    (undo,) = [f["value"] for f in page.fields if f.get("name") == "entries"]
    keeper.post("/entries/undo", page, entries=undo)
    assert images(keeper.get("/tanks/t7")) == []


@pytest.mark.parametrize("name", ["x", "..%2f..%2flogbook.db", "a" * 64, "A" * 64])
def test_a_picture_that_is_not_there(keeper, name):
    assert keeper.get(f"/photos/{name}.jpg").code in (404, 422)


def test_a_photo_that_is_missing_is_told(keeper):
    noted(keeper)
    for file in (keeper.desk.folder / "photos").glob("*.jpg"):
        file.unlink()
    assert "The picture is missing" in keeper.get("/tanks/t7").words
    assert "Not whole: the photo" in keeper.get("/data/check").words
