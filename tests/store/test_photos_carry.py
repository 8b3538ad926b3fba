"""Photos in an export: out and in again, and what is refused."""

import json
import os
import signal

import pytest

from tankward.desk import carrying, data
from tankward.desk.desk import Desk
from tankward.desk.photos import photos_here
from tankward.store import photos
from tankward.store.carry_form import ENTRIES, MANIFEST
from tankward.store.photos import Picture, pictures_in
from tests.helpers.pictures import photo
from tests.store.test_backup import NOW, note
from tests.store.test_carry import bring, packed, refused, zipped
from tests.store.test_carry import parts as members
from tests.store.test_photos import BLUE, RED, with_photo


@pytest.fixture
def desk(tmp_path):
    with Desk.open(tmp_path / "room") as made:
        yield made


# Out and in: what is refused


def changed(content, **files):
    found = members(content)
    return zipped({**found, **files})


def test_a_photo_that_was_changed(desk, tmp_path):
    _, added = with_photo(desk)
    content = packed(desk)
    name = f"photos/{added.digest}.jpg"
    with Desk.open(tmp_path / "other") as other:
        assert "a photo that was changed" in refused(other, changed(content, **{name: photo()}))
        assert not (other.folder / "photos").exists() or not list((other.folder / "photos").iterdir())


def test_a_photo_that_is_not_in_it(desk, tmp_path):
    _, added = with_photo(desk)
    found = members(packed(desk))
    del found[f"photos/{added.digest}.jpg"]
    with Desk.open(tmp_path / "other") as other:
        assert "lacks a photo that its entries name" in refused(other, zipped(found))


def test_a_photo_that_nobody_names_or_that_is_no_photo(desk, tmp_path):
    with_photo(desk)
    content = packed(desk)
    page = Picture.of(b"<script>")
    stranger = Picture.of(photo(colour=BLUE))
    with Desk.open(tmp_path / "other") as other:
        strange = changed(content, **{f"photos/{stranger.digest}.jpg": stranger.content})
        assert "holds a photo that no entry names" in refused(other, strange)
        assert "Tankward did not make" in refused(other, forged(content, page))


def forged(content, picture):
    """An export that agrees with itself, whose photo is something else."""
    found = {n: c for n, c in members(content).items() if not n.endswith(".jpg")}
    (line,) = [json.loads(row) for row in found[ENTRIES].decode().splitlines() if '"photo"' in row]
    body = found[ENTRIES].replace(line["digest"].encode(), picture.digest.encode())
    manifest = json.loads(found[MANIFEST]) | {"sha256": photos.digest_of(body)}
    found |= {ENTRIES: body, MANIFEST: json.dumps(manifest), f"photos/{picture.digest}.jpg": picture.content}
    return zipped(found)


TRICKS = ["x.jpg", "../logbook.db", f"{'a' * 64}.jpg/..", f"{'a' * 64}.jpg\n", f"{'A' * 64}.jpg", ""]


@pytest.mark.parametrize("name", TRICKS)
def test_a_path_that_is_a_trick(desk, tmp_path, name):
    with_photo(desk)
    content = packed(desk)
    with Desk.open(tmp_path / "other") as other:
        assert "does not belong" in refused(other, changed(content, **{f"photos/{name}": b"x"}))


def test_a_photo_that_unpacks_to_more_than_any(desk, tmp_path):
    _, added = with_photo(desk)
    content = packed(desk)
    with Desk.open(tmp_path / "other") as other:
        bloated = changed(content, **{f"photos/{added.digest}.jpg": bytes(9 * 1024 * 1024)})
        assert "more than any logbook holds" in refused(other, bloated)


def test_more_photos_than_any_room_has(desk, tmp_path, monkeypatch):
    with_photo(desk)
    content = packed(desk)
    monkeypatch.setattr("tankward.store.carry_in.MOST_IN_ALL", 1000)
    with Desk.open(tmp_path / "other") as other:
        assert "more than any logbook holds" in refused(other, content)


