"""Photos beside the logbook: kept before they are named, carried, copied, put back, removed for good."""

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
from tankward.store import restore
from tankward.store import store as stores
from tankward.store.carry_form import MANIFEST
from tankward.store.faults import StoreFault
from tankward.store.photos import Picture, pictures_in, sound
from tests.helpers.pictures import photo
from tests.store.test_backup import NOW, note
from tests.store.test_carry import bring, packed
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

    def broken(*_):
        assert pictures_in(desk.store.pictures) == {row_digest}
        raise OSError(28, "no space")

    about = note()
    desk.append(about)
    pictures = read_photos([("x", photo())])
    row_digest = pictures[0].digest
    (added,) = photo_entries(about, pictures, "", NOW, "UTC")
    monkeypatch.setattr(stores, "inserted", broken)
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
