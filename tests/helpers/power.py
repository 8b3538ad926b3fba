"""A disk that loses its power: what a program asked of it, and what may be left at any moment.

The system calls of a real writer are recorded by strace and replayed on a disk in memory that is as forgetful
as a real one may be. What is not synced may be lost, kept, or kept in parts of 512 bytes; a name in a folder
holds only once that folder was synced, whether a file was made or removed.
"""

import base64
import json
import lzma
import re
import shutil
import sqlite3
import subprocess
import sys
from dataclasses import dataclass, field
from pathlib import Path, PurePosixPath

from tests.helpers import power_writer

SECTOR = 512
MANY = 4  # entries of each of the two lives of the writer
KEPT = Path(__file__).parents[1] / "data" / "power"
CALLS = (
    "openat,open,creat,pwrite64,pwritev,write,writev,fsync,fdatasync,ftruncate,truncate,fallocate,"
    "unlink,unlinkat,rename,renameat,renameat2,link,linkat,mkdir,mkdirat,rmdir"
)
LINE = re.compile(r"^(?P<pid>\d+)\s+(?P<call>\w+)\((?P<args>.*)\)\s+= (?P<result>-?\d+)")
OPEN, RESUMED = (
    re.compile(r"^(\d+)\s+(.*) <unfinished \.\.\.>$"),
    re.compile(r"^(\d+)\s+<\.\.\. \w+ resumed>(.*)$"),
)
TEXT = re.compile(r'"((?:\\x[0-9a-f]{2})*)"')
HELD = re.compile(r"^\d+<([^>]*)>")


@dataclass(frozen=True)
class Op:
    """One thing asked of the disk; paths are those below the folder that was watched."""

    do: str  # make, folder, write, cut, sync, unlink, rename, said
    path: str = ""
    at: int = 0
    data: bytes = b""  # what was written or said; the new name


def can_record() -> bool:
    """Whether strace is there and may look."""
    if not shutil.which("strace"):
        return False
    return subprocess.run(["strace", "-o", "/dev/null", "true"], capture_output=True).returncode == 0


def record(root: Path, way: str = "") -> list[Op]:
    """Run the writer below a folder and tell what it asked of the disk, and what it said, in this order."""
    log = root / "calls"
    watched = root / "disk"
    watched.mkdir()
    traced = ["strace", "-f", "-y", "-xx", "-s", "200000", "-e", f"trace={CALLS}", "-o", str(log)]
    program = [sys.executable, power_writer.__file__, str(watched / "room"), str(MANY), way]
    subprocess.run([*traced, *program], check=True, stdout=subprocess.PIPE)
    return list(_ops(log.read_text(), watched))


def _whole_lines(text: str):
    begun = {}
    for line in text.splitlines():
        if found := OPEN.match(line):
            begun[found[1]] = f"{found[1]} {found[2]}"
        elif found := RESUMED.match(line):
            yield begun.pop(found[1]) + found[2]
        else:
            yield line


def _ops(text: str, root: Path):
    there: dict[str, int] = {}  # files, and how far each was written by calls that go on where the last ended
    for line in _whole_lines(text):
        found = LINE.match(line)
        if found and int(found["result"]) >= 0:
            yield from _op(found["call"], found["args"], root, there)


def _op(call: str, args: str, root: Path, there: dict[str, int]):
    texts = [bytes.fromhex(t.replace("\\x", "")) for t in TEXT.findall(args)]
    held = HELD.match(args)
    path = _below(_unhex(held[1]) if held else "", root)
    named = [_below(t.decode(errors="replace"), root) for t in texts]
    last = args.rpartition(",")[2].strip()
    if call == "write" and args.startswith("1<"):
        if texts[0].strip():
            yield Op("said", data=texts[0].strip())
    elif call == "openat" and "O_CREAT" in args and named[0] and not named[0].endswith("-shm"):
        if named[0] not in there:
            there[named[0]] = 0
            yield Op("make", named[0])
        assert "O_TRUNC" not in args, args
    elif call == "mkdir" and named[0]:
        yield Op("folder", named[0])
    elif call == "unlink" and named[0] in there:
        del there[named[0]]
        yield Op("unlink", named[0])
    elif call == "rename" and named[0] in there:
        there[named[1]] = there.pop(named[0])
        yield Op("rename", named[0], data=named[1].encode())
    elif call == "write" and path in there:
        yield Op("write", path, at=there[path], data=texts[0])
        there[path] += len(texts[0])
    elif path and not path.endswith("-shm"):
        yield from _on_file(call, path, texts, last, args)
    else:
        assert not any(named) or call in ("openat", "unlink"), (call, args[:300])


def _on_file(call, path, texts, last, args):
    if call == "pwrite64":
        yield Op("write", path, at=int(last), data=texts[0])
    elif call == "ftruncate":
        yield Op("cut", path, at=int(last))
    elif call in ("fsync", "fdatasync"):
        yield Op("sync", path)
    else:
        assert call == "openat", (call, args[:300])


