"""Photos beside the logbook: kept before they are named, carried, copied, put back, removed for good."""

import json
import os
import signal
import threading
from datetime import timedelta

import pytest

from tankward.desk import data
from tankward.desk.desk import Desk
from tankward.desk.folder import new_id
from tankward.desk.photos import photo_entries, photos_here, read_files, read_photos, remove
from tankward.quantities.faults import BadInput
from tankward.room.entries.corrections import Corrected, Undone
from tankward.room.photos import photos_of, pictures_of
from tankward.store import photos, restore
from tankward.store import store as stores
from tankward.store.carry_form import ENTRIES, MANIFEST
from tankward.store.faults import StoreFault
from tankward.store.photos import Picture, pictures_in, sound
from tests.helpers.pictures import photo
from tests.store.test_backup import NOW, note
from tests.store.test_carry import bring, packed, refused, zipped
from tests.store.test_carry import parts as members

RED, BLUE = (200, 40, 40), (40, 40, 200)


def with_photo(desk, colour=RED, text="seen", shows=""):
    """A note with a photo, kept; both entries."""
    about = note(text)
    pictures = read_photos([("x.jpg", photo(colour=colour))])
    (added,) = photo_entries(about, pictures, shows, NOW, "UTC")
    desk.append(about, added, pictures=pictures)
    return about, added


@pytest.fixture
def desk(tmp_path):
    with Desk.open(tmp_path / "room") as made:
        yield made


def copied_pictures(desk):
    return pictures_in(desk.folder / "copies" / "photos")


# Kept


def test_it_lies_in_the_folder_under_its_digest(desk):
    about, added = with_photo(desk)
    assert desk.entries() == sorted([about, added], key=lambda e: (e.at, e.id))
    file = desk.folder / "photos" / f"{added.digest}.jpg"
    assert sound(file.parent, added.digest) == file.read_bytes()
    assert list(file.parent.iterdir()) == [file]


def test_no_entry_names_a_photo_that_is_not_there(desk):
    about = note()
    desk.append(about)
    (added,) = photo_entries(about, [Picture("a" * 64, b"")], "", NOW, "UTC")
    with pytest.raises(StoreFault, match="The photo is not in the folder"):
        desk.append(added)
    assert desk.entries() == [about]


def test_the_picture_is_there_before_its_entry(desk, monkeypatch):
    """Were it the other way round, a fault between the two would leave a name without a picture."""

    def broken(connection, row):
        assert pictures_in(desk.store.pictures) == {row_digest}
        raise OSError(28, "no space")

    about = note()
    desk.append(about)
    pictures = read_photos([("x", photo())])
    row_digest = pictures[0].digest
    (added,) = photo_entries(about, pictures, "", NOW, "UTC")
    monkeypatch.setattr(stores, "_insert", broken)
    with pytest.raises(StoreFault, match="disk is full"):
        desk.append(added, pictures=pictures)
    assert desk.entries() == [about]
    monkeypatch.undo()
    assert desk.store.sweep() == 1, "what no entry names goes to the copies"
    assert (pictures_in(desk.store.pictures), copied_pictures(desk)) == (set(), {row_digest})


def test_the_same_picture_twice_is_one_file(desk):
    with_photo(desk, text="one")
    with_photo(desk, text="two")
    assert len(list((desk.folder / "photos").iterdir())) == 1


def test_nothing_is_written_where_nothing_may_be(desk):
    with_photo(desk)
    desk.store.read_only = "can only be read"
    before = pictures_in(desk.store.pictures)
    with pytest.raises(StoreFault, match="only be read"):
        with_photo(desk, BLUE)
    assert pictures_in(desk.store.pictures) == before


def test_a_file_that_is_not_there_and_too_many_at_once(tmp_path):
    with pytest.raises(BadInput, match="is no file"):
        read_files(str(tmp_path / "nothing.jpg"))
    with pytest.raises(BadInput, match="at most 12"):
        read_photos([("x", b"")] * 13)


def test_a_corrected_entry_keeps_its_photos_and_one_taken_back_can_be_put_back(desk):
    about, added = with_photo(desk)
    newer = note("seen, and better described")
    desk.append(newer, Corrected(id=new_id(), at=NOW, entry=about.id, by=newer.id))
    assert photos_of(desk.entries()) == {newer.id: (added,)}
    undone = Undone(id=new_id(), at=NOW, entry=added.id)
    desk.append(undone)
    assert photos_here(desk) == {}
    desk.append(Undone(id=new_id(), at=NOW, entry=undone.id))
    assert photos_here(desk)[newer.id][0].there == "there"


