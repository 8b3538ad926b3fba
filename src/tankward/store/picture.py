"""A picture as it is kept: upright, at most 1,600 px, a JPEG without anything but its points."""

from __future__ import annotations

import hashlib
import io
import warnings

from tankward.quantities.faults import BadInput

LONGEST_PX = 1600
MOST_POINTS = 64_000_000  # width times height; a larger one may be made to fill the memory
MOST_SENT = 25_000_000  # bytes of a photo as a phone sends it
MOST_KEPT = 8 * 1024 * 1024  # bytes of one in the kept form; 1,600 px of pure noise come to 3 MiB
QUALITY = 85
FORMS = ("JPEG", "PNG", "WEBP")
HEIC = (b"ftypheic", b"ftypheix", b"ftypmif1", b"ftypmsf1", b"ftyphevc")


def kept_form(content: bytes, name: str) -> bytes:
    """The picture of a photo in the form that is kept: turned upright, made smaller, bare.

    Camera, moment and place that a phone writes into its photos do not come along.

    Parameters
    ----------
    content
        The file as it was sent.
    name
        What to call it in a sentence.

    Raises
    ------
    BadInput
        If it is too large, no photo that can be read, or cut off.
    """
    if len(content) > MOST_SENT:
        raise BadInput(
            "photo", name, f"is {len(content) / 1e6:.0f} MB. A photo may have {MOST_SENT // 1_000_000} MB."
        )
    if content[4:12] in HEIC:
        told = "is in a form that can't be read here (HEIC). Set the camera to JPEG, or send it as JPEG."
        raise BadInput("photo", name, told)
    from PIL import Image  # 10 ms that a command without a photo does not pay

    # The size is looked at before anything is unpacked, and a refusal is a sentence of ours.
    warnings.filterwarnings("ignore", category=Image.DecompressionBombWarning)
    try:
        return _bare(content, name)
    except BadInput:
        raise
    except Image.DecompressionBombError:
        raise _too_many(name) from None
    except Exception:  # whatever a reader of pictures says of a file that anybody may have made
        raise BadInput("photo", name, "is no whole photo. Choose a JPEG, PNG or WebP.") from None


def _bare(content: bytes, name: str) -> bytes:
    from PIL import Image, ImageOps

    with Image.open(io.BytesIO(content), formats=FORMS) as opened:
        if opened.width * opened.height > MOST_POINTS:
            raise _too_many(name)
        opened.draft("RGB", (LONGEST_PX, LONGEST_PX))  # a JPEG is unpacked no larger than needed
        upright = ImageOps.exif_transpose(opened)
        upright.thumbnail((LONGEST_PX, LONGEST_PX), Image.Resampling.LANCZOS)
        # A new picture: what hung on the old one (place, camera, remarks) has nothing to hang on.
        bare = Image.new("RGB", upright.size, "white")
        clear = upright.convert("RGBA") if upright.mode in ("RGBA", "LA", "PA", "P") else None
        bare.paste(clear or upright.convert("RGB"), mask=clear)
    out = io.BytesIO()
    bare.save(out, "JPEG", quality=QUALITY, optimize=True)
    return out.getvalue()


def _too_many(name: str) -> BadInput:
    told = f"has too many points. At most {MOST_POINTS // 1_000_000} million are read; take it smaller."
    return BadInput("photo", name, told)


def digest_of(content: bytes) -> str:
    """The name of a picture: the SHA-256 of its file."""
    return hashlib.sha256(content).hexdigest()


def is_kept_form(content: bytes) -> bool:
    """Whether these bytes are a whole picture as `kept_form` makes them, with nothing hung on."""
    if len(content) > MOST_KEPT:
        return False
    from PIL import Image

    try:
        with Image.open(io.BytesIO(content), formats=("JPEG",)) as opened:
            hung_on = {name for name, _ in getattr(opened, "applist", ())} - {"APP0"}
            if (
                hung_on
                or "comment" in opened.info
                or opened.format != "JPEG"
                or max(opened.size) > LONGEST_PX
            ):
                return False
            opened.load()
            return opened.mode == "RGB"
    except Exception:  # a file that anybody may have made
        return False
