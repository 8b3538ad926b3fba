"""A photo as it is kept: upright, small, bare; and what is no photo is told in one sentence."""

import io
import struct
import zlib

import pytest
from PIL import Image

from tankward.quantities.faults import BadInput
from tankward.store import picture
from tankward.store.picture import digest_of, is_kept_form, kept_form
from tests.helpers.pictures import PLACE, SIDEWAYS, opened, photo


@pytest.mark.parametrize("form", ["JPEG", "PNG", "WEBP"])
def test_nothing_hangs_on_it_any_more(form):
    sent = photo(form=form, place=True)
    assert opened(sent).getexif()
    kept = kept_form(sent, "x")
    image = opened(kept)
    assert image.format == "JPEG"
    assert dict(image.getexif()) == {}
    assert PLACE.encode() not in kept
    assert b"Invented" not in kept
    assert is_kept_form(kept)


def test_a_photo_that_lies_on_its_side_stands_up():
    """Turned a quarter, the left half comes to lie on top."""
    image = opened(kept_form(photo(80, 60, turned=SIDEWAYS), "x"))
    assert image.size == (60, 80)
    top, bottom = image.getpixel((30, 10)), image.getpixel((30, 70))
    assert top[0] > 150 > bottom[0]


@pytest.mark.parametrize("size", [(3200, 2400), (1601, 20), (20, 4000), (4000, 3000)])
def test_the_longest_side_is_limited(size):
    image = opened(kept_form(photo(*size), "x"))
    assert max(image.size) == picture.LONGEST_PX
    assert image.size[0] * size[1] == pytest.approx(image.size[1] * size[0], rel=0.06)


def test_a_small_one_is_not_blown_up():
    assert opened(kept_form(photo(80, 60), "x")).size == (80, 60)


def test_what_can_be_seen_through_lies_on_white():
    out = io.BytesIO()
    Image.new("RGBA", (40, 40), (255, 0, 0, 0)).save(out, "PNG")
    assert min(opened(kept_form(out.getvalue(), "x")).getpixel((20, 20))) > 250


def test_the_same_photo_gets_the_same_name():
    assert digest_of(kept_form(photo(), "a")) == digest_of(kept_form(photo(), "b"))


def bomb():
    """A PNG of some hundred bytes that says it is 60,000 points wide and high."""

    def chunk(kind, body):
        return struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))

    head = struct.pack(">IIBBBBB", 60_000, 60_000, 8, 2, 0, 0, 0)
    body = zlib.compress(bytes(1000))
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", body) + chunk(b"IEND", b"")


NO_PHOTO = {
    "nothing": (b"", "no whole photo"),
    "words": (b"a letter about fish", "no whole photo"),
    "a page": (b"<svg xmlns='http://www.w3.org/2000/svg'/>", "no whole photo"),
    "half a photo": (photo(800, 600)[:3000], "no whole photo"),
    "another sort": (photo(form="TIFF"), "no whole photo"),
    "a bomb": (bomb(), "too many points"),
    "a form of phones": (b"\0\0\0\x18ftypheic" + bytes(400), "HEIC"),
}


@pytest.mark.parametrize("what", NO_PHOTO)
def test_what_is_no_photo_is_refused_in_one_sentence(what):
    content, says = NO_PHOTO[what]
    with pytest.raises(BadInput, match=says) as told:
        kept_form(content, "x.jpg")
    assert "\n" not in str(told.value)
    assert not is_kept_form(content)


def test_a_file_that_is_too_large(monkeypatch):
    monkeypatch.setattr(picture, "MOST_SENT", 1_000_000)
    with pytest.raises(BadInput, match="is 2 MB"):
        kept_form(bytes(2_000_000), "x.jpg")


def test_too_many_points_by_a_little(monkeypatch):
    monkeypatch.setattr(picture, "MOST_POINTS", 80 * 60 - 1)
    with pytest.raises(BadInput, match="too many points"):
        kept_form(photo(80, 60), "x.jpg")


def larger(content):
    image = Image.new("RGB", (1601, 10))
    out = io.BytesIO()
    image.save(out, "JPEG")
    return out.getvalue()


NOT_OURS = {
    "a place": lambda kept: photo(place=True),
    "too large": larger,
    "cut off": lambda kept: kept[:-200],
    "a PNG": lambda kept: photo(form="PNG"),
    "bytes": lambda kept: bytes(100),
}


@pytest.mark.parametrize("what", NOT_OURS)
def test_a_picture_in_another_form_is_known_as_such(what):
    kept = kept_form(photo(400, 300), "x")
    assert is_kept_form(kept)
    assert not is_kept_form(NOT_OURS[what](kept))


def test_two_pictures_in_one_file_as_some_phones_write_them():
    out = io.BytesIO()
    first = Image.new("RGB", (90, 60), "red")
    first.save(out, "MPO", save_all=True, append_images=[Image.new("RGB", (90, 60), "blue")])
    image = opened(kept_form(out.getvalue(), "x"))
    assert image.size == (90, 60)
    assert image.getpixel((5, 5))[0] > 200