def test_an_export_without_a_photo_that_was_lost_before(desk, tmp_path):
    about, added = with_photo(desk)
    (desk.folder / "photos" / f"{added.digest}.jpg").unlink()
    content = packed(desk)
    assert json.loads(members(content)[MANIFEST])["lacking"] == [added.digest]
    with Desk.open(tmp_path / "other") as other:
        assert bring(other, content).new == 2
        assert photos_here(other)[about.id][0].there == "missing"
        assert packed(other) == content


def test_an_import_mends_a_photo_that_was_lost_here(desk):
    _, added = with_photo(desk)
    content = packed(desk)
    (desk.folder / "photos" / f"{added.digest}.jpg").unlink()
    assert bring(desk, content).new == 0
    assert data.check(desk, NOW).faults == ()


def test_an_export_of_the_first_form_is_taken_in(desk, tmp_path):
    desk.append(note())
    found = members(packed(desk))
    manifest = {k: v for k, v in json.loads(found[MANIFEST]).items() if k not in ("photos", "lacking")}
    old = zipped({**found, MANIFEST: json.dumps(manifest | {"form": 1})})
    with Desk.open(tmp_path / "other") as other:
        assert bring(other, old).new == 1


def test_a_text_tells_of_photos_only_where_they_are(desk, tmp_path):
    with_photo(desk)
    text = carrying.as_text(desk).encode()
    with Desk.open(tmp_path / "other") as other:
        assert "tells of a photo, and a text carries none" in refused(other, text, "x.txt")
    assert bring(desk, text, "x.txt").new == 0


def test_a_text_with_a_name_that_is_a_path(desk):
    about = note()
    desk.append(about)
    line = f"1 May 2026 10:00  photo  digest=../../x about={about.id}"
    assert "photo" in refused(desk, line.encode(), "x.txt")


def test_an_import_that_is_cut_off_leaves_nothing(desk, tmp_path):
    """Killed while its photos are put down: nothing of it is there at the next start but a part file."""
    for colour in (RED, BLUE):
        with_photo(desk, colour)
    content = packed(desk)
    child = os.fork()
    if child == 0:
        try:
            real = photos.Staged.add
            left = [1]

            def dying(self, picture):
                if not left[0]:
                    os.kill(os.getpid(), signal.SIGKILL)
                left[0] -= 1
                real(self, picture)

            photos.Staged.add = dying
            with Desk.open(tmp_path / "other") as other:
                bring(other, content)
        finally:
            os._exit(1)
    assert os.WIFSIGNALED(os.waitpid(child, 0)[1])
    with Desk.open(tmp_path / "other") as other:
        assert other.entries() == []
        assert pictures_in(other.store.pictures) == set()
        assert bring(other, content).photos == 2
        assert data.check(other, NOW).faults == ()
        # What is left of the one that was killed goes with the copy of some day.
        assert [f.name for f in (other.folder / "photos").glob(".part-*")]
        os.utime(next((other.folder / "photos").glob(".part-*")), (0, 0))
        data.keep_daily(other, NOW, "UTC")
        assert not list((other.folder / "photos").glob(".part-*"))


def test_the_names_that_no_fact_knows_are_told(desk):
    text = '1 May 2026 10:00  tank  A  volume="54 L"\n1 May 2026 10:01  stock  A  kind=clown_fsh number=3\n'
    done = bring(desk, text.encode(), "x.txt")
    assert done.strange == ("clown_fsh",)
    assert done.new == 2


STRANGE = [
    "dose A phlogiston=20mg",
    'supply "odd packet" unit=sachet phlogiston="20 mg" per=40L',
    "course A name=x substance=phlogiston",
    "course A name=x cause=phlogiston",
    "bath A phlogiston=2mg volume=2L minutes=10min",
]


@pytest.mark.parametrize("line", STRANGE)
def test_a_substance_that_no_fact_knows_stops_the_import(desk, line):
    text = f'1 May 2026 10:00  tank  A  volume="54 L"\n1 May 2026 10:01  {line}\n'
    assert "names phlogiston, and no fact here is about it" in refused(desk, text.encode(), "x.txt")
