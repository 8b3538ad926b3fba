"""Reads back what a sheet's PDF holds: its text, sizes of type, inks and tick boxes, page by page.

Only for PDFs as our own press writes them: no object streams, two-byte codes, one code map a font.
"""

import re
import zlib
from dataclasses import dataclass

TICK = b"17.007874 15.757087 l"  # the upright of a box of 6 mm (17.007874 pt) with rounded corners
ESCAPES = {b"n": b"\n", b"r": b"\r", b"t": b"\t", b"b": b"\b", b"f": b"\f"}


@dataclass(frozen=True)
class Page:
    width_mm: int
    height_mm: int
    text: str
    sizes: frozenset[float]
    inks: frozenset[bytes]
    ticks: int


def pages(pdf: bytes) -> list[Page]:
    """The pages in their order."""
    objects = {int(m[1]): m[2] for m in re.finditer(rb"(\d+) 0 obj\n(.*?)\nendobj", pdf, re.DOTALL)}
    return [_page(body, objects) for _, body in sorted(objects.items()) if b"/Type/Page/" in body]


def _page(body, objects):
    content = _stream(objects[_refers(body, b"Contents")])
    fonts = re.findall(rb"/(f\d+) (\d+) 0 R", objects[_refers(body, b"Resources")])
    maps = {name: _codes(objects[_refers(objects[int(at)], b"ToUnicode")]) for name, at in fonts}
    width, height = (float(v) for v in re.search(rb"/MediaBox\[0 0 ([\d.]+) ([\d.]+)\]", body).groups())
    runs = re.findall(rb"/(f\d+) ([\d.]+) Tf(.*?)ET", content, re.DOTALL)
    text = " ".join(_said(drawn, maps[font]) for font, _, drawn in runs)
    return Page(
        width_mm=round(width * 25.4 / 72),
        height_mm=round(height * 25.4 / 72),
        text=" ".join(text.split()),
        sizes=frozenset(float(size) for _, size, _ in runs),
        inks=frozenset(re.findall(rb"([\d. ]+) (?:scn|SCN)", content)),
        ticks=content.count(TICK),
    )


def _refers(body, key):
    return int(re.search(rb"/" + key + rb" (\d+) 0 R", body)[1])


def _stream(body):
    return zlib.decompress(re.search(rb"stream\r?\n(.*)\r?\nendstream", body, re.DOTALL)[1])


def _codes(body):
    pairs = re.findall(rb"<([0-9A-F]{4})> <([0-9A-F]+)>", _stream(body))
    return {int(code, 16): bytes.fromhex(to.decode()).decode("utf-16-be") for code, to in pairs}


def _said(drawn, codes):
    raw = _strings(drawn)
    return "".join(codes[int.from_bytes(raw[i : i + 2])] for i in range(0, len(raw), 2))


def _strings(drawn):
    """The strings in brackets, without their escapes; brackets inside them may stand unescaped in pairs."""
    found, depth = bytearray(), 0
    for part in re.findall(rb"\\[0-7]{1,3}|\\.|.", drawn, re.DOTALL):
        if part == b"(" or part == b")":
            inside = depth > (1 if part == b")" else 0)
            depth += 1 if part == b"(" else -1
            if not inside:
                continue
        if depth:
            found += _plain(part)
    return bytes(found)


def _plain(part):
    if len(part) == 1:
        return part
    return bytes([int(part[1:], 8)]) if part[1:].isdigit() else ESCAPES.get(part[1:], part[1:])