def test_a_correction_has_no_photo():
    with pytest.raises(BadInput, match="can't have a photo"):
        photo_entries(Undone(id=new_id(), at=NOW, entry="x"), [], "", NOW, "UTC")


# Removed for good


def test_it_is_really_gone_and_its_entry_says_so(desk):
    about, added = with_photo(desk)
    data.keep_daily(desk, NOW, "UTC")
    assert copied_pictures(desk) == {added.digest}
    remove(desk, added.id, NOW, "UTC")
    assert not list(desk.folder.rglob("*.jpg"))
    (told,) = photos_here(desk)[about.id]
    assert (told.there, told.removed_at) == ("removed", NOW)
    content = packed(desk)
    assert not [n for n in members(content) if n.endswith(".jpg")]
    assert added.digest not in members(content)[MANIFEST].decode()
    assert data.check(desk, NOW).faults == (), "the copy is older, and whole all the same"
    with pytest.raises(BadInput, match="was removed already"):
        remove(desk, added.id, NOW, "UTC")


def test_every_photo_of_the_same_picture_goes(desk):
    _, one = with_photo(desk, text="one")
    about, _ = with_photo(desk, text="two")
    remove(desk, one.id, NOW, "UTC")
    assert photos_here(desk)[about.id][0].there == "removed"
    assert pictures_of(desk.entries()) == set()


def test_taking_the_removal_back_brings_nothing_back(desk):
    _, added = with_photo(desk)
    remove(desk, added.id, NOW, "UTC")
    removal = next(e for e in desk.entries() if getattr(e, "photo", ""))
    desk.append(Undone(id=new_id(), at=NOW, entry=removal.id))
    assert pictures_of(desk.entries()) == set()


def test_it_can_be_added_anew(desk):
    _, first = with_photo(desk)
    remove(desk, first.id, NOW, "UTC")
    _, again = with_photo(desk, text="again")
    assert again.digest == first.digest
    assert data.check(desk, NOW).faults == ()


def test_an_older_copy_and_an_older_export_bring_it_back_neither(desk):
    _, added = with_photo(desk)
    made = data.back_up(desk, NOW)
    old = packed(desk)
    remove(desk, added.id, NOW, "UTC")
    done = data.put_back(desk, made.file, NOW + timedelta(hours=1))
    assert done.lacking == 0
    assert not list(desk.folder.rglob("*.jpg"))
    assert next(iter(photos_here(desk).values()))[0].there == "removed"
    assert bring(desk, old).new == 0
    desk.store.sweep()
    assert not list(desk.folder.rglob("*.jpg"))
    assert data.check(desk, NOW).faults == ()


def test_killed_between_the_entry_and_the_file(desk, monkeypatch):
    """The next start ends what was begun."""
    _, added = with_photo(desk)
    with monkeypatch.context() as torn:
        torn.setattr(stores.Store, "sweep", lambda self: 0)
        remove(desk, added.id, NOW, "UTC")
    assert pictures_in(desk.store.pictures)
    assert data.keep_daily(desk, NOW, "UTC") == ""
    assert not list(desk.folder.rglob("*.jpg"))


# Copies


def test_a_copy_has_the_photos_and_putting_it_back_brings_them_back(desk):
    _, added = with_photo(desk)
    made = data.back_up(desk, NOW)
    assert made.found.pictures == {added.digest}
    (desk.folder / "photos" / f"{added.digest}.jpg").unlink()
    assert data.check(desk, NOW).photos == {added.digest: "missing"}
    done = data.put_back(desk, made.file, NOW)
    assert done.lacking == 0
    assert data.check(desk, NOW).faults == ()


def test_a_copy_elsewhere_has_its_photos_beside_it(desk, tmp_path):
    about, added = with_photo(desk)
    stick = tmp_path / "stick"
    data.back_up(desk, NOW, stick / "room.db")
    assert pictures_in(stick / "room-photos") == {added.digest}
    with Desk.open(tmp_path / "other") as other:
        assert data.put_back(other, stick / "room.db", NOW).lacking == 0
        assert photos_here(other)[about.id][0].there == "there"
        assert data.check(other, NOW).faults == ()