def _unhex(text: str) -> str:
    return bytes.fromhex(text.replace("\\x", "")).decode() if text.startswith("\\x") else text


def _below(path: str, root: Path) -> str:
    """The path below the watched folder, "." for itself; "" for what lies elsewhere."""
    pure = PurePosixPath(path)
    return str(pure.relative_to(root)) if pure.is_relative_to(root) else ""


# Recordings kept for machines without strace


def keep(name: str, ops: list[Op]) -> None:
    KEPT.mkdir(parents=True, exist_ok=True)
    rows = [[op.do, op.path, op.at, base64.b85encode(op.data).decode()] for op in ops]
    told = json.dumps({"sqlite": sqlite3.sqlite_version, "ops": rows})
    _file(name).write_bytes(lzma.compress(told.encode(), preset=9))


def kept(name: str) -> list[Op]:
    return [Op(do, path, at, base64.b85decode(data)) for do, path, at, data in _kept(name)["ops"]]


def kept_with(name: str) -> str:
    """The SQLite that was recorded; another may write in another order."""
    return _kept(name)["sqlite"]


def _kept(name: str) -> dict:
    return json.loads(lzma.decompress(_file(name).read_bytes()))


def _file(name: str) -> Path:
    return KEPT / f"{name or 'full'}.json.xz"


# The disk


@dataclass
class Node:
    """A file's content: what is surely on the disk, and what was asked since."""

    sure: bytearray = field(default_factory=bytearray)
    asked: list[Op] = field(default_factory=list)

    def synced(self) -> None:
        for op in self.asked:
            apply(self.sure, op)
        self.asked = []


def apply(content: bytearray, op: Op) -> None:
    if op.do == "cut":
        del content[op.at :]
        content.extend(bytes(op.at - len(content)))
        return
    content.extend(bytes(max(op.at - len(content), 0)))
    content[op.at : op.at + len(op.data)] = op.data


@dataclass
class Disk:
    """Names and files, as the programs see them and as the disk surely has them."""

    names: dict[str, Node | None] = field(default_factory=dict)  # None is a folder
    sure: dict[str, Node | None] = field(default_factory=dict)
    said: list[str] = field(default_factory=list)

    def do(self, op: Op) -> None:
        if op.do == "said":
            self.said.append(op.data.decode())
        elif op.do in ("make", "folder"):
            self.names[op.path] = Node() if op.do == "make" else None
        elif op.do == "unlink":
            del self.names[op.path]
        elif op.do == "rename":
            self.names[op.data.decode()] = self.names.pop(op.path)
        elif op.do == "sync":
            self._sync(op.path)
        else:
            self.names[op.path].asked.append(op)

    def _sync(self, path: str) -> None:
        node = self.names.get(path)
        if node is not None:
            node.synced()
            return
        for name in {*self.sure, *self.names}:
            if str(PurePosixPath(name).parent) == path:
                self._name_is_sure(name)

    def _name_is_sure(self, name: str) -> None:
        if name in self.names:
            self.sure[name] = self.names[name]
        else:
            self.sure.pop(name, None)

    def left(self, how: str, chance) -> dict[str, bytes | None]:
        """What is there when the power comes back: "lost", "kept" or "some" of what was not sure."""
        names = {"lost": self.sure, "kept": self.names}.get(how) or (
            self._some_names(chance) if how == "some" else {}
        )
        found = {
            name: None if node is None else bytes(content(node, how, chance)) for name, node in names.items()
        }
        return {
            n: c
            for n, c in found.items()
            if all(str(p) in found or str(p) == "." for p in PurePosixPath(n).parents)
        }

    def _some_names(self, chance) -> dict[str, Node | None]:
        names = dict(self.sure)
        for name in sorted({*self.sure, *self.names}):
            if self.names.get(name, 0) is not self.sure.get(name, 0) and chance.random() < 0.5:
                names[name] = self.names.get(name, 0)
        return {n: node for n, node in names.items() if node != 0}


def content(node: Node, how: str, chance) -> bytearray:
    """A file's bytes after the cut."""
    found = bytearray(node.sure)
    asked = {"lost": [], "kept": node.asked}.get(how)
    for op in _some(node.asked, chance) if asked is None else asked:
        apply(found, op)
    return found


def _some(asked: list[Op], chance):
    """Some sectors of some writes, in any order: a disk may write when it likes until it is told to sync."""
    parts = [part for op in asked for part in _sectors(op)]
    chosen = [part for part in parts if chance.random() < 0.5]
    chance.shuffle(chosen)
    return chosen


def _sectors(op: Op):
    if op.do == "cut":
        return [op]
    cuts = range(0, len(op.data), SECTOR)
    return [Op("write", op.path, op.at + n, op.data[n : n + SECTOR]) for n in cuts]


def put(found: dict[str, bytes | None], folder: Path) -> None:
    """Lay out in a real folder what was left."""
    for name in sorted(found):
        where = folder / name
        if found[name] is None:
            where.mkdir()
        else:
            where.write_bytes(found[name])