def test_a_copy_into_a_folder_that_is_not_there_yet(desk, tmp_path):
    with_photo(desk)
    made = data.back_up(desk, NOW, tmp_path / "stick")
    assert made.file == tmp_path / "stick" / "tankward-2026-05-14T180000Z.db"
    assert {f.name for f in made.file.parent.iterdir()} == {made.file.name, f"{made.file.stem}-photos"}


def test_what_was_there_is_kept_with_its_photos_when_a_copy_is_put_back(desk):
    data_before = data.back_up(desk_with(desk, RED), NOW)
    _, later = with_photo(desk, BLUE)
    done = data.put_back(desk, data_before.file, NOW + timedelta(hours=1))
    desk.store.sweep()
    assert later.digest not in pictures_in(desk.store.pictures)
    data.put_back(desk, done.kept, NOW + timedelta(hours=2))
    assert later.digest in pictures_in(desk.store.pictures)
    assert data.check(desk, NOW).faults == ()


def desk_with(desk, colour):
    with_photo(desk, colour)
    return desk


def test_a_copy_that_lost_its_photo_is_put_back_and_told(desk):
    _, added = with_photo(desk)
    made = data.back_up(desk, NOW)
    for file in desk.folder.rglob("*.jpg"):
        file.unlink()
    assert data.put_back(desk, made.file, NOW).lacking == 1
    assert data.check(desk, NOW).photos == {added.digest: "missing"}


def test_a_damaged_logbook_keeps_its_photos_among_the_copies(desk):
    _, first = with_photo(desk, RED)
    made = data.back_up(desk, NOW)
    _, later = with_photo(desk, BLUE)
    desk.close()
    desk.store.file.write_bytes(b"a letter" * 200)
    restore.put_back(desk.folder, made.file, NOW)
    with Desk.open(desk.folder) as again:
        again.store.sweep()
        assert pictures_in(again.store.pictures) == {first.digest}
        assert copied_pictures(again) == {first.digest, later.digest}


@pytest.mark.parametrize("what", ["missing", "damaged"])
def test_check_tells_and_the_copy_of_the_next_day_mends(desk, what):
    _, added = with_photo(desk)
    data.keep_daily(desk, NOW, "UTC")
    file = desk.folder / "photos" / f"{added.digest}.jpg"
    if what == "missing":
        file.unlink()
    else:
        file.write_bytes(file.read_bytes()[:-9])
    assert data.check(desk, NOW).faults == (f"the photo {added.digest[:12]} is {what}",)
    data.keep_daily(desk, NOW + timedelta(days=1), "UTC")
    assert data.check(desk, NOW).faults == ()


def test_check_tells_of_a_damaged_photo_of_a_copy(desk):
    _, added = with_photo(desk)
    data.back_up(desk, NOW)
    (desk.folder / "copies" / "photos" / f"{added.digest}.jpg").write_bytes(b"x")
    seen = data.check(desk, NOW)
    assert seen.faults == (f"the copy of the photo {added.digest[:12]} is damaged",)


def test_pictures_of_copies_go_when_no_copy_has_named_them_for_long(desk):
    desk.append(note())
    data.keep_daily(desk, NOW, "UTC")
    _, added = with_photo(desk)
    made = data.back_up(desk, NOW)
    data.put_back(desk, data.copy_named(desk, f"day-{NOW.date()}"), NOW)
    data.keep_daily(desk, NOW + timedelta(days=30), "UTC")
    assert copied_pictures(desk) == {added.digest}
    for copy in (made.file, *(c.file for c in data.copies(desk) if "restore" in c.name)):
        copy.unlink()
    data.keep_daily(desk, NOW + timedelta(days=40000), "UTC")
    assert copied_pictures(desk) == set()


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
    text = data.as_text(desk).encode()
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


def test_two_programs_add_and_remove_the_same_picture_at_once(tmp_path):
    """Whoever comes first: no entry that stands names a picture that the other has deleted."""
    folder, faults = tmp_path / "room", []
    Desk.open(folder, make=True).close()

    def work(number):
        try:
            with Desk.open(folder) as desk:
                for _ in range(15):
                    _, added = with_photo(desk)
                    if number % 2:
                        remove(desk, added.id, NOW, "UTC")
        except Exception as fault:  # told below, from the thread that asks
            faults.append(fault)

    threads = [threading.Thread(target=work, args=(n,)) for n in range(3)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert faults == []
    with Desk.open(folder) as desk:
        desk.store.sweep()
        entries = desk.entries()
        assert pictures_in(desk.store.pictures) == pictures_of(entries)
        assert data.check(desk, NOW).faults == ()
